"""The outside of a pipe, exact in inches, beside the rounded millimetres of its table."""

from __future__ import annotations

import pytest

from crib.errors import UnknownName
from crib.trade.metal.pipe_outsides import pipe_outside_mm
from crib.trade.metal.pipes import known_pipe_sizes, pipe_size

# The outsides that trade handbooks print in inches.
_PRINTED = {
    "1/2": 0.840,
    "3/4": 1.050,
    "1": 1.315,
    "1-1/4": 1.660,
    "1-1/2": 1.900,
    "2": 2.375,
    "2-1/2": 2.875,
    "3": 3.500,
}


@pytest.mark.parametrize(("nps", "inches"), _PRINTED.items())
def test_the_printed_inches(nps: str, inches: float) -> None:
    assert pipe_outside_mm(nps) == pytest.approx(inches * 25.4, abs=1e-9)


@pytest.mark.parametrize("nps", known_pipe_sizes())
def test_the_millimetre_column_is_the_same_figure_rounded(nps: str) -> None:
    assert pipe_outside_mm(nps) == pytest.approx(pipe_size(nps).outside_mm, abs=0.051)


def test_an_unknown_size_is_refused_with_the_known_ones() -> None:
    with pytest.raises(UnknownName, match=r"unknown pipe size '1-3/8'; known: 1/8, 1/4"):
        pipe_outside_mm("1-3/8")
