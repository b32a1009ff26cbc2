"""Holes for bolts: what the tables print, and nothing else."""

from __future__ import annotations

from typing import get_args

import pytest

from crib.errors import AskBack, BadValue, UnknownName
from crib.trade.common.published_tables import read_table
from crib.trade.metal.bolt_holes import HoleType, bolt_hole, known_standards

_ROWS = read_table("bolt_holes")


def test_every_row_of_the_table_is_reached_once() -> None:
    seen = {
        (row["standard"], row["bolt"], row["hole_type"]): bolt_hole(
            row["bolt"],
            row["hole_type"],  # type: ignore[arg-type]
            row["standard"],
        )
        for row in _ROWS
    }
    assert len(seen) == len(_ROWS)
    for (standard, bolt, hole_type), hole in seen.items():
        assert (hole.standard, hole.bolt, hole.hole_type) == (standard, bolt, hole_type)
        assert (hole.length_mm is not None) == hole_type.endswith("slot")
        assert hole.source
    assert {hole.hole_type for hole in seen.values()} == set(get_args(HoleType))


def test_every_slot_is_longer_than_it_is_wide() -> None:
    for row in _ROWS:
        hole = bolt_hole(row["bolt"], row["hole_type"], row["standard"])  # type: ignore[arg-type]
        assert hole.length_mm is None or hole.length_mm > hole.width_mm


@pytest.mark.parametrize(
    ("bolt", "standard", "width"),
    [
        ("3/4", "AISC 360-22", 20.6375),
        ('3/4"', "aisc 360-22", 20.6375),
        ("3/4 in", "AISC360-22", 20.6375),
        ("1-1/8", "AISC 360-22", 31.75),
        ("1 1/8", "AISC 360-22", 31.75),
        ("m20", "en1090-2", 22.0),
        ("M 20", "EN 1090-2", 22.0),
        ("M3.5", "iso 273", 3.9),
    ],
)
def test_case_spaces_and_inch_marks_do_not_matter(bolt: str, standard: str, width: float) -> None:
    assert bolt_hole(bolt, "standard", standard).width_mm == pytest.approx(width, rel=1e-15)


@pytest.mark.parametrize("bolt", ["11/8", "2", "0.75", "20", "M21", "", "3/4-10", "M20x2.5"])
def test_a_bolt_that_no_table_prints_is_refused(bolt: str) -> None:
    with pytest.raises(UnknownName, match=r"unknown bolt .*known: 1/2, 5/8, 3/4"):
        bolt_hole(bolt, "standard", "AISC 360-22")


@pytest.mark.parametrize("standard", ["", "AISC", "AISC 360-05", "BS 4190"])
def test_an_unknown_standard_is_refused(standard: str) -> None:
    with pytest.raises(UnknownName, match=r"unknown bolt standard .*known: AISC 360, AISC 360-10"):
        bolt_hole("3/4", "standard", standard)


@pytest.mark.parametrize(
    ("bolt", "hole_type", "standard", "message"),
    [
        ("M12", "standard", "AISC 360-16", "AISC 360-16 has no standard hole for M12; it has no s"),
        ("M14", "oversize", "AISC 360", "AISC 360 has no oversize hole for M14; it has no such"),
        ("3/4", "fine", "AISC 360", "no fine hole for 3/4; it has standard, oversize, short_slot"),
        ("3/4", "standard", "EN 1090-2", "EN 1090-2 has no standard hole for 3/4; it has no such"),
        ("M20", "long_slot", "ISO 273", "no long_slot hole for M20; it has fine, standard, coarse"),
    ],
)
def test_a_missing_row_is_never_worked_out(
    bolt: str, hole_type: HoleType, standard: str, message: str
) -> None:
    with pytest.raises(BadValue, match=message):
        bolt_hole(bolt, hole_type, standard)


@pytest.mark.parametrize("bolt", ["1/2", "5/8", "3/4", "7/8", "M16", "M20", "M24", "M36"])
def test_without_an_edition_the_common_value_is_taken(bolt: str) -> None:
    hole = bolt_hole(bolt, "standard", "AISC 360")
    assert hole.width_mm == bolt_hole(bolt, "standard", "AISC 360-10").width_mm
    assert hole.standard == "AISC 360 (-10, -16, -22 agree)"


@pytest.mark.parametrize(
    ("bolt", "hole_type", "message"),
    [
        ("1", "standard", "1 in: 1-1/16 in 360-10, 1-1/8 in 360-16 and -22: say which"),
        ("1-1/8", "short_slot", "1-3/16 x 1-1/2 in 360-10, 1-1/4 x 1-1/2 in 360-16 and -22"),
        ("M12", "standard", "M12: no row in 360-10 and -16, 14 in 360-22: say which"),
    ],
)
def test_where_the_editions_differ_the_edition_is_asked_for(
    bolt: str, hole_type: HoleType, message: str
) -> None:
    with pytest.raises(AskBack, match=message) as caught:
        bolt_hole(bolt, hole_type, "AISC 360")
    assert caught.value.way_out == "name the edition, such as AISC 360-22"


def test_an_oversize_inch_hole_never_depended_on_the_edition() -> None:
    assert bolt_hole("1", "oversize", "AISC 360").width_mm == 31.75


def test_the_standards_are_the_ones_we_know() -> None:
    assert known_standards() == (
        "AISC 360",
        "AISC 360-10",
        "AISC 360-16",
        "AISC 360-22",
        "EN 1090-2",
        "ISO 273",
    )
