"""Every budget at which another purchase becomes the best, without a solver."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import product

from crib.trade.common.guards import require_positive
from crib.trade.money.purchase import PurchaseProblem
from crib.trade.money.purchase_basket import Basket, Move
from crib.trade.money.purchase_curve import BudgetPoint
from crib.trade.money.purchase_parts import bought_of, keeps_groups, parts_of, times_of
from crib.trade.money.purchase_reduced import Reduced

Step = tuple[int, int]
"""What is spent, and what it nets [cents]."""

# Ways to buy from one part that are looked at one by one.
_MANY = 4_096


def every_step(problem: PurchaseProblem, *, most: int = 5_000) -> tuple[BudgetPoint, ...] | None:
    """The least budget of every purchase that is the best of some budget, from nothing on.

    Between two steps the best purchase stays as it is. ``None`` where a part of the problem has too
    many choices to look at each, or there are more steps than are asked for.

    Source: common practice (efficient purchases of independent parts are merged, keeping those
    which no cheaper one nets as much as; Nemhauser and Ullmann, 1969).

    Args:
        problem: Uses, stock values and offers [cents].
        most: The most steps to keep [-].

    Returns:
        A proven point for each step, from spending nothing on, or ``None`` [cents].

    Raises:
        BadValue: When the most steps are not above zero.

    Example:
        >>> from crib.trade.money.purchase import Offer, Use
        >>> offers = (Offer("punch", (("p", 1),), 4_000), Offer("blade", (("b", 1),), 6_000))
        >>> uses = (Use(9_000, (frozenset({"p"}),)), Use(8_000, (frozenset({"b"}),)))
        >>> steps = every_step(PurchaseProblem(uses, (), offers)) or ()
        >>> [(step.budget_cents, step.net_cents) for step in steps]
        [(0, 0), (4000, 5000), (10000, 7000)]
    """
    require_positive(most=most)
    reduced = Reduced(problem, None)
    steps: list[Step] = [(0, 0)]
    for part in parts_of(reduced):
        own = _steps_of(reduced, part)
        if own is None:
            return None
        steps = _efficient((a + b, m + n) for a, m in steps for b, n in own)
        if len(steps) > most:
            return None
    return tuple(BudgetPoint(spent, spent, net, True) for spent, net in steps)


def _steps_of(reduced: Reduced, part: Sequence[int]) -> list[Step] | None:
    choices = times_of(reduced, part, _MANY)
    if choices is None:
        return None
    empty = Basket(reduced)
    moves: Iterable[Move] = (
        bought_of(tuple(zip(part, times, strict=True))) for times in product(*choices)
    )
    return _efficient(
        (empty.price(move), empty.gain(move)) for move in moves if keeps_groups(reduced, move)
    )


def _efficient(steps: Iterable[Step]) -> list[Step]:
    """Those that net more than every cheaper one, the cheapest first."""
    kept: list[Step] = []
    for spent, net in sorted(steps, key=lambda step: (step[0], -step[1])):
        if not kept or net > kept[-1][1]:
            kept.append((spent, net))
    return kept
