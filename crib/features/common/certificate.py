"""A mill certificate: taken only where plate of that grade can have it."""

from __future__ import annotations

from crib.errors import BadValue
from crib.features.common.speech import Speech
from crib.trade.common.verdicts import exceeds, falls_short
from crib.trade.metal.certificates import certified_tensile_mpa, certified_yield_mpa
from crib.trade.metal.materials import Material
from crib.trade.shop.shop_rules import Rules

BEYOND = "cert.beyond_pct"


def require_certificate(
    material: Material,
    thickness_mm: float,
    rules: Rules,
    tensile_mpa: float | None,
    yield_mpa: float | None,
) -> None:
    """Refuse a certificate that is no certificate of the plate's grade.

    Raises:
        BadValue: for a strength outside the grade's range, and one that nothing can be held to.
    """
    beyond_pct = rules.number(BEYOND)
    if tensile_mpa is not None:
        limits = certified_tensile_mpa(material, beyond_pct)
        _require("tensile", tensile_mpa, limits, material, rules)
    if yield_mpa is not None:
        limits = certified_yield_mpa(material, thickness_mm, beyond_pct)
        _require("yield", yield_mpa, limits, material, rules)
    if tensile_mpa is not None and yield_mpa is not None and exceeds(yield_mpa, tensile_mpa):
        say = Speech(rules)
        message = f"certificate: yield {say.stress(yield_mpa)} is above tensile"
        message += f" {say.stress(tensile_mpa)}"
        raise BadValue(message, way_out="read both off the certificate again")


def _require(
    what: str,
    given_mpa: float,
    limits: tuple[float, float] | None,
    material: Material,
    rules: Rules,
) -> None:
    name = material.name
    say = Speech(rules).near(Speech.stress, given_mpa, *(limits or ()))
    given = f"certificate: {what} {say.stress(given_mpa)}"
    if limits is None:
        message = f"{given} can be held to nothing: {name} has no {what} strength on record"
        raise BadValue(message, way_out="name the grade that the certificate names")
    if not falls_short(given_mpa, limits[0]) and not exceeds(given_mpa, limits[1]):
        return
    least, most = (say.stress(limit) for limit in limits)
    message = f"{given} is outside {least} to {most}, what {name} can have: its range and"
    message += f" {rules.number(BEYOND):g} % ({material.strength_source}; rule {BEYOND})"
    hint = "read the figure and its unit off the certificate again, and the grade it names"
    raise BadValue(message, way_out=hint)
