"""The mixed-integer program of a reduced problem, solved by the HiGHS solver that SciPy brings.

The times of the offers are whole; items that are there, uses that are served and spare units
follow from them. Each purchase brings an item at most once as the first unit, at most twice among
the first two, and so on: without that, a fraction of a pack would look like a whole piece.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import islice
from math import floor, gcd, inf
from typing import TYPE_CHECKING

from crib.trade.money.purchase_reduced import Reduced, ReducedUse

if TYPE_CHECKING:
    import numpy as np
    from scipy.sparse import csr_array

# From so many columns on the solver alone finds too little, and more is tried before it.
LARGE_SIZE = 4_000
_OPTIMAL, _INFEASIBLE = 0, 2
# A float bound this close above a whole cent may be that cent; a bound too high is still a bound.
_PART_OF_A_CENT = 0.5
_SLACK, _RELATIVE_SLACK = 1e-3, 1e-9


@dataclass(frozen=True, slots=True)
class Condition:
    """One condition: the sum of these columns, each by its factor, from least to most."""

    factors: Mapping[int, float]
    least: float
    most: float

    def turned(self) -> Condition:
        """The same condition with the other sign."""
        factors = {column: -factor for column, factor in self.factors.items()}
        return Condition(factors, -self.most, -self.least)


@dataclass(frozen=True, slots=True)
class Solved:
    """What the solver said: times of the offers if any, a bound, or that there are none.

    ``proven`` says that it was through, and not cut off.
    """

    shares: tuple[float, ...] | None
    most: int | None
    none: bool
    proven: bool = False

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
        # How the relaxed net falls for each more, and for each less, of a column.
        self._falls: list[tuple[float, float]] = []
        self._relaxed_net = inf
        self._relaxed_upper: list[float] = []
        for offer in reduced.offers:
            self._column(offer.most, whole=True, worth=-offer.charge)
        self._bought = [self._bought_column(number) for number in range(len(reduced.offers))]
        self._exclude()
        self._there: list[int] = [self._item(item) for item in range(len(reduced.margins))]
        for use in reduced.uses:
            self._use(use)
        if reduced.budget is not None:
            self._rows.append(self.spent_row(reduced.budget))

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
        there = self._column(1, whole=True) if reduced.in_ways[item] else -1
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

    def best(
        self, seconds: float, gap: float, rows: Sequence[Condition] = (), columns: int = 0
    ) -> Solved:
        """The purchase with the most net, or one within a gap of it."""
        # An answer less than a cent from the bound is the best: all sums are whole cents.
        enough = max(gap, _PART_OF_A_CENT / max(1.0, self._most))
        return self._solved(self._loss(columns), rows, self._whole + [1] * columns, seconds, enough)

    @property
    def _most(self) -> float:
        pairs = zip(self._worth, self._upper, strict=True)
        return sum(worth * upper for worth, upper in pairs if worth > 0)

    def _loss(self, columns: int = 0) -> list[float]:
        return [-worth for worth in self._worth] + [0.0] * columns

    def relaxed(self, seconds: float) -> Solved:
        """The bound when parts of purchases could be bought too, and the shares it buys.

        A large one is solved from the inside: that takes a tenth of the time the edges take.
        """
        from scipy.optimize import linprog

        rows = [row for row in self._rows if row.factors]
        under = [row if row.most < inf else row.turned() for row in rows]
        found = linprog(  # type: ignore[call-overload]  # the stubs know no sparse matrix here
            self._loss(),
            A_ub=_matrix(under, self.size),
            b_ub=[row.most for row in under],
            bounds=list(zip(self._lower, self._upper, strict=True)),
            method="highs" if self.size < LARGE_SIZE else "highs-ipm",
            options={"time_limit": seconds},
        )
        if found.status != _OPTIMAL:
            return Solved(None, None, False)
        falls = zip(found.lower.marginals, found.upper.marginals, strict=True)
        self._falls = [(float(more), -float(less)) for more, less in falls]
        self._relaxed_net = -float(found.fun)
        self._relaxed_upper = list(self._upper)
        return Solved(self._shares(found.x), _whole_bound(found.fun), False)

    def tighten(self, known: int) -> None:
        """Keep only the times with which a purchase can still net what is known, or more.

        The bound falls by at least so much for each purchase away from the relaxed one.
        """
        spare = max(0.0, self._relaxed_net - known + _PART_OF_A_CENT)
        for column, (more, less) in enumerate(self._falls):
            if not self._whole[column]:
                continue
            if more > 0:
                self._upper[column] = min(self._upper[column], spare // more)
            elif less > 0:
                least = self._relaxed_upper[column] - spare // less
                self._lower[column] = max(self._lower[column], least)

    def least(
        self, costs: Mapping[int, float], rows: list[Condition], seconds: float, columns: int = 0
    ) -> Solved:
        """The purchase with the least cost under more rows, which may have columns of their own."""
        whole = self._whole + [1] * columns
        cost = [costs.get(column, 0.0) for column in range(len(whole))]
        return self._solved(cost, rows, whole, seconds, 0.0)

    def _solved(
        self,
        cost: list[float],
        rows: Sequence[Condition],
        whole: list[int],
        seconds: float,
        gap: float,
    ) -> Solved:
        import numpy as np
        from scipy.optimize import Bounds, LinearConstraint, milp

        every = [row for row in (*self._rows, *rows) if row.factors]
        least, most = [row.least for row in every], [row.most for row in every]
        upper = self._upper + [1.0] * (len(whole) - self.size)
        found = milp(
            cost,
            integrality=np.array(whole, dtype=np.int64),
            bounds=Bounds(self._lower + [0.0] * (len(whole) - self.size), upper),
            constraints=LinearConstraint(_matrix(every, len(whole)), least, most),
            options={"time_limit": seconds, "mip_rel_gap": gap},
        )
        bound = _whole_bound(found.mip_dual_bound)
        none, proven = found.status == _INFEASIBLE, found.status == _OPTIMAL
        return Solved(self._shares(found.x), bound, none, proven)

    def _shares(self, found: Iterable[float] | None) -> tuple[float, ...] | None:
        offers = len(self._reduced.offers)
        return None if found is None else tuple(float(share) for share in islice(found, offers))


def _matrix(rows: list[Condition], columns: int) -> csr_array[np.float64, tuple[int, int]]:
    import numpy as np
    from scipy.sparse import csr_array

    starts: list[int] = [0]
    at: list[int] = []
    factors: list[float] = []
    for row in rows:
        at += row.factors.keys()
        factors += row.factors.values()
        starts.append(len(at))
    given = np.array(factors, dtype=np.float64), np.array(at, dtype=np.int32), np.array(starts)
    return csr_array(given, shape=(len(rows), columns))


def _whole_bound(least: float | None) -> int | None:
    """What the net cannot be above, from the bound of its negative."""
    if least is None or not -inf < least < inf:
        return None
    return floor(-least + _SLACK + abs(least) * _RELATIVE_SLACK)
