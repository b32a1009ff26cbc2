"""How many to order at a time: the economic order, and with price breaks.

Every cost is in one money, cents here; holding a piece for a year costs its price times the share
of ``buy.carrying_pct``. When to order is in ``safety_stock``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import sqrt

from crib.errors import BadValue
from crib.trade.common.guards import require_not_negative, require_positive
from crib.trade.money.money import carrying_cost_cents, months_of_use

MOST_MONTHS = 12.0


@dataclass(frozen=True, slots=True)
class OrderSize:
    """How many to order at a time, and what ordering and keeping them costs a year [cents]."""

    quantity: float
    cents_per_year: float


@dataclass(frozen=True, slots=True)
class PriceBreak:
    """The price of each piece in an order of so many or more."""

    from_quantity: float
    price_cents: float


@dataclass(frozen=True, slots=True)
class BreakOrder:
    """An order under price breaks: which break it is at (0 is the first), purchases included."""

    quantity: float
    cents_per_year: float
    region: int


@dataclass(frozen=True, slots=True)
class Brake:
    """Whether an order may be this large. ``months`` is None for a size that is not used."""

    allowed: bool
    months: float | None
    saving_cents: int
    carrying_cents: int


def holding_cents_per_year(price_cents: float, carrying_pct: float = 20.0) -> float:
    """What it costs to keep one piece for a year, parts of a cent kept.

    Source: common practice (about 20 % of the price a year).

    Args:
        price_cents: Price of a piece [cents].
        carrying_pct: Cost of a year, of the price [%].

    Returns:
        The cost [cents].

    Raises:
        BadValue: When an argument is negative.

    Example:
        >>> holding_cents_per_year(3_850)
        770.0
    """
    require_not_negative(price_cents=price_cents, carrying_pct=carrying_pct)
    return price_cents * carrying_pct / 100


def yearly_cents(
    quantity: float, order_cents: float, holding_cents: float, pieces_per_year: float
) -> float:
    """What ordering so many at a time costs a year: the orders, and half an order on the shelf.

    Source: Snyder and Shen, Fundamentals of Supply Chain Theory, 2nd ed., ch. 3 (the cost
    that the economic order makes least).

    Args:
        quantity: Pieces in an order [-].
        order_cents: What one order costs beside the pieces: paper, freight, booking in [cents].
        holding_cents: What keeping one piece for a year costs [cents].
        pieces_per_year: Pieces used in a year [-].

    Returns:
        The cost of a year [cents].

    Raises:
        BadValue: When the quantity is not above zero or another argument is negative.

    Example:
        >>> yearly_cents(10, 2_500.0, 800.0, 12.0)
        7000.0
    """
    require_positive(quantity=quantity)
    require_not_negative(
        order_cents=order_cents, holding_cents=holding_cents, pieces_per_year=pieces_per_year
    )
    return order_cents * pieces_per_year / quantity + holding_cents * quantity / 2


def economic_order(order_cents: float, holding_cents: float, pieces_per_year: float) -> OrderSize:
    """The order size that costs least when use is steady and nothing may run short.

    Source: Snyder and Shen, Fundamentals of Supply Chain Theory, 2nd ed., eq. 3.4, 3.5.

    Args:
        order_cents: What one order costs beside the pieces [cents].
        holding_cents: What keeping one piece for a year costs [cents].
        pieces_per_year: Pieces used in a year [-].

    Returns:
        The size, not rounded [-], and its cost of a year [cents].

    Raises:
        BadValue: When an argument is not above zero.

    Example:
        >>> economic_order(2_400.0, 800.0, 6.0).quantity
        6.0
    """
    require_positive(
        order_cents=order_cents, holding_cents=holding_cents, pieces_per_year=pieces_per_year
    )
    quantity = sqrt(2 * order_cents * pieces_per_year / holding_cents)
    return OrderSize(quantity, holding_cents * quantity)


def economic_order_with_breaks(
    order_cents: float,
    carrying_pct: float,
    pieces_per_year: float,
    breaks: Sequence[PriceBreak],
) -> BreakOrder:
    """The order size that costs least when the price of all pieces falls with the quantity.

    Source: Snyder and Shen, Fundamentals of Supply Chain Theory, 2nd ed., eq. 3.18, 3.19
    (all-units discounts).

    Args:
        order_cents: What one order costs beside the pieces [cents].
        carrying_pct: Cost of keeping a piece for a year, of its price [%].
        pieces_per_year: Pieces used in a year [-].
        breaks: The prices, by rising quantity from 0 or 1 on and falling price [-] [cents].

    Returns:
        The size [-], what a year costs with the pieces [cents], and the number of the break [-].

    Raises:
        BadValue: When a figure is not above zero, or the breaks are not in that order.

    Example:
        >>> breaks = [PriceBreak(0, 75.0), PriceBreak(400, 72.0), PriceBreak(800, 68.0)]
        >>> economic_order_with_breaks(800.0, 30.0, 1300.0, breaks).quantity
        800.0
    """
    _require_breaks(breaks)
    require_positive(carrying_pct=carrying_pct)
    ends = [*(one.from_quantity for one in breaks[1:]), float("inf")]
    found = []
    for region, (one, end) in enumerate(zip(breaks, ends, strict=True)):
        holding_cents = holding_cents_per_year(one.price_cents, carrying_pct)
        valley = economic_order(order_cents, holding_cents, pieces_per_year).quantity
        if valley >= end:
            continue  # The next price holds there, and it is lower.
        quantity = max(valley, float(one.from_quantity))
        running = yearly_cents(quantity, order_cents, holding_cents, pieces_per_year)
        found.append(BreakOrder(quantity, one.price_cents * pieces_per_year + running, region))
    return min(found, key=lambda order: (order.cents_per_year, order.quantity))


def _require_breaks(breaks: Sequence[PriceBreak]) -> None:
    if not breaks or breaks[0].from_quantity not in (0, 1):
        message = "the first price must hold from 0 or 1"
        raise BadValue(message, way_out="give the price of a single piece first")
    require_positive(**{f"price_cents_{at}": one.price_cents for at, one in enumerate(breaks)})
    for one, after in pairwise(breaks):
        rising = after.from_quantity > one.from_quantity
        if not rising or after.price_cents >= one.price_cents:
            message = (
                f"from {after.from_quantity:g} at {after.price_cents:g} must be more pieces at a"
                f" lower price than from {one.from_quantity:g} at {one.price_cents:g}"
            )
            raise BadValue(message, way_out="leave out an offer that another one beats")


def overstock_brake(
    needed: int,
    quantity: int,
    price_cents: int,
    break_price_cents: int,
    *,
    have: int,
    life_strokes: float,
    strokes_per_month: float,
    carrying_pct: float = 20.0,
    most_months: float = MOST_MONTHS,
) -> Brake:
    """Whether more than is needed may be bought: within 12 months' use, or where the price pays.

    The saving is that of every piece bought. What is bought beyond the need would else be bought
    as it is used, so each of those pieces lies on the shelf until its turn comes: the first when
    the pieces at hand and the needed ones are used up, the last when all are.

    Source: common practice (never more than 12 months' use unless a price break saves more than
    carrying, about 20 % a year).

    Args:
        needed: Pieces that are wanted anyway [-].
        quantity: Pieces that would be bought, at least those [-].
        price_cents: Price of a piece when only the needed ones are bought [cents].
        break_price_cents: Price of a piece at the quantity [cents].
        have: Pieces on the shelf and on order [-].
        life_strokes: Weighted strokes that one piece makes in its life [-].
        strokes_per_month: Weighted strokes used in a month [-].
        carrying_pct: Cost of keeping a piece for a year, of its price [%].
        most_months: Months of use that may be stocked whatever the price [months].

    Returns:
        The verdict [-], months of use [months], saving and carrying cost [cents].

    Raises:
        BadValue: When a figure is negative, or the quantity is below the need.

    Example:
        >>> overstock_brake(
        ...     2, 10, 4000, 3000, have=0, life_strokes=60e3, strokes_per_month=30e3
        ... )
        Brake(allowed=True, months=20.0, saving_cents=10000, carrying_cents=4800)
    """
    require_not_negative(
        needed=needed,
        price_cents=price_cents,
        break_price_cents=break_price_cents,
        most_months=most_months,
    )
    require_not_negative(beyond_the_need=quantity - needed)
    months = months_of_use(have + quantity, life_strokes, strokes_per_month)
    if months is None:
        return Brake(quantity == needed, None, 0, 0)
    first = months_of_use(have + needed, life_strokes, strokes_per_month) or 0.0
    extra_cents = (quantity - needed) * break_price_cents
    carrying_cents = carrying_cost_cents(extra_cents, (first + months) / 2, carrying_pct)
    saving_cents = quantity * (price_cents - break_price_cents)
    allowed = quantity == needed or months <= most_months or saving_cents > carrying_cents
    return Brake(allowed, months, saving_cents, carrying_cents)
