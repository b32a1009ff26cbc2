"""What to buy next and why: complete order lines, what each is worth, and what fits a budget."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from datetime import date, datetime
from typing import Any

from crib.acts import Fact, Said, act, fact, saying
from crib.desk.buying.around_budget import AroundBudget, BudgetStep, look_around, steps_of
from crib.desk.buying.buying_task import BuyingTask, task_of
from crib.desk.buying.choice import BuyingChoice, choose
from crib.desk.buying.drafts import Board
from crib.desk.buying.kind_figures import is_called
from crib.desk.buying.kind_story import facts_of
from crib.desk.buying.late_orders import LateOrder
from crib.desk.buying.line_groups import PricedPieces, names_of, priced_pieces
from crib.desk.buying.missed_tools import add_wants
from crib.desk.buying.order_cost import order_cents, without
from crib.desk.buying.reading import read_shop
from crib.desk.buying.reasons import (
    PackagePiece,
    figures_of,
    notes_of,
    only_with,
    package_pieces,
    payback_years,
    reasons_of,
    spec_of,
    texts_of,
)
from crib.desk.buying.shelf_needs import add_again, add_needs, brake
from crib.desk.common.acting import today_of
from crib.errors import BadValue, UnknownName
from crib.features.common.order_gaps import order_gaps
from crib.features.common.tool_spec import ToolSpec
from crib.stock.engine.session import Session

_MOST_EXPLAINED = 12


@dataclass(frozen=True, slots=True)
class BuyLine:
    """One line. ``text`` is what the supplier gets; ``gaps`` what he would still phone about.

    ``kind`` is the name of the crib's own kind, or None for a tool that is not one yet or for a
    package, whose pieces are its ``contents``. ``name`` stays while other lines come and go.
    ``bought_with`` are the names of the lines that its wants lack beside it, ``only_with`` those
    without which it is of no use, each way by itself.
    ``charge_cents_per_year`` is the price over the years it will serve.
    ``by_rule`` of the pieces gain nothing and are kept by a rule of the shop. An ``is_idle`` line
    stands there by such a rule alone, worth nothing by its use: ordered only by its name.
    ``payback_years`` is the price of what goes together over its worth of a year.
    """

    name: str
    role: str
    quantity: int
    kind: str | None
    what: str
    text: str
    reasons: tuple[Fact, ...]
    unit_price_cents: int | None
    price_cents: int | None
    lead_days: int | None
    supplier: str
    value_cents_per_year: int
    charge_cents_per_year: int
    figures: tuple[Fact, ...]
    gaps: tuple[str, ...]
    bought_with: tuple[str, ...]
    within_budget: bool
    contents: tuple[PackagePiece, ...]
    only_with: tuple[tuple[str, ...], ...]
    spec: ToolSpec
    by_rule: int = 0
    is_idle: bool = False
    payback_years: float | None = None

    def as_json(self) -> dict[str, Any]:
        """The line for programs; a package has no specification."""
        said = {
            field.name: getattr(self, field.name) for field in fields(self) if field.name != "spec"
        }
        return said | {"specification": None if self.contents else self.spec.as_json()}


@dataclass(frozen=True, slots=True)
class OnOrder:
    """Something on its way."""

    kind: str | None
    text: str
    quantity: int
    supplier: str
    ordered_on: str
    needed_by: str
    number: str = ""


@dataclass(frozen=True, slots=True)
class BuyPlan:
    """What to buy. Without a budget every line that gains or is kept, with a price, is within it.

    ``kept_cents`` is the part spent on what the shop keeps by its own rules whatever it gains.
    ``value_cents_per_year`` is what the lines within are worth; ``net_cents_per_year`` what the
    choice gains after prices over the years, lines kept by the shop's own rules not counted.
    ``site`` is whose it is in a company of several: of all pooled where it is empty.
    ``late`` orders are to be chased; those given up are not ``on_order`` any more.
    ``order_cents`` is what its ``orders``, one to a supplier, cost beside the tools.
    ``gap`` is the share of that gain which may be missed, 0 when the choice is proven the
    best, ``None`` when that was not found out in time.
    """

    lines: tuple[BuyLine, ...]
    budget_cents: int | None
    by: str | None
    spent_cents: int
    kept_cents: int
    value_cents_per_year: int
    net_cents_per_year: int
    proven: bool
    gap: float | None
    currency: str
    around: AroundBudget | None
    curve: tuple[BudgetStep, ...]
    on_order: tuple[OnOrder, ...]
    notes: tuple[Said, ...]
    orders: int = 0
    order_cents: int = 0
    late: tuple[LateOrder, ...] = ()
    site: str | None = None


def plan_buying(
    session: Session,
    budget_cents: int | None = None,
    *,
    by: date | None = None,
    why: str = "",
    around: bool = False,
    curve: bool = False,
    again: Sequence[str] = (),
    now: datetime | None = None,
) -> BuyPlan:
    """What to buy next, within a budget if there is one. Reads only.

    With ``by`` only what comes by a day; with ``why`` only the lines of the kinds so called, and
    the figures of each; ``around`` says what is just outside the budget, ``curve`` what other
    budgets would bring. ``again`` names lines of which one more is bought though it is on order.

    Raises:
        BadValue: for a budget below nothing, or a day before today.
        UnknownName: when ``why`` names no kind and no line.
    """
    today = today_of(now)
    _check(budget_cents, by, today)
    shop = read_shop(session, today, also=why)
    board = Board(shop)
    notes = add_wants(board) + add_needs(board)
    brake(board)
    add_again(board, again)
    task = task_of(board, by)
    choice = choose(task, budget_cents)
    entries = priced_pieces(task, choice)
    plan = _plan(task, choice, entries, budget_cents, (*shop.notes, *notes))
    site = session.at.name if session.at is not None and session.at.several else None
    plan = replace(plan, by=by.isoformat() if by else None, site=site)
    borne = without(task, choice.closed)
    if around and budget_cents is not None:
        plan = replace(plan, around=look_around(borne, choice, names_of(entries)[1], budget_cents))
    if curve:
        plan = replace(plan, curve=steps_of(borne, budget_cents))
    return _explained(plan, task, why) if why.strip() else plan


def _check(budget_cents: int | None, by: date | None, today: date) -> None:
    if budget_cents is not None and budget_cents < 0:
        message = f"budget={budget_cents} cents must be >= 0"
        raise BadValue(message)
    if by is not None and by < today:
        message = f"{by} is before today, {today}"
        raise BadValue(message, way_out="give a day to come")


def _plan(
    task: BuyingTask,
    choice: BuyingChoice,
    entries: Sequence[PricedPieces],
    budget_cents: int | None,
    notes: tuple[Said, ...],
) -> BuyPlan:
    shop, purchase = task.board.shop, choice.purchase
    lines = tuple(_lines(task, entries))
    inside = [line for line in lines if line.within_budget]
    spent = sum(one.price_cents or 0 for one in inside)
    orders = len({one.supplier for one in inside})
    return BuyPlan(
        lines=lines,
        budget_cents=budget_cents,
        by=None,
        spent_cents=spent,
        kept_cents=spent - purchase.spent_cents,
        late=shop.late,
        orders=orders,
        order_cents=round(orders * order_cents(task)),
        value_cents_per_year=sum(one.value_cents_per_year for one in inside),
        net_cents_per_year=purchase.net_cents,
        proven=purchase.proven,
        gap=purchase.gap,
        currency=shop.rules.text("crib.currency"),
        around=None,
        curve=(),
        on_order=tuple(
            OnOrder(
                order.kind,
                order.text,
                order.quantity,
                order.supplier,
                order.ordered_on,
                order.needed_by,
                order.number,
            )
            for order in shop.orders
        ),
        notes=(*notes, *map(saying, (*notes_of(task, choice), *_unpriced(lines)))),
    )


def _lines(task: BuyingTask, entries: Sequence[PricedPieces]) -> Iterator[BuyLine]:
    names, found = names_of(entries)
    for name, entry in zip(names, entries, strict=True):
        yield _line(task, entry, name, found)


def _line(task: BuyingTask, entry: PricedPieces, name: str, names: Mapping[int, str]) -> BuyLine:
    shop, price = task.board.shop, entry.price
    spec = spec_of(entry, shop)
    what, text = texts_of(entry, spec, shop)
    beside = {names[two] for wish in entry.wishes for two in wish.indexes}
    return BuyLine(
        name=name,
        role="package" if entry.package else spec.role,
        quantity=price.quantity,
        kind=entry.kind,
        what=what,
        text=text,
        reasons=tuple(reasons_of(task, entry, name, names)),
        unit_price_cents=price.unit_cents,
        price_cents=price.total_cents,
        lead_days=price.lead_days,
        supplier=price.supplier,
        value_cents_per_year=entry.cents,
        charge_cents_per_year=entry.charge_cents,
        figures=tuple(figures_of(task, entry)),
        gaps=() if entry.package else order_gaps(spec),
        bought_with=tuple(sorted(beside - {name})),
        within_budget=entry.bought,
        contents=tuple(package_pieces(task, entry)),
        only_with=only_with(entry, names),
        spec=spec,
        by_rule=entry.by_rule,
        is_idle=entry.is_idle,
        payback_years=payback_years(task, entry),
    )


def _unpriced(lines: Sequence[BuyLine]) -> Iterator[Fact]:
    unknown = sum(line.price_cents is None for line in lines)
    if unknown:
        yield fact("buy.unpriced", count=unknown)


def _explained(plan: BuyPlan, task: BuyingTask, why: str) -> BuyPlan:
    """Only what is so called, with the figures of each kind."""
    shop = task.board.shop
    kinds = [one for one in shop.figures.values() if is_called(one.kind, why)]
    names = {kind.kind.name for kind in kinds}
    wanted = " ".join(why.split()).casefold()
    lines = [line for line in plan.lines if _is_about(line, names, wanted)]
    if not lines and not kinds:
        message = f"no kind is called {why.strip()[:40]!r}"
        way_out = saying(act("stock"), " lists the kinds; a part of a name will do")
        raise UnknownName(message, way_out=way_out)
    told = [figure for kind in kinds[:_MOST_EXPLAINED] for figure in facts_of(kind, task)]
    more = len(kinds) - _MOST_EXPLAINED
    if more > 0:
        told.append(fact("buy.more-kinds", count=more))
    coming = tuple(one for one in plan.on_order if one.kind in names)
    late = tuple(one for one in plan.late if one.order.kind in names)
    notes = tuple(map(saying, told))
    return replace(plan, lines=tuple(lines), notes=notes, on_order=coming, late=late)


def _is_about(line: BuyLine, names: set[str], wanted: str) -> bool:
    packed = any(one.kind in names for one in line.contents)
    return packed or line.kind in names or wanted in line.what.casefold()
