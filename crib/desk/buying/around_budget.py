"""What is just outside a budget, what a little more money would bring, and other budgets."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from crib.desk.buying.buying_task import BuyingTask
from crib.desk.buying.choice import BuyingChoice
from crib.features.common.order_text import short_text
from crib.features.common.speech import Speech
from crib.trade.money.purchase import Key
from crib.trade.money.purchase_curve import BudgetPoint, budget_curve, just_outside
from crib.trade.money.purchase_greedy import greedy_purchase
from crib.trade.money.purchase_steps import every_step

MORE_PCT = 10.0
STEPS = 20
_SECONDS = 3.0
_MOST_OUTSIDE = 5


@dataclass(frozen=True, slots=True)
class LinesOutside:
    """Lines that would gain on top of the choice but cost more than is left, by their names.

    ``others`` are packages, and tools that no line is for as other ones would serve as well.
    """

    lines: tuple[str, ...]
    others: tuple[str, ...]
    price_cents: int
    net_cents_per_year: int


@dataclass(frozen=True, slots=True)
class AroundBudget:
    """What a budget just leaves out, and what a tenth more of it would bring."""

    outside: tuple[LinesOutside, ...]
    larger_budget_cents: int
    more_net_cents_per_year: int


@dataclass(frozen=True, slots=True)
class BudgetStep:
    """What a budget would spend on gains, and what those net in a year."""

    budget_cents: int
    spent_cents: int
    net_cents_per_year: int
    proven: bool


def look_around(
    task: BuyingTask, choice: BuyingChoice, names: Mapping[int, str], budget_cents: int
) -> AroundBudget:
    """What is just outside a budget."""
    found = just_outside(
        task.problem,
        choice.purchase,
        budget_cents,
        more_pct=MORE_PCT,
        most=_MOST_OUTSIDE,
        seconds=_SECONDS,
    )
    outside = tuple(
        LinesOutside(
            tuple(sorted({names[one] for one in indexes if one in names})),
            tuple(_others(task, keys, names)),
            one.price_cents,
            one.net_cents,
        )
        for one in found.next
        for keys in [[key for key, _times in one.offers]]
        for indexes in [{task.parcels[key][0] for key in keys if key in task.parcels}]
    )
    return AroundBudget(outside, found.larger_budget_cents, max(0, found.more_net_cents))


def steps_of(task: BuyingTask, budget_cents: int | None) -> tuple[BudgetStep, ...]:
    """Every budget at which another choice becomes the best, and the one that was given.

    Where there are too many to find each, the least budgets of some of the choices.
    """
    points = every_step(task.problem) or _some_steps(task, budget_cents)
    steps = {
        point.budget_cents: BudgetStep(
            point.budget_cents, point.spent_cents, point.net_cents, point.proven
        )
        for point in points
    }
    if budget_cents is not None and budget_cents not in steps:
        below = max(cents for cents in steps if cents < budget_cents)
        steps[budget_cents] = replace(steps[below], budget_cents=budget_cents)
    return tuple(steps[cents] for cents in sorted(steps))


def _some_steps(task: BuyingTask, budget_cents: int | None) -> Iterator[BudgetPoint]:
    """The least budgets of the choices that are the best of some budgets, from nothing on."""
    top = max(greedy_purchase(task.problem, None).spent_cents, budget_cents or 0)
    budgets = {round(top * number / STEPS) for number in range(STEPS + 1)}
    budgets |= {budget_cents} if budget_cents is not None else set()
    for point in budget_curve(task.problem, budgets, seconds=_SECONDS):
        yield replace(point, budget_cents=point.spent_cents)


def _others(task: BuyingTask, keys: Sequence[Key], names: Mapping[int, str]) -> Iterator[str]:
    say = Speech(task.board.shop.rules)
    packages = {f"package {bundle.id}": f"package {bundle.name}" for bundle in task.bundles}
    for key in keys:
        if key not in task.parcels:
            yield packages[str(key)]
        elif task.parcels[key][0] not in names:
            yield short_text(task.board.drafts[task.parcels[key][0]].spec, say)
