"""Envelopes: one point covers the job, or nothing does."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue
from crib.trade.metal.envelopes import (
    EnvelopePoint,
    fits,
    nearest_limit,
    scaled_thickness_mm,
)

_MM = 25.4
_STAIRS = (EnvelopePoint(100.0, 10.0), EnvelopePoint(150.0, 6.0), EnvelopePoint(60.0, 16.0))
_SIZES = st.floats(min_value=0.5, max_value=500.0)
_THICKNESSES = st.floats(min_value=0.5, max_value=50.0)
_MULTIPLIERS = st.floats(min_value=0.2, max_value=3.0)
_MORE = st.floats(min_value=1.0, max_value=3.0)
_POINTS = st.lists(st.builds(EnvelopePoint, _SIZES, _THICKNESSES), max_size=6)


@pytest.mark.parametrize(
    ("size", "thickness", "point"),
    [
        (100.0, 10.0, EnvelopePoint(100.0, 10.0)),
        (100.0 + 1e-9, 10.0 + 1e-9, EnvelopePoint(100.0, 10.0)),
        (100.1, 10.0, None),
        (100.0, 10.1, None),
        (125.0, 8.0, None),
        (100.1, 6.0, EnvelopePoint(150.0, 6.0)),
        (50.0, 5.0, EnvelopePoint(60.0, 16.0)),
        (10.0, 16.1, None),
        (150.1, 1.0, None),
    ],
)
def test_a_job_fits_when_one_point_covers_it(
    size: float, thickness: float, point: EnvelopePoint | None
) -> None:
    assert fits(_STAIRS, size, thickness) == point


@given(_POINTS, _SIZES, _THICKNESSES, _MORE, _MORE)
def test_growing_a_misfit_never_makes_it_fit(
    points: list[EnvelopePoint], size: float, thickness: float, wider: float, thicker: float
) -> None:
    if fits(points, size, thickness) is None:
        assert fits(points, size * wider, thickness * thicker) is None


@given(_POINTS, _POINTS, _SIZES, _THICKNESSES)
def test_more_points_never_lose_a_job(
    points: list[EnvelopePoint], more: list[EnvelopePoint], size: float, thickness: float
) -> None:
    if fits(points, size, thickness) is not None:
        assert fits([*points, *more], size, thickness) is not None


@given(_POINTS, _SIZES, _THICKNESSES, _MULTIPLIERS, _MORE)
def test_a_harder_material_never_fits_where_a_softer_one_does_not(
    points: list[EnvelopePoint], size: float, thickness: float, multiplier: float, harder: float
) -> None:
    if fits(points, size, scaled_thickness_mm(thickness, multiplier)) is None:
        counts_as_mm = scaled_thickness_mm(thickness, multiplier * harder)
        assert fits(points, size, counts_as_mm) is None


@given(_POINTS, _SIZES, _THICKNESSES)
def test_the_limit_agrees_with_what_fits(
    points: list[EnvelopePoint], size: float, thickness: float
) -> None:
    fitting = fits(points, size, thickness) is not None
    limit = nearest_limit(points, size)
    assert fitting == (limit is not None and limit >= thickness * (1 - 1e-9))


@pytest.mark.parametrize(
    ("size", "limit"), [(60.0, 16.0), (60.1, 10.0), (100.1, 6.0), (150.0, 6.0), (150.1, None)]
)
def test_the_greatest_thickness_at_a_size(size: float, limit: float | None) -> None:
    assert nearest_limit(_STAIRS, size) == limit


@pytest.mark.parametrize(
    ("job", "reference", "thickness"),
    [(1.0, 1.0, 10.0), (1.5, 1.0, 15.0), (1.5, 1.25, 12.0), (0.6, 1.0, 10.0), (1.0, 1.25, 10.0)],
)
def test_a_harder_material_counts_as_thicker_and_a_softer_one_as_itself(
    job: float, reference: float, thickness: float
) -> None:
    assert scaled_thickness_mm(10.0, job, reference) == pytest.approx(thickness)


@given(_THICKNESSES, _MULTIPLIERS, _MULTIPLIERS)
def test_scaling_is_never_below_what_a_raked_blade_asks(
    thickness: float, job: float, reference: float
) -> None:
    raked = thickness * (job / reference) ** 0.5
    scaled = scaled_thickness_mm(thickness, job, reference)
    assert scaled >= raked * (1 - 1e-12)
    assert scaled >= thickness


def test_an_angle_at_a_mitre_is_not_read_from_the_straight_list() -> None:
    """I12 of the trade's worked scenarios: 3 x 3 x 1/4 at 45 degrees."""
    straight = [EnvelopePoint(4 * _MM, 3 / 8 * _MM)]
    mitre = [EnvelopePoint(2.5 * _MM, 1 / 4 * _MM)]
    assert fits(straight, 3 * _MM, 1 / 4 * _MM) is not None
    assert fits(mitre, 3 * _MM, 1 / 4 * _MM) is None
    assert fits(mitre, 2.5 * _MM, 1 / 4 * _MM) is not None


def test_a_flat_at_a_mitre_is_refused_whatever_the_straight_list_says() -> None:
    """M13: flat 200 x 12 at 45 degrees, mitre list (150, 12) only."""
    mitre = [EnvelopePoint(150.0, 12.0)]
    assert fits(mitre, 200.0, 12.0) is None
    assert nearest_limit(mitre, 200.0) is None


def test_a_station_without_points_is_not_rated() -> None:
    assert fits([], 10.0, 1.0) is None


def test_points_may_come_one_by_one() -> None:
    assert fits(iter(_STAIRS), 100.0, 10.0) is not None


@pytest.mark.parametrize("bad", [0.0, -1.0, float("nan"), float("inf")])
def test_a_figure_that_is_none_is_refused(bad: float) -> None:
    with pytest.raises(BadValue, match=r"size_mm=.* must be > 0"):
        EnvelopePoint(bad, 1.0)
    with pytest.raises(BadValue, match=r"thickness_mm=.* must be > 0"):
        EnvelopePoint(1.0, bad)
    with pytest.raises(BadValue, match=r"size_mm=.* must be > 0"):
        fits(_STAIRS, bad, 1.0)
    with pytest.raises(BadValue, match=r"size_mm=.* must be > 0"):
        nearest_limit(_STAIRS, bad)
    with pytest.raises(BadValue, match=r"multiplier_job=.* must be > 0"):
        scaled_thickness_mm(1.0, bad)
