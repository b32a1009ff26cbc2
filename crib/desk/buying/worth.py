"""What buying is worth in a year: features not made another way, standstill that is spared.

The wear of tools is not taken off here: a line's charge, its price over the years it is expected
to serve, is that wear.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import exp

from crib.acts import Fact, fact
from crib.desk.buying.kind_figures import Figures, Shop
from crib.trade.money.make_ways import Way, cheapest, each_cents, other_ways, tool_way, way_cents
from crib.trade.money.money import yearly_value_cents
from crib.trade.money.tool_worth import expected_years, uncovered_share, work_share

_WORKS = {"punch": "punch", "die": "punch", "blade": "flat_shear", "set": "notch"}
"""The work of a role for what its strokes would cost another way; other roles stand still."""


@dataclass(frozen=True, slots=True)
class JobSaving:
    """What a want costs with tools, and by the cheapest other way [cents]."""

    way: str
    quantity: int
    own_cents: float
    other_cents: float
    each_cents: float

    @property
    def cents(self) -> int:
        """What the tools save on it; nothing when the other way is cheaper."""
        return max(0, round(self.other_cents - self.own_cents))


@dataclass(frozen=True, slots=True)
class Worth:
    """The worth of a year [cents] and the figures it is made of."""

    cents: int
    figures: tuple[Fact, ...] = ()


def job_saving(shop: Shop, work: str, shape: str, quantity: int) -> JobSaving:
    """What tools save on a want, against the cheapest other way; the set-ups of both counted."""
    own, other = _ways(shop, work, shape, quantity)
    rate = _rate(shop)
    return JobSaving(
        other.name,
        quantity,
        way_cents(own, quantity, rate),
        way_cents(other, quantity, rate),
        each_cents(other, rate) - each_cents(own, rate),
    )


def worth_of_units(one: Figures | None, shop: Shop, count: int) -> tuple[Worth, ...]:
    """What the first, second ... bought piece of a kind is worth in a year for the shelf's sake.

    No piece is worth more than the one before it.
    """
    if one is None or not one.is_used:
        return (Worth(0),) * count
    there = max(one.lasting, 0) + one.on_order + one.elsewhere
    found: list[Worth] = []
    for piece in range(there + 1, there + count + 1):
        worth = _first(one, shop) if piece == 1 else _spare(one, shop, piece)
        if found and worth.cents > found[-1].cents:
            worth = Worth(found[-1].cents, worth.figures)
        found.append(worth)
    return tuple(found)


def years_of(one: Figures | None, shop: Shop, wanted: float = 0.0) -> float:
    """How long a piece is expected to serve: its life over its use, within the shop's rule."""
    most = shop.rules.number("buy.most_years")
    if one is None or one.life is None:
        return most
    return expected_years(one.life, one.weighted_per_year + wanted, most)


def stroke_saving(one: Figures, shop: Shop) -> tuple[float, str]:
    """What a stroke of a kind saves against the cheapest other way, and that way; 0 for none."""
    work = _WORKS.get(one.kind.role)
    if work is None:
        return 0.0, ""
    count = max(1, round(one.strokes_per_year))
    own, other = _ways(shop, work, one.kind.shape, count)
    rate = _rate(shop)
    return max(0.0, each_cents(other, rate) - each_cents(own, rate)), other.name


def _ways(shop: Shop, work: str, shape: str, count: int) -> tuple[Way, Way]:
    rules, rate = shop.rules, _rate(shop)
    return tool_way(work, 1, rules), cheapest(other_ways(work, shape, rules), count, rate)


def _rate(shop: Shop) -> float:
    return shop.rules.number("buy.rate_per_hour_cents")


def _first(one: Figures, shop: Shop) -> Worth:
    """No sound piece: a year's work is done another way, or it waits, or another kind does it."""
    if shop.stand_in(one):
        return _spare(one, shop, 2)
    saving, way = stroke_saving(one, shop)
    if not saving:
        down = _down_cents(shop)
        return Worth(down, (fact("buy.standstill", cents=down, currency=shop.currency),))
    share = work_share(1, one.pieces_per_year) if one.pieces_per_year else 1.0
    holes = one.strokes_per_year * share
    cents = yearly_value_cents(holes, saving, 0.0, 0, 0.0, 0, 1.0)
    figures = {"strokes": holes, "saving_cents": saving, "way": way, "currency": shop.currency}
    return Worth(cents, (fact("buy.work-of-first", **figures),))


def _spare(one: Figures, shop: Shop, piece: int) -> Worth:
    """The pieces before it break, or are worn before the year is over."""
    saving, way = stroke_saving(one, shop)
    alone = bool(saving) and not shop.stand_in(one)
    breaks = one.strokes_per_year / shop.rules.number("buy.strokes_per_break")
    covered = uncovered_share(piece - 1, breaks, one.lead_days)
    covered -= uncovered_share(piece, breaks, one.lead_days)
    missed = one.use.strokes_per_day * one.lead_days if alone else 0.0
    share = work_share(piece, one.pieces_per_year) if one.pieces_per_year and alone else 0.0
    holes, chance = one.strokes_per_year * share, 1 - exp(-breaks)
    down = _down_cents(shop)
    cost = round(down + missed * saving)
    cents = yearly_value_cents(holes, saving, chance, cost, covered, 0, 1.0)
    risk = fact(
        "buy.breakage",
        chance=chance,
        down_cents=down,
        missed=missed,
        saving_cents=saving,
        way=way,
        covered=covered,
        currency=shop.currency,
    )
    left = fact("buy.work-left", strokes=holes, saving_cents=saving, currency=shop.currency)
    return Worth(cents, (risk, left) if holes else (risk,))


def _down_cents(shop: Shop) -> int:
    return round(shop.rules.number("buy.break_downtime_cents"))
