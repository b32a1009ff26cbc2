"""Press tool calculation, teaching module 2 (a stored teaching document): a brass component."""

from __future__ import annotations

import pytest

from crib.trade.metal.force import (
    RULE_80_SHEAR_MPA,
    multiplier_from_tensile,
    punching_force_n,
    stripping_force_n,
)
from tests.validation.published import example

_CUT_N = punching_force_n(126.0, 2.0, 400.0)


def test_cutting_force() -> None:
    assert example("PT-1a").agrees_with(_CUT_N / 1000)


def test_press_force_is_cutting_and_stripping() -> None:
    assert example("PT-1b").agrees_with((_CUT_N + stripping_force_n(_CUT_N, 0.20)) / 1000)


def test_shear_strength_is_eight_tenths_of_tensile() -> None:
    assert multiplier_from_tensile(500.0) * RULE_80_SHEAR_MPA == pytest.approx(400.0)
