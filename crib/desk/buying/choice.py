"""What a budget buys: the choice that gains most, then what the shop keeps by its own rules.

A want gains once all that it lacks is bought, a spare by what it is worth on the shelf; both less
the price over the years that the tools serve. That choice is the best there is, and proven where
time allows. What the shop keeps whatever it gains (least counts, reorder points) is bought with
the money that is left, so that it never takes the place of a gain; what is worth nothing by its use
is only said.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

from crib.desk.buying.buying_task import BuyingTask, idle_pieces
from crib.desk.buying.drafts import Draft
from crib.desk.buying.order_cost import least_borne, without
from crib.desk.buying.ways_to_buy import bought
from crib.desk.common.prices import Price
from crib.stock.queries.buying import BundleRow
from crib.trade.money.purchase import Purchase
from crib.trade.money.purchase_best import best_purchase
from crib.trade.money.purchase_greedy import greedy_purchase
from crib.trade.money.purchase_plain import plain_purchase

SECONDS = 8.0
_FAR = 1e18


@dataclass(frozen=True, slots=True)
class BuyingChoice:
    """What is bought: the price of each draft by its index, and the packages.

    ``covered`` are the pieces of each draft that come with packages, ``kept`` those of ``prices``
    that the shop keeps by its own rules though they gain nothing. The ``closed`` suppliers'
    lines do not gain what an order costs. Without a limit nothing was
    weighed against anything, so that there is no proof.
    """

    prices: Mapping[int, Price]
    packages: tuple[BundleRow, ...]
    covered: Mapping[int, int]
    purchase: Purchase
    kept: Mapping[int, int] = field(default_factory=dict)
    closed: frozenset[str] = frozenset()

    @property
    def indexes(self) -> frozenset[int]:
        """The drafts of which something is bought."""
        return frozenset(self.prices) | frozenset(self.covered)

    def units(self, index: int) -> int:
        """Pieces of a draft that are bought."""
        price = self.prices.get(index)
        return self.covered.get(index, 0) + (price.quantity if price else 0)


def choose(task: BuyingTask, budget_cents: int | None) -> BuyingChoice:
    """What is bought within a budget, or of all that is worth its price when there is none.

    It settles each want of the board on the way that serves it. A supplier whose lines do not
    gain what an order costs is left out, the least one first.
    """
    closed: frozenset[str] = frozenset()
    purchase = _purchase(task, budget_cents, SECONDS)
    while (supplier := least_borne(task, purchase)) is not None:
        closed |= {supplier}
        purchase = _purchase(without(task, closed), budget_cents, SECONDS / (1 + len(closed)))
    for number, wish in enumerate(task.wishes):
        served = purchase.served.get(number, wish.indexes)
        task.board.settle(wish, next(way for way in wish.ways if way == served))
    task.board.clear()
    gained = _read(task, purchase)
    left = None if budget_cents is None else budget_cents - purchase.spent_cents
    kept = _kept(task, gained, left)
    return replace(
        gained,
        closed=closed,
        prices={**gained.prices, **kept},
        kept={
            index: price.quantity - (gained.prices[index].quantity if index in gained.prices else 0)
            for index, price in kept.items()
        },
    )


def _purchase(task: BuyingTask, budget_cents: int | None, seconds: float) -> Purchase:
    if budget_cents is None:
        return plain_purchase(task.problem, None) or greedy_purchase(task.problem, None)
    return best_purchase(task.problem, budget_cents, seconds=seconds)


def _read(task: BuyingTask, purchase: Purchase) -> BuyingChoice:
    """The purchase told by drafts and packages."""
    prices: dict[int, Price] = {}
    covered: dict[int, int] = {}
    packages = []
    for bundle in task.bundles:
        if purchase.bought.get(f"package {bundle.id}"):
            packages.append(bundle)
            for piece in bundle.pieces:
                index = task.board.index_of(piece.kind_id)
                if index is not None and task.needed(index):
                    covered[index] = covered.get(index, 0) + piece.quantity
    for key, times in purchase.bought.items():
        if key in task.parcels:
            index, offer = task.parcels[key]
            needed = task.needed(index)
            market = task.markets[index]
            prices[index] = bought(offer, times, needed) if offer else market.price(needed)
    return BuyingChoice(prices, tuple(packages), covered, purchase)


def _kept(task: BuyingTask, gained: BuyingChoice, left: int | None) -> dict[int, Price]:
    """What the shop keeps by its own rules, as far as the money that is left goes."""
    found: dict[int, Price] = {}
    for index in sorted(_short(task, gained), key=lambda one: _worth_for_price(task, one)):
        has, covered = gained.prices.get(index), gained.covered.get(index, 0)
        paid, pieces = (has.total_cents or 0, has.quantity) if has else (0, 0)
        for count in _counts(task, task.board.drafts[index], pieces, covered):
            price = task.markets[index].price(count)
            more = (price.total_cents or 0) - paid
            if price.total_cents is not None and (left is None or more <= left):
                found[index] = price
                left = None if left is None else left - more
                break
    return found


def _counts(task: BuyingTask, draft: Draft, pieces: int, covered: int) -> Iterator[int]:
    """How many to buy in all of a draft: what is of any worth, else as many as can be paid."""
    most = draft.quantity - covered - idle_pieces(task, draft.index)
    yield from range(most, pieces, -1) if draft.lot == 1 else (most,) * (most > pieces)


def _short(task: BuyingTask, gained: BuyingChoice) -> Iterator[int]:
    for draft in task.board.drafts:
        index = draft.index
        market = task.markets.get(index)
        if market and draft.own and not market.late and gained.units(index) < draft.quantity:
            yield index


def _worth_for_price(task: BuyingTask, index: int) -> tuple[float, int, int]:
    """The most worth for the price first, then the cheapest."""
    price = task.markets[index].price(task.needed(index)).total_cents
    cents = sum(one.cents for one in task.worths.get(index, ()))
    ratio = cents / price if price else _FAR
    return -ratio, price or 0, index
