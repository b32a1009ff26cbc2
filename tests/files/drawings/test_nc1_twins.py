"""Openings that a file lists twice are counted once, and every line of a file is accounted for."""

from __future__ import annotations

from pathlib import Path

import pytest

from crib.errors import AskBack
from crib.files.drawings.dxf_looks import Takeable
from crib.files.drawings.nc1 import read_nc1
from crib.files.drawings.part_faces import odd_openings
from tests.files.nc1_text import contour, holes, nc1, only, read

DATA = Path(__file__).parents[1] / "data" / "nc1"
EITHER: tuple[Takeable, ...] = ("once", "each")
CHANNEL = [f"  v {x} 60.00 27.00" for x in (100, 250, 400)]


@pytest.mark.parametrize("code", ["B", "I", "U", "C", "T"])
def test_the_web_of_a_profile_with_one_is_counted_once_in_two_views(code: str) -> None:
    back = [line.replace(" v ", " h ") for line in CHANNEL]
    found = read(nc1(holes(*CHANNEL, *back), code=code, length=500, height=120))
    assert len(found.parts[0].features) == 3
    assert [note.text for note in found.notes] == [
        "3 openings of view h at the same places as in view v: counted once"
    ]
    merged = found.accounts[0].ended("merged")
    assert [(item.line, item.why and item.why["line"]) for item in merged] == [
        (30, 27),
        (31, 28),
        (32, 29),
    ]


def test_two_walls_are_counted_twice() -> None:
    back = [line.replace(" v ", " h ") for line in CHANNEL]
    found = read(nc1(holes(*CHANNEL, *back), code="M", length=500, height=120))
    assert len(found.parts[0].features) == 6
    assert not found.notes


@pytest.mark.parametrize("code", ["L", "SO"])
def test_what_may_be_one_or_two_is_asked_back(code: str) -> None:
    back = [line.replace(" v ", " h ") for line in CHANNEL]
    text = nc1(holes(*CHANNEL, *back), code=code, length=500, height=120)
    with pytest.raises(AskBack, match=r"line 30: 3 openings of view h .* one opening or two\?"):
        read(text)
    found = {word: read_nc1(text, "P-1.nc1", taken=frozenset({word})) for word in EITHER}
    assert [len(one.parts[0].features) for one in found.values()] == [3, 6]
    assert [one.accounts[0].sums()["merged"] for one in found.values()] == [3, 0]
    assert [one.notes[0].text.rpartition(": ")[2] for one in found.values()] == [
        "counted once",
        "counted again, as told",
    ]


def test_a_window_and_a_notch_in_two_views_are_one_each() -> None:
    window = [(20, 20), (60, 20), (60, 40), (20, 40), (20, 20)]
    ring = [(0, 0), (100, 0), (100, 30), (140, 30), (140, 0), (300, 0), (300, 100), (0, 100)]
    ring = [*ring, (0, 0)]
    views = [contour(ring, face=f) for f in "vh"] + [
        contour(window, name="IK", face=f) for f in "vh"
    ]
    part = only(nc1(*views))
    assert [one.feature for one in part.features] == ["rectangle", "notch"]
    # What was merged is no opening of its own in the picture, nor seen from behind.
    assert [(one.kind, one.face) for one in part.contours] == [("outer", "v"), ("inner", "v")]
    assert not odd_openings(part)
    two = only(nc1(*views, code="M"))
    assert len(two.contours) == 4


def test_a_blind_hole_from_each_side_is_two() -> None:
    deep = ["  v 50.00 50.00 10.00 4.00", "  h 50.00 50.00 10.00 4.00"]
    assert len(only(nc1(holes(*deep))).features) == 2


def test_what_only_the_second_view_says_of_a_hole_is_kept() -> None:
    part = only(nc1(holes("  v 50.00 50.00 10.00", "  h 50.00 50.00s 10.00")))
    assert [one.note for one in part.features] == ["countersunk"]


def test_every_real_file_is_accounted_for_to_the_line() -> None:
    for path in sorted(DATA.glob("*.[nN][cC]*")):
        found = read_nc1(path.read_bytes(), path.name)
        (account,) = found.accounts
        lines = {item.line for item in account.items if item.kind == "line"}
        text = path.read_bytes().decode("latin-1").replace("\r\n", "\n").replace("\r", "\n")
        assert lines == set(range(1, text.count("\n") + 2)), path.name
        told = {note.line for note in found.notes}
        blocks = [item.line for item in account.ended("told") if item.kind == "line"]
        assert told or not blocks


def test_two_at_one_place_but_from_two_edges_are_not_taken_for_one() -> None:
    text = nc1(holes("  v 10u 30 18", "  v 10o 30 18", "  v 10 30 18"))
    with pytest.raises(AskBack, match="line 28: 1 opening listed again at the same place"):
        read(text)
    found = read_nc1(text, "P-1.nc1", taken=frozenset({"each"}))
    assert len(found.parts[0].features) == 2
    assert [note.text for note in found.notes] == [
        "1 opening listed again at the same place (y from another edge): counted again, as told",
        "1 opening listed again at the same place: counted once",
    ]
