"""Life data of the textbooks, each set named in ``data/life_data.csv``.

Nelson, Applied Life Data Analysis (1982); Meeker and Escobar, Statistical Methods for Reliability
Data (1998); Lawless (1982); Lieblein and Zelen (1956); Gross and Clark (1975); Mann and Fertig
(1973); Krivtsov and Case (1999).
"""

from __future__ import annotations

from math import log

import pytest

from crib.trade.life.weibull_fit import WeibullFit, fitted_life
from tests.validation.life_data import lives, printed
from tests.validation.published import rows

_FITTED = sorted({row["id"] for row in rows("life_data") if row["quantity"] == "shape"})


def _figures(fit: WeibullFit) -> dict[str, float]:
    return {
        "shape": fit.shape,
        "scale": fit.scale,
        "log-likelihood": fit.log_likelihood,
        "error of shape": fit.shape_error,
        "error of scale": fit.scale_error,
        "1 / shape": 1 / fit.shape,
        "ln scale": log(fit.scale),
        "ln scale in thousands": log(fit.scale / 1000),
        "-shape ln scale": -fit.shape * log(fit.scale),
    }


@pytest.mark.parametrize(
    ("identity", "quantity"),
    [
        (identity, quantity)
        for identity in _FITTED
        for quantity in printed(identity)
        if identity not in ("NIST-8413", "KC-automotive")
    ],
)
def test_the_printed_figure_of_a_weibull_fit(identity: str, quantity: str) -> None:
    fit = fitted_life(lives(identity), least_events=10)
    assert printed(identity)[quantity].agrees_with(_figures(fit)[quantity])


@pytest.mark.parametrize("quantity", printed("KC-automotive"))
def test_a_figure_that_a_library_gives(quantity: str) -> None:
    # Its search stops a little before the top of the likelihood, which shows in the sixth digit.
    fit = fitted_life(lives("KC-automotive"), least_events=10)
    expected = float(printed("KC-automotive")[quantity].text)
    assert _figures(fit)[quantity] == pytest.approx(expected, rel=5e-6)
