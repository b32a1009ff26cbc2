"""What a drawing shows and does not cut: told with its size, counted only when somebody says so."""

from __future__ import annotations

import pytest
from ezdxf.document import Drawing
from hypothesis import given, settings
from hypothesis import strategies as st

from crib.acts import act, acts_in
from crib.files.drawings.dxf import DrawingFacts
from crib.files.drawings.dxf_looks import Takeable
from crib.files.drawings.parts import ReadNote
from tests.files.dxf_text import THICK, notes, only, plate, read

LINETYPES = {
    "CONTINUOUS": (),
    "HIDDEN": (0.25, 0.125, -0.125),
    "CENTER": (2.0, 1.25, -0.25, 0.25, -0.25),
    "SHOP-7": (1.0, 0.5, -0.5),
}
"""Linetypes by their pattern: its length, then dashes > 0 and gaps < 0."""
GAPPED = [name for name, pattern in LINETYPES.items() if pattern]
HOLE_MM = 22.0


def sheet() -> Drawing:
    document = plate(200.0, 100.0)
    for name, pattern in LINETYPES.items():
        if pattern:
            document.linetypes.add(name, list(pattern))
    return document


def taking(*what: Takeable) -> DrawingFacts:
    return DrawingFacts(thickness_mm=10.0, take=frozenset(what))


def with_acts(document: Drawing) -> list[ReadNote]:
    return [note for note in read(document).notes if acts_in(note.said())]


def hole(document: Drawing, by: str, linetype: str) -> None:
    """A hole whose linetype is its own, its layer's, or that of the block it is in."""
    model, size = document.modelspace(), HOLE_MM / 2
    if by == "entity":
        model.add_circle((60, 50), size, dxfattribs={"linetype": linetype})
        return
    layer = document.layers.add("EDGES", linetype=linetype)
    if by == "layer":
        model.add_circle((60, 50), size, dxfattribs={"layer": layer.dxf.name})
        return
    block = document.blocks.new("B")
    own = {"linetype": "BYBLOCK"} if by == "block" else {}
    block.add_circle((0, 0), size, dxfattribs=own)
    place = {"linetype": linetype} if by == "block" else {"layer": "EDGES"}
    model.add_blockref("B", (60, 50), dxfattribs=place)


@given(
    by=st.sampled_from(["entity", "layer", "block", "layer of the block"]),
    linetype=st.sampled_from(sorted(LINETYPES)),
    take=st.booleans(),
)
@settings(max_examples=40, deadline=None)
def test_a_hole_counts_unless_it_is_drawn_with_gaps(by: str, linetype: str, take: bool) -> None:
    document = sheet()
    hole(document, by, linetype)
    facts = taking("dashed") if take else THICK
    counted = linetype == "CONTINUOUS" or take
    assert [one.size_mm for one in only(document, facts).features] == [HOLE_MM] * counted
    if not counted:
        (note,) = with_acts(document)
        assert f"drawn with gaps ({linetype}); 1 x hole 22 mm" in note.text
        assert acts_in(note.said()) == (act("say.take", take="dashed"),)


def test_a_linetype_that_is_named_and_not_described_goes_by_its_name() -> None:
    document = plate(200.0, 100.0)
    for n, name in enumerate(("ACAD_ISO02W100", "PHANTOM2", "Strichlinie", "CENTRE")):
        document.modelspace().add_circle((40 + 30 * n, 50), 9, dxfattribs={"linetype": name})
    assert only(document).features == ()
    assert notes(document).count("1 x hole 18 mm") == 4


@pytest.mark.parametrize("how", ["invisible", "off", "frozen"])
def test_what_nobody_sees_is_set_aside_with_its_size_and_taken_when_told(how: str) -> None:
    document = sheet()
    layer = document.layers.add("OLD")
    own = {"invisible": 1} if how == "invisible" else {"layer": "OLD"}
    if how != "invisible":
        (layer.off if how == "off" else layer.freeze)()
    document.modelspace().add_circle((60, 50), HOLE_MM / 2, dxfattribs=own)
    assert only(document).features == ()
    (note,) = with_acts(document)
    assert "1 x hole 22 mm" in note.text
    assert acts_in(note.said()) == (act("say.take", take="invisible"),)
    assert len(only(document, taking("invisible")).features) == 1


def test_a_slot_of_dashed_lines_is_told_as_a_slot() -> None:
    document = sheet()
    dashed = {"linetype": "HIDDEN"}
    model = document.modelspace()
    for y in (40, 60):
        model.add_line((60, y), (90, y), dxfattribs=dashed)
    model.add_arc((60, 50), 10, 90, 270, dxfattribs=dashed)
    model.add_arc((90, 50), 10, 270, 90, dxfattribs=dashed)
    assert "2 x LINE on layer '0'" in notes(document)
    assert "slot 20 x 50 mm" in notes(document)
    assert [one.feature for one in only(document, taking("dashed")).features] == ["slot"]


def test_what_refers_to_another_file_is_told_by_its_name() -> None:
    document = plate(200.0, 100.0)
    document.add_xref_def("frames/other plate.dwg", "OTHER")
    document.modelspace().add_blockref("OTHER", (0, 0))
    assert "it refers to another file, 'frames/other plate.dwg'" in notes(document)


@pytest.mark.parametrize("gap", [0.1, 0.3, 0.9])
def test_a_nearly_closed_opening_is_told_with_its_gap_and_taken_when_told(gap: float) -> None:
    document = plate(200.0, 100.0)
    corners = [(50, 50), (70, 50), (70, 70), (50, 70), (50, 50 + gap)]
    document.modelspace().add_lwpolyline(corners)
    assert only(document).features == ()
    (note,) = with_acts(document)
    assert f"only over a gap of {gap:g} mm at x 50, y {50 + gap:g}" in note.text
    (square,) = only(document, taking("gaps")).features
    assert (square.feature, square.size_mm) == ("square", 20.0)


def test_a_wide_gap_is_no_gap() -> None:
    document = plate(200.0, 100.0)
    document.modelspace().add_lwpolyline([(50, 50), (70, 50), (70, 70), (50, 70), (50, 51.2)])
    assert only(document, taking("gaps")).features == ()
