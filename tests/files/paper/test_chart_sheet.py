"""A chart becomes a sheet: whole, readable in grey, with its texts apart from each other."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from pathlib import Path

import pytest
from pypdf import PdfReader

from crib.errors import BadInput, Refused
from crib.files.common.paper_sizes import PAPERS_MM
from crib.files.paper.chart import Chart, Series, number_axis, share_axis
from crib.files.paper.chart_sheet import ChartSheet, render_chart

CURVE = tuple((float(x), x * x / 1e4) for x in range(101))
CHART = Chart(
    "The value of a budget",
    number_axis("budget", "USD", [100]),
    share_axis("share of what was missed"),
    (
        Series("value", "line", CURVE),
        Series("wear", "step", ((0, 0), (40, 0.3), (60, 0.0))),
        Series("range", "bar", ((20, 0.5), (80, 0.5))),
        Series("enough", "limit", ((0, 0.9), (100, 0.9))),
        Series("sets", "marks", ((50, 0.25), (50, 0.25), (70, 0.49)), "o", ("a", "b", "c")),
    ),
    ("what was undone is out", "a chance is no promise"),
)


def words(path: Path) -> list[str]:
    """Every text of an SVG."""
    tree = ET.fromstring(path.read_text("utf-8"))
    return [one.text or "" for one in tree.iter() if one.tag.endswith("}text")]


@pytest.mark.parametrize("paper", PAPERS_MM)
def test_an_svg_says_title_axes_ticks_names_and_notes(tmp_path: Path, paper: str) -> None:
    path = tmp_path / "chart.svg"
    render_chart(CHART, path, ChartSheet("Our crib", paper))
    said = words(path)
    for text in ("The value of a budget", "Our crib", "budget [USD]", "share of what was missed"):
        assert text in said
    for text in ("100", "80 %", "value", "wear", "range", "enough", "sets", "a", "b", "c"):
        assert text in said
    assert [one for one in said if one.startswith("- ")] == [f"- {note}" for note in CHART.notes]


def test_a_limit_without_room_on_its_line_is_named_below(tmp_path: Path) -> None:
    limits = tuple(
        Series(f"limit {number}", "limit", ((0, 0.9), (100, 0.9))) for number in range(4)
    )
    path = tmp_path / "chart.svg"
    render_chart(Chart("t", CHART.across, CHART.up, limits), path)
    assert {f"limit {number}" for number in range(4)} <= set(words(path))


def test_a_pdf_opens_and_holds_one_page_with_the_texts(tmp_path: Path) -> None:
    path = tmp_path / "chart.pdf"
    render_chart(CHART, path, ChartSheet(paper="Letter"))
    pages = PdfReader(path).pages
    assert len(pages) == 1
    assert float(pages[0].mediabox.width) == 792
    text = pages[0].extract_text()
    assert "The value of a budget" in text
    assert "share of what was missed" in text


@pytest.mark.parametrize("ending", ["svg", "pdf"])
def test_the_same_chart_gives_the_same_bytes(tmp_path: Path, ending: str) -> None:
    first, second = tmp_path / f"1.{ending}", tmp_path / f"2.{ending}"
    render_chart(CHART, first)
    render_chart(CHART, second)
    assert first.read_bytes() == second.read_bytes()


def test_letters_that_the_font_lacks_do_not_break_the_sheet(tmp_path: Path) -> None:
    path = tmp_path / "chart.svg"
    marks = Series("\u2603", "marks", ((1.0, 0.1),), "\u2603", ("\u2603 snow",))
    render_chart(Chart("\u2603 <&>", CHART.across, CHART.up, (marks,)), path)
    assert "? <&>" in words(path)


@pytest.mark.parametrize(
    ("name", "error", "said"),
    [("a.png", BadInput, r"a drawing ends in"), ("there.svg", Refused, "is there already")],
)
def test_a_wrong_place_is_refused(
    tmp_path: Path, name: str, error: type[Exception], said: str
) -> None:
    (tmp_path / "there.svg").write_text("mine")
    with pytest.raises(error, match=said):
        render_chart(CHART, tmp_path / name)
    assert [one.name for one in tmp_path.iterdir()] == ["there.svg"]
