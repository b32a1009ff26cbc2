"""What a budget buys: the choice that gains most, then what the shop keeps by its own rules.

A want gains once all that it lacks is bought, a spare by what it is worth on the shelf; both less
the price over the years that the tools serve. That choice is the best there is, and proven where
time allows. What the shop keeps whatever it gains (least counts, reorder points) is bought with
the money that is left, so that it never takes the place of a gain; what is worth nothing by its use
is only said.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta

from crib.desk.buying.drafts import Board, Draft, Wish
from crib.desk.buying.ways_to_buy import Market, bought, charge_cents, draft_years, market_of, tiers
from crib.desk.buying.worth import Worth, worth_of_units
from crib.desk.common.prices import Price
from crib.stock.queries.buying import BundleRow
from crib.stock.queries.demand import OfferRow
from crib.trade.money.purchase import Item, Key, Offer, Purchase, PurchaseProblem, Stock, Use
from crib.trade.money.purchase_best import best_purchase
from crib.trade.money.purchase_greedy import greedy_purchase
from crib.trade.money.purchase_plain import plain_purchase

SECONDS = 8.0
_FAR = 1e18


@dataclass(frozen=True, slots=True)
class BuyingTask:
    """All that a choice is made of. ``parcels`` says which draft an offer of the problem buys.

    ``worths`` are those of each piece of a draft that is bought for its own sake, by its index.
    """

    board: Board
    markets: Mapping[int, Market]
    worths: Mapping[int, tuple[Worth, ...]]
    bundles: tuple[BundleRow, ...]
    parcels: Mapping[Key, tuple[int, OfferRow | None]]
    wishes: tuple[Wish, ...]
    problem: PurchaseProblem

    def needed(self, index: int) -> int:
        """How many pieces a draft asks for."""
        return self.board.drafts[index].quantity


@dataclass(frozen=True, slots=True)
class BuyingChoice:
    """What is bought: the price of each draft by its index, and the packages.

    ``covered`` are the pieces of each draft that come with packages, ``kept`` those of ``prices``
    that the shop keeps by its own rules though they gain nothing. Without a limit nothing was
    weighed against anything, so that there is no proof.
    """

    prices: Mapping[int, Price]
    packages: tuple[BundleRow, ...]
    covered: Mapping[int, int]
    purchase: Purchase
    kept: Mapping[int, int] = field(default_factory=dict)

    @property
    def indexes(self) -> frozenset[int]:
        """The drafts of which something is bought."""
        return frozenset(self.prices) | frozenset(self.covered)

    def units(self, index: int) -> int:
        """Pieces of a draft that are bought."""
        price = self.prices.get(index)
        return self.covered.get(index, 0) + (price.quantity if price else 0)


def task_of(board: Board, by: date | None = None) -> BuyingTask:
    """The board as a problem of what to buy."""
    shop = board.shop
    drafts = [one for one in board.drafts if one.quantity]
    markets = {one.index: market_of(one, shop, by) for one in drafts}
    worths = {
        one.index: worth_of_units(one.figures, shop, one.quantity) for one in drafts if one.own
    }
    bundles = tuple(bundle for bundle in shop.bundles if _in_time(bundle, board, by))
    parcels: dict[Key, tuple[int, OfferRow | None]] = {}
    offers = [offer for one in drafts for offer in _offers(one, markets[one.index], board, parcels)]
    offers += [offer for bundle in bundles if (offer := package_offer(bundle, board)) is not None]
    wishes = tuple(
        {id(wish): wish for draft in drafts for wish in draft.wishes if wish.cents}.values()
    )
    uses = tuple(
        Use(wish.cents, tuple(frozenset[Item](way) for way in wish.ways)) for wish in wishes
    )
    problem = PurchaseProblem(uses, tuple(_stocks(drafts, worths)), tuple(offers))
    return BuyingTask(board, markets, worths, bundles, parcels, wishes, problem)


def choose(task: BuyingTask, budget_cents: int | None) -> BuyingChoice:
    """What is bought within a budget, or of all that is worth its price when there is none.

    It settles each want of the board on the way that serves it.
    """
    if budget_cents is None:
        purchase = plain_purchase(task.problem, None) or greedy_purchase(task.problem, None)
    else:
        purchase = best_purchase(task.problem, budget_cents, seconds=SECONDS)
    for number, wish in enumerate(task.wishes):
        served = purchase.served.get(number, wish.indexes)
        task.board.settle(wish, next(way for way in wish.ways if way == served))
    task.board.clear()
    gained = _read(task, purchase)
    left = None if budget_cents is None else budget_cents - purchase.spent_cents
    kept = _kept(task, gained, left)
    return replace(
        gained,
        prices={**gained.prices, **kept},
        kept={
            index: price.quantity - (gained.prices[index].quantity if index in gained.prices else 0)
            for index, price in kept.items()
        },
    )


def package_offer(bundle: BundleRow, board: Board) -> Offer | None:
    """A package as an offer of the drafts in it; None when none of it is wanted."""
    contents: list[tuple[Item, int]] = []
    useful: list[tuple[int, Draft]] = []
    for piece in bundle.pieces:
        index = board.index_of(piece.kind_id)
        draft = None if index is None else board.drafts[index]
        if index is None or draft is None or not draft.quantity or draft.lot > piece.quantity:
            contents.append((f"kind {piece.kind_id}", piece.quantity))
        else:
            contents.append((index, piece.quantity if draft.lot == 1 else 1))
            useful.append((min(piece.quantity, draft.quantity), draft))
    if not useful:
        return None
    shop, count = board.shop, bundle.count
    years = [(number, draft_years(draft, shop)) for number, draft in useful]
    most = shop.rules.number("buy.most_years")
    # Its price is spread evenly; what is of no use is paid for all the same.
    spread = sum(number / each for number, each in years)
    spread += (count - sum(number for number, _each in years)) / most
    charge = round(bundle.price_cents * spread / count)
    key = f"package {bundle.id}"
    return Offer(key, tuple(contents), bundle.price_cents, charge_cents=charge)


def _in_time(bundle: BundleRow, board: Board, by: date | None) -> bool:
    if by is None:
        return True
    shop = board.shop
    seen = shop.seen.get(bundle.supplier)
    days = seen.days if seen else bundle.lead_days
    usual = round(shop.rules.number("buy.lead_days_default"))
    return shop.today + timedelta(days=usual if days is None else days) <= by


def _offers(
    draft: Draft, market: Market, board: Board, parcels: dict[Key, tuple[int, OfferRow | None]]
) -> Iterator[Offer]:
    """The offers of one draft, of which one is taken; a lot is bought whole."""
    if market.late:
        return
    index, group = draft.index, f"draft {draft.index}"
    if draft.lot > 1:
        price = market.price(draft.quantity)
        if price.total_cents is not None:
            parcels[f"{index}"] = (index, None)
            charge = charge_cents(price.total_cents, draft, board.shop)
            yield Offer(f"{index}", ((index, 1),), price.total_cents, charge_cents=charge)
        return
    for number, (offer, least, most) in enumerate(tiers(market, draft.quantity)):
        key = f"{index}/{number}"
        parcels[key] = (index, offer)
        cents = offer.price_cents * offer.pack_size
        charge = charge_cents(cents, draft, board.shop)
        yield Offer(key, ((index, offer.pack_size),), cents, least, most, group, charge)


def _stocks(drafts: Sequence[Draft], worths: Mapping[int, tuple[Worth, ...]]) -> Iterator[Stock]:
    for draft in drafts:
        cents = tuple(one.cents for one in worths.get(draft.index, ()))
        if any(cents):
            yield Stock(draft.index, cents if draft.lot == 1 else (sum(cents),))


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


def idle_pieces(task: BuyingTask, index: int) -> int:
    """How many of the pieces that a rule asks for are worth nothing by the use of their kind.

    Of what has no edge the crib counts no use: it is kept as the shop says.
    """
    draft = task.board.drafts[index]
    if draft.figures is None or draft.figures.life is None or not draft.own:
        return 0
    idle = sum(not one.cents for one in task.worths.get(index, ()))
    if any(wish.cents for wish in draft.wishes):
        idle = max(0, idle - draft.lot)
    return idle if draft.lot == 1 or idle == draft.quantity else 0


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
