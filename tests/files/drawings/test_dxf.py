"""Drawings in DXF: what is drawn is read back, however it is drawn; the rest is said."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path

import pytest
from ezdxf.filemanagement import new
from hypothesis import given, settings
from hypothesis import strategies as st

from crib.errors import AskBack, BadInput
from crib.files.drawings import dxf_entities, dxf_load
from crib.files.drawings.dxf import DrawingFacts, read_dxf, read_dxf_file
from crib.files.drawings.parts import OUTSIDE, PartFeature, phrase_of
from tests.files.dxf_text import (
    THICK,
    Wanted,
    draw,
    draw_outline,
    draw_side,
    notes,
    only,
    plate,
    read,
    text_of,
)

CELL = 100.0
WAYS = ("polyline", "old polyline", "loose")
TURNS = {"hole": 360.0, "square": 90.0, "hexagon": 60.0, "rectangle": 180.0, "slot": 180.0}
"""After how many degrees an opening looks the same again."""

hundredths = st.integers(300, 4000).map(lambda n: n / 100)


@st.composite
def wanted(data: st.DrawFn, cell: int) -> Wanted:
    """An opening in the middle of its own cell of the plate."""
    feature = data(st.sampled_from(sorted(TURNS)))
    size = data(hundredths)
    long = round(size + data(hundredths), 2) if feature in ("slot", "rectangle") else None
    ways = (*WAYS, "circle") if feature == "hole" else WAYS
    way = data(st.sampled_from([*ways, *(f"block {way}" for way in ways)]))
    place = complex(7 + CELL * (cell % 4) + CELL / 2, 3 + CELL * (cell // 4) + CELL / 2)
    turned = float(data(st.integers(0, 359)))
    scale = data(st.sampled_from([1.0, 0.5, 25.4]))
    return Wanted(feature, size, long, place, turned, way, data(st.booleans()), scale)


@given(data=st.data(), count=st.integers(1, 8), version=st.sampled_from(["R2000", "R2010"]))
@settings(max_examples=60, deadline=None)
def test_openings_drawn_in_any_way_are_read_back(
    data: st.DataObject, count: int, version: str
) -> None:
    drawn = [data.draw(wanted(cell)) for cell in range(count)]
    document = plate(4 * CELL, 2 * CELL, version=version)
    for one in drawn:
        draw(document, one)
    result = read(document, DrawingFacts(thickness_mm=3.0))
    (part,) = result.parts
    assert (part.length_mm, part.height_mm, result.notes) == (4 * CELL, 2 * CELL, ())
    assert len(part.features) == count
    for one in drawn:
        assert_read(one, part.features)


def assert_read(one: Wanted, features: tuple[PartFeature, ...]) -> None:
    """The opening is there with exactly its sizes, at its place and angle."""
    (found,) = [f for f in features if abs(complex(f.x_mm + 7, f.y_mm + 3) - one.at) < 0.001]
    assert (found.feature, found.size_mm, found.long_mm) == (one.feature, one.size, one.long)
    assert (found.through, found.thickness_mm, found.note) == (True, 3.0, "")
    if one.feature != "hole":
        turn = TURNS[one.feature]
        off = (found.angle_deg - one.turned_deg) % turn
        assert min(off, turn - off) < 0.01


@given(
    notch=st.tuples(hundredths, hundredths),
    corner=st.tuples(hundredths, hundredths),
    vee=st.tuples(hundredths, hundredths),
    way=st.sampled_from(WAYS),
    backwards=st.booleans(),
)
@settings(max_examples=40, deadline=None)
def test_cuts_into_the_edges_are_read_back(
    notch: tuple[float, float],
    corner: tuple[float, float],
    vee: tuple[float, float],
    way: str,
    backwards: bool,
) -> None:
    right, top = 300.0, 100.0
    outline = [
        *(0j, complex(right - corner[0]), complex(right - corner[0], corner[1])),
        *(complex(right, corner[1]), complex(right, top), complex(200, top)),
        *(complex(200, top - notch[1]), complex(200 - notch[0], top - notch[1])),
        *(complex(200 - notch[0], top), complex(0, top)),
        *(complex(0, 50 + vee[0] / 2), complex(vee[1], 50), complex(0, 50 - vee[0] / 2)),
    ]
    document = new(units=4)
    points = outline[::-1] if backwards else outline
    draw_outline(document.modelspace(), [(point, 0.0) for point in points], way)
    features = {one.feature: one for one in only(document).features}
    assert set(features) == {"notch", "corner", "vee"}
    for name, sizes in (("notch", notch), ("corner", corner), ("vee", vee)):
        assert (features[name].size_mm, features[name].depth_mm) == pytest.approx(sizes, abs=1e-4)
    assert (features["corner"].x_mm, features["corner"].y_mm) == (right, 0.0)


@pytest.mark.parametrize(("unit", "drawn"), [(1, 13 / 16), (4, 20.6375), (5, 2.06375)])
def test_a_size_is_exact_whatever_the_unit(unit: int, drawn: float) -> None:
    document = plate(120.0, 60.0, unit=unit)
    document.modelspace().add_circle((60.0, 30.0), drawn / 2)
    (hole,) = only(document, DrawingFacts(thickness_mm=9.525)).features
    assert phrase_of(hole, "A36", "in") == "hole 13/16 thru 3/8 A36"


@pytest.mark.parametrize("sixty_fourths", [3, 17, 35, 63])
def test_a_slot_in_inches_is_in_64ths_again(sixty_fourths: int) -> None:
    width = sixty_fourths / 64
    document = plate(12.0, 6.0, unit=1)
    draw(document, Wanted("slot", width, 2 * width, 10 + 5j, 17, "loose"))
    (slot,) = only(document).features
    assert slot.size_mm == sixty_fourths * 254 / 640
    assert slot.long_mm == 2 * sixty_fourths * 254 / 640


def test_a_drawing_without_its_unit_is_asked_about() -> None:
    document = plate(12.0, 6.0, unit=0)
    with pytest.raises(AskBack, match=r"12 x 6 over all, in inches that would be 304\.8 x 152\.4"):
        read(document)
    assert only(document, DrawingFacts("in", 10.0)).length_mm == 304.8


def test_the_oldest_version_never_says_its_unit() -> None:
    document = new("R12")
    corners = [(point, 0.0) for point in (7 + 3j, 127 + 3j, 127 + 63j, 7 + 63j)]
    draw_outline(document.modelspace(), corners, "old polyline")
    document.modelspace().add_circle((50.0, 30.0), 11.0)
    with pytest.raises(AskBack, match="does not say its unit"):
        read_dxf(text_of(document), "a.dxf", THICK)
    (part,) = read_dxf(text_of(document), "a.dxf", DrawingFacts("mm", 10.0)).parts
    assert part.features[0].size_mm == 22.0


def test_a_unit_against_the_drawings_own_is_said() -> None:
    document = plate(12.0, 6.0, unit=1)
    assert "says it is in inches; read in mm as told" in notes(
        document, facts=DrawingFacts("mm", 10.0)
    )


def test_what_is_drawn_twice_counts_once_and_is_said() -> None:
    document = plate(200.0, 100.0)
    model = document.modelspace()
    for x in (50.0, 50.02):
        model.add_circle((x, 50.0), 11.0)
    draw(document, Wanted("hole", 22.0, None, 50 + 50j, 0, "polyline"))
    draw(document, Wanted("slot", 22.0, 50.0, 150 + 50j, 30, "polyline"))
    draw(document, Wanted("slot", 22.0, 50.0, 150 + 50j, 210, "loose"))
    model.add_line((7, 3), (207, 3))
    draw_outline(model, [(p, 0.0) for p in (7 + 3j, 207 + 3j, 207 + 103j, 7 + 103j)], "loose")
    assert [one.feature for one in only(document).features] == ["hole", "slot"]
    said = ("1 x CIRCLE", "1 x LWPOLYLINE", "7 x LINE", "2 x ARC")
    assert all(f"{text} on layer '0'" in notes(document) for text in said)
    assert notes(document).count("drawn twice, counted once") == 4


def test_slots_that_cross_are_two() -> None:
    document = plate(200.0, 100.0)
    for turned in (45.0, 135.0):
        draw(document, Wanted("slot", 10.0, 50.0, 100 + 50j, turned, "polyline"))
    assert [one.angle_deg for one in only(document).features] == [45.0, 135.0]


def test_ends_meet_within_a_twentieth_of_a_millimetre() -> None:
    document = plate(200.0, 100.0)
    model = document.modelspace()
    for start, end in ((50 + 50j, 69.97 + 50j), (70 + 50.03j, 70 + 70j), (70 + 70j, 50 + 70j)):
        draw_side(model, start, end, 0.0)
    draw_side(model, 50 + 70j, 50 + 50j, 0.0)
    (square,) = only(document).features
    assert square.feature == "square"
    assert square.size_mm == 20.0


def test_a_chain_with_a_gap_is_no_opening_and_is_said() -> None:
    document = plate(200.0, 100.0)
    model = document.modelspace()
    for start, end in ((50 + 50j, 70 + 50j), (70.2 + 50j, 70 + 70j), (70 + 70j, 50 + 50j)):
        draw_side(model, start, end, 0.0)
    assert only(document).features == ()
    assert "3 x LINE on layer '0'" in notes(document)
    assert "part of no closed outline" in notes(document)


def test_lines_that_branch_are_left_to_a_person() -> None:
    document = plate(200.0, 100.0)
    model = document.modelspace()
    corners = (50 + 50j, 90 + 50j, 90 + 80j, 50 + 80j)
    draw_outline(model, [(point, 0.0) for point in corners], "loose")
    draw_side(model, 50 + 50j, 90 + 80j, 0.0)
    assert only(document).features == ()
    assert "5 x LINE on layer '0'" in notes(document)
    assert "more than two lines meet" in notes(document)


def test_every_layer_left_out_is_said_with_its_count() -> None:
    document = plate(200.0, 100.0)
    for layer in ("DIMENSIONS", "Centre lines", "Holes"):
        document.modelspace().add_circle((50, 50), 11, dxfattribs={"layer": layer})
    assert len(only(document).features) == 1
    assert "1 x CIRCLE on layer 'DIMENSIONS'" in notes(document)
    assert "1 x CIRCLE on layer 'Centre lines'" in notes(document)
    assert "layer 'Holes'" not in notes(document)
    assert "layer 'Holes'" in notes(document, ignore_layers=("holes",))


def test_a_frozen_layer_is_left_out_and_said() -> None:
    document = plate(200.0, 100.0)
    document.layers.add("OLD").freeze()
    document.modelspace().add_circle((50, 50), 11, dxfattribs={"layer": "old"})
    assert only(document).features == ()
    assert "its layer is off or frozen" in notes(document)


def test_what_is_not_read_is_said_with_type_layer_handle_and_line() -> None:
    document = plate(200.0, 100.0)
    model = document.modelspace()
    spline = model.add_spline([(0, 0), (1, 1), (2, 0)])
    model.add_text("3/8", dxfattribs={"layer": "A"})
    model.add_ellipse((50, 50), (5, 0), 0.5)
    model.add_circle((50, 50, 0), 5, dxfattribs={"extrusion": (0, 1, 0)})
    handle = spline.dxf.handle
    (note,) = [one for one in read(document).notes if "SPLINE" in one.text]
    assert note.text == (
        f"1 x SPLINE on layer '0' (handle {handle}): not read: part of no closed outline"
    )
    assert text_of(document).splitlines()[note.line - 1] == handle
    said = notes(document)
    assert "TEXT on layer 'A': '3/8'" in said
    assert "contour not recognised: ELLIPSE on layer '0'" in said
    assert "does not lie flat" in said
    assert only(document).features == ()


def test_an_opening_that_no_punch_makes_is_said() -> None:
    document = plate(200.0, 100.0)
    draw_outline(
        document.modelspace(), [(p, 0.0) for p in (50 + 50j, 90 + 50j, 50 + 80j)], "polyline"
    )
    assert only(document).features == ()
    assert "contour not recognised: LWPOLYLINE on layer '0'" in notes(document)


def test_a_block_stretched_in_one_direction_gives_no_round_hole() -> None:
    document = plate(200.0, 100.0)
    document.blocks.new("B").add_circle((0, 0), 5)
    document.modelspace().add_blockref("B", (50, 50), dxfattribs={"xscale": 2.0})
    assert only(document).features == ()
    assert "ELLIPSE" in notes(document)


def test_blocks_in_rows_and_blocks_in_blocks_are_taken_apart() -> None:
    document = plate(200.0, 100.0)
    document.blocks.new("INNER").add_circle((0, 0), 5)
    document.blocks.new("OUTER").add_blockref("INNER", (1, 0))
    grid = {"row_count": 2, "column_count": 3, "row_spacing": 20, "column_spacing": 30}
    document.modelspace().add_blockref("OUTER", (40, 40), dxfattribs=grid)
    assert len(only(document).features) == 6


def test_a_block_in_itself_ends(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(dxf_entities, "MOST_ENTITIES", 500)
    document = plate(200.0, 100.0)
    block = document.blocks.new("LOOP")
    for _ in range(3):
        block.add_blockref("LOOP", (1, 0))
    document.modelspace().add_blockref("LOOP", (0, 0))
    with pytest.raises(BadInput, match="more than 500 lines, arcs and circles"):
        read(document)


def test_a_block_that_is_not_there_is_said() -> None:
    document = plate(200.0, 100.0)
    document.modelspace().add_blockref("GONE", (40, 40))
    assert "block 'GONE' is not there" in notes(document)


def test_two_outlines_are_two_parts() -> None:
    document = plate(200.0, 100.0)
    box = (300 + 3j, 400 + 3j, 400 + 53j, 300 + 53j)
    draw_outline(document.modelspace(), [(point, 0.0) for point in box], "loose")
    for x in (50, 350, 360):
        document.modelspace().add_circle((x, 30), 4)
    result = read(document)
    assert [(part.mark, len(part.features)) for part in result.parts] == [
        ("P-7-1", 1),
        ("P-7-2", 2),
    ]
    assert "2 outlines: read as 2 parts" in [note.text for note in result.notes]


def test_a_disc_is_an_outline_and_a_lone_circle_a_hole() -> None:
    document = new(units=4)
    document.modelspace().add_circle((0, 0), 50)
    assert [one.size_mm for one in only(document).features] == [100.0]
    document.modelspace().add_circle((0, 0), 11)
    part = only(document)
    assert (part.length_mm, [one.size_mm for one in part.features]) == (100.0, [22.0])
    assert (part.features[0].x_mm, part.features[0].y_mm) == (50.0, 50.0)


def test_a_hole_off_the_plate_and_one_in_another_are_marked() -> None:
    document = plate(200.0, 100.0)
    model = document.modelspace()
    model.add_circle((400, 50), 5)
    # Round one middle they would be a hole and its countersink.
    model.add_circle((50, 50), 20)
    model.add_circle((52, 50), 10)
    found = {one.size_mm: one.note for one in only(document).features}
    assert found == {10.0: OUTSIDE, 40.0: "", 20.0: "inside another opening"}
    assert "hole of 20 mm at x 45, y 47 is inside another opening" in notes(document)


def test_holes_smaller_than_the_thickness_are_pointed_out() -> None:
    document = plate(200.0, 100.0)
    for x in (40, 80):
        document.modelspace().add_circle((x, 50), 3)
    assert "2 x hole of 6 mm, smaller than the thickness" in notes(document)


def test_a_thickness_that_nobody_said_is_asked_for() -> None:
    document = plate(200.0, 100.0)
    document.modelspace().add_circle((50, 50), 11)
    assert only(document, DrawingFacts()).features[0].thickness_mm is None
    assert "does not say the thickness" in notes(document, facts=DrawingFacts())


def test_a_size_that_cannot_be_right_is_questioned() -> None:
    assert "is that its unit?" in notes(plate(2.0, 1.0))
    assert "is that its unit?" in notes(plate(2000.0, 1000.0, unit=1))


def test_thousands_of_holes_are_read_and_endless_rings_refused() -> None:
    many, rings = plate(2000.0, 1000.0), plate(9000.0, 9000.0)
    for n in range(3000):
        many.modelspace().add_circle((20 + n % 100 * 19, 20 + n // 100 * 9), 3)
        rings.modelspace().add_circle((4500, 4500), 5 + n)
    assert len(only(many, DrawingFacts(thickness_mm=3.0)).features) == 3000
    with pytest.raises(BadInput, match="3001 closed shapes, too many of them in one another"):
        read(rings)


GOOD = text_of(plate(200.0, 100.0))


@pytest.mark.parametrize(
    ("data", "message"),
    [
        (b"", "is empty"),
        (b"hello", "is not a DXF drawing"),
        (b"Binary DXF\r\n\x1a\x00SECTION", "is neither text nor a binary DXF drawing"),
        (dxf_load.BINARY_HEAD + b"\x00SECTION", "is not a sound DXF drawing"),
        (GOOD[: len(GOOD) // 2], "is cut short"),
        (GOOD[:200] + "\n  0\nEOF\n", "is not a sound DXF drawing|holds no closed"),
        (GOOD.replace("LWPOLYLINE", "POINT"), "holds no closed outline"),
        (GOOD.replace(" 10\n207.0", " 10\nabc"), "1 x LWPOLYLINE .*: broken, not read: 'abc'"),
        (GOOD.replace(" 10\n207.0", " 10\n1e999"), "holds no closed outline"),
        (GOOD.replace(" 10\n207.0", " 10\nnan"), "holds no closed outline"),
        (GOOD.replace("  2\nENTITIES", "  2\nNOTHING"), "holds no closed outline|not a sound"),
    ],
)
def test_what_is_no_sound_drawing_is_one_error(data: bytes | str, message: str) -> None:
    with pytest.raises(BadInput, match=message):
        read_dxf(data, "a.dxf", THICK)


def test_a_file_that_is_too_large_is_not_opened(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "a.dxf"
    path.write_text(GOOD)
    assert len(read_dxf_file(path, THICK).parts) == 1
    monkeypatch.setattr(dxf_load, "MOST_BYTES", 1000)
    with pytest.raises(BadInput, match=r"a\.dxf has 0\.0 MB; a drawing has at most 0\.001 MB"):
        read_dxf_file(path, THICK)
    with pytest.raises(BadInput, match="there is no file at"):
        read_dxf_file(tmp_path / "b.dxf", THICK)


def test_a_drawing_of_fifty_megabytes_is_refused_before_it_is_opened(tmp_path: Path) -> None:
    path = tmp_path / "long.dxf"
    with path.open("wb") as file:
        file.write(GOOD.encode())
        file.truncate(50_000_000)
    with pytest.raises(BadInput, match=r"long\.dxf has 50\.0 MB; a drawing has at most 20 MB"):
        read_dxf_file(path, THICK)


@given(at=st.integers(0, len(GOOD) - 1), junk=st.text(max_size=12), cut=st.integers(0, 60))
@settings(max_examples=60, deadline=None)
def test_a_damaged_drawing_is_read_or_refused(at: int, junk: str, cut: int) -> None:
    damaged = GOOD[:at] + junk + GOOD[at + cut :]
    with suppress(BadInput):
        read_dxf(damaged, "a.dxf", THICK)


@given(data=st.binary(max_size=300))
@settings(max_examples=50)
def test_any_bytes_are_refused(data: bytes) -> None:
    with pytest.raises(BadInput, match=r"a\.dxf"):
        read_dxf(data, "a.dxf", THICK)
