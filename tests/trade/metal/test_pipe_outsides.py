"""The outside of a pipe, exact in inches, beside the rounded millimetres of its table."""

from __future__ import annotations

import pytest

from crib.errors import UnknownName
from crib.trade.metal.pipe_outsides import european_outside_mm, pipe_outside_mm
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


@pytest.mark.parametrize(
    ("dn", "outside_mm"),
    [(15, 21.3), (20, 26.9), (25, 33.7), (32, 42.4), (65, 76.1), (125, 139.7), (300, 323.9)],
)
def test_a_dn_is_of_en_10220_series_1(dn: int, outside_mm: float) -> None:
    """EN 10220:2002 Table 1, from memory."""
    assert european_outside_mm(dn) == outside_mm


def test_every_pipe_has_a_european_outside_near_its_own() -> None:
    for nps in known_pipe_sizes():
        size = pipe_size(nps)
        assert european_outside_mm(size.dn) == pytest.approx(size.outside_mm, abs=3.2)


def test_a_dn_that_is_none_is_refused() -> None:
    with pytest.raises(UnknownName, match="unknown pipe size DN45; known: DN6, "):
        european_outside_mm(45)
