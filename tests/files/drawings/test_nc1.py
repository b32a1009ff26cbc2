"""Real part files in the NC exchange format, and the slots of a written one."""

from __future__ import annotations

import json
from collections import Counter
from pathlib import Path

import pytest

from crib.acts import act, acts_in
from crib.errors import BadInput
from crib.files.drawings.nc1 import read_nc1, read_nc1_file
from tests.files.nc1_text import SLOT, first, holes, nc1, read

DATA = Path(__file__).parents[1] / "data" / "nc1"
REAL = sorted(path.name for path in DATA.iterdir() if path.suffix.lower() in (".nc", ".nc1"))


def own_lines(name: str) -> list[str]:
    """The lines of a real file without comments, as the eye sees them."""
    text = (DATA / name).read_bytes().decode("ascii").replace("\r\n", "\n")
    return [line.strip() for line in text.split("\n") if not line.startswith("**")]


def own_holes(name: str) -> list[list[str]]:
    """The words of each line below a BO, read with nothing but split."""
    found: list[list[str]] = []
    block = ""
    for line in own_lines(name)[25:]:
        if len(line) == 2:
            block = line
        elif block == "BO" and line:
            found.append(line.split())
    return found


def test_there_are_seven_real_files() -> None:
    assert len(REAL) == 7


@pytest.mark.parametrize("name", REAL)
def test_a_real_file_gives_its_header_as_written(name: str) -> None:
    lines = own_lines(name)
    part = read_nc1_file(DATA / name).parts[0]
    assert lines[0] == "ST"
    assert [part.mark, part.material, str(part.quantity)] == lines[4:7]
    assert [part.profile_text, part.profile] == lines[7:9]
    assert part.length_mm == float(lines[9].split(",")[0])
    sizes = (
        part.height_mm,
        part.flange_width_mm,
        part.flange_thickness_mm,
        part.web_thickness_mm,
        part.radius_mm,
    )
    assert sizes == tuple(float(line) for line in lines[10:15])
    assert part.text_lines == tuple(lines[21:25])


@pytest.mark.parametrize("name", REAL)
def test_a_real_file_gives_every_hole_of_its_own_text(name: str) -> None:
    lines = own_lines(name)
    part = read_nc1_file(DATA / name).parts[0]
    written = own_holes(name)
    found = [one for one in part.features if one.feature in ("hole", "slot")]
    assert len(found) == len(written)
    for one, words in zip(found, written, strict=True):
        thickness = lines[12] if words[0] in "ou" else lines[13]
        assert one.face == words[0]
        assert one.size_mm == float(words[3])
        assert one.y_mm == float(words[2])
        assert one.thickness_mm == float(thickness)
        assert one.through
        assert one.note == ""


@pytest.mark.parametrize(
    ("name", "count"),
    [
        ("a_E1.nc", 3),
        ("a_RST37-2.nc", 0),
        ("a_notch.nc1", 0),
        ("a_product2.NC1", 8),
        ("b_0008-SE0004.nc1", 2),
        ("b_P1565.nc", 5),
        ("b_P465.nc", 2),
    ],
)
def test_the_tests_own_reading_finds_the_holes_that_a_person_counts(name: str, count: int) -> None:
    assert len(own_holes(name)) == count


def test_a_real_slot_is_as_long_as_its_diameter_and_elongation() -> None:
    slots = read_nc1_file(DATA / "b_P465.nc").parts[0].features[:2]
    assert [(one.size_mm, one.long_mm, one.angle_deg) for one in slots] == [(18, 18 + 22, 0)] * 2
    assert [one.x_mm for one in slots] == [24 + 22 / 2, 84 + 22 / 2]


def test_the_corner_out_of_a_real_flat_is_a_corner() -> None:
    # Its contour goes from (172.5, 64) by (155, 64) to (155, 110); the flat is 172.5 x 110.
    corner = read_nc1_file(DATA / "b_P465.nc").parts[0].features[2]
    assert (corner.feature, corner.size_mm, corner.depth_mm) == ("corner", 172.5 - 155, 110 - 64)
    assert (corner.x_mm, corner.y_mm, corner.thickness_mm) == (172.5, 110, 10)


def test_the_quantity_of_a_real_file_multiplies_its_holes() -> None:
    counts = read_nc1_file(DATA / "a_product2.NC1").counts_by_size()
    assert [(one.size_mm, one.count) for one in counts] == [(14.0, 4 * 15), (18.0, 4 * 15)]


@pytest.mark.parametrize(
    ("name", "line", "words"),
    [
        ("a_E1.nc", 29, "block KO .punch marks., 3 lines, is not read"),
        ("a_RST37-2.nc", 27, "block PR .profile description., 17 lines"),
        ("a_RST37-2.nc", 48, "block B1, 2 lines, is not read: holes in a plane of its own"),
        ("a_notch.nc1", 29, "relief hole of radius 10 mm"),
        ("a_notch.nc1", 28, "contour not recognised"),
        ("a_notch.nc1", 46, "no EN line"),
        ("a_product2.NC1", 37, "corner at x 0, y 0 cut off slanting, 50 x 50 mm"),
        ("a_product2.NC1", 41, "bevel"),
        ("b_0008-SE0004.nc1", 28, "corner 71.75 x 35 mm at x 0, y 200 in the front of the channel"),
        ("b_P1565.nc", 28, "a disc of 233.7 mm"),
        ("b_P465.nc", 37, "the middle of its first end"),
    ],
)
def test_what_is_left_out_of_a_real_file_is_named_by_its_line(
    name: str, line: int, words: str
) -> None:
    found = [note.text for note in read_nc1_file(DATA / name).notes if note.line == line]
    pattern = words.replace(".", "")
    assert any(pattern in text.replace("(", "").replace(")", "").replace(".", "") for text in found)


def test_two_slots_in_four_plates_are_eight() -> None:
    text = nc1(holes(SLOT, SLOT.replace("72.50", "200.00")), quantity=4)
    found = read(text)
    (part,) = found.parts
    assert [one.x_mm for one in part.features] == [72.5 + 14, 200 + 14]
    for one in part.features:
        assert (one.feature, one.shape, one.size_mm, one.long_mm) == ("slot", "obround", 22, 50)
        assert (one.angle_deg, one.thickness_mm, one.y_mm) == (0, 12, 35)
    (size,) = found.counts_by_size()
    assert (size.count, size.size_mm, size.long_mm, size.thickness_mm) == (8, 22, 50, 12)
    (note,) = found.notes
    assert note.text == "a slot's x and y are read as the middle of its first end"
    assert acts_in(note.way_out) == (act("say.slot-centre", slot_centre="middle"),)


def test_a_slot_by_its_middle_stays_where_it_is_written() -> None:
    found = read_nc1(nc1(holes(SLOT)), "part.nc1", slot_centre="middle")
    slot = found.parts[0].features[0]
    assert (slot.x_mm, slot.y_mm) == (72.5, 35.0)
    (note,) = found.notes
    assert note.text == "a slot's x and y are read as its own middle"
    assert acts_in(note.way_out) == (act("say.slot-centre", slot_centre="first_end"),)


@pytest.mark.parametrize(
    ("tail", "place", "angle_deg"),
    [
        ("28 0 0", (86.5, 35.0), 0.0),
        ("0 28 0", (72.5, 49.0), 90.0),
        ("28 0 90", (72.5, 49.0), 90.0),
        ("28 0 180", (58.5, 35.0), 0.0),
        ("28 0 30", (84.624356, 42.0), 30.0),
        ("0 28 45", (62.600505, 44.899495), 135.0),
        ("-28 0 0", (58.5, 35.0), 0.0),
    ],
)
def test_a_slot_is_turned_about_its_first_end(
    tail: str, place: tuple[float, float], angle_deg: float
) -> None:
    slot = first(nc1(holes(f"  v 72.5u 35 22 0.00l {tail}")))
    assert (slot.x_mm, slot.y_mm) == pytest.approx(place, abs=1e-6)
    assert (slot.size_mm, slot.long_mm, slot.angle_deg) == (22, 50, angle_deg)


def test_the_answer_for_programs_has_one_entry_a_feature() -> None:
    made = read(nc1(holes("  v 50.00u 40.00 18.00"), quantity=3)).as_json()
    assert json.loads(json.dumps(made)) == {
        "parts": [
            {
                "mark": "P-1",
                "quantity": 3,
                "profile": "B",
                "material": "S275",
                "length_mm": 300.0,
                "features": [
                    {
                        "feature": "hole",
                        "shape": "round",
                        "size_mm": 18.0,
                        "long_mm": None,
                        "thickness_mm": 12.0,
                        "face": "v",
                        "x_mm": 50.0,
                        "y_mm": 40.0,
                        "angle_deg": 0.0,
                        "depth_mm": None,
                        "through": True,
                        "note": "",
                        "asked": "",
                    }
                ],
            }
        ],
        "notes": [],
    }


def test_a_real_file_cut_anywhere_is_read_or_refused() -> None:
    data = (DATA / "b_P465.nc").read_bytes()
    whole = Counter(one.feature for one in read(data).parts[0].features)
    for end in range(0, len(data), 7):
        try:
            found = read(data[:end])
        except BadInput:
            continue
        seen = Counter(one.feature for one in found.parts[0].features)
        assert sum(seen.values()) <= sum(whole.values())
        assert any("no EN line" in note.text for note in found.notes)
