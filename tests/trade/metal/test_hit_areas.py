"""Bites as exact areas, against an independent geometry."""

from __future__ import annotations

from math import pi
from random import Random

import pytest

from crib.trade.metal.hit_areas import Placed, cusp_mm, shared_mm2, strip_bites
from tests.trade.shapes_cut import newly_cut, polygon

NEAR = 2e-3
"""A circle of straight pieces is this much smaller than a true one, as a share."""


def slot(x_mm: float, long_mm: float, width_mm: float = 22.0) -> Placed:
    return Placed(x_mm, 0.0, long_mm, width_mm, True)


def flat(x_mm: float, long_mm: float, width_mm: float = 22.0) -> Placed:
    return Placed(x_mm, 0.0, long_mm, width_mm)


def test_a_bridge_of_40_between_round_ends_28_apart_cuts_30_per_cent() -> None:
    """28 x 22 - pi 11² = 235.9 is left between the ends; the punch is 18 x 22 + pi 11² = 776.1."""
    bites = strip_bites([slot(-14, 22), slot(14, 22), slot(0, 40)])
    assert [one.kind for one in bites] == ["full", "full", "bridge"]
    assert bites[2].share == pytest.approx((28 * 22 - pi * 121) / (18 * 22 + pi * 121), abs=0.004)
    assert round(bites[2].share, 2) == 0.30


@pytest.mark.parametrize("apart_mm", [0.0, 3.0, 10.0, 18.9])
@pytest.mark.parametrize(("first", "second"), [(True, True), (True, False), (False, False)])
def test_what_two_tools_share_is_what_their_outlines_share(
    first: bool, second: bool, apart_mm: float
) -> None:
    left = Placed(0.0, 0.0, 30.0, 22.0, first)
    right = Placed(30.0 - apart_mm, 0.0, 30.0, 22.0, second)
    shared = polygon(left).intersection(polygon(right)).area
    assert shared_mm2(left, right) == pytest.approx(shared, abs=NEAR * left.area_mm2)


def test_the_bites_in_a_strip_are_the_areas_newly_cut() -> None:
    for seed in range(2000):
        chance = Random(seed)
        width_mm = chance.uniform(5, 40)
        long_mm = width_mm * chance.uniform(1.0, 3.0)
        rounded = chance.random() < 0.6
        pitch_mm = chance.uniform(0.2, 1.4) * long_mm
        hits = [
            Placed(index * pitch_mm, 0.0, long_mm, width_mm, rounded)
            for index in range(chance.randint(2, 5))
        ]
        worked_out = [one.share for one in strip_bites(hits)]
        assert worked_out == pytest.approx(newly_cut(hits), abs=NEAR), seed


def test_a_cusp_is_as_high_as_the_circle_falls_away() -> None:
    assert cusp_mm([slot(0, 40), slot(18, 40)]) == 0.0
    assert cusp_mm([slot(0, 22), slot(6, 22)]) == pytest.approx(11 - (121 - 9) ** 0.5)
    assert cusp_mm([slot(0, 22), flat(14, 22)]) == pytest.approx(11 - (121 - 9) ** 0.5)
    assert cusp_mm([flat(0, 22), flat(30, 22)]) == 11.0


def test_a_hit_open_on_one_side_is_a_chain_hit() -> None:
    assert strip_bites([flat(0, 22), flat(20, 22)])[1].kind == "chain"


def test_a_hit_on_nothing_cuts_nothing() -> None:
    assert strip_bites([flat(0, 22), flat(0, 22)])[1].share == 0.0
