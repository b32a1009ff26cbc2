"""The board as a problem of what to buy: uses, spares on the shelf, offers and packages."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from crib.desk.buying.drafts import Board, Draft, Wish
from crib.desk.buying.ways_to_buy import Market, charge_cents, draft_years, market_of, tiers
from crib.desk.buying.worth import Worth, worth_of_units
from crib.stock.queries.buying import BundleRow
from crib.stock.queries.demand import OfferRow
from crib.trade.money.purchase import Item, Key, Offer, PurchaseProblem, Stock, Use


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


def idle_pieces(task: BuyingTask, index: int) -> int:
    """How many of the pieces that a rule asks for are worth nothing by the use of their kind.

    Of what has no edge the crib counts no use, and what is wanted is used from then on: these are
    kept as the shop says.
    """
    draft = task.board.drafts[index]
    if draft.figures is None or draft.figures.life is None or not draft.own:
        return 0
    if any(wish.cents for wish in draft.wishes):
        return 0
    idle = sum(not one.cents for one in task.worths.get(index, ()))
    return idle if draft.lot == 1 or idle == draft.quantity else 0


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
