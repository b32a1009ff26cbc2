"""Hits along a length: positions, bites, kinds and what a bite deserves."""

from __future__ import annotations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from crib.errors import BadValue
from crib.trade.life.wear import Hit
from crib.trade.metal.hits import (
    BiteLimits,
    bite_verdict,
    bites_along,
    bridge_order,
    cover_length,
    cover_with_bridges,
    gap_mm,
    kinds_along,
    overlap_along_mm,
)

INCH = 25.4
_SIZES = st.floats(5, 400)


def test_a_notch_of_7_by_a_4_inch_tool_is_two_hits_3_inches_apart() -> None:
    positions = cover_length(7 * INCH, 4 * INCH, INCH / 16)
    assert positions == pytest.approx((-1.5 * INCH, 1.5 * INCH))
    assert bites_along(positions, 4 * INCH) == pytest.approx((1.0, 0.75))
    assert kinds_along(positions, 4 * INCH) == ("full", "chain")
    assert overlap_along_mm(positions, 4 * INCH) == pytest.approx(INCH)


@pytest.mark.parametrize(
    ("length_mm", "hits"),
    [(40.0, 1), (40.0001, 2), (78.5, 2), (78.6, 3), (117.0, 3), (117.1, 4)],
)
def test_the_fewest_hits_keep_the_overlap(length_mm: float, hits: int) -> None:
    assert len(cover_length(length_mm, 40.0, 1.5)) == hits


@pytest.mark.parametrize(
    ("length_mm", "hits"), [(60.0, 0), (80.0, 0), (80.5, 3), (117.0, 3), (117.1, 5), (194.0, 5)]
)
def test_bridges_need_a_gap_between_whole_hits(length_mm: float, hits: int) -> None:
    assert len(cover_with_bridges(length_mm, 40.0, 1.5)) == hits


def test_whole_hits_come_before_the_bridges_between_them() -> None:
    positions = cover_with_bridges(170.0, 40.0, 1.5)
    order = bridge_order(len(positions))
    assert kinds_along(positions, 40.0, order) == ("full", "full", "full", "bridge", "bridge")
    assert bites_along(positions, 40.0, order) == pytest.approx((1, 1, 1, 0.625, 0.625))
    assert gap_mm(positions[::2], 40.0) == pytest.approx(25.0)


def test_a_hit_off_the_middle_of_its_gap_counts_as_a_chain_hit() -> None:
    assert kinds_along((-30.0, 3.9, 30.0), 40.0, (0, 2, 1)) == ("full", "full", "bridge")
    assert kinds_along((-30.0, 9.0, 30.0), 40.0, (0, 2, 1)) == ("full", "full", "chain")


def test_a_hit_on_nothing_but_air_bites_nothing() -> None:
    assert bites_along((0.0, 0.0), 10.0) == (1.0, 0.0)
    assert kinds_along((0.0, 0.0), 10.0) == ("full", "chain")


@pytest.mark.parametrize(
    ("kind", "bite", "verdict", "limit"),
    [
        ("full", 1.0, "ok", 1.0),
        ("chain", 0.76, "ok", 0.75),
        ("chain", 0.75, "ok", 0.75),
        ("chain", 0.74, "caution", 0.75),
        ("chain", 0.60, "caution", 0.75),
        ("chain", 0.59, "refuse", 0.60),
        ("bridge", 0.50, "ok", 0.50),
        ("bridge", 0.49, "caution", 0.50),
        ("bridge", 0.35, "caution", 0.50),
        ("bridge", 0.34, "refuse", 0.35),
    ],
)
def test_a_bite_below_at_and_above_its_limits(
    kind: Hit, bite: float, verdict: str, limit: float
) -> None:
    assert bite_verdict(kind, bite) == (verdict, limit)


def test_a_heel_lets_a_chain_hit_bite_less() -> None:
    assert bite_verdict("chain", 0.50, heel_guided=True) == ("caution", 0.75)
    assert bite_verdict("chain", 0.49, heel_guided=True) == ("refuse", 0.50)
    assert bite_verdict("bridge", 0.30, heel_guided=True) == ("refuse", 0.35)


def test_the_shop_may_set_its_own_limits() -> None:
    assert bite_verdict("chain", 0.55, BiteLimits(chain_refuse=0.5)) == ("caution", 0.75)


def test_a_tool_longer_than_the_length_is_refused() -> None:
    with pytest.raises(BadValue, match=r"tool_mm=41 must be <= length_mm=40"):
        cover_length(40.0, 41.0, 1.5)


def test_a_tool_no_longer_than_the_overlap_is_refused() -> None:
    with pytest.raises(BadValue, match=r"tool_mm=1\.5 must be > overlap 1\.5"):
        cover_length(40.0, 1.5, 1.5)


def test_an_order_that_leaves_out_a_hit_is_refused() -> None:
    with pytest.raises(BadValue, match=r"order \(0, 0\) must name each of 2 positions once"):
        bites_along((0.0, 1.0), 10.0, (0, 0))


@given(length_mm=_SIZES, tool_mm=_SIZES, overlap_mm=st.floats(0.2, 2))
def test_the_hits_cover_the_length_and_keep_the_overlap(
    length_mm: float, tool_mm: float, overlap_mm: float
) -> None:
    assume(tool_mm <= length_mm)
    for positions in (
        cover_length(length_mm, tool_mm, overlap_mm),
        cover_with_bridges(length_mm, tool_mm, overlap_mm),
    ):
        if positions:
            assert positions[0] - tool_mm / 2 == pytest.approx(-length_mm / 2, abs=1e-6)
            assert positions[-1] + tool_mm / 2 == pytest.approx(length_mm / 2, abs=1e-6)
            least_mm = overlap_along_mm(positions, tool_mm)
            assert least_mm is None or least_mm >= overlap_mm - 1e-6


@given(length_mm=_SIZES, tool_mm=_SIZES, overlap_mm=st.floats(0.2, 2))
def test_the_bites_add_up_to_the_length_in_any_order(
    length_mm: float, tool_mm: float, overlap_mm: float
) -> None:
    assume(tool_mm <= length_mm)
    positions = cover_length(length_mm, tool_mm, overlap_mm)
    order = tuple(reversed(range(len(positions))))
    for chosen in (None, order):
        cut_mm = tool_mm * sum(bites_along(positions, tool_mm, chosen))
        assert cut_mm == pytest.approx(length_mm, abs=1e-4)
