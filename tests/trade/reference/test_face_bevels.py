"""What a bevel spares, what of it is credited, and the work of a stroke."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue
from crib.trade.reference.face_bevels import (
    bevel_face_force_n,
    credited_force_n,
    punching_energy_j,
)

_LENGTHS = st.floats(min_value=0.1, max_value=500.0)
_FORCES = st.floats(min_value=100.0, max_value=1e7)
_SHARES = st.floats(min_value=0.0, max_value=1.0)


@pytest.mark.parametrize(
    ("depth", "ratio", "share"),
    [(0.0, 0.35, 1.0), (3.5, 0.35, 0.5), (10.0, 1 / 3, 0.25), (5.0, 1 / 3, 0.4)],
)
def test_a_bevel_spreads_the_same_work_over_more_travel(
    depth: float, ratio: float, share: float
) -> None:
    assert bevel_face_force_n(1000.0, 10.0, depth, ratio) == pytest.approx(1000.0 * share)


@given(_FORCES, _LENGTHS, st.floats(min_value=0.0, max_value=20.0), _SHARES)
def test_a_bevel_is_never_credited_with_more_than_is_allowed(
    force: float, thickness: float, depth: float, most: float
) -> None:
    bevel = bevel_face_force_n(force, thickness, depth)
    planned = credited_force_n(force, bevel, most)
    assert bevel <= force
    assert force * (1 - most) <= planned <= force


@pytest.mark.parametrize(
    ("bevel", "most", "planned"),
    [(800.0, 0.3, 800.0), (700.0, 0.3, 700.0), (400.0, 0.3, 700.0), (1100.0, 0.3, 1000.0)],
)
def test_the_credit_stops_at_the_shop_limit(bevel: float, most: float, planned: float) -> None:
    assert credited_force_n(1000.0, bevel, most) == pytest.approx(planned)


@pytest.mark.parametrize("most", [-0.01, 1.01, float("nan")])
def test_a_credit_outside_its_range_is_refused(most: float) -> None:
    with pytest.raises(BadValue, match=r"most_credit=.* must be 0 to 1"):
        credited_force_n(1000.0, 900.0, most)


def test_energy_is_force_over_the_depth_the_punch_sinks_in() -> None:
    assert punching_energy_j(2000.0, 10.0, 0.35) == pytest.approx(7.0)
