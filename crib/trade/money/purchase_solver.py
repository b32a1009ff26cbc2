"""A program of columns and rows, given to the HiGHS solver.

HiGHS is asked through its own package: it takes a known answer as a limit to stay under, leaves
its own heuristics out where better answers are known already, and asks back whether to go on.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from math import inf
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import highspy

Stopped = Callable[[], bool]
Bounds = Mapping[int, tuple[float, float]]

# One thread, so that an answer is the same on every machine; the price of a branch is learnt on
# the way: that proved twice as soon in trials, as did leaving out the restart.
_OPTIONS: Mapping[str, bool | int | float | str] = {
    "output_flag": False,
    "threads": 1,
    "mip_rel_gap": 0.0,
    "mip_pscost_minreliable": 0,
    "mip_allow_restart": False,
}
# HiGHS's heuristics that look for what local search has found by then.
_SEARCHES = (
    "mip_heuristic_run_feasibility_jump",
    "mip_heuristic_run_rins",
    "mip_heuristic_run_rens",
    "mip_heuristic_run_root_reduced_cost",
)
_SEARCH_EFFORT = 0.05
# Of a small program few cuts pay, at the root; a large one solved from the inside lives by them.
_FEW_CUTS, _MANY_CUTS = 50, 10_000


@dataclass(frozen=True, slots=True)
class Condition:
    """One condition: the sum of these columns, each by its factor, from least to most."""

    factors: Mapping[int, float]
    least: float
    most: float


@dataclass(frozen=True, slots=True)
class Program:
    """Columns with a cost, the least and the most of each, which are whole, and the conditions."""

    cost: Sequence[float]
    lower: Sequence[float]
    upper: Sequence[float]
    whole: Sequence[int]
    rows: Sequence[Condition]


@dataclass(frozen=True, slots=True)
class Answer:
    """Values of the columns if any were found, and what no other answer costs less than.

    ``finished`` says that the solver was through, and not stopped. ``falls`` tells for a relaxed
    program how the cost rises with each column; above zero from its least, below from its most.
    """

    values: tuple[float, ...] | None
    cost: float
    least: float | None
    finished: bool
    falls: tuple[float, ...] = ()


class Solver:
    """A program as HiGHS holds it, solved as often as is asked for."""

    def __init__(self, program: Program) -> None:
        import highspy

        self._inside = False
        self._stopped: Stopped = lambda: False
        self._highs: highspy.Highs = highspy.Highs()  # type: ignore[no-untyped-call]
        for option, value in _OPTIONS.items():
            self._highs.setOptionValue(option, value)
        self._highs.passModel(_described(program))
        asked = (self._highs.cbMipInterrupt, self._highs.cbSimplexInterrupt)
        for callback in (*asked, self._highs.cbIpmInterrupt):
            callback.subscribe(self._ask)

    def relaxed(self, stopped: Stopped, *, inside: bool) -> Answer:
        """The least cost when every column may be a part of one.

        A large program is solved from the ``inside``: that takes a tenth of the time of the edges.
        """
        self._inside = inside
        self._set("solve_relaxation", True)
        self._set("solver", "ipm" if inside else "choose")
        answer = self._run(stopped)
        self._set("solve_relaxation", False)
        self._set("solver", "choose")
        if not answer.finished or answer.values is None:
            return Answer(None, inf, None, False)
        falls = tuple(float(fall) for fall in self._highs.getSolution().col_dual)
        return Answer(answer.values, answer.cost, answer.cost, True, falls)

    def least(
        self,
        stopped: Stopped,
        *,
        below: float = inf,
        gap: float = 0.0,
        apart: float = 0.0,
        searches: bool = True,
    ) -> Answer:
        """The answer of the least cost, below a limit.

        Args:
            stopped: Whether to stop here, asked again and again.
            below: Only answers that cost less than this are looked for.
            gap: The share of the cost that may be missed.
            apart: What two answers that do not cost the same differ by at least.
            searches: Whether HiGHS looks for answers by its heuristics too.

        Returns:
            The best answer found; none of a cost ``below`` may be there.
        """
        self._set("objective_bound", below)
        self._set("mip_rel_gap", gap)
        self._set("mip_abs_gap", apart)
        self._set("mip_heuristic_effort", _SEARCH_EFFORT if searches else 0.0)
        self._set("mip_lp_solver", "ipm" if self._inside else "choose")
        self._set("mip_pool_soft_limit", _MANY_CUTS if self._inside else _FEW_CUTS)
        self._set("mip_allow_cut_separation_at_nodes", self._inside)
        for option in _SEARCHES:
            self._set(option, searches)
        return self._run(stopped)

    def hold(self, bounds: Bounds) -> None:
        """Other leasts and mosts of some columns."""
        for column, (lower, upper) in bounds.items():
            self._highs.changeColBounds(column, lower, upper)

    def _set(self, option: str, value: bool | float | str) -> None:
        self._highs.setOptionValue(option, value)

    def _ask(self, event: highspy.highs.HighsCallbackEvent) -> None:
        # Said both ways: HiGHS would remember an earlier interruption.
        event.interrupt(self._stopped())

    def _run(self, stopped: Stopped) -> Answer:
        self._stopped = stopped
        self._highs.clearSolver()
        self._highs.run()
        return self._answer()

    def _answer(self) -> Answer:
        from highspy import HighsModelStatus, SolutionStatus

        status, info = self._highs.getModelStatus(), self._highs.getInfo()
        finished = status in (HighsModelStatus.kOptimal, HighsModelStatus.kInfeasible)
        least = info.mip_dual_bound if -inf < info.mip_dual_bound < inf else None
        if info.primal_solution_status != SolutionStatus.kSolutionStatusFeasible:
            return Answer(None, inf, least, finished)
        values = tuple(self._highs.getSolution().col_value)
        return Answer(values, info.objective_function_value, least, finished)


def _described(program: Program) -> highspy.HighsLp:
    import highspy
    import numpy as np

    starts: list[int] = [0]
    at: list[int] = []
    factors: list[float] = []
    rows = [row for row in program.rows if row.factors]
    for row in rows:
        at += row.factors.keys()
        factors += row.factors.values()
        starts.append(len(at))
    lp = highspy.HighsLp()
    lp.num_col_, lp.num_row_ = len(program.cost), len(rows)
    lp.col_cost_ = np.array(program.cost, dtype=np.float64)
    lp.col_lower_ = np.array(program.lower, dtype=np.float64)
    lp.col_upper_ = np.array(program.upper, dtype=np.float64)
    lp.row_lower_ = np.array([row.least for row in rows], dtype=np.float64)
    lp.row_upper_ = np.array([row.most for row in rows], dtype=np.float64)
    matrix = lp.a_matrix_
    matrix.format_ = highspy.MatrixFormat.kRowwise
    matrix.num_col_, matrix.num_row_ = lp.num_col_, lp.num_row_
    matrix.start_ = np.array(starts, dtype=np.int32)
    matrix.index_ = np.array(at, dtype=np.int32)
    matrix.value_ = np.array(factors, dtype=np.float64)
    kinds = highspy.HighsVarType
    lp.integrality_ = [kinds.kInteger if whole else kinds.kContinuous for whole in program.whole]
    return lp
