"""What was chosen as lines in the order to show them: what goes together stands together."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from crib.desk.buying.buying_task import BuyingTask, idle_pieces
from crib.desk.buying.choice import BuyingChoice
from crib.desk.buying.drafts import Draft, Wish
from crib.desk.buying.line_names import MORE, kind_line, package_line, shortened, tool_line
from crib.desk.buying.ways_to_buy import charge_cents
from crib.desk.buying.worth import Worth
from crib.desk.common.prices import Price
from crib.stock.queries.buying import BundleRow

_FAR = 1e18


@dataclass(frozen=True, slots=True, eq=False)
class PricedPieces:
    """Some pieces of a draft at a price, or a package. ``cents`` is what it is worth a year.

    ``by_rule`` of the pieces gain nothing and are kept by a rule of the shop; ``is_idle`` where
    that is all of them and none is worth anything, so that they are not bought; ``is_unborne``
    where its supplier's lines do not gain what an order costs.
    """

    drafts: tuple[Draft, ...]
    price: Price
    bought: bool
    cents: int
    charge_cents: int
    worths: tuple[Worth, ...] = ()
    package: BundleRow | None = None
    useful: int = 0
    wishes: tuple[Wish, ...] = ()
    by_rule: int = 0
    is_idle: bool = False
    is_unborne: bool = False

    @property
    def index(self) -> int:
        """Where it stands on the board."""
        return self.drafts[0].index

    @property
    def kind(self) -> str | None:
        """The name of the crib's own kind, if it is one; a package is none."""
        figures = self.drafts[0].figures
        return figures.kind.name if figures and self.package is None else None

    @property
    def is_loose(self) -> bool:
        """Whether it is a tool that is no kind of the crib yet."""
        return self.package is None and self.drafts[0].figures is None

    @property
    def repeated(self) -> bool:
        """Whether it is for a size that so many jobs asked for."""
        return any(draft.repeated for draft in self.drafts)


def priced_pieces(task: BuyingTask, choice: BuyingChoice) -> list[PricedPieces]:
    """Every line, the groups that hang together by wants one after the other."""
    packages = [_package(task, choice, package) for package in choice.packages]
    single = [entry for draft in _wanted(task) for entry in _entries(task, choice, draft)]
    groups = [[package] for package in packages]
    for bought in (True, False):
        groups += _groups([one for one in single if one.bought is bought])
    groups.sort(key=_order)
    return [one for group in groups for one in group]


def names_of(entries: Sequence[PricedPieces]) -> tuple[list[str], dict[int, str]]:
    """The name of each entry, and the name by which each draft is found.

    A draft is found by itself, else in its package. What a budget leaves out of a draft has the
    draft's name with a plus.
    """
    loose = {tool_line(one.drafts[0].spec) for one in entries if one.is_loose}
    short, names = shortened(loose), list[str]()
    for entry in entries:
        name = _name(entry, short)
        while name in names:
            name += MORE
        names.append(name)
    found: dict[int, str] = {}
    for packed in (False, True):
        for name, entry in zip(names, entries, strict=True):
            if (entry.package is not None) is packed:
                for draft in entry.drafts:
                    found.setdefault(draft.index, name)
    return names, found


def _name(entry: PricedPieces, short: Mapping[str, str]) -> str:
    figures = entry.drafts[0].figures
    if entry.package is not None:
        return package_line(entry.package.id)
    return kind_line(figures.kind.id) if figures else short[tool_line(entry.drafts[0].spec)]


def _wanted(task: BuyingTask) -> Iterator[Draft]:
    return (draft for draft in task.board.drafts if draft.quantity)


def _entries(task: BuyingTask, choice: BuyingChoice, draft: Draft) -> Iterator[PricedPieces]:
    """What is bought of a draft, and what is not."""
    index, covered = draft.index, choice.covered.get(draft.index, 0)
    has, market = choice.prices.get(index), task.markets[index]
    there = covered + (has.quantity if has else 0)
    if has is not None:
        yield _entry(task, choice, draft, has, (covered, there))
    if there < draft.quantity:
        price = market.price(draft.quantity - there)
        yield _entry(task, choice, draft, price, (there, draft.quantity), bought=False)


def _entry(
    task: BuyingTask,
    choice: BuyingChoice,
    draft: Draft,
    price: Price,
    units: tuple[int, int],
    *,
    bought: bool = True,
) -> PricedPieces:
    """The pieces of a draft from one number to another; the first of them bear the wants."""
    worths = task.worths.get(draft.index, ())[slice(*units)]
    wishes = tuple(draft.wishes) if not units[0] else ()
    wanted = sum(_share(wish, draft.index, choice.indexes) for wish in wishes)
    return PricedPieces(
        (draft,),
        price,
        bought,
        wanted + sum(one.cents for one in worths),
        charge_cents(price.total_cents or 0, draft, task.board.shop),
        worths,
        wishes=wishes,
        by_rule=choice.kept.get(draft.index, 0) if bought else 0,
        is_unborne=not bought and price.supplier in choice.closed,
        is_idle=not bought and units[1] - units[0] <= idle_pieces(task, draft.index),
    )


def _package(task: BuyingTask, choice: BuyingChoice, bundle: BundleRow) -> PricedPieces:
    """A package with what its useful pieces are worth."""
    indexes = [task.board.index_of(piece.kind_id) for piece in bundle.pieces]
    drafts = tuple(
        task.board.drafts[one] for one in indexes if one is not None and one in choice.covered
    )
    wanted = sum(
        _share(wish, draft.index, choice.indexes) for draft in drafts for wish in draft.wishes
    )
    worths = tuple(
        worth
        for draft in drafts
        for worth in task.worths.get(draft.index, ())[: choice.covered[draft.index]]
    )
    offer = next(one for one in task.problem.offers if one.key == f"package {bundle.id}")
    useful = choice.purchase.useful.get(offer.key, (bundle.count, bundle.count))[0]
    price = Price(1, bundle.price_cents, bundle.price_cents, _days(task, bundle), bundle.supplier)
    return PricedPieces(
        drafts,
        price,
        True,
        wanted + sum(one.cents for one in worths),
        offer.net_charge_cents,
        worths,
        bundle,
        useful,
        tuple(wish for draft in drafts for wish in draft.wishes),
    )


def _days(task: BuyingTask, bundle: BundleRow) -> int | None:
    seen = task.board.shop.seen.get(bundle.supplier)
    return seen.days if seen else bundle.lead_days


def _groups(entries: Sequence[PricedPieces]) -> list[list[PricedPieces]]:
    """Entries that hang together, directly or by others, because a want lacks both."""
    left = {entry.index: entry for entry in entries}
    found = []
    while left:
        part, edge = set[int](), {next(iter(left))}
        while edge:
            part |= edge
            near = {two for one in edge for wish in left[one].wishes for two in wish.indexes}
            edge = (near & left.keys()) - part
        some = [left.pop(index) for index in sorted(part)]
        found.append(sorted(some, key=lambda one: (one.drafts[0].spec.role != "punch", one.index)))
    return found


def _order(group: Sequence[PricedPieces]) -> tuple[bool, bool, bool, float, int, int]:
    """Bought before not, priced before not, repeated sizes first, then worth for its cost."""
    known = [one.price.total_cents for one in group if one.price.total_cents is not None]
    value, cost = sum(one.cents for one in group), sum(known)
    ratio = value / cost if cost else _FAR
    unpriced = len(known) < len(group)
    repeated = any(one.repeated for one in group)
    return (not group[0].bought, unpriced, not repeated, -ratio, -value, group[0].index)


def _share(wish: Wish, index: int, bought: frozenset[int]) -> int:
    """A line's part of what a want is worth: shared by all it lacks, or by what is left of it.

    A want that is not served yet is worth nothing to the lines that are bought already.
    """
    bearers = sorted(one for one in wish.indexes if one not in bought) or sorted(wish.indexes)
    if index not in bearers:
        return 0
    each, more = divmod(wish.cents, len(bearers))
    return each + (bearers.index(index) < more)
