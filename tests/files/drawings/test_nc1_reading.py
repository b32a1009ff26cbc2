"""What a part file may say, in whatever way it is written."""

from __future__ import annotations

import pytest

from crib.files.drawings.nc1 import read_nc1
from tests.files.nc1_text import SLOT, first, header, holes, nc1, notes, only, read


@pytest.mark.parametrize(
    "change",
    [
        lambda text: text.replace("\n", "\r\n"),
        lambda text: text.replace("\n", "\r"),
        lambda text: text.replace("\n  ", "\n"),
        lambda text: text.replace(" ", "\t"),
        lambda text: text.lower().replace("s275", "S275").replace("p-1", "P-1"),
        lambda text: text.upper(),
        lambda text: text.replace("ST\n", "** made somewhere\nST\n** and here\n"),
        lambda text: text.replace("BO\n", "BO  \n\n  ** holes\n"),
        lambda text: text.rstrip(),
        lambda text: text + "\x1a",
        lambda text: "\ufeff" + text,
        lambda text: text.replace("72.50u", "72.50 u").replace("0.00l", "0.00 l"),
        lambda text: text.replace("0.00l  28.00", "0.00l28.00"),
        lambda text: text.replace("v  72.50u", "v72.50u"),
        lambda text: text.replace("22.00  0.00l  28.00  0.00  0.00", "22. .0l 28 0 0"),
        lambda text: text.replace("  300.0\n", "  300.00,310.00\n"),
        lambda text: text.replace("\nBO", "\n  BO"),
        lambda text: text.encode("utf-16"),
    ],
)
def test_how_a_file_is_written_does_not_change_what_it_says(change: object) -> None:
    assert callable(change)
    plain = nc1(holes(SLOT, "  o  20.00s  30.00  14.00"), texts=("a", "b", "c", "d"))
    part, same = only(plain), only(change(plain))
    assert same.features == part.features
    assert (same.mark, same.material, same.length_mm) == (part.mark, part.material, 300.0)


def test_letters_of_an_old_code_page_are_read() -> None:
    part = only(nc1(texts=("Träger für Bühne", "", "", "")).encode("cp1252"))
    assert part.text_lines[0] == "Träger für Bühne"


def test_blank_text_lines_of_the_header_are_kept() -> None:
    assert only(nc1(texts=("", "paint", "", "left"))).text_lines == ("", "paint", "", "left")


def test_a_header_without_its_text_lines_gives_way_to_a_block() -> None:
    part = only("\n".join([*header(texts=()), "BO", "v 10 10 14", "EN"]))
    assert (part.text_lines, len(part.features)) == ((), 1)


def test_several_pieces_in_one_file_are_several_parts() -> None:
    found = read(nc1(holes(SLOT), mark="A") + nc1(mark="B") + "\nwhat is this\n")
    assert [part.mark for part in found.parts] == ["A", "B"]
    assert [len(part.features) for part in found.parts] == [1, 0]
    assert found.notes[-1].text == "text outside of a piece is not read"


@pytest.mark.parametrize(
    ("line", "feature", "through", "note"),
    [
        ("  v 50u 40 18 0.00", "hole", True, ""),
        ("  v 50u 40 18 12.00", "hole", True, ""),
        ("  v 50u 40 18 11.90", "hole", False, ""),
        ("  v 50u 40g 18 0.00", "tapped", True, "right-hand thread"),
        ("  v 50u 40 18 0.00g", "tapped", True, "right-hand thread"),
        ("  v 50u 40l 18 0.00", "tapped", True, "left-hand thread"),
        ("  v 50u 40 18 0.00l", "tapped", True, "left-hand thread"),
        ("  v 50u 40 18 0.00l 0 0 0", "hole", True, ""),
        ("  v 50u 40s 18 0.00", "hole", True, "countersunk"),
        ("  v 50u 40 18 0.00s", "hole", True, "countersunk"),
        ("  v 50u 40 18 0 10 20 0", "rectangle", True, ""),
        ("  v 50u 40 18 0 10 10 0", "square", True, ""),
    ],
)
def test_the_letter_of_a_hole_says_what_it_is(
    line: str, feature: str, through: bool, note: str
) -> None:
    one = first(nc1(holes(line)))
    assert (one.feature, one.through, one.note) == (feature, through, note)
    assert one.depth_mm == (None if through else 11.9)


def test_a_punch_mark_is_noted_and_is_no_hole() -> None:
    text = nc1(holes("  v 50u 40m 2 0.00"))
    assert only(text).features == ()
    assert notes(text) == {27: "punch mark at x 50, y 40 is not a hole"}


@pytest.mark.parametrize(
    ("line", "count", "words"),
    [
        ("  v 50q 40 18", 1, "letter 'q' is not known"),
        ("  v 50u 40x 18", 1, "letter 'x' is not known"),
        ("  v 50u 40 18d", 1, "letter 'd' is not known"),
        ("  x 50u 40 18", 0, "view 'x' is not known: the hole of 18 mm is not read"),
        ("  50u 40 18", 1, "names no view: read as v"),
        ("  v 50u 40 18 0 5 0 0", 1, "though the letter l is not there"),
        ("  v 50u 40g 18 0s", 1, "right-hand thread and countersunk at once"),
        ("  v 50u 40 18 0l 5 0 0 7", 1, "8 numbers; those after 7 are not read"),
    ],
)
def test_an_odd_letter_is_noted_by_its_line_and_reading_goes_on(
    line: str, count: int, words: str
) -> None:
    text = nc1(holes(line, "  v 90u 40 14"))
    assert len(only(text).features) == count + 1
    assert words in next(note.text for note in read(text).notes if note.line == 27)


@pytest.mark.parametrize(
    ("x", "y", "outside"),
    [(0, 0, False), (300, 100, False), (-0.1, 50, True), (300.1, 50, True), (50, 100.1, True)],
)
def test_a_hole_outside_the_profile_is_marked_and_noted(x: float, y: float, outside: bool) -> None:
    text = nc1(holes(f"  v {x}u {y} 18"))
    assert (first(text).note == "outside the profile") is outside
    assert (27 in notes(text)) is outside


@pytest.mark.parametrize(
    ("code", "face", "y", "thickness_mm", "outside"),
    [
        ("I", "v", 199, 8, False),
        ("I", "h", 199, 8, False),
        ("I", "o", 99, 11, False),
        ("I", "u", 101, 11, True),
        ("U", "o", 50, 11, False),
        ("L", "v", 150, 8, False),
        ("L", "u", 50, 11, False),
        ("T", "o", 50, 11, False),
        ("C", "v", 201, 8, True),
        ("M", "o", 50, 11, False),
        ("B", "o", 50, 8, False),
        ("RO", "v", 600, 8, False),
        ("RO", "v", 629, 8, True),
    ],
)
def test_each_face_has_its_own_width_and_thickness(
    code: str, face: str, y: float, thickness_mm: float, outside: bool
) -> None:
    sizes = {"height": 200.0, "width": 100.0, "flange": 11.0, "web": 8.0}
    one = first(nc1(holes(f"  {face} 50u {y} 18"), code=code, **sizes))
    assert one.thickness_mm == thickness_mm
    assert bool(one.note) is outside


@pytest.mark.parametrize(
    ("flange", "web", "thickness_mm", "noted"),
    [
        (12, 12, 12, False),
        (12, 10, 10, True),
        (12, 0, 12, False),
        (0, 10, 10, False),
        (0, 0, None, True),
    ],
)
def test_a_plate_is_as_thick_as_its_web_line_or_else_its_flange_line(
    flange: float, web: float, thickness_mm: float | None, noted: bool
) -> None:
    text = nc1(holes("  v 50u 40 18"), flange=flange, web=web)
    assert first(text).thickness_mm == thickness_mm
    assert (14 in notes(text)) is noted


@pytest.mark.parametrize(
    ("code", "wall", "read_as", "noted"),
    [
        ("RO", 5.0, "RO", False),
        ("RU", 5.0, "RO", True),
        ("RU", 0.0, "RU", False),
        ("RO", 0.0, "RU", True),
        ("RO", 50.0, "RU", True),
    ],
)
def test_the_wall_tells_a_round_tube_from_a_round_bar(
    code: str, wall: float, read_as: str, noted: bool
) -> None:
    text = nc1(code=code, flange=0.0, web=wall)
    assert only(text).profile == read_as
    assert (9 in notes(text)) is noted


def test_y_may_be_read_from_the_edge_or_axis_that_the_letter_names() -> None:
    text = nc1(holes("  v 10u 30 18", "  v 10o 30 18", "  v 10s 30 18", "  v 10 30 18"))
    found = read_nc1(text, "part.nc1", y_from="letter").parts[0].features
    assert [one.y_mm for one in found] == [30, 70, 80]
    # The last is the first again: y from the lower edge either way.
    lower = read_nc1(text, "part.nc1", taken=frozenset({"each"})).parts[0]
    assert [one.y_mm for one in lower.features] == [30, 30, 30]


@pytest.mark.parametrize(
    ("stamp", "text"),
    [
        ("v 30.00s 40.00 0.00 12 P-1", "P-1"),
        ("v 30.00u 40.00 0.00 12r P-1", "P-1"),
        ("v 30.00 40.00 0.00 12rP-1 left side", "P-1 left side"),
        ("o 30.00s\t40.00\t90.00\t12P-1", "P-1"),
    ],
)
def test_a_stamp_is_kept_as_text(stamp: str, text: str) -> None:
    found = read(nc1(["SI", f"  {stamp}"]))
    assert found.parts[0].stamps == (text,)
    assert found.notes == ()


def test_a_stamp_that_is_not_the_piece_mark_is_noted() -> None:
    assert notes(nc1(["SI", "  v 30 40 0 12 P-2"])) == {
        27: "stamped 'P-2', but the piece mark is 'P-1'"
    }


def test_blocks_that_are_not_read_are_named() -> None:
    text = nc1(["KA", "  v 30 40 0 12", "  v 30 40 0 12"], ["XY", "  1"], ["SI", "  hello"])
    assert notes(text) == {
        26: "block KA (bend lines), 2 lines, is not read",
        29: "block XY, 1 line, is not read",
        32: "the stamped text is not read",
    }
