"""The mixed-integer program of a reduced problem.

The times of the offers are whole; items that are there, uses that are served and spare units
follow from them. Each purchase brings an item at most once as the first unit, at most twice among
the first two, and so on: without that, a fraction of a pack would look like a whole piece.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import islice
from math import floor, gcd, inf

from crib.trade.money.purchase_reduced import Reduced, ReducedUse
from crib.trade.money.purchase_solver import Answer, Condition, Program, Solver, Stopped

# From so many columns on the solver alone finds too little, and more is tried before it.
LARGE_SIZE = 4_000
# A float bound this close above a whole cent may be that cent; a bound too high is still a bound.
_PART_OF_A_CENT = 0.5
_SLACK, _RELATIVE_SLACK = 1e-3, 1e-9


@dataclass(frozen=True, slots=True)
class Solved:
    """What the solver said: times of the offers if any, a bound, or that there are none."""

    shares: tuple[float, ...] | None
    most: int | None
    none: bool

    @property
    def times(self) -> tuple[int, ...] | None:
        """The times as whole numbers."""
        return None if self.shares is None else tuple(round(share) for share in self.shares)


class PurchaseModel:
    """Columns and rows; the first columns are the times of the offers."""

    def __init__(self, reduced: Reduced) -> None:
        self._reduced = reduced
        self._lower: list[float] = []
        self._upper: list[float] = []
        self._whole: list[int] = []
        self._worth: list[float] = []
        self._rows: list[Condition] = []
        # How the relaxed net falls for each more of a column, below zero for each less of it.
        self._falls: tuple[float, ...] = ()
        self._relaxed_net = inf
        self._relaxed_upper: list[float] = []
        self._solver: Solver | None = None
        for offer in reduced.offers:
            self._column(offer.most, whole=True, worth=-offer.charge)
        self._bought = [self._bought_column(number) for number in range(len(reduced.offers))]
        self._exclude()
        self._there: list[int] = [self._item(item) for item in range(len(reduced.margins))]
        for use in reduced.uses:
            self._use(use)
        if reduced.budget is not None:
            self._rows.append(self.spent_row(reduced.budget))
        # They are whole of themselves; to branch on them too paid for small problems in trials.
        for column in self._there:
            if column >= 0 and not self.is_large:
                self._whole[column] = 1

    def _column(self, upper: float, *, whole: bool = False, worth: float = 0.0) -> int:
        self._lower.append(0.0)
        self._upper.append(upper)
        self._whole.append(int(whole))
        self._worth.append(worth)
        return len(self._upper) - 1

    def _bought_column(self, number: int) -> int:
        """The column that is 1 when an offer is bought at all."""
        offer = self._reduced.offers[number]
        if offer.most == 1 or (offer.least == 1 and not offer.exclusive):
            return number
        bought = self._column(1, whole=True)
        self._rows.append(Condition({number: 1, bought: -offer.least}, 0, inf))
        self._rows.append(Condition({number: 1, bought: -offer.most}, -inf, 0))
        return bought

    def _exclude(self) -> None:
        groups: dict[str, list[int]] = {}
        for number, offer in enumerate(self._reduced.offers):
            if offer.exclusive:
                groups.setdefault(offer.exclusive, []).append(self._bought[number])
        rows = (Condition(dict.fromkeys(group, 1), -inf, 1) for group in groups.values())
        self._rows += [row for row in rows if len(row.factors) > 1]

    def _item(self, item: int) -> int:
        """The columns of an item: that it is there, and its spare units; the first is given."""
        reduced = self._reduced
        margins = reduced.margins[item]
        sellers = [
            (number, dict(reduced.offers[number].contents)[item])
            for number in reduced.offers_of[item]
        ]
        there = self._column(1) if reduced.in_ways[item] else -1
        if there >= 0:
            self._supply([there], {self._bought[number]: 1 for number, _quantity in sellers})
        spares = [self._column(1, worth=margin) for margin in margins]
        for count in range(1, len(spares) + 1):
            brings: dict[int, float] = {}
            for number, quantity in sellers:
                column = self._bought[number] if count == 1 else number
                brings[column] = min(quantity, count)
            self._supply(spares[:count], brings)
        return there

    def _supply(self, columns: Iterable[int], brings: Mapping[int, float]) -> None:
        """The sum of the columns is no more than the purchases bring."""
        factors = {column: -float(factor) for column, factor in brings.items()}
        self._rows.append(Condition(factors | dict.fromkeys(columns, 1.0), -inf, 0))

    def _use(self, use: ReducedUse) -> None:
        if len(use.ways) == 1 and len(use.ways[0]) == 1:
            self._worth[self._there[use.ways[0][0]]] += use.value
            return
        columns = {way: self._column(1, worth=use.value) for way in use.ways}
        if len(columns) > 1:
            self._rows.append(Condition(dict.fromkeys(columns.values(), 1), -inf, 1))
        for item in sorted({item for way in use.ways for item in way}):
            through = [column for way, column in columns.items() if item in way]
            self._supply(through, {self._there[item]: 1})

    def spent_row(self, most: int) -> Condition:
        """That no more is spent; by the common measure of the prices, so that it is exact."""
        prices = [offer.price for offer in self._reduced.offers]
        measure = gcd(*prices) or 1
        factors = {n: price // measure for n, price in enumerate(prices) if price}
        return Condition(factors, -inf, most // measure)

    def net_row(self, least: int) -> Condition:
        """That the net is no less; half a cent under it, for the solver's tolerance."""
        factors = {column: worth for column, worth in enumerate(self._worth) if worth}
        return Condition(factors, least - 0.5, inf)

    def other_rows(self, times: Sequence[int]) -> tuple[list[Condition], int]:
        """That some offer is bought less or more often, and how many columns that takes."""
        bought = [number for number, n in enumerate(times) if n]
        raised = [number for number in bought if times[number] < self._reduced.offers[number].most]
        less = {number: self.size + at for at, number in enumerate(bought)}
        more = {number: self.size + len(less) + at for at, number in enumerate(raised)}
        others = [number for number, n in enumerate(times) if not n]
        rows = [Condition(dict.fromkeys([*less.values(), *more.values(), *others], 1), 1, inf)]
        for number, column in less.items():
            spread = self._reduced.offers[number].most - times[number] + 1
            rows.append(Condition({number: 1, column: spread}, -inf, times[number] - 1 + spread))
        rows += [
            Condition({number: 1, column: -times[number] - 1}, 0, inf)
            for number, column in more.items()
        ]
        return rows, len(less) + len(more)

    @property
    def size(self) -> int:
        """How many columns there are."""
        return len(self._upper)

    @property
    def is_large(self) -> bool:
        """Whether the solver alone finds too little."""
        return self.size >= LARGE_SIZE

    def relaxed(self, stopped: Stopped) -> Solved:
        """The bound when parts of purchases could be bought too, and the shares it buys."""
        answer = self._base().relaxed(stopped, inside=self.is_large)
        if answer.values is None:
            return Solved(None, None, False)
        self._falls = answer.falls
        self._relaxed_net = -answer.cost
        self._relaxed_upper = list(self._upper)
        return self._told(answer)

    def tighten(self, known: int) -> None:
        """Keep only the times with which a purchase can still net what is known, or more.

        The bound falls by at least so much for each purchase away from the relaxed one.
        """
        spare = max(0.0, self._relaxed_net - known + _PART_OF_A_CENT)
        for column, fall in enumerate(self._falls):
            if not self._whole[column]:
                continue
            if fall > 0:
                self._upper[column] = min(self._upper[column], spare // fall)
            elif fall < 0:
                least = self._relaxed_upper[column] - spare // -fall
                self._lower[column] = max(self._lower[column], least)
        if self._solver:
            self._solver.hold(self._bounds(range(self.size)))

    def best(self, stopped: Stopped, known: int, gap: float) -> Solved:
        """The purchase with the most net of those that net more than is known."""
        return self._netting(self._base(), stopped, known + 1, gap, searches=False)

    def other(self, stopped: Stopped, times: Sequence[int], known: int, *more: Condition) -> Solved:
        """The best of all purchases but one that nets as much as is known, or more."""
        rows, columns = self.other_rows(times)
        solver = Solver(self._program(self._loss(), [*rows, *more], columns))
        return self._netting(solver, stopped, known, 0.0, searches=False)

    def near(
        self, stopped: Stopped, times: Sequence[int], free: Iterable[int], known: int
    ) -> Solved:
        """A purchase that nets more than is known and differs in no more than some offers."""
        solver = self._base()
        solver.hold({number: (times[number], times[number]) for number in range(len(times))})
        solver.hold(self._bounds(free))
        solved = self._netting(solver, stopped, known + 1, 0.0, searches=True)
        solver.hold(self._bounds(range(len(times))))
        return solved

    def least(self, costs: Mapping[int, float], rows: list[Condition], stopped: Stopped) -> Solved:
        """The purchase with the least cost, in whole numbers, under more rows."""
        cost = [costs.get(column, 0.0) for column in range(self.size)]
        solver = Solver(self._program(cost, rows))
        return self._told(solver.least(stopped, apart=_PART_OF_A_CENT))

    def _netting(
        self, solver: Solver, stopped: Stopped, net: int, gap: float, *, searches: bool
    ) -> Solved:
        """The best purchase that nets so much or more."""
        # An answer less than a cent from the bound is the best: all sums are whole cents.
        below = _PART_OF_A_CENT - net
        answer = solver.least(
            stopped, below=below, gap=gap, apart=_PART_OF_A_CENT, searches=searches
        )
        if answer.finished and answer.cost >= below and (not gap or answer.least is None):
            return Solved(None, None, True)
        return self._told(answer)

    def _base(self) -> Solver:
        if self._solver is None:
            self._solver = Solver(self._program(self._loss(), ()))
        return self._solver

    def _program(self, cost: list[float], rows: Iterable[Condition], columns: int = 0) -> Program:
        """The program under more rows, which may have columns of their own."""
        return Program(
            cost + [0.0] * columns,
            self._lower + [0.0] * columns,
            self._upper + [1.0] * columns,
            self._whole + [1] * columns,
            [*self._rows, *rows],
        )

    def _bounds(self, columns: Iterable[int]) -> dict[int, tuple[float, float]]:
        return {column: (self._lower[column], self._upper[column]) for column in columns}

    def _loss(self) -> list[float]:
        return [-worth for worth in self._worth]

    def _told(self, answer: Answer) -> Solved:
        offers = len(self._reduced.offers)
        shares = None if answer.values is None else tuple(islice(answer.values, offers))
        return Solved(shares, _whole_bound(answer.least), False)


def _whole_bound(least: float | None) -> int | None:
    """What the net cannot be above, from the bound of its negative."""
    if least is None:
        return None
    return floor(-least + _SLACK + abs(least) * _RELATIVE_SLACK)
