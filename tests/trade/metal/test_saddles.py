"""Saddles: depth, lengths, nest, force and the lines of the cut."""

from __future__ import annotations

from math import pi, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue
from crib.trade.metal.pipes import pipe_of_outside, pipe_size
from crib.trade.metal.saddles import (
    nest_verdict,
    saddle_cutback_mm,
    saddle_depth_mm,
    saddle_force_n,
    saddle_ordinate_mm,
    throat_length_mm,
    tip_to_tip_mm,
)

_MM = 25.4
_RADII = st.floats(min_value=5.0, max_value=500.0)
_SHARES = st.floats(min_value=0.01, max_value=1.0)
_ANGLES = st.floats(min_value=20.0, max_value=160.0)
_TURNS = st.floats(min_value=-360.0, max_value=720.0)


def test_a_rail_of_1_1_2_pipe_between_posts_of_the_same() -> None:
    """I9 of the trade's worked scenarios: measured 1.900 in, posts 48 in centre to centre."""
    radius = 1.900 * _MM / 2
    assert [size.nps for size in pipe_of_outside(1.900 * _MM)] == ["1-1/2"]
    assert saddle_depth_mm(radius, radius) / _MM == pytest.approx(0.950, abs=1e-9)
    assert tip_to_tip_mm(48 * _MM, radius, radius) / _MM == pytest.approx(48.000, abs=1e-9)
    assert throat_length_mm(48 * _MM, radius) / _MM == pytest.approx(46.100, abs=1e-9)


def test_a_tube_is_not_cut_in_the_set_for_pipe_of_the_same_name() -> None:
    """I10: slack of 0.400 in is more than 1/32 in."""
    assert nest_verdict(pipe_size("1-1/2").outside_mm, 1.500 * _MM) == "refuse"
    assert nest_verdict(1.500 * _MM, 1.500 * _MM) == "ok"


@pytest.mark.parametrize(
    ("header", "branch", "depth"),
    [(50.0, 30.0, 10.0), (50.0, 40.0, 20.0), (50.0, 50.0, 50.0), (50.0, 50.0 + 1e-9, 50.0)],
)
def test_the_depth_of_a_square_saddle(header: float, branch: float, depth: float) -> None:
    assert saddle_depth_mm(header, branch) == pytest.approx(depth)


@given(_RADII, _SHARES)
def test_tips_and_throats_differ_by_the_two_depths(header: float, share: float) -> None:
    branch, apart = header * share, header * 10
    tips, throats = tip_to_tip_mm(apart, header, branch), throat_length_mm(apart, header)
    assert tips - throats == pytest.approx(2 * saddle_depth_mm(header, branch), abs=1e-6)


@given(_RADII, _SHARES, st.floats(min_value=0.0, max_value=0.5))
def test_a_gap_for_the_weld_is_taken_off_at_each_end(
    header: float, share: float, gap: float
) -> None:
    branch, apart = header * share, header * 10
    shorter = tip_to_tip_mm(apart, header, branch) - 2 * gap
    assert tip_to_tip_mm(apart, header, branch, gap) == pytest.approx(shorter)
    assert throat_length_mm(apart, header, gap) == pytest.approx(apart - 2 * header - 2 * gap)


@given(_RADII, _SHARES, _SHARES)
def test_a_smaller_branch_is_never_cut_deeper(header: float, share: float, less: float) -> None:
    branch = header * share
    assert saddle_depth_mm(header, branch * less) <= saddle_depth_mm(header, branch)


@pytest.mark.parametrize("apart", [100.0, 99.0])
def test_headers_that_touch_leave_no_room_for_a_branch(apart: float) -> None:
    with pytest.raises(BadValue, match=r"centre_to_centre_mm=.* must be > 100"):
        throat_length_mm(apart, 50.0)


def test_a_branch_larger_than_its_header_is_no_saddle() -> None:
    with pytest.raises(BadValue, match=r"branch radius 50.1 .* must be <= header radius 50 mm"):
        saddle_depth_mm(50.0, 50.1)


@pytest.mark.parametrize(
    ("nest", "verdict"),
    [(49.11, "refuse"), (49.1, "ok"), (48.3, "ok"), (47.5, "ok"), (47.49, "refuse")],
)
def test_the_nest_decides_below_at_and_above_its_tolerance(nest: float, verdict: str) -> None:
    assert nest_verdict(nest, 48.3, 0.8) == verdict


def test_the_force_of_a_hit_is_half_the_circumference_times_the_wall() -> None:
    assert saddle_force_n(100.0, 4.0, 350.0) == pytest.approx(pi * 50.0 * 4.0 * 350.0)


@given(_RADII, st.floats(min_value=0.01, max_value=0.4), st.floats(min_value=1.001, max_value=1.2))
def test_a_thicker_wall_never_takes_less_force(outside: float, share: float, more: float) -> None:
    wall = outside * share
    assert saddle_force_n(outside, wall * more, 300.0) > saddle_force_n(outside, wall, 300.0)


@pytest.mark.parametrize("wall", [24.0, 24.1])
def test_a_bar_without_a_bore_is_refused(wall: float) -> None:
    with pytest.raises(BadValue, match=r"wall_mm=24.* must be below half of 48 mm outside"):
        saddle_force_n(48.0, wall, 350.0)


@pytest.mark.parametrize("wall", [0.0, -1.0, float("nan")])
def test_a_wall_that_is_none_is_refused(wall: float) -> None:
    with pytest.raises(BadValue, match=r"wall_mm=.* must be > 0"):
        saddle_force_n(48.0, wall, 350.0)


@given(_RADII, _SHARES)
def test_a_square_saddle_is_as_deep_as_its_deepest_line(header: float, share: float) -> None:
    cuts = saddle_cutback_mm(header, header * share)
    depth = saddle_depth_mm(header, header * share)
    assert max(cuts) == pytest.approx(depth, abs=1e-6 * header)
    assert min(cuts) == pytest.approx(0.0, abs=1e-9 * header)


@given(_RADII, _SHARES, _ANGLES, _TURNS)
def test_the_other_side_of_the_header_mirrors_the_curve(
    header: float, share: float, angle: float, turn: float
) -> None:
    here = saddle_ordinate_mm(turn, header, header * share, angle)
    there = saddle_ordinate_mm(180 - turn, header, header * share, 180 - angle)
    assert here == pytest.approx(there, abs=1e-6 * header)


@given(_RADII, _SHARES, _ANGLES, _TURNS, st.floats(min_value=-1.0, max_value=1.0))
def test_an_offset_to_the_other_side_mirrors_the_curve(
    header: float, share: float, angle: float, turn: float, aside: float
) -> None:
    branch = header * share
    offset = (header - branch) * aside
    here = saddle_ordinate_mm(turn, header, branch, angle, offset)
    assert here == pytest.approx(
        saddle_ordinate_mm(-turn, header, branch, angle, -offset), abs=1e-4 * header
    )


@given(_RADII, _SHARES, _ANGLES, st.integers(min_value=4, max_value=36))
def test_nothing_is_added_to_a_square_cut_branch(
    header: float, share: float, angle: float, lines: int
) -> None:
    cuts = saddle_cutback_mm(header, header * share, angle, 0.0, lines)
    assert len(cuts) == lines
    assert all(cut >= 0 for cut in cuts)


def test_the_floor_of_the_curve_may_lie_between_two_lines() -> None:
    cuts = saddle_cutback_mm(1.75 * _MM, 0.95 * _MM, 60.0)
    floor = sqrt(1.75**2 - 0.95**2) * _MM
    assert 0 < min(cuts) < 0.01
    assert saddle_ordinate_mm(0.0, 1.75 * _MM, 0.95 * _MM, 60.0) - cuts[0] == pytest.approx(floor)


@pytest.mark.parametrize("offset", [12.0, -12.0])
@pytest.mark.parametrize("angle", [63.0, 117.0])
def test_the_floor_is_found_on_a_curve_without_symmetry(angle: float, offset: float) -> None:
    around = [saddle_ordinate_mm(turn / 100, 60.0, 40.0, angle, offset) for turn in range(36_000)]
    cuts = saddle_cutback_mm(60.0, 40.0, angle, offset, 7)
    assert around[0] - cuts[0] == pytest.approx(min(around), abs=1e-6)
    assert around[0] - cuts[0] <= min(around)


@pytest.mark.parametrize("angle", [20.0, 90.0, 160.0])
def test_an_angle_inside_its_limits_is_taken(angle: float) -> None:
    assert saddle_ordinate_mm(0.0, 100.0, 30.0, angle) > 0


@pytest.mark.parametrize("angle", [0.0, 19.9, 160.1, 180.0, -45.0, float("nan")])
def test_an_angle_outside_its_limits_is_refused(angle: float) -> None:
    with pytest.raises(BadValue, match=r"branch_angle_deg=.* must be 20 to 160"):
        saddle_ordinate_mm(0.0, 100.0, 30.0, angle)


@pytest.mark.parametrize("offset", [70.1, -70.1, float("nan"), float("inf")])
def test_a_branch_that_reaches_beside_the_header_is_refused(offset: float) -> None:
    with pytest.raises(BadValue, match=r"branch radius 30 \+ offset .* must be <= header radius"):
        saddle_ordinate_mm(0.0, 100.0, 30.0, 90.0, offset)


@pytest.mark.parametrize("turn", [float("nan"), float("inf")])
def test_a_line_that_is_nowhere_is_refused(turn: float) -> None:
    with pytest.raises(BadValue, match=r"theta_deg=.* must be an angle"):
        saddle_ordinate_mm(turn, 100.0, 30.0)


@pytest.mark.parametrize("lines", [3, 0, -16])
def test_fewer_than_four_lines_are_refused(lines: int) -> None:
    with pytest.raises(BadValue, match=r"lines=.* must be >= 4"):
        saddle_cutback_mm(100.0, 30.0, lines=lines)


@pytest.mark.parametrize("bad", [0.0, -1.0, float("nan")])
def test_a_radius_that_is_none_is_refused(bad: float) -> None:
    with pytest.raises(BadValue, match=r"header_radius_mm=.* must be > 0"):
        saddle_depth_mm(bad, 10.0)
    with pytest.raises(BadValue, match=r"contact_radius_mm=.* must be > 0"):
        saddle_cutback_mm(10.0, bad)
    with pytest.raises(BadValue, match=r"header_radius_mm=.* must be > 0"):
        throat_length_mm(1000.0, bad)
