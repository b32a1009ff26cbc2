"""Slots in several hits: the layouts of the trade, and that they cut the slot and nothing else."""

from __future__ import annotations

from random import Random

import pytest

from crib.errors import BadValue
from crib.trade.metal.slot_hits import Layout, ends_then_bridges, ends_then_middle, obround_chain
from tests.trade.shapes_cut import cut, newly_cut, obround

NEAR = 2e-3
DUST_MM = 1e-3


def holds(layout: Layout, length_mm: float, width_mm: float) -> None:
    """The hits cut the slot within the cusp, and bite what is said."""
    wanted, gone = obround(length_mm, width_mm), cut(layout.hits)
    outside_mm2 = gone.difference(wanted.buffer(DUST_MM + 1e-3 * width_mm)).area
    assert outside_mm2 == pytest.approx(0.0, abs=1e-6)
    left = wanted.buffer(-(layout.cusp_mm + DUST_MM + 1e-3 * width_mm)).difference(gone)
    assert left.area == pytest.approx(0.0, abs=1e-6)
    shares = [one.share for one in layout.bites]
    assert shares == pytest.approx(newly_cut(layout.hits), abs=NEAR)


def test_a_chain_of_a_40_punch_in_a_slot_of_50_bites_28_per_cent() -> None:
    """N = ceil(10 / 18) + 1 = 2; pitch 10; 10 x 22 / (18 x 22 + pi 22² / 4) = 0.283."""
    layout = obround_chain(50.0, 22.0, 40.0)
    assert [hit.x_mm for hit in layout.hits] == [-5.0, 5.0]
    assert layout.bites[1].share == pytest.approx(0.283, abs=0.0005)
    assert layout.bites[1].kind == "chain"


def test_round_ends_and_one_rectangle_cut_the_slot_exactly() -> None:
    layout = ends_then_middle(66.0, 22.0, 22.0, 44.0, rounded=False)
    assert layout is not None
    assert [hit.x_mm for hit in layout.hits] == [-22.0, 22.0, 0.0]
    assert layout.bites[2].kind == "bridge"
    assert layout.bites[2].share == pytest.approx(1 - 121 * 3.14159 / (44 * 22), abs=1e-4)
    assert (layout.cusp_mm, layout.web_mm) == (0.0, 22.0)


def test_rectangles_side_by_side_end_on_a_bridge() -> None:
    layout = ends_then_middle(150.0, 22.0, 22.0, 50.0, rounded=False)
    assert layout is not None
    assert [round(hit.x_mm) for hit in layout.hits] == [-64, 64, -39, 39, 0]
    assert layout.bites[-1].kind == "bridge"


def test_one_shorter_rectangle_leaves_a_cusp_at_each_end() -> None:
    """Straight sides of 44, a rectangle of 40: 11 - sqrt(11² - 2²) high."""
    layout = ends_then_middle(66.0, 22.0, 22.0, 40.0, rounded=False, alone=True)
    assert layout is not None
    assert [hit.x_mm for hit in layout.hits] == [-22.0, 22.0, 0.0]
    assert layout.cusp_mm == pytest.approx(11 - (121 - 4) ** 0.5)
    assert layout.bites[2].kind == "bridge"


@pytest.mark.parametrize("middle_mm", [44.0, 22.0])
def test_one_alone_must_be_shorter_and_leave_no_metal(middle_mm: float) -> None:
    assert ends_then_middle(66.0, 22.0, 22.0, middle_mm, rounded=False, alone=True) is None


@pytest.mark.parametrize(
    ("length_mm", "end_mm", "middle_mm", "rounded"),
    [(44.0, 22.0, 22.0, False), (50.0, 22.0, 28.1, False), (70.0, 22.0, 26.0, True)],
)
def test_no_middle_where_the_ends_meet_or_it_cuts_too_far_or_falls_short(
    length_mm: float, end_mm: float, middle_mm: float, rounded: bool
) -> None:
    assert ends_then_middle(length_mm, 22.0, end_mm, middle_mm, rounded=rounded) is None


def test_no_bridges_where_whole_hits_leave_no_gap() -> None:
    assert ends_then_bridges(80.0, 20.0, 40.0) is None


def test_a_round_punch_makes_no_chain() -> None:
    with pytest.raises(BadValue, match=r"tool_mm=22 must be > width_mm=22"):
        obround_chain(50.0, 22.0, 22.0)


def test_a_punch_longer_than_the_slot_is_refused() -> None:
    with pytest.raises(BadValue, match=r"tool_mm=51 must be <= length_mm=50"):
        obround_chain(50.0, 22.0, 51.0)


def test_every_layout_cuts_its_slot_and_bites_what_it_says() -> None:
    seen = 0
    for seed in range(2000):
        chance = Random(seed)
        width_mm = chance.uniform(5, 40)
        length_mm = width_mm * chance.uniform(1.2, 8)
        tool_mm = chance.uniform(width_mm * 1.05, length_mm)
        middle_mm = chance.uniform(width_mm, length_mm)
        end_mm = chance.choice([width_mm, tool_mm])
        straight_mm = length_mm - width_mm
        rounded = chance.random() < 0.5
        layouts = [
            obround_chain(length_mm, width_mm, tool_mm),
            ends_then_bridges(length_mm, width_mm, tool_mm),
            ends_then_middle(length_mm, width_mm, end_mm, middle_mm, rounded=rounded),
            ends_then_middle(length_mm, width_mm, width_mm, straight_mm, rounded=False),
            ends_then_middle(length_mm, width_mm, end_mm, middle_mm, rounded=False, alone=True),
        ]
        for layout in layouts:
            if layout is not None and len(layout.hits) < 30:
                seen += 1
                holds(layout, length_mm, width_mm)
    assert seen > 4000
