"""What an order costs beside the tools: no supplier is written to for less than that gains."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from crib.desk.buying.buying_task import BuyingTask, idle_pieces
from crib.desk.buying.ways_to_buy import draft_years
from crib.trade.money.purchase import Key, Purchase


def order_cents(task: BuyingTask) -> float:
    """What one order costs beside the tools."""
    return task.board.shop.rules.number("buy.order_cents")


def without(task: BuyingTask, closed: frozenset[str]) -> BuyingTask:
    """The task without the offers of some suppliers; what a package holds stays."""
    offers = tuple(
        offer
        for offer in task.problem.offers
        if offer.key not in task.parcels or supplier_of(task, offer.key) not in closed
    )
    return replace(task, problem=replace(task.problem, offers=offers))


def supplier_of(task: BuyingTask, key: Key) -> str:
    """Who sells a parcel."""
    index, offer = task.parcels[key]
    return offer.supplier if offer else task.markets[index].price(task.needed(index)).supplier


def least_borne(task: BuyingTask, purchase: Purchase) -> str | None:
    """The supplier whose lines gain least of those that gain less than their order costs, if any.

    What the shop keeps by its rules is ordered anyway, so its suppliers cost nothing more.
    """
    anyway = set(_ordered_anyway(task))
    gains = {
        supplier: cents
        for supplier, cents in _gains(task, purchase).items()
        if supplier not in anyway and cents < order_cents(task)
    }
    return min(gains, key=lambda supplier: (gains[supplier], supplier), default=None)


def _ordered_anyway(task: BuyingTask) -> Iterator[str]:
    for index, market in task.markets.items():
        draft = task.board.drafts[index]
        if draft.own and idle_pieces(task, index) < draft.quantity:
            yield market.price(draft.quantity).supplier


def _gains(task: BuyingTask, purchase: Purchase) -> dict[str, float]:
    """What each supplier's lines gain over all the years that they serve [cents]."""
    bought = {task.parcels[key][0]: key for key in purchase.bought if key in task.parcels}
    worth = dict.fromkeys(bought, 0.0)
    for number, way in purchase.served.items():
        bearers = [index for index in bought if index in way]
        for index in bearers:
            worth[index] += task.wishes[number].cents / len(bearers)
    gains: dict[str, float] = {}
    charges = {offer.key: offer.net_charge_cents for offer in task.problem.offers}
    for index, key in bought.items():
        years = draft_years(task.board.drafts[index], task.board.shop)
        net = worth[index] - charges[key] * purchase.bought[key]
        supplier = supplier_of(task, key)
        gains[supplier] = gains.get(supplier, 0.0) + net * years
    return gains
