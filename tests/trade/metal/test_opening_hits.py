"""Rectangular openings in several hits: they cut the opening and nothing else, in a safe order."""

from __future__ import annotations

from random import Random

import pytest

from crib.trade.metal.hit_areas import Placed
from crib.trade.metal.opening_hits import MOST_HITS, opening_layouts
from tests.trade.shapes_cut import cut, falls_out, kinds_cut, newly_cut, opening


def test_an_opening_as_wide_as_the_tool_is_a_chain_or_ends_and_a_bridge() -> None:
    """100 by a 40 square: three hits 30 apart bite 0.75; ends first leave 20 for the bridge."""
    chain, bridged = opening_layouts(100.0, 40.0, 40.0, 40.0, 1.5)
    assert [hit.x_mm for hit in chain.hits] == [-30.0, 0.0, 30.0]
    assert [one.share for one in chain.bites] == [1.0, 0.75, 0.75]
    assert [hit.x_mm for hit in bridged.hits] == [-30.0, 30.0, 0.0]
    assert [one.kind for one in bridged.bites] == ["full", "full", "bridge"]
    assert (bridged.web_mm, chain.web_mm) == (20.0, None)


def test_a_square_of_70_by_a_square_of_40_goes_row_after_row() -> None:
    """Overlap 10 both ways: 1, 3/4, 3/4, and 9/16 for the last, which is open on two sides."""
    (layout, columns) = opening_layouts(70.0, 70.0, 40.0, 40.0, 1.5)
    assert [one.share for one in layout.bites] == pytest.approx([1.0, 0.75, 0.75, 0.5625])
    assert [one.share for one in columns.bites] == pytest.approx([1.0, 0.75, 0.75, 0.5625])
    assert layout.overlap_mm == pytest.approx(10.0)


@pytest.mark.parametrize(
    ("along_mm", "across_mm"), [(100.1, 40.0), (40.0, 40.1), (100.0, 40.0), (3.0, 40.0)]
)
def test_no_layout_for_a_tool_too_large_too_small_or_the_opening_itself(
    along_mm: float, across_mm: float
) -> None:
    assert opening_layouts(100.0, 40.0, along_mm, across_mm, 1.5) == ()


def test_every_layout_cuts_its_opening_and_bites_what_it_says() -> None:
    seen = 0
    for seed in range(2000):
        chance = Random(seed)
        length_mm, width_mm = chance.uniform(20, 150), chance.uniform(20, 80)
        along_mm = length_mm * chance.choice([1.0, chance.uniform(0.25, 1)])
        across_mm = width_mm * chance.choice([1.0, chance.uniform(0.25, 1)])
        for layout in opening_layouts(length_mm, width_mm, along_mm, across_mm, 1.5):
            seen += 1
            wanted = opening(length_mm, width_mm)
            wrong = cut(layout.hits).symmetric_difference(wanted)
            assert wrong.area == pytest.approx(0.0, abs=1e-5 * length_mm), seed
            shares = [one.share for one in layout.bites]
            assert shares == pytest.approx(newly_cut(layout.hits), abs=1e-6), seed
            assert [one.kind for one in layout.bites] == kinds_cut(layout.hits), seed
            assert not falls_out(layout.hits, wanted)
            assert layout.overlap_mm >= 1.5 - 1e-6
            assert 1 < len(layout.hits) <= MOST_HITS
    assert seen > 3000


def test_a_core_cut_free_all_round_would_fall_out() -> None:
    grid = [Placed(x, y, 10, 10) for y in (-8, 0, 8) for x in (-8, 0, 8)]
    core = grid.pop(4)
    assert falls_out([*grid, core], opening(26, 26))
    assert not falls_out([*grid[:4], core, *grid[4:]], opening(26, 26))
