"""A stack closes where it stands a little higher than what the ram leaves."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue
from crib.trade.metal.tool_stack import (
    entry_mm,
    opening_mm,
    shut_height_mm,
    shut_height_of_seat_mm,
    stack_height_mm,
)

HEIGHTS = st.integers(1, 4000).map(lambda tenths: tenths / 10)


@given(HEIGHTS, HEIGHTS, HEIGHTS, HEIGHTS)
def test_travel_is_opening_and_entry_together(
    punch_mm: float, die_mm: float, added_mm: float, stroke_mm: float
) -> None:
    stack_mm = stack_height_mm(punch_mm, die_mm, added_mm)
    daylight_mm = stack_mm + stroke_mm
    entry = entry_mm(stack_mm, shut_height_mm(daylight_mm, stroke_mm))
    assert entry + opening_mm(daylight_mm, stack_mm) == pytest.approx(stroke_mm)


@given(HEIGHTS, HEIGHTS, st.integers(0, 30), st.integers(0, 30))
def test_entry_falls_one_for_one_with_what_is_ground_off(
    punch_mm: float, die_mm: float, off_punch: int, off_die: int
) -> None:
    punch_mm, die_mm = punch_mm + 4, die_mm + 4
    shut_mm = shut_height_of_seat_mm(punch_mm, die_mm, 4.5)
    ground_mm = stack_height_mm(punch_mm - off_punch / 10, die_mm - off_die / 10)
    fallen = Fraction(45, 10) - Fraction(off_punch + off_die, 10)
    assert entry_mm(ground_mm, shut_mm) == pytest.approx(float(fallen))


@pytest.mark.parametrize(
    ("daylight", "stroke", "wrong"),
    [(100.0, 100.0, "stroke_mm=100 must be < daylight_mm=100"), (0.0, 5.0, "daylight_mm=0 must")],
)
def test_a_ram_that_would_travel_the_whole_height_is_refused(
    daylight: float, stroke: float, wrong: str
) -> None:
    with pytest.raises(BadValue, match=wrong):
        shut_height_mm(daylight, stroke)


def test_heights_that_are_none_are_refused() -> None:
    with pytest.raises(BadValue, match="die_mm=0 must be > 0"):
        stack_height_mm(70.0, 0.0)
    with pytest.raises(BadValue, match="added_mm=-1 must be >= 0"):
        stack_height_mm(70.0, 28.0, -1.0)
    with pytest.raises(BadValue, match="entry_new_mm=0 must be > 0"):
        shut_height_of_seat_mm(70.0, 28.0, 0.0)
    with pytest.raises(BadValue, match="shut_mm=0 must be > 0"):
        entry_mm(98.0, 0.0)
    with pytest.raises(BadValue, match="daylight_mm=0 must be > 0"):
        opening_mm(0.0, 98.0)
