"""The saddle set one would order, its order line, and what to do without one."""

from __future__ import annotations

from collections.abc import Iterator

from crib.acts import act
from crib.features.common.ask import Workaround
from crib.features.common.tooling import Seat, Tool, ToolingSet
from crib.features.saddles.saddle_case import STROKES, SaddleCase
from crib.features.saddles.tubular import Tubular
from crib.trade.metal.pipes import pipe_size

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
        most_wall_mm=case.saddle.plate.thickness_mm,
        to_order=True,
    )


def set_order_text(case: SaddleCase, tool: Tool, quantity: int, tooling: ToolingSet) -> str:
    """A line that a supplier can ship from."""
    saddle = case.saddle
    header_mm = tool.header_mm or saddle.header.outside_mm
    parts = (
        f"{quantity} saddle {'set' if quantity == 1 else 'sets'}, both halves matched",
        f"nest {case.size(tool.width_mm)} for {_said(case, saddle.branch)}",
        f"cut radius {case.size(header_mm / 2)} for a header {case.size(header_mm)} outside"
        f" ({_said(case, saddle.header)})",
        "square, axes meeting",
        _walls(case, tool),
        _seat(case, tool),
        f"to cut {saddle.plate.material.name} in {STROKES} strokes of"
        f" {case.say.force(case.force_n)}",
        f"for {tooling.station.label}",
        f"our job {case.facts.job}" if case.facts.job else "",
    )
    return ", ".join(part for part in parts if part)


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


def _walls(case: SaddleCase, tool: Tool) -> str:
    least_mm, most_mm = tool.least_wall_mm, tool.most_wall_mm
    most = case.wall(most_mm or case.saddle.plate.thickness_mm)
    if least_mm is None or least_mm == most_mm:
        return f"walls up to {most}, say the thinnest it takes"
    return f"walls {case.wall(least_mm)} to {most}"


def _seat(case: SaddleCase, tool: Tool) -> str:
    if tool.seat is None:
        return ""
    numbers = ", ".join(
        f"{name} {case.say.length(number)}" for name, number in tool.seat.numbers("set")
    )
    return f"seat {tool.seat.name}" + (f" ({numbers})" if numbers else "")


def _said(case: SaddleCase, one: Tubular) -> str:
    measured = ", measured" if one.measured_mm is not None else ""
    return f"{one.phrase(case.say.system)}{measured}"
