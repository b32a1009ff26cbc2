"""The saddle set one would order, and what to do without one."""

from __future__ import annotations

from collections.abc import Iterator

from crib.acts import act
from crib.features.common.ask import Workaround
from crib.features.common.tooling import Seat, Tool
from crib.features.common.wall_checks import counted_wall_mm
from crib.features.saddles.saddle_case import SaddleCase
from crib.features.saddles.tubular import Tubular
from crib.trade.metal.pipes import pipe_size
from crib.units import System

_ONLY_BY_TEMPLATE = frozenset({"angle", "offset"})


def ideal_set(case: SaddleCase, seat: Seat) -> Tool | None:
    """The set to order for a seat; None when the seat has no numbers to order by."""
    if not seat.numbers("set"):
        return None
    outside_mm = case.saddle.branch.outside_mm
    return Tool(
        role="set",
        shape="round",
        width_mm=outside_mm,
        long_mm=outside_mm,
        seat=seat,
        kind="saddle set to order",
        profile="saddle",
        header_mm=case.saddle.header.outside_mm,
        least_wall_mm=_least_wall_mm(case),
        most_wall_mm=counted_wall_mm(case.saddle.plate.thickness_mm, case.material),
        to_order=True,
    )


def saddle_workarounds(
    case: SaddleCase, refused: frozenset[str], phrase: str
) -> Iterator[Workaround]:
    """A template, a notcher, somebody else: what makes the saddle of a phrase without a set."""
    header = case.size(case.saddle.header.outside_mm)
    template = act("wrap", phrase=phrase, file="saddle.pdf")
    rank = 20 if refused & _ONLY_BY_TEMPLATE else 45
    yield Workaround("cut it by a wrap-around template", None, rank, (template,))
    notcher = f"cut it in a tube notcher, with a hole saw or cutter of {header}"
    if case.saddle.offset_mm:
        notcher += f" set {case.size(case.saddle.offset_mm)} off the centre"
    yield Workaround(notcher, None, 40)
    yield Workaround("have it cut outside: ask price, freight and days", None, 70)


def _least_wall_mm(case: SaddleCase) -> float | None:
    """Schedule 40 for a heavier pipe, so that one set serves both; else no least wall."""
    branch = case.saddle.branch
    if branch.sort == "tube":
        return None
    usual_mm = pipe_size(branch.nps, "40").wall_mm
    return min(usual_mm, case.saddle.plate.thickness_mm)


def said_of(tubular: Tubular, system: System) -> str:
    """What a pipe or tube is called, and that its outside was measured."""
    measured = ", measured" if tubular.measured_mm is not None else ""
    return f"{tubular.phrase(system)}{measured}"
