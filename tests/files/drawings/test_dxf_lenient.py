"""Drawings that are not quite sound: what can be read is read, and the rest is named."""

from __future__ import annotations

import re
from collections import Counter
from io import BytesIO
from pathlib import Path

import pytest
from ezdxf.document import Drawing
from hypothesis import given, settings
from hypothesis import strategies as st

from crib.errors import BadInput
from crib.files.drawings import dxf_load
from crib.files.drawings.dxf import DrawingFacts, read_dxf, read_dxf_file
from crib.files.drawings.dxf_load import LoadedDrawing
from crib.files.drawings.dxf_records import Pairs
from crib.files.drawings.parts import PartsRead
from tests.files.dxf_text import THICK, Wanted, draw, notes, only, plate, read, text_of

DATA = Path(__file__).parents[1] / "data" / "dxf"
WAYS = ("circle", "polyline", "old polyline", "block circle")


def mixed(version: str = "R2010") -> Drawing:
    """A plate with a hole drawn in each way, all of sizes of their own."""
    document = plate(400.0, 100.0, version=version)
    for n, way in enumerate(WAYS):
        own = "old polyline" if (way, version) == ("polyline", "R12") else way
        draw(document, Wanted("hole", 10.0 + n, None, complex(60 + 80 * n, 50), 0, own))
    return document


def sizes(result: PartsRead) -> list[float]:
    return sorted(one.size_mm for part in result.parts for one in part.features)


def ended(result: PartsRead) -> Counter[str]:
    return Counter(item.ending for account in result.accounts for item in account.items)


@pytest.mark.parametrize("version", ["R12", "R2000", "R2007", "R2010", "R2018"])
def test_a_binary_drawing_reads_as_the_same_in_text(version: str) -> None:
    document = mixed(version)
    stream = BytesIO()
    document.write(stream, fmt="bin")
    facts = DrawingFacts("mm", 10.0)
    binary = read_dxf(stream.getvalue(), "P-7.dxf", facts)
    text = read_dxf(text_of(document), "P-7.dxf", facts)
    assert sizes(binary) == sizes(text) == [10.0, 11.0, 12.0, 13.0]
    assert ended(binary) == ended(text)


@given(which=st.integers(0, 3), junk=st.sampled_from(["abc", "", "1O.5", "12,5", "0x1"]))
@settings(max_examples=25, deadline=None)
def test_one_broken_number_costs_its_own_entity_and_no_other(which: int, junk: str) -> None:
    document = mixed()
    text, middle = text_of(document), 60.0 + 80 * which
    radius = 5.0 + which / 2
    # The middle of a circle or of where the block is inserted, else a corner of the polyline.
    place = middle if which in (0, 3) else middle + radius
    entities = text.index("\nENTITIES\n")
    broken = text[:entities] + text[entities:].replace(f" 10\n{place}\n", f" 10\n{junk}\n", 1)
    assert broken != text
    result = read_dxf(broken, "P-7.dxf", THICK)
    assert sizes(result) == sorted({10.0, 11.0, 12.0, 13.0} - {10.0 + which})
    said = [note for note in result.notes if "broken, not read" in note.text]
    assert [broken.splitlines()[note.line - 1] for note in said] == [junk]
    assert ended(result)["told"] == 1


def test_an_entity_that_nobody_knows_is_told_and_the_rest_read() -> None:
    text = text_of(mixed())
    odd = "  0\nARCALIGNEDTEXT\n  5\nFFF\n100\nAcDbEntity\n  8\nNAMES\n100\nAcDbArcAlignedText\n"
    text = text.replace("  0\nCIRCLE\n", f"{odd}  1\nP-7\n  0\nCIRCLE\n")
    result = read_dxf(text, "P-7.dxf", THICK)
    assert sizes(result) == [10.0, 11.0, 12.0, 13.0]
    assert "ARCALIGNEDTEXT on layer 'NAMES'" in "\n".join(note.text for note in result.notes)


def test_repairs_of_the_library_are_counted_aloud() -> None:
    text = text_of(mixed()).replace("  0\nENDTAB\n", "  0\nENDSEC\n", 1)
    result = read_dxf(text, "P-7.dxf", THICK)
    assert sizes(result) == [10.0, 11.0, 12.0, 13.0]
    assert any(re.search(r"damaged, .*repaired: \d+ x ", note.text) for note in result.notes)


def test_what_the_library_drops_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    read_strictly = dxf_load._strict

    def dropping(pairs: Pairs) -> LoadedDrawing | None:
        found = read_strictly(pairs)
        assert found is not None
        model = found.document.modelspace()
        model.delete_entity(model.query("INSERT").first)
        return found

    monkeypatch.setattr(dxf_load, "_strict", dropping)
    assert "1 x INSERT: broken, not read" in notes(mixed())


@pytest.mark.parametrize("number", ["nan", "1e308", "-1e308", "inf"])
def test_a_spline_with_an_impossible_number_ends_at_once(number: str) -> None:
    document = mixed()
    document.modelspace().add_open_spline([(50, 40, 0), (73.5, 60, 0), (90, 40, 0), (99, 41, 0)])
    text = text_of(document).replace(" 10\n73.5\n", f" 10\n{number}\n", 1)
    assert sizes(read_dxf(text, "P-7.dxf", THICK)) == [10.0, 11.0, 12.0, 13.0]


def test_lines_after_the_end_are_counted_and_not_read() -> None:
    text = text_of(mixed())
    assert "lines after" not in notes(mixed())
    result = read_dxf(f"{text}  0\nCIRCLE\n 40\n5.0\n", "P-7.dxf", THICK)
    assert sizes(result) == [10.0, 11.0, 12.0, 13.0]
    assert "4 lines after the drawing's end are not read" in [note.text for note in result.notes]


def test_a_whole_file_without_its_end_is_read_aloud_and_a_cut_one_refused() -> None:
    text = text_of(mixed())
    whole = text[: text.rindex("  0\nEOF")]
    result = read_dxf(whole, "P-7.dxf", THICK)
    assert sizes(result) == [10.0, 11.0, 12.0, 13.0]
    assert any("does not end in EOF" in note.text for note in result.notes)
    with pytest.raises(BadInput, match="cut short"):
        read_dxf(text[: text.rindex("ENDSEC")], "P-7.dxf", THICK)


@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
def test_lines_may_end_in_any_way(ending: str) -> None:
    data = text_of(mixed()).replace("\n", ending).encode("cp1252")
    assert sizes(read_dxf(data, "P-7.dxf", THICK)) == [10.0, 11.0, 12.0, 13.0]


def test_each_entity_of_a_drawing_ends_once() -> None:
    document = mixed()
    model = document.modelspace()
    model.add_text("P-7")
    model.add_line((0, 0), (5, 0))
    model.add_circle((60, 50), 5)
    result = read(document)
    # A block is there beside the circle in it.
    assert ended(result) == {"counted": 5, "blank": 1, "told": 2, "merged": 1}
    assert sum(ended(result).values()) == len(model) + 1


KEPT = {
    "R12_with_trash_beyond_EOF.dxf": ([3.0], "5 lines after the drawing's end"),
    "empty_handles.dxf": ([17.0], ""),
    "issue1106.dxf": ([180.4, 230.0, 239.96], "no outline"),
    "AC1003_LINE_Example.dxf": (None, "more than two lines meet at one place"),
}
"""Of the DXF library's own test files (ezdxf, MIT License, in its source package): what is read."""


@pytest.mark.parametrize("name", KEPT)
def test_files_of_others_are_read_or_refused_with_what_is_in_them(name: str) -> None:
    found, words = KEPT[name]
    facts = DrawingFacts("mm", 5.0)
    if found is None:
        with pytest.raises(BadInput, match=re.escape(words)):
            read_dxf_file(DATA / name, facts)
        return
    result = read_dxf_file(DATA / name, facts)
    assert sizes(result) == pytest.approx(found)
    assert words in "\n".join(note.text for note in result.notes)


def test_a_polyline_with_a_fitted_curve_is_read_without_its_control_points() -> None:
    document = plate(200.0, 100.0)
    corners = [(40, 40), (80, 40), (80, 80), (40, 80)]
    polyline = document.modelspace().add_polyline2d(corners, close=True)
    polyline.append_vertex((500, 500), dxfattribs={"flags": 16})
    (opening,) = only(document).features
    assert (opening.feature, opening.size_mm) == ("square", 40.0)


def test_a_block_that_breaks_off_while_it_is_taken_apart_is_told() -> None:
    document = plate(200, 100)
    document.blocks.new("B").add_circle((0, 0), 5)
    document.modelspace().add_blockref("B", (60, 50), dxfattribs={"xscale": 1e300})
    document.modelspace().add_circle((30, 30), 10)
    found = read(document)
    (account,) = found.accounts
    assert [item.name for item in account.ended("told")] == ["INSERT"]
    assert "broken, not read" in "; ".join(note.text for note in found.notes)
    assert [one.size_mm for one in found.parts[0].features] == [20.0]


@pytest.mark.parametrize("way", ["width of all", "width of each", "old polyline"])
def test_a_donut_is_told_to_be_read_by_the_middle_of_its_line(way: str) -> None:
    document = plate(300.0, 100.0, version="R12" if way == "old polyline" else "R2010")
    model, ends = document.modelspace(), ((45.0, 53.0), (61.0, 53.0))
    if way == "width of all":
        corners = [(*end, 1.0) for end in ends]
        model.add_lwpolyline(corners, "xyb", close=True, dxfattribs={"const_width": 4.0})
    elif way == "width of each":
        model.add_lwpolyline([(*end, 4.0, 4.0, 1.0) for end in ends], "xyseb", close=True)
    else:
        model.add_polyline2d([(*end, 4.0, 4.0, 1.0) for end in ends], "xyseb", close=True)
    facts = DrawingFacts("mm", 10.0)
    (hole,) = only(document, facts).features
    assert (hole.feature, hole.size_mm) == ("hole", 16.0)
    assert "drawn 4 mm wide: read by the middle of the line" in notes(document, facts=facts)


def test_a_line_without_a_width_is_told_to_have_none() -> None:
    assert "wide" not in notes(mixed())
