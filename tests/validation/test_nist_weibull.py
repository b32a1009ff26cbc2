"""NIST/SEMATECH e-Handbook of Statistical Methods: 8.4.1.3 (Weibull) and 8.4.5.1 (constant rate).

The Weibull data are those of 8.2.2.1: 20 units on test, 10 of them running still after 500 hours.
"""

from __future__ import annotations

from math import gamma, sqrt

import pytest

from crib.trade.life.gamma import gamma_value
from crib.trade.life.weibull_fit import WeibullFit, fitted_life
from tests.validation.life_data import lives, printed
from tests.validation.published import Printed, rows

_PRINTED = printed("NIST-8413")
_FACTORS = [row for row in rows("confidence_factors") if "factor" in row["quantity"]]
_EXAMPLE = {row["quantity"]: row for row in rows("confidence_factors") if row["hours"]}


@pytest.fixture(scope="module")
def fit() -> WeibullFit:
    """The fit to the data of the handbook."""
    return fitted_life(lives("NIST-8413"), least_events=10)


def test_8_4_1_3_shape_and_scale(fit: WeibullFit) -> None:
    assert _PRINTED["shape"].agrees_with(fit.shape)
    assert _PRINTED["scale"].agrees_with(fit.scale)


def test_8_4_1_3_log_likelihood_and_information_criterion(fit: WeibullFit) -> None:
    assert _PRINTED["log-likelihood"].agrees_with(fit.log_likelihood)
    assert _PRINTED["AIC"].agrees_with(2 * 2 - 2 * fit.log_likelihood)


def test_8_4_1_3_mean_and_standard_deviation(fit: WeibullFit) -> None:
    mean = fit.scale * gamma(1 + 1 / fit.shape)
    square = fit.scale**2 * gamma(1 + 2 / fit.shape)
    assert _PRINTED["mean"].agrees_with(mean)
    assert _PRINTED["standard deviation"].agrees_with(sqrt(square - mean**2))


def _bounds(failures: int, sure: float) -> dict[str, float]:
    """The factors for the mean time between failures: 2 r over a chi-square is r over a gamma."""
    return {
        "lower": failures / gamma_value(failures + 1.0, (1 + sure) / 2),
        "upper": failures / gamma_value(float(failures), (1 - sure) / 2),
    }


@pytest.mark.parametrize("row", _FACTORS, ids=lambda row: f"{row['sure_pct']}-{row['failures']}")
def test_8_4_5_1_factors_for_a_constant_rate(row: dict[str, str]) -> None:
    which = row["quantity"].removesuffix(" factor")
    bounds = _bounds(int(row["failures"]), float(row["sure_pct"]) / 100)
    assert Printed(row["published_value"]).agrees_with(bounds[which])


@pytest.mark.parametrize("which", ["lower", "upper"])
def test_8_4_5_1_two_failures_in_800_hours(which: str) -> None:
    row = _EXAMPLE[which]
    failures, hours = int(row["failures"]), float(row["hours"])
    bound = hours / failures * _bounds(failures, float(row["sure_pct"]) / 100)[which]
    assert Printed(row["published_value"]).agrees_with(bound)
    assert float(_EXAMPLE["mean"]["published_value"]) == hours / failures
