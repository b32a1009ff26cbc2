"""Key angles line up where the outline, turned by the one, covers itself turned by the other."""

from __future__ import annotations

from math import cos, hypot, radians, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.trade.metal.key_angles import keys_that_line_up, repeats_every_deg

ANGLES = st.lists(st.integers(0, 359), max_size=4)
SHAPES = ("round", "square", "rectangle", "hexagon", "obround")


def _inside(shape: str, x_mm: float, y_mm: float) -> bool:
    """Whether a point lies in an outline 20 across, and 50 long where it has a long side."""
    match shape:
        case "round":
            return hypot(x_mm, y_mm) <= 10
        case "square":
            return max(abs(x_mm), abs(y_mm)) <= 10
        case "rectangle":
            return abs(x_mm) <= 25 and abs(y_mm) <= 10
        case "obround":
            return hypot(max(abs(x_mm) - 15, 0), y_mm) <= 10
    turns = (radians(60 * number) for number in range(6))
    return all(x_mm * cos(turn) + y_mm * sin(turn) <= 10 for turn in turns)


def _reach_mm(shape: str, angle_deg: float) -> float:
    """How far the outline reaches from its centre in a direction, found by halving."""
    near_mm, far_mm = 0.0, 40.0
    for _step in range(40):
        middle_mm = (near_mm + far_mm) / 2
        x_mm, y_mm = middle_mm * cos(radians(angle_deg)), middle_mm * sin(radians(angle_deg))
        near_mm, far_mm = (
            (middle_mm, far_mm) if _inside(shape, x_mm, y_mm) else (near_mm, middle_mm)
        )
    return near_mm


REACHES = {shape: [_reach_mm(shape, angle) for angle in range(360)] for shape in SHAPES}


def _covers(shape: str, one_deg: int, other_deg: int) -> bool:
    reach = REACHES[shape]
    return all(
        abs(reach[(angle - one_deg) % 360] - reach[(angle - other_deg) % 360]) < 1e-6
        for angle in range(360)
    )


@given(st.sampled_from(SHAPES), ANGLES, ANGLES)
def test_keys_line_up_just_where_the_turned_outlines_cover_each_other(
    shape: str, punch: list[int], die: list[int]
) -> None:
    found = keys_that_line_up(shape, punch, die)
    covered = {one for one in punch if any(_covers(shape, one, other) for other in die)}
    assert {one for one, _other in found} == covered
    assert all(_covers(shape, one, other) and other in die for one, other in found)


@pytest.mark.parametrize("shape", SHAPES)
def test_no_lesser_turn_covers_the_outline(shape: str) -> None:
    turns = [angle for angle in range(1, 361) if _covers(shape, 0, angle)]
    assert turns[0] == repeats_every_deg(shape)


@pytest.mark.parametrize(
    ("shape", "punch", "die", "pairs"),
    [
        ("square", [0], [90], [(0, 90)]),
        ("square", [0], [45], []),
        ("hexagon", [0], [90], []),
        ("hexagon", [30], [90, 150], [(30, 90)]),
        ("obround", [0], [90], []),
        ("obround", [0], [180], [(0, 180)]),
        ("rectangle", [0, 90], [90, 0], [(0, 0), (90, 90)]),
        ("special", [0], [180], []),
        ("square", [], [0], []),
    ],
)
def test_the_same_angle_is_named_where_there_is_one(
    shape: str, punch: list[int], die: list[int], pairs: list[tuple[int, int]]
) -> None:
    assert keys_that_line_up(shape, punch, die) == pairs
