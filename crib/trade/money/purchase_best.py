"""The best use of a tooling budget, proven where time allows."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import ceil
from time import perf_counter

from crib.trade.common.guards import require_not_negative, require_positive
from crib.trade.money.purchase import Purchase, PurchaseProblem, counted_purchase
from crib.trade.money.purchase_filling import Filling
from crib.trade.money.purchase_model import PurchaseModel, Solved
from crib.trade.money.purchase_near import near_purchases
from crib.trade.money.purchase_plain import plain_purchase
from crib.trade.money.purchase_reduced import Reduced
from crib.trade.money.purchase_shaking import shaken
from crib.trade.money.purchase_solver import Condition

# What may be left of the time after each step.
_GREEDY_LEFT, _RELAXED_LEFT, _STARTED_LEFT, _VARIED_LEFT, _SOLVED_LEFT = 0.7, 0.5, 0.78, 0.42, 0.05
# Shares of the relaxed purchase from which an offer is bought, to thin out from there.
_SHARES = (0.5, 0.7, 0.6, 0.4, 0.3, 0.1)
_MOST_WEIGHT = 1 << 20
_SHAKES = 40


def best_purchase(
    problem: PurchaseProblem,
    budget_cents: int | None,
    *,
    seconds: float = 20.0,
    gap: float = 0.0,
    clock: Callable[[], float] = perf_counter,
) -> Purchase:
    """The purchase that nets the most within a budget; the best found when time runs out.

    Among purchases of the same net the one that spends the least is taken, of those the one with
    the fewest purchases, of those the one that buys the earlier offers. When the best is not proven
    in time, or the time is up right after the proof, that choice among equals may be skipped. The
    answer is counted again in whole cents, is never over the budget and, unless time is up before,
    never below ``greedy_purchase``.

    Source: common practice (mixed-integer program: coverage by sets of items under a budget),
    solved by HiGHS.

    Args:
        problem: Uses, stock values and offers [cents].
        budget_cents: What may be spent; ``None`` for no limit [cents].
        seconds: The longest to look for, about; less when the best is proven before [s].
        gap: The share of the net that may be missed for an earlier answer, 0 for none [-].
        clock: What tells how many seconds went by; the machine's own unless a test brings one [s].

    Returns:
        The purchase, the bound that no other can be above if one was found in time, and whether
        they meet [cents].

    Raises:
        BadValue: When the budget or the gap is negative, or the seconds are not above zero.

    Example:
        >>> from crib.trade.money.purchase import Offer, Use
        >>> offers = (Offer("punch", (("p", 1),), 4_000), Offer("die", (("d", 1),), 6_000))
        >>> uses = (Use(25_000, (frozenset({"p", "d"}),)),)
        >>> best = best_purchase(PurchaseProblem(uses, (), offers), 10_000)
        >>> best.net_cents, best.proven
        (15000, True)
    """
    require_positive(seconds=seconds)
    require_not_negative(gap=gap)
    watch = _Watch(clock, clock() + seconds)
    plain = plain_purchase(problem, budget_cents)
    if plain is not None:
        return plain
    search = _Search(Reduced(problem, budget_cents), watch)
    search.run(gap)
    return counted_purchase(problem, search.reduced.named(search.times), search.bound)


@dataclass(frozen=True, slots=True)
class _Watch:
    """How much time is left."""

    clock: Callable[[], float]
    end: float

    def left(self) -> float:
        """The seconds left."""
        return self.end - self.clock()


class _Search:
    """The best purchase known, and the bound, while both come nearer to each other."""

    def __init__(self, reduced: Reduced, watch: _Watch) -> None:
        self.reduced = reduced
        self.bound: int | None = None
        self._watch, self._seconds = watch, watch.left()
        self._filling = Filling(reduced, self._stopped)
        self._least_left = _GREEDY_LEFT
        self._model = PurchaseModel(reduced)
        self._is_alone = False
        filling = self._filling
        self.times: list[int] = filling.filled_once() if self._is_large else filling.greedy()

    @property
    def _is_large(self) -> bool:
        return self._model.is_large

    def _stopped(self) -> bool:
        """Whether the time for what is done now is up."""
        return self._left() <= 0

    def _left(self) -> float:
        """The seconds left for what is done now."""
        return self._watch.left() - self._seconds * self._least_left

    @property
    def _proven(self) -> bool:
        return self._is_within(0.0)

    def _is_within(self, gap: float) -> bool:
        """Whether no more than a share of the bound can be missing."""
        if self.bound is None:
            return False
        return self.bound * (1 - gap) <= self.reduced.net(self.times)

    def run(self, gap: float) -> None:
        """From a good purchase to the best one, as far as the time goes."""
        self._least_left = _RELAXED_LEFT
        if not self._stopped():
            self._relax()
        self._least_left = _SOLVED_LEFT
        # A large one that was not even relaxed in its time will not be solved in the rest of it.
        is_worth_it = not self._is_large or self.bound is not None
        if is_worth_it and not self._stopped() and not self._is_within(gap):
            self._model.tighten(self.reduced.net(self.times))
            self._learn(self._solved(gap))
        self._least_left = 0.0
        if self._proven and not self._is_alone:
            self._choose_among_equals()

    def _solved(self, gap: float) -> Solved:
        """What the solver says: of a small problem whether there is another purchase as good."""
        net = self.reduced.net(self.times)
        if self._is_large or gap:
            solved = self._model.best(self._stopped, net, gap)
        else:
            solved = self._model.other(self._stopped, self.times, net)
            self._is_alone = solved.none
        if solved.none:
            return Solved(None, net, True)
        return replace(solved, most=None if solved.most is None else max(net, solved.most))

    def _keep(self, times: Sequence[int] | None) -> bool:
        """Take a purchase if it is sound and the better one."""
        if times is None or not self.reduced.fits(times):
            return False
        better = self.reduced.rank(times) > self.reduced.rank(self.times)
        if better:
            self.times = list(times)
        return better

    def _learn(self, solved: Solved) -> None:
        if solved.most is not None:
            self.bound = solved.most if self.bound is None else min(self.bound, solved.most)
        if self._keep(solved.times) and not self._proven:
            self._keep(self._filling.improved(self.times))

    def _relax(self) -> None:
        """Learn from the shares that could be bought: a bound, and where to start from."""
        relaxed = self._model.relaxed(self._stopped)
        if relaxed.shares is None:
            return
        self.bound = relaxed.most
        self._least_left = _STARTED_LEFT
        for start in self._starts(relaxed.shares):
            if self._stopped() or self._proven:
                break
            self._keep(self._filling.thinned(start))
        self._least_left = _VARIED_LEFT
        if self._stopped() or self._proven:
            return
        for found in self._varied(relaxed.shares):
            self._keep(found)
            if self._stopped() or self._proven:
                return

    def _varied(self, shares: Sequence[float]) -> Iterator[Sequence[int]]:
        """Purchases not far from the best known: of a small problem by chance, else solved."""
        if self._is_large:
            return near_purchases(self._model, self.reduced, self.times, shares, self._left)
        shakes = min(_SHAKES, 2 * len(self.times))
        quick = Filling(self.reduced, self._stopped, is_quick=True)
        return shaken(self.reduced, quick, self.times, shakes)

    def _starts(self, shares: Sequence[float]) -> Iterator[list[int]]:
        """Too much each time, by the shares."""
        likely = sorted(range(len(shares)), key=lambda number: -shares[number])
        nothing = [0] * len(shares)
        for share in _SHARES:
            start = self._filling.added(nothing, [n for n in likely if shares[n] >= share - 1e-9])
            yield [self._rounded(n, shares[n]) if times else 0 for n, times in enumerate(start)]

    def _rounded(self, number: int, share: float) -> int:
        offer = self.reduced.offers[number]
        return min(offer.most, max(offer.least, ceil(share - 0.5)))

    def _choose_among_equals(self) -> None:
        """Spend less, buy fewer times, buy earlier offers, for the same net."""
        self._model.tighten(self.reduced.net(self.times))
        if self._has_no_equal():
            return
        net = self._model.net_row(self.reduced.net(self.times))
        prices = {number: float(offer.price) for number, offer in enumerate(self.reduced.offers)}
        if not self._ask(prices, [net]):
            return
        rows = [net, self._model.spent_row(self.reduced.spent(self.times))]
        every = dict.fromkeys(range(len(self.times)), 1.0)
        if not self._ask(every, rows):
            return
        rows.append(Condition(every, 0, sum(self.times) + 0.5))
        for weights in self._weights():
            if not self._ask({number: -weight for number, weight in weights.items()}, rows):
                return
            rows += [
                Condition({number: 1}, self.times[number], self.times[number]) for number in weights
            ]

    def _has_no_equal(self) -> bool:
        """Whether no other purchase can net as much and come before it, or no time is left."""
        if self._stopped():
            return True
        net, spent = self.reduced.net(self.times), self.reduced.spent(self.times)
        spending = self._model.spent_row(spent)
        other = self._model.other(self._stopped, self.times, net, spending)
        self._keep(other.times)
        return other.none or (other.most is not None and other.most < net)

    def _ask(self, costs: dict[int, float], rows: list[Condition]) -> bool:
        """Whether there is an answer of the least cost in time; the better one is kept."""
        if self._stopped():
            return False
        solved = self._model.least(costs, rows, self._stopped)
        self._keep(solved.times)
        return solved.times is not None

    def _weights(self) -> Iterator[dict[int, float]]:
        """Runs of offers, each offer worth more than all the later ones of its run."""
        run: dict[int, float] = {}
        weight = 1.0
        for number, offer in enumerate(self.reduced.offers):
            run = {earlier: factor * (offer.most + 1) for earlier, factor in run.items()}
            run[number] = 1.0
            weight *= offer.most + 1
            if weight > _MOST_WEIGHT:
                yield run
                run, weight = {}, 1.0
        if run:
            yield run
