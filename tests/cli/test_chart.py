"""``crib chart`` on an 80-column screen of plain letters, as JSON, and as a drawing."""

from __future__ import annotations

from pathlib import Path

import pytest

from crib.cli.screens.chart_screen import chart_lines
from crib.files.paper.chart import Chart, Series, number_axis, share_axis
from tests.cli.asking import Window
from tests.shop import add_kind, add_piece, small_shop


@pytest.fixture
def window(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Window:
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.setenv("NO_COLOR", "1")
    shop = small_shop(tmp_path / "shop.crib")
    kind = add_kind(shop, role="punch", width="1-1/2", name="punch 1-1/2")
    add_piece(shop, "P-1", kind, wear=4000, length_mm=70.0, place="Ironworker 1 / punch")
    add_piece(shop, "P-2", kind)
    add_piece(shop, "N-1", add_kind(shop, role="nut", width="1", name="nut 1"))
    shop.close()
    return Window(tmp_path / "shop.crib", capsys)


def test_the_wear_of_a_piece_stands_on_one_screen(window: Window) -> None:
    assert window.ask("grind", "P-1", "--off", "0.2mm", "--found", "overdue").status == 0
    said = window.ask("chart", "p-1")
    assert (said.status, said.err) == (0, "")
    assert said.lines[0] == "P-1  punch 1-1/2: wear of the edge in use"
    assert any(". . .  grind before the next job: " in line for line in said.lines)
    assert "G found overdue" in said.out
    assert "--| wear   G ground   o now 0, 0 % used" in said.lines
    assert "4,000 strokes since new, ground 1 x; what was undone is out" in said.lines
    assert max(len(line) for line in said.lines) <= 80


def test_the_life_of_a_kind_stands_on_one_screen(window: Window) -> None:
    said = window.ask("chart", "punch", "1-1/2")
    assert (said.status, said.err) == (0, "")
    assert said.lines[0] == "punch 1-1/2: how long an edge lasts"
    told = window.ask("life", "punch", "1-1/2", "--json").json["learned"]["at_10"]
    counts = f"{told['strokes']:,.0f} ({told['low']:,.0f} to {told['high']:,.0f})"
    assert f"=== 10 %: {counts}" in said.out
    assert any("**o**" in line for line in said.lines[2:18])
    assert any(" P-1" in line for line in said.lines[2:18])
    assert any(line.startswith("P-1   4,000    ") for line in said.lines)
    assert max(len(line) for line in said.lines) <= 80


@pytest.mark.parametrize("wide", [40, 60, 80, 120])
@pytest.mark.parametrize("words", [("P-1",), ("P-1", "--life")])
def test_a_chart_keeps_to_a_narrow_screen(
    window: Window, monkeypatch: pytest.MonkeyPatch, wide: int, words: tuple[str, ...]
) -> None:
    monkeypatch.setenv("COLUMNS", str(wide))
    lines = window.ask("chart", *words).lines
    # One that is too long comes as two.
    (axis,) = (line for line in lines if line[8:] and not line.strip(" +-"))
    assert 0.9 * min(wide, 79) < len(axis) <= min(wide, 79)


def test_the_field_is_of_letters_that_every_screen_has(window: Window) -> None:
    for words in (("chart", "P-1"), ("chart", "P-1", "--life")):
        lines = window.ask(*words).lines
        field = [line for line in lines if set("|+") & set(line)]
        assert len(field) >= 16
        assert all(line.isascii() for line in field)


def test_a_piece_that_did_nothing_says_so(window: Window) -> None:
    said = window.ask("chart", "P-2")
    assert (said.status, said.err) == (0, "")
    assert said.lines == [
        "P-2 has made no strokes yet: there is no wear to draw",
        "how long its edge will last: `crib chart P-2 --life`",
    ]


def test_the_drawing_is_named_on_the_screen_and_in_the_json(window: Window, tmp_path: Path) -> None:
    place = tmp_path / "wear.svg"
    assert f"drawn in {place}" in window.ask("chart", "P-1", "--draw", str(place)).out
    assert place.read_text("utf-8").startswith("<?xml")
    other = tmp_path / "life.pdf"
    told = window.ask("chart", "P-1", "--life", "--draw", str(other), "--json").json
    assert (told["drawing"], told["shows"], told["tag"]) == (str(other), "life", "P-1")


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["P-9"], "no piece with tag and no kind called 'P-9'"),
        (["N-1"], "it has no edge that dulls"),
        (["P-1", "--draw", "chart.png"], "a drawing ends in .svg or .pdf"),
        (["P-1", "--draw", "nowhere/chart.svg"], "there is no folder nowhere"),
    ],
)
def test_a_wrong_request_says_why(window: Window, words: list[str], told: str) -> None:
    said = window.ask("chart", *words)
    assert (said.status, said.out) == (2, "")
    assert told in said.err


def test_any_chart_keeps_to_the_width_it_is_given() -> None:
    marks = tuple((float(at), at / 100) for at in range(0, 101, 5))
    chart = Chart(
        "a budget against its value",
        number_axis("budget", "USD", [100]),
        share_axis("value"),
        (
            Series("value", "line", ((0, 0), (100, 1))),
            Series("enough", "limit", ((0, 0.9), (100, 0.9))),
            Series("sets", "marks", marks, "o", tuple(f"set {at:.0f}" for at, _y in marks)),
        ),
    )
    for wide in (40, 60, 79):
        lines = chart_lines(chart, wide, 12)
        assert max(map(len, lines)) <= wide
        assert any("enough" in line for line in lines)
        assert sum("o" in line for line in lines[2:14]) == 12
