"""What a bevel spares, and the work of a stroke."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.trade.reference.face_bevels import bevel_face_force_n, punching_energy_j

_LENGTHS = st.floats(min_value=0.1, max_value=500.0)
_FORCES = st.floats(min_value=100.0, max_value=1e7)


@pytest.mark.parametrize(
    ("depth", "ratio", "share"),
    [(0.0, 0.35, 1.0), (3.5, 0.35, 0.5), (10.0, 1 / 3, 0.25), (5.0, 1 / 3, 0.4)],
)
def test_a_bevel_spreads_the_same_work_over_more_travel(
    depth: float, ratio: float, share: float
) -> None:
    assert bevel_face_force_n(1000.0, 10.0, depth, ratio) == pytest.approx(1000.0 * share)


@given(_FORCES, _LENGTHS, st.floats(min_value=0.0, max_value=20.0))
def test_a_bevel_never_takes_more_force_than_a_flat_face(
    force: float, thickness: float, depth: float
) -> None:
    assert 0 < bevel_face_force_n(force, thickness, depth) <= force


def test_energy_is_force_over_the_depth_the_punch_sinks_in() -> None:
    assert punching_energy_j(2000.0, 10.0, 0.35) == pytest.approx(7.0)
