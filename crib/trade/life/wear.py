"""What a stroke costs an edge, how worn an edge is, and whether it will last a job.

Wear is counted in weighted strokes: one stroke of oiled mild steel of the reference thickness, with
the right clearance, weighs 1.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import floor, prod
from typing import Literal

from crib.errors import BadValue, UnknownName
from crib.trade.common.guards import require_not_negative, require_positive
from crib.trade.common.verdicts import exceeds, falls_short

Hit = Literal["full", "bridge", "chain"]
Level = Literal["fine", "plan", "after_this_job", "before_next_job", "not_for_finish"]


@dataclass(frozen=True, slots=True)
class Manner:
    """How strokes are made, as whoever made them says: the kind of hit, and without oil."""

    hit: Hit = "full"
    dry: bool = False


@dataclass(frozen=True, slots=True)
class StrokeCause:
    """What a stroke did: the material's factors, the plate, the clearance, the manner of it.

    ``clearance_pct`` and ``stress_mpa`` are ``None`` when not known, and then weigh nothing extra.
    ``dry_factor`` is what the material costs without oil, and counts only in such a manner.
    """

    material_factor: float
    thickness_mm: float
    clearance_pct: float | None = None
    stress_mpa: float | None = None
    dry_factor: float = 1.0
    manner: Manner = Manner()


@dataclass(frozen=True, slots=True)
class SeverityRules:
    """The weights, all of them shop rules."""

    reference_thickness_mm: float = 9.525
    thickness_least: float = 0.5
    thickness_most: float = 3.0
    very_tight_below_pct: float = 5.0
    tight_below_pct: float = 8.0
    wide_above_pct: float = 25.0
    clearance_very_tight: float = 2.0
    clearance_tight: float = 1.3
    clearance_wide: float = 1.1
    bridge: float = 1.3
    chain: float = 1.6
    high_stress: float = 1.5
    high_stress_above_mpa: float = 1380.0


@dataclass(frozen=True, slots=True)
class Factor:
    """One factor of a stroke's weight, by its name."""

    name: str
    value: float


@dataclass(frozen=True, slots=True)
class Severity:
    """The weight of a stroke: the factors that are known, in the order that they multiply."""

    factors: tuple[Factor, ...] = ()

    @property
    def total(self) -> float:
        """The weight: all factors multiplied."""
        return prod((factor.value for factor in self.factors), start=1.0)

    def times(self, name: str, value: float) -> Severity:
        """The weight with one factor more."""
        return Severity((*self.factors, Factor(name, value)))


@dataclass(frozen=True, slots=True)
class LevelLimits:
    """The shares of the interval at which a reminder becomes more urgent."""

    plan: float = 0.70
    after_job: float = 0.90
    before_job: float = 1.0
    no_finish: float = 1.20


@dataclass(frozen=True, slots=True)
class LastingForecast:
    """Whether an edge lasts a run: ``dull_at`` is the stroke at which the interval is used up.

    ``defer_at`` is the stroke at which the share is used up to which a grind may be put off. Both
    are ``None`` when the run ends before.
    """

    dull_at: int | None
    defer_at: int | None
    fraction_before: float
    fraction_after: float

    @property
    def lasts(self) -> bool:
        """Whether the run ends before the edge is dull."""
        return self.dull_at is None


_DEFAULT_RULES = SeverityRules()
_DEFAULT_LIMITS = LevelLimits()


def severity(cause: StrokeCause, rules: SeverityRules = _DEFAULT_RULES) -> Severity:
    """The weight of one stroke, from what it did.

    Source: shop rule (material x thickness x clearance x lubrication x hit, and the stress in the
    punch); no public dataset for plate was found.

    Args:
        cause: What the stroke did; its sizes in [mm].
        rules: The weights [-].

    Returns:
        The factors and their product [-].

    Raises:
        BadValue: When a factor or the thickness is not above zero.
        UnknownName: When the kind of hit is not known.

    Example:
        >>> weight = severity(StrokeCause(1.25, 12.7, manner=Manner("bridge")))
        >>> [(factor.name, round(factor.value, 4)) for factor in weight.factors]
        [('material', 1.25), ('thickness', 1.3333), ('dry', 1.0), ('hit', 1.3)]
        >>> round(weight.total, 4)
        2.1667
    """
    require_positive(
        material_factor=cause.material_factor,
        thickness_mm=cause.thickness_mm,
        dry_factor=cause.dry_factor,
    )
    known = ((name, weigh(cause, rules)) for name, weigh in _FACTORS)
    return Severity(tuple(Factor(name, value) for name, value in known if value is not None))


def _material_factor(cause: StrokeCause, _rules: SeverityRules) -> float:
    return cause.material_factor


def _thickness_factor(cause: StrokeCause, rules: SeverityRules) -> float:
    share = cause.thickness_mm / rules.reference_thickness_mm
    return min(max(share, rules.thickness_least), rules.thickness_most)


def _clearance_factor(cause: StrokeCause, rules: SeverityRules) -> float | None:
    if cause.clearance_pct is None:
        return None
    if falls_short(cause.clearance_pct, rules.very_tight_below_pct):
        return rules.clearance_very_tight
    if falls_short(cause.clearance_pct, rules.tight_below_pct):
        return rules.clearance_tight
    return rules.clearance_wide if exceeds(cause.clearance_pct, rules.wide_above_pct) else 1.0


def _dry_factor(cause: StrokeCause, _rules: SeverityRules) -> float:
    return cause.dry_factor if cause.manner.dry else 1.0


def _hit_factor(cause: StrokeCause, rules: SeverityRules) -> float:
    factors = {"full": 1.0, "bridge": rules.bridge, "chain": rules.chain}
    hit = cause.manner.hit
    if hit not in factors:
        message = f"unknown hit {hit!r}; known: {', '.join(factors)}"
        raise UnknownName(message)
    return factors[hit]


def _stress_factor(cause: StrokeCause, rules: SeverityRules) -> float | None:
    if cause.stress_mpa is None:
        return None
    return rules.high_stress if exceeds(cause.stress_mpa, rules.high_stress_above_mpa) else 1.0


_FACTORS: tuple[tuple[str, Callable[[StrokeCause, SeverityRules], float | None]], ...] = (
    ("material", _material_factor),
    ("thickness", _thickness_factor),
    ("clearance", _clearance_factor),
    ("dry", _dry_factor),
    ("hit", _hit_factor),
    ("stress", _stress_factor),
)
"""What makes a stroke's weight, in the order that it multiplies; ``None`` is not known."""


def die_strokes(weighted: float, share: float = 0.5) -> float:
    """The wear on the die, of the wear on its punch.

    Source: shop rule (half; public charts have dies ground a half to a third as often).

    Args:
        weighted: Weighted strokes of the punch [-].
        share: Share of them that the die takes [-].

    Returns:
        Weighted strokes of the die [-].

    Raises:
        BadValue: When the strokes are negative or the share is not above zero.

    Example:
        >>> die_strokes(1000.0)
        500.0
    """
    require_not_negative(weighted=weighted)
    require_positive(share=share)
    return weighted * share


def used_fraction(wear: float, interval: float) -> float:
    """The share of its interval that an edge has used up.

    Source: shop rule (weighted strokes over the interval between grinds).

    Args:
        wear: Weighted strokes since the last grind [-].
        interval: Weighted strokes between grinds [-].

    Returns:
        The share; 1 is due [-].

    Raises:
        BadValue: When the wear is negative or the interval is not above zero.

    Example:
        >>> used_fraction(4100.0, 5000.0)
        0.82
    """
    require_not_negative(wear=wear)
    require_positive(interval=interval)
    return wear / interval


def level(used_fraction: float, limits: LevelLimits = _DEFAULT_LIMITS) -> Level:
    """How urgent a grind is.

    Source: shop rule (70 % plan, 90 % after this job, 100 % before the next, 120 % not for finish
    work).

    Args:
        used_fraction: Share of the interval used up [-].
        limits: The shares at which the level rises [-].

    Returns:
        The level [text].

    Raises:
        BadValue: When the share is negative.

    Example:
        >>> level(0.82), level(1.0), level(1.22)
        ('plan', 'before_next_job', 'not_for_finish')
    """
    require_not_negative(used_fraction=used_fraction)
    rising: tuple[tuple[float, Level], ...] = (
        (limits.no_finish, "not_for_finish"),
        (limits.before_job, "before_next_job"),
        (limits.after_job, "after_this_job"),
        (limits.plan, "plan"),
    )
    for share, name in rising:
        if not falls_short(used_fraction, share):
            return name
    return "fine"


def strokes_left(
    wear: float, interval: float, severity_each: float, at_fraction: float = 1.0
) -> int:
    """Whole strokes before a share of the interval is passed.

    Source: shop rule (what is left of the interval over the weight of a stroke).

    Args:
        wear: Weighted strokes since the last grind [-].
        interval: Weighted strokes between grinds [-].
        severity_each: Weight of each stroke to come [-].
        at_fraction: Share of the interval not to be passed [-].

    Returns:
        Whole strokes, never below zero [-].

    Raises:
        BadValue: When the wear is negative or another argument is not above zero.

    Example:
        >>> strokes_left(4100.0, 5000.0, 5 / 3), strokes_left(4100.0, 5000.0, 5 / 3, 1.15)
        (540, 990)
    """
    require_not_negative(wear=wear)
    require_positive(interval=interval, severity_each=severity_each, at_fraction=at_fraction)
    exact = (at_fraction * interval - wear) / severity_each
    # 989.9999999999 strokes are 990 that went through a division.
    return max(0, floor(exact + 1e-6))


def will_it_last(
    wear: float, interval: float, severity_each: float, strokes: int, defer_fraction: float = 1.15
) -> LastingForecast:
    """Whether an edge lasts a run, and the stroke at which it would be dull.

    Source: shop rule (a grind may be put off once, to 115 % of the interval).

    Args:
        wear: Weighted strokes since the last grind [-].
        interval: Weighted strokes between grinds [-].
        severity_each: Weight of each stroke of the run [-].
        strokes: Strokes of the run [-].
        defer_fraction: Share of the interval to which a grind may be put off [-].

    Returns:
        The forecast, in strokes and shares of the interval [-].

    Raises:
        BadValue: When wear or strokes are negative or another argument is not above zero.

    Example:
        >>> forecast = will_it_last(4100.0, 5000.0, 5 / 3, 1200)
        >>> forecast.dull_at, forecast.defer_at, round(forecast.fraction_after, 2)
        (540, 990, 1.22)
    """
    require_not_negative(strokes=strokes)
    if strokes != int(strokes):
        message = f"strokes={strokes:g} must be a whole number"
        raise BadValue(message)
    dull = strokes_left(wear, interval, severity_each)
    defer = strokes_left(wear, interval, severity_each, defer_fraction)
    return LastingForecast(
        dull_at=dull if dull < strokes else None,
        defer_at=defer if defer < strokes else None,
        fraction_before=used_fraction(wear, interval),
        fraction_after=used_fraction(wear + strokes * severity_each, interval),
    )
