"""What a line is worth in a year: holes that need not be drilled, standstill that is spared.

The price is not taken off here: it is what the budget pays, and stands beside the worth.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import exp

from crib.desk.buy_drafts import Draft
from crib.desk.buy_figures import Figures, Shop
from crib.trade.money import yearly_value_cents
from crib.units import format_money

_PUNCHING = ("punch", "die")


@dataclass(frozen=True, slots=True)
class Worth:
    """The worth of a year [cents] and the figures it is made of."""

    cents: int
    figures: tuple[str, ...]


def worth_of_wishes(draft: Draft, shop: Shop) -> tuple[str, ...]:
    """The figures behind what was wanted of a line."""
    if not draft.fresh:
        return ()
    holes = sum(one.quantity for one in draft.fresh)
    shared = any(len(one.places) > 1 for one in draft.wishes if one.fresh)
    text = f"{holes:,} holes wanted x {_money(shop, shop.saving_cents())} saved on drilling"
    return (f"{text}, shared with what goes with it" if shared else text,)


def worth_of_stock(one: Figures | None, shop: Shop) -> Worth:
    """What a line is worth in a year for the shelf's sake."""
    if one is None or not one.use.strokes_per_day:
        return Worth(0, ())
    if one.usable <= 0:
        return _standing_still(one, shop)
    return _at_risk(one, shop) if one.usable == 1 and not one.on_order else Worth(0, ())


def _standing_still(one: Figures, shop: Shop) -> Worth:
    """No sound piece: a year's holes are drilled, or a year's cuts wait."""
    if one.on_order:
        return Worth(0, ())
    if one.kind.role in _PUNCHING and not shop.stand_in(one):
        holes, saving = one.use.strokes_per_year, shop.saving_cents()
        cents = yearly_value_cents(holes, saving, 0.0, 0, 0.0, 0, 1.0)
        text = f"{holes:,.0f} strokes a year x {_money(shop, saving)} saved on drilling"
        return Worth(cents, (text,))
    down = _down_cents(shop)
    return Worth(down, (f"{_money(shop, down)} of standstill while there is none",))


def _at_risk(one: Figures, shop: Shop) -> Worth:
    """One piece and no spare: the chance that it breaks, times what that costs."""
    chance = 1 - exp(-one.use.strokes_per_year / shop.rules.number("buy.strokes_per_break"))
    down, saving = _down_cents(shop), shop.saving_cents()
    drills = one.kind.role in _PUNCHING and not shop.stand_in(one)
    missed = one.use.strokes_per_day * one.lead_days if drills else 0.0
    cost = round(down + missed * saving)
    cents = yearly_value_cents(0.0, 0.0, chance, cost, 1.0, 0, 1.0)
    drilled = f" + {missed:,.0f} holes drilled x {_money(shop, saving)}" if missed else ""
    text = f"{chance:.0%} chance a year that it breaks x ({_money(shop, down)} lost{drilled})"
    return Worth(cents, (text,))


def _down_cents(shop: Shop) -> int:
    return round(shop.rules.number("buy.break_downtime_cents"))


def _money(shop: Shop, cents: float) -> str:
    return format_money(round(cents), shop.rules.text("crib.currency"))
