"""What a feature costs by each way of making it, and from how many on one way beats another.

A way costs something once (tooling to buy, freight), a set-up, and something for each feature: time
at the shop's rate and what is used up. All times are the shop's own rules, whatever the thickness.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil, floor

from crib.errors import BadValue
from crib.trade.common.guards import require_not_negative, require_positive
from crib.trade.shop.shop_rules import Rules

_MINUTES_PER_HOUR = 60

PUNCH = "punch"
FARM_OUT = "farm out"

_TOOL_WAYS = {
    PUNCH: PUNCH,
    "notch": "notcher",
    "corner_notch": "notcher",
    "vee_notch": "notcher",
    "saddle": "saddle set",
    "brake": "brake",
    "picket": "picket set",
}
_NOTCHED = ("thermal", "saw", FARM_OUT)
_SHEARED = ("saw", "thermal", FARM_OUT)
_OTHER_WAYS = {
    "notch": _NOTCHED,
    "corner_notch": _NOTCHED,
    "vee_notch": _NOTCHED,
    "flat_shear": _SHEARED,
    "plate_shear": _SHEARED,
    "angle_shear": _SHEARED,
    "tube_shear": _SHEARED,
    "channel_shear": _SHEARED,
    "bar_shear": ("saw", FARM_OUT),
    "saddle": ("hole saw", "thermal", FARM_OUT),
}
_ROUND_HOLE = ("drill", "thermal", FARM_OUT)
_OTHER_HOLE = ("drill and mill", "thermal", FARM_OUT)
_WORD_OF = {"drill and mill": "mill", "hole saw": "hole_saw"}


@dataclass(frozen=True, slots=True)
class Way:
    """One way to make a feature: what it costs once, to set up, and each time."""

    name: str
    set_up_minutes: float = 0.0
    minutes_each: float = 0.0
    used_up_cents_each: float = 0.0
    once_cents: int = 0
    days: int = 0


@dataclass(frozen=True, slots=True)
class Counts:
    """The counts for which a way costs no more than another; ``most`` is None without an end."""

    least: int
    most: int | None = None


def each_cents(way: Way, rate_per_hour_cents: float) -> float:
    """What one more feature costs: its time and what it uses up.

    Source: common practice (time x rate + consumables).

    Args:
        way: The way; times in [min], used up in [cents].
        rate_per_hour_cents: What an hour of the shop costs [cents].

    Returns:
        The cost, parts of a cent kept [cents].

    Raises:
        BadValue: When a figure is negative.

    Example:
        >>> each_cents(Way("drill", 10.0, 1.5, 15.0), 6000)
        165.0
    """
    _check(way, rate_per_hour_cents)
    return way.minutes_each * rate_per_hour_cents / _MINUTES_PER_HOUR + way.used_up_cents_each


def start_cents(way: Way, rate_per_hour_cents: float) -> float:
    """What a way costs before the first feature: what is bought for it, and its set-up.

    Source: common practice (price and freight + set-up time x rate).

    Args:
        way: The way; set-up in [min], once in [cents].
        rate_per_hour_cents: What an hour of the shop costs [cents].

    Returns:
        The cost, parts of a cent kept [cents].

    Raises:
        BadValue: When a figure is negative.

    Example:
        >>> start_cents(Way("farm out", 30.0, 0.0, 500.0, 6000, 5), 6000)
        9000.0
    """
    _check(way, rate_per_hour_cents)
    return way.once_cents + way.set_up_minutes * rate_per_hour_cents / _MINUTES_PER_HOUR


def way_cents(way: Way, count: int, rate_per_hour_cents: float) -> float:
    """What a number of features costs by a way.

    Source: common practice (once + set-up + count x (time x rate + consumables)).

    Args:
        way: The way; times in [min], money in [cents].
        count: How many features [-].
        rate_per_hour_cents: What an hour of the shop costs [cents].

    Returns:
        The cost, parts of a cent kept [cents].

    Raises:
        BadValue: When a figure is negative or the count is not above zero.

    Example:
        >>> way_cents(Way("drill", 10.0, 1.5, 15.0), 120, 6000)
        20800.0
    """
    require_positive(count=count)
    each = each_cents(way, rate_per_hour_cents)
    return start_cents(way, rate_per_hour_cents) + count * each


def way_minutes(way: Way, count: int) -> float:
    """How long a number of features takes in the shop, set-up included.

    Source: common practice (set-up + count x time).

    Args:
        way: The way; times in [min].
        count: How many features [-].

    Returns:
        The time [min].

    Raises:
        BadValue: When a figure is negative or the count is not above zero.

    Example:
        >>> way_minutes(Way("drill", 10.0, 1.5), 120)
        190.0
    """
    require_positive(count=count)
    _check(way, 0.0)
    return way.set_up_minutes + count * way.minutes_each


def pays_for(way: Way, other: Way, rate_per_hour_cents: float) -> Counts | None:
    """For which counts a way costs no more than another; ``None`` when for none.

    Source: common practice (what it costs more to start over what each saves; with equal set-ups
    price of the pair over saving, as ``money.break_even_holes``).

    Args:
        way: The way that is asked about; times in [min], money in [cents].
        other: The way it is held against; the same [min] [cents].
        rate_per_hour_cents: What an hour of the shop costs [cents].

    Returns:
        The least count, and the most where there is an end [-].

    Raises:
        BadValue: When a figure is negative.

    Example:
        >>> punch, drill = Way("punch", 10.0, 0.25, 0.0, 18_000), Way("drill", 10.0, 1.5)
        >>> pays_for(punch, drill, 6000)
        Counts(least=144, most=None)
    """
    more = start_cents(way, rate_per_hour_cents) - start_cents(other, rate_per_hour_cents)
    saving = each_cents(other, rate_per_hour_cents) - each_cents(way, rate_per_hour_cents)
    if abs(saving) < 1e-9:
        return Counts(1) if more <= 0 else None
    even = more / saving
    if saving > 0:
        return Counts(max(1, ceil(even - 1e-9)))
    most = floor(even + 1e-9)
    return Counts(1, most) if most >= 1 else None


def cheapest(ways: Iterable[Way], count: int, rate_per_hour_cents: float) -> Way:
    """The way that costs least for a count; of equal ones the first.

    Source: common practice.

    Args:
        ways: The ways to choose from; times in [min], money in [cents].
        count: How many features [-].
        rate_per_hour_cents: What an hour of the shop costs [cents].

    Returns:
        The way; times in [min], money in [cents].

    Raises:
        BadValue: When there is no way, a figure is negative or the count is not above zero.

    Example:
        >>> cheapest([Way("punch", 10.0, 0.25), Way("drill", 2.0, 1.5)], 3, 6000).name
        'drill'
    """
    every = list(ways)
    if not every:
        message = "ways=0 must be at least one way"
        raise BadValue(message)
    return min(every, key=lambda way: way_cents(way, count, rate_per_hour_cents))


def wear_cents(price_cents: float, life_strokes: float, strokes: float) -> float:
    """The part of a tool's price that some strokes use up.

    Source: common practice (price over life).

    Args:
        price_cents: Price of the tool [cents].
        life_strokes: Weighted strokes of a tool from new to spent [strokes].
        strokes: Weighted strokes that are made with it [strokes].

    Returns:
        The cost, parts of a cent kept [cents].

    Raises:
        BadValue: When a figure is negative or the life is not above zero.

    Example:
        >>> wear_cents(6_500, 65_000.0, 1.25)
        0.125
    """
    require_not_negative(price_cents=price_cents, strokes=strokes)
    require_positive(life_strokes=life_strokes)
    return price_cents * strokes / life_strokes


def tool_way(
    work: str,
    hits: int,
    rules: Rules,
    *,
    changes: int = 1,
    wear_cents_each: float = 0.0,
    price_cents: int = 0,
    days: int = 0,
    to_ream: bool = False,
) -> Way:
    """The way with the crib's own tools, by the shop's times.

    Source: shop rule (buy.punch_minutes for a hit of a hole, make.tool_minutes for any other,
    make.tool_setup_minutes for each change of tools, make.ream_minutes for reaming).

    Args:
        work: The work of the station, such as punch or notch [text].
        hits: Hits for one feature [-].
        rules: The shop's settings [-].
        changes: Sets of tools to mount; none when they are mounted already [-].
        wear_cents_each: Wear of the tools for one feature [cents].
        price_cents: Price of tools to buy for it [cents].
        days: Days until they come [days].
        to_ream: Whether a hole is punched under size and reamed [-].

    Returns:
        The way; times in [min], money in [cents].

    Raises:
        BadValue: When the hits are not above zero or another figure is negative.

    Example:
        >>> tool_way("punch", 2, Rules.defaults()).minutes_each
        0.5
    """
    require_positive(hits=hits)
    require_not_negative(
        changes=changes, wear_cents_each=wear_cents_each, price_cents=price_cents, days=days
    )
    hit = rules.number("buy.punch_minutes" if work == PUNCH else "make.tool_minutes")
    reaming = rules.number("make.ream_minutes") if to_ream else 0.0
    return Way(
        _TOOL_WAYS.get(work, "shear" if work.endswith("_shear") else "tool"),
        changes * rules.number("make.tool_setup_minutes"),
        hits * hit + reaming,
        wear_cents_each,
        price_cents,
        days,
    )


def other_ways(work: str, shape: str, rules: Rules) -> tuple[Way, ...]:
    """The ways without the crib's tools that make sense for a feature, by the shop's rules.

    A hole is drilled or cut thermally; a slot or shaped hole is drilled and milled or cut
    thermally; a notch and a section are sawn or cut thermally, a solid bar only sawn; a saddle is
    cut with a hole saw or thermally; anything can be farmed out.

    Source: shop rule (the times and prices make.*, and buy.drill_minutes).

    Args:
        work: The work of the station, such as punch or notch [text].
        shape: The shape, such as round or obround [text].
        rules: The shop's settings [-].

    Returns:
        The ways; times in [min], money in [cents].

    Example:
        >>> [way.name for way in other_ways("punch", "round", Rules.defaults())]
        ['drill', 'thermal', 'farm out']
    """
    hole = _ROUND_HOLE if shape == "round" else _OTHER_HOLE
    names = hole if work == PUNCH else _OTHER_WAYS.get(work, (FARM_OUT,))
    return tuple(_way(name, rules) for name in names)


def _way(name: str, rules: Rules) -> Way:
    number = rules.number
    if name == FARM_OUT:
        return Way(
            name,
            number("make.farm_out_handling_minutes"),
            0.0,
            number("make.farm_out_cents"),
            round(number("make.farm_out_freight_cents")),
            round(number("make.farm_out_days")),
        )
    word = _WORD_OF.get(name, name)
    return Way(
        name,
        number(f"make.{word}_setup_minutes"),
        number("buy.drill_minutes" if word == "drill" else f"make.{word}_minutes"),
        number(f"make.{word}_consumable_cents"),
    )


def _check(way: Way, rate_per_hour_cents: float) -> None:
    require_not_negative(
        set_up_minutes=way.set_up_minutes,
        minutes_each=way.minutes_each,
        used_up_cents_each=way.used_up_cents_each,
        once_cents=way.once_cents,
        rate_per_hour_cents=rate_per_hour_cents,
    )
