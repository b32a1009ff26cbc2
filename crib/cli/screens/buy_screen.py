"""What ``crib buy`` shows: the table, the budget, each order line, what to type next."""

from __future__ import annotations

import shlex
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from crib.cli.door import say, table
from crib.cli.wording import short, worded
from crib.desk.buying.buy import BuyLine, BuyPlan
from crib.desk.buying.lines_csv import when
from crib.units import format_money

if TYPE_CHECKING:
    from collections.abc import Callable

    from rich.console import Console

    from crib.desk.buying.around_budget import BudgetStep

SCREENFUL, MOST_STEPS = 20, 12
MOST_NAMED = 16
_HEADS = {
    "now": "",
    "next": "next, outside the budget",
    "by name": "asked for by a shop rule, but not used: order by name if it is wanted",
    "ask price": "price unknown: ask",
}
_NO_BUDGET_HEAD = "not bought: see why under each line"
_SHORT_WHY = 2


def drawing(every: bool, written: Sequence[str], explained: bool) -> Callable[..., None]:
    """How a plan is shown; what was written to files is said at the end."""

    def draw(screen: Console, plan: BuyPlan) -> None:
        _draw(screen, plan, every)
        if not explained:
            _draw_order(screen, plan)
        for text in written:
            screen.print(text, soft_wrap=True)

    return draw


def _draw(screen: Console, plan: BuyPlan, every: bool) -> None:
    """The table, then each order line in full with its reasons, then what is on order."""
    most = len(plan.lines) if every else SCREENFUL
    shown = plan.lines[:most]
    for late in plan.late:
        say(screen, f"chase: {worded(late.chase)}")
    if not plan.lines:
        screen.print("nothing to buy")
    for word, head in _HEADS.items():
        told = _NO_BUDGET_HEAD if word == "next" and plan.budget_cents is None else head
        _draw_table(screen, [one for one in shown if when(one) == word], told, plan.currency)
    if plan.lines:
        for text in _sums(plan):
            say(screen, text)
    if len(plan.lines) > most:
        screen.print(f"{len(plan.lines) - most} more lines: --all")
    _draw_curve(screen, plan, every)
    if shown:
        screen.print("\nto send")
    for line in shown:
        _draw_line(screen, line, plan.currency)
    for order in plan.on_order:
        since = f" since {order.ordered_on}" if order.ordered_on else ""
        what = f"{order.quantity} x {order.kind}" if order.kind else order.text
        say(screen, f"on order{since}: {what}")
    for note in plan.notes:
        say(screen, f"note: {worded(note)}")


def _draw_table(screen: Console, lines: Sequence[BuyLine], head: str, currency: str) -> None:
    if not lines:
        return
    rows = table("line", "qty", "what", f"price {currency}", "why", right=("qty",), title=head)
    rows.columns[3].justify = "right"
    longest = max(4, *(len(line.name) for line in lines))
    for column, width in ((0, longest), (1, 3), (2, 28), (3, 9)):
        rows.columns[column].width = width
    for line in lines:
        rows.add_row(
            line.name,
            str(line.quantity),
            line.what,
            "?" if line.price_cents is None else f"{line.price_cents / 100:,.2f}",
            _short(line),
        )
    screen.print(rows)


def _short(line: BuyLine) -> str:
    """The reasons in a few words each."""
    words = [short(reason) for reason in line.reasons]
    marks = ["by a shop rule"] * bool(line.by_rule)
    marks += [short(one) for one in line.reasons if one.code == "buy.thin"]
    return "; ".join(list(dict.fromkeys(marks + words))[:_SHORT_WHY])


def _sums(plan: BuyPlan) -> Iterator[str]:
    spent = format_money(plan.spent_cents, plan.currency)
    worth = f"worth {format_money(plan.value_cents_per_year, plan.currency)} a year"
    kept = format_money(plan.kept_cents, plan.currency)
    of_it = f"of that {kept} for what the shop keeps by its own rules, whatever it gains"
    orders = f"{plan.orders} order{'s' * (plan.orders != 1)}"
    beside = f"beside it {orders}: {format_money(plan.order_cents, plan.currency)}"
    if plan.budget_cents is None:
        yield f"all with a price: {spent}, {worth}"
        yield from [of_it] * bool(plan.kept_cents) + [beside] * bool(plan.orders)
        return
    budget = format_money(plan.budget_cents, plan.currency)
    yield f"within the budget of {budget}: {spent}, {worth}"
    yield from [of_it] * bool(plan.kept_cents) + [beside] * bool(plan.orders)
    net = format_money(plan.net_cents_per_year, plan.currency)
    yield f"a gain of {net} a year after prices over the years; {_proof(plan)}"
    yield from _around(plan)


def _proof(plan: BuyPlan) -> str:
    if plan.proven:
        return "no other choice within the budget gains more (proven)"
    if plan.gap is None:
        return "whether more could be had was not found out in time"
    missed = f"{100 * plan.gap:.1f} % of the best gain"
    return f"at most {missed} may be missed: not proven in time"


def _around(plan: BuyPlan) -> Iterator[str]:
    """The next lines outside the budget, and what a tenth more of it would bring."""
    if plan.around is None:
        return
    for one in plan.around.outside[:3]:
        words = [f"line {' and '.join(one.lines)}"] if one.lines else []
        words += one.others
        price = format_money(one.price_cents, plan.currency)
        gain = format_money(one.net_cents_per_year, plan.currency)
        yield f"just outside: {', '.join(words)} for {price}, a gain of {gain} a year"
    more = format_money(plan.around.more_net_cents_per_year, plan.currency)
    larger = format_money(plan.around.larger_budget_cents, plan.currency)
    yield f"10 % more money, {larger}, would gain {more} a year more"


def _draw_curve(screen: Console, plan: BuyPlan, every: bool) -> None:
    if not plan.curve:
        return
    heads = tuple(f"{word} {plan.currency}" for word in ("budget", "spent", "gain a year"))
    rows = table("", *heads, "proven", right=heads)
    shown = _some_steps(plan, every)
    for one in shown:
        cents = (one.budget_cents, one.spent_cents, one.net_cents_per_year)
        here = "this" if one.budget_cents == plan.budget_cents else ""
        amounts = (f"{amount / 100:,.2f}" for amount in cents)
        rows.add_row(here, *amounts, "yes" if one.proven else "no")
    screen.print()
    screen.print(rows)
    if len(shown) < len(plan.curve):
        screen.print(f"{len(shown)} of {len(plan.curve)} steps: --all")


def _some_steps(plan: BuyPlan, every: bool) -> list[BudgetStep]:
    """The first and the last step, the budget given, and some between at even gains."""
    steps = plan.curve
    if every or len(steps) <= MOST_STEPS:
        return list(steps)
    most = steps[-1].net_cents_per_year
    gains = [most * number // (MOST_STEPS - 1) for number in range(MOST_STEPS)]
    chosen = {
        next(step.budget_cents for step in steps if step.net_cents_per_year >= gain)
        for gain in gains
    }
    chosen |= {steps[0].budget_cents, plan.budget_cents or 0}
    return [step for step in steps if step.budget_cents in chosen]


def _draw_line(screen: Console, line: BuyLine, currency: str) -> None:
    say(screen, line.text, f"{line.name:<6} ", "       ")
    for text in _under(line, currency):
        say(screen, text, "       - ", "         ")


def _under(line: BuyLine, currency: str) -> Iterator[str]:
    yield from map(worded, line.reasons)
    worth = format_money(line.value_cents_per_year, currency)
    yield f"worth {worth} a year" + (
        f": {'; '.join(map(worded, line.figures))}" if line.figures else ""
    )
    yield _price(line, currency)
    if line.gaps:
        yield f"say before sending: {'; '.join(line.gaps)}"


def _price(line: BuyLine, currency: str) -> str:
    if line.price_cents is None or line.unit_price_cents is None:
        return "price unknown: ask"
    each = format_money(line.unit_price_cents, currency)
    total = format_money(line.price_cents, currency)
    parts = [f"{line.quantity} x {each} = {total}"]
    parts += [f"{line.lead_days} days"] if line.lead_days is not None else []
    parts += [line.supplier] if line.supplier else []
    return ", ".join(parts)


def _draw_order(screen: Console, plan: BuyPlan) -> None:
    """The command that orders what is within the budget."""
    inside = [line for line in plan.lines if line.within_budget]
    if plan.site == "":
        if inside:
            one = f"crib order {inside[0].name} --share SITE=N{_options(plan)} --site SITE"
            screen.print(f"order each line with the sites it is for: {one}", soft_wrap=True)
        return
    named = [one.name for one in inside if one.supplier]
    if named:
        every = len(named) == len(inside) and len(named) > MOST_NAMED
        which = "--all" if every else " ".join(named)
        screen.print(f"order them: crib order {which}{_options(plan)}", soft_wrap=True)
    bare = [one.name for one in inside if not one.supplier]
    if bare:
        words = f"crib order {' '.join(bare)}{_options(plan)} --from NAME"
        screen.print(f"these name no supplier: {words}", soft_wrap=True)


def _options(plan: BuyPlan) -> str:
    """The options with which as many of each line are bought."""
    text = ""
    if plan.budget_cents is not None:
        whole, cents = divmod(plan.budget_cents, 100)
        text += f" --budget {whole}" + (f".{cents:02d}" if cents else "")
    text += f" --arrive-by {plan.by}" if plan.by else ""
    return text + (f" --site {shlex.quote(plan.site)}" if plan.site else "")
