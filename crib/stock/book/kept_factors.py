"""The factors of a stroke's weight as the ledger keeps them: one JSON object, name to figure.

Each figure is written so that it reads back the same to the last digit; multiplied in their order
they are the entry's severity again.
"""

from __future__ import annotations

import json
from functools import lru_cache

from crib.errors import BadValue
from crib.trade.life.wear import Factor, Severity


@lru_cache(maxsize=1024)
def factors_text(factors: tuple[Factor, ...]) -> str:
    """The factors as an entry keeps them; a stroke that nothing weighs up keeps an empty object."""
    figures = {factor.name: _figure(factor.value) for factor in factors}
    return json.dumps(figures, separators=(",", ":"))


def _figure(value: float) -> float | int:
    return int(value) if value.is_integer() else value


@lru_cache(maxsize=1024)
def read_factors(text: str) -> tuple[Factor, ...] | None:
    """The factors that an entry keeps; None for an older entry, which keeps none.

    Raises:
        BadValue: for a text that no entry can have.
    """
    if not text:
        return None
    try:
        kept = json.loads(text)
        factors = tuple(Factor(name, float(value)) for name, value in kept.items())
    except (ValueError, TypeError, AttributeError) as error:
        message = f"factors {text[:60]!r} are not a JSON object of names and figures"
        raise BadValue(message, way_out='write them like {"material":1.25,"dry":1.5}') from error
    for factor in factors:
        if not 0 < factor.value < float("inf"):
            message = f"factor {factor.name} {factor.value:g} must be > 0"
            raise BadValue(message)
    return factors


def require_product(text: str, severity: float | None) -> None:
    """Check that an entry's factors make its severity, where it keeps any.

    Raises:
        BadValue: when they do not, or cannot be read.
    """
    factors = read_factors(text)
    if factors is None:
        return
    product = Severity(factors).total
    if severity != product:
        message = f"severity {severity} is not the product of the factors, {product!r}"
        raise BadValue(message, way_out="the two are kept together and cannot be edited alone")
