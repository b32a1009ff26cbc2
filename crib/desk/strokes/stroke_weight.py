"""Why a logged stroke weighs what it weighs, as far as its entry still tells.

An entry keeps the weight, the material and the thickness. The factors of these two are worked out
again by today's rules; of the rest only the product is known, and even that only while the rules
are what they were.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product
from math import isclose, prod

from crib.errors import CribError
from crib.features.common.ask import Circumstances, Plate
from crib.features.common.pair_wear import dry_factor, hit_severity, on_role, severity_rules
from crib.stock.queries.history import EntryCard
from crib.trade.metal.materials import Material
from crib.trade.shop.shop_rules import Rules

PAIRED = ("punch", "die")
NEARLY = 0.005
"""A weight that was typed with two decimals still counts as the same."""
NOT_GIVEN = "no thickness on record, counted at 1.00 a stroke"
NOT_KEPT = "its material and thickness were not both kept, so its factors are not known"
CHANGED = "by today's rules these do not make it: the rules may have changed since"


@dataclass(frozen=True, slots=True)
class Factor:
    """One factor of a stroke's weight, by today's rules."""

    name: str
    value: float


@dataclass(frozen=True, slots=True)
class SeverityWhy:
    """The weight of an entry's strokes and what it comes from.

    ``rest`` is what the known factors leave, and is shared by what ``rest_of`` names; ``None`` when
    it is not known. ``note`` says why something is not known.
    """

    entry: int
    each: float
    factors: tuple[Factor, ...]
    rest: float | None
    rest_of: tuple[str, ...]
    note: str


def why_latest(entries: Sequence[EntryCard], role: str, rules: Rules) -> SeverityWhy | None:
    """Why the latest strokes that still hold weigh what they do; newest entry first."""
    for card in entries:
        if card.action == "strokes" and card.taken_back_by is None:
            return severity_why(card, role, rules)
    return None


def severity_why(card: EntryCard, role: str, rules: Rules) -> SeverityWhy | None:
    """What makes up the weight of an entry's strokes; ``None`` when no weight was kept."""
    each = card.severity
    if each is None or each <= 0:
        return None
    share = on_role(1.0, role, rules)
    if card.thickness_mm is None and _same(each, share):
        return SeverityWhy(card.id, each, _share(share), None, (), NOT_GIVEN)
    if card.thickness_mm is None or not card.material:
        return SeverityWhy(card.id, each, (), None, (), NOT_KEPT)
    try:
        material = rules.material(card.material)
    except CribError:
        note = f"{card.material} is not among the materials now, so its factor is not known"
        return SeverityWhy(card.id, each, (), None, (), note)
    if material.wear_factor is None:
        note = f"{card.material} has no wear factor now, so its share is not known"
        return SeverityWhy(card.id, each, (), None, (), note)
    found = hit_severity(Plate(card.thickness_mm, material), rules, Circumstances())
    factors = (
        Factor("material", found.material),
        Factor("thickness", found.thickness),
        *_share(share),
    )
    return _with_rest(card.id, each, factors, role, material, rules)


def _with_rest(
    entry: int,
    each: float,
    factors: tuple[Factor, ...],
    role: str,
    material: Material,
    rules: Rules,
) -> SeverityWhy:
    """The known factors with what they leave, when today's rules can make that at all."""
    rest = each / prod(factor.value for factor in factors)
    can_be = _rests(role, material, rules)
    if not any(_same(rest, one) for one in can_be):
        return SeverityWhy(entry, each, factors, None, (), CHANGED)
    paired = role in PAIRED
    rest_of = ("clearance", "oil", "kind of hit", "stress") if paired else ("oil", "kind of hit")
    return SeverityWhy(entry, each, factors, rest, rest_of, "")


def _rests(role: str, material: Material, rules: Rules) -> list[float]:
    """Every product that the factors which no entry keeps can make."""
    weights = severity_rules(rules)
    gaps = (1.0, weights.clearance_tight, weights.clearance_very_tight, weights.clearance_wide)
    oil = (1.0, dry_factor(material, rules))
    hits = (1.0, weights.bridge, weights.chain)
    stress = (1.0, weights.high_stress)
    choices = (gaps, oil, hits, stress) if role in PAIRED else (oil, hits)
    return [prod(one) for one in product(*choices)]


def _share(share: float) -> tuple[Factor, ...]:
    return (Factor("share of a die", share),) if share != 1.0 else ()


def _same(one: float, other: float) -> bool:
    return isclose(one, other, rel_tol=NEARLY)
