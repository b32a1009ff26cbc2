"""What a want lacks as it would be ordered today: seats as declared now, no half of a pair."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from crib.desk.answer.kind_match import goes_with
from crib.desk.answer.search import Search
from crib.desk.answer.wants import MissedTool
from crib.desk.buying.drafts import Board
from crib.features.common.ask import Need
from crib.features.common.tool_spec import ToolSpec, tool_of_spec
from crib.features.common.tooling import Seat, Station, Tool, ToolingSet
from crib.stock.queries.tooling_terms import NeedAsk
from crib.trade.common.verdicts import exceeds

_PAIR = ("punch", "die")


def as_of_today(board: Board, kept: MissedTool, search: Search | None, count: int) -> MissedTool:
    """A tool on record with its seat as it is declared today.

    What an older crib did not keep of it is the kind's where one was named, else what would be
    ordered for the ask now.
    """
    spec = kept.spec
    if not kept.whole:
        named = board.shop.index.named(spec.role, kept.kind)
        if named is not None:
            spec = _filled(spec, named.kind.spec)
        if search is not None:
            spec = _of_ask(spec, search, lone=count == 1)
    return replace(kept, spec=board.seated(spec))


def _filled(spec: ToolSpec, other: ToolSpec) -> ToolSpec:
    """What a specification does not say, as another one of the same role and outline says it."""
    if spec.role != other.role or spec.shape not in ("", other.shape):
        return spec
    said: dict[str, Any] = {name: getattr(spec, name) for name in spec.as_json()}
    if spec.width_mm is not None:
        said["long_mm"] = spec.long_mm
    return replace(other, **said)


def _of_ask(spec: ToolSpec, search: Search, *, lone: bool) -> ToolSpec:
    """A tool as it would be ordered for an ask, but for what is known of it.

    The key of a lone punch or die is that of the other half, which nobody kept.
    """
    plate, seat = search.case.plate, search.seats.get(spec.seat_name)
    spec = replace(spec, for_thickness_mm=plate.thickness_mm, for_material=plate.material.name)
    tools = _ideal_tools(search, seat) if seat else {}
    if spec.role not in tools:
        return spec
    full = _to_order(search, tools[spec.role], tools)
    return _filled(spec, replace(full, key_angles=()) if lone and spec.role in _PAIR else full)


def _ideal_tools(search: Search, seat: Seat) -> dict[str, Tool]:
    """Every tool that one would order for an ask in one seat."""
    tools: dict[str, Tool] = {}
    for need in search.needs:
        tool = search.answers.ideal(seat, need.role, tools)
        if tool is not None:
            tools[need.role] = tool
    return tools


def _to_order(search: Search, tool: Tool, beside: Mapping[str, Tool]) -> ToolSpec:
    """The specification of a tool for an ask; the board names the stations."""
    tooling = ToolingSet({**beside, tool.role: tool}, Station(0, "", ""))
    return search.answers.order_spec(tool, tooling)


def too_small(spec: ToolSpec) -> bool:
    """Whether a die on record is not bigger than the punch that it is to serve."""
    if spec.width_mm is None or spec.punch_width_mm is None:
        return False
    across = exceeds(spec.width_mm, spec.punch_width_mm)
    long_mm = spec.long_mm or spec.width_mm
    return not (across and exceeds(long_mm, spec.punch_long_mm or spec.punch_width_mm))


def whole_set(board: Board, search: Search | None, missing: list[MissedTool]) -> list[MissedTool]:
    """The missing tools with the punch or die that went since: half a pair punches nothing."""
    if search is None or len(missing) != 1 or missing[0].spec.role not in _PAIR:
        return missing
    (lone,) = missing
    others = (need for need in search.needs if need.role in _PAIR and need.role != lone.spec.role)
    need = next(others, None)
    if need is None:
        return missing
    there = _partners(board, search, need, lone.spec)
    if there:
        return [replace(lone, spec=_keyed_as(lone.spec, there))]
    partner = None if _is_measured(search, need, lone.spec) else _partner(search, need, lone.spec)
    return [*missing, MissedTool(board.seated(partner), None)] if partner else missing


def _partners(board: Board, search: Search, need: Need, lone: ToolSpec) -> list[ToolSpec]:
    """What is there or coming that goes with one half of a pair; an unknown key is as theirs."""
    widths_mm = (need.least_width_mm, need.most_width_mm)
    near = board.shop.index.within(need.role, need.shape, *widths_mm, lone.seat_name)
    made = [one.kind.spec for one in near if one.have]
    return [one for one in made if goes_with(search, one, _keyed_as(lone, [one]))]


def _keyed_as(lone: ToolSpec, partners: Sequence[ToolSpec]) -> ToolSpec:
    """One half of a pair with the key of the other, where its own was not kept."""
    keys = {one.key_angles for one in partners}
    return lone if lone.key_angles or len(keys) > 1 else replace(lone, key_angles=keys.pop())


def _is_measured(search: Search, need: Need, lone: ToolSpec) -> bool:
    """Whether a piece that was measured goes with one half of a pair."""
    measured = search.shelf.measured(NeedAsk(need, search.family), every=True)
    return any(card.seat == lone.seat_name for card in measured)


def _partner(search: Search, need: Need, lone: ToolSpec) -> ToolSpec | None:
    """The other half of a pair as it would be ordered."""
    seat = search.seats.get(lone.seat_name)
    if seat is None:
        return None
    beside = {lone.role: tool_of_spec(lone, seat)}
    tool = search.answers.ideal(seat, need.role, beside)
    return _to_order(search, tool, beside) if tool else None
