"""Whether a tool of some kind does for an ask as well as the one that would be ordered for it."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product

from crib.desk.answer.search import Search
from crib.features.common.ask import Need
from crib.features.common.findings import refusals
from crib.features.common.tool_match import does_for, limits_of, width_range_mm
from crib.features.common.tool_spec import ToolSpec, tool_of_spec
from crib.features.common.tooling import Station, Tool, close_chain, is_mixed
from crib.stock.queries.kind_specs import SizeAsk

BANDED = ("die",)
"""Roles of which not one size serves but all in a band."""


def same_kind(search: Search, wanted: ToolSpec) -> str | None:
    """The name of the first kind of the crib that does for the ask as what is wanted would."""
    limits = limits_of(search.case.rules)
    widths_mm = width_range_mm(wanted, limits)
    for kind in search.kinds_of_size(wanted, widths_mm):
        if does_for(kind.spec, wanted, limits) and serves_as_well(search, kind.spec, wanted):
            return kind.name
    return None


def widths_on_record(need: Need) -> tuple[float, float]:
    """The widths [mm] of kinds on record that could serve a need."""
    return need.least_width_mm, need.most_width_mm


def record_ahead(searches: Sequence[Search]) -> None:
    """Read which dies on record could be ordered, for all searches at once."""
    if searches:
        searches[0].shelf.sized.ahead(
            SizeAsk(need.role, need.shape, *widths_on_record(need))
            for search in searches
            if search.kinds_at_hand is None
            for need in search.needs
            if need.role in BANDED
        )


def kinds_ahead(wanted: Sequence[tuple[Search, ToolSpec]]) -> None:
    """Read which kinds of the crib could be the same as some tools, for all searches at once."""
    if wanted:
        wanted[0][0].shelf.sized.ahead(
            SizeAsk(spec.role, spec.shape, *width_range_mm(spec, limits_of(search.case.rules)))
            for search, spec in wanted
            if search.kinds_at_hand is None
        )


def serves_as_well(search: Search, made: ToolSpec, wanted: ToolSpec) -> bool:
    """Whether the ask's rules refuse nothing of one tool that they allow of the wanted one.

    A tool that is kept for another material does not serve.
    """
    if not _is_free(search, made):
        return False
    if wanted.role not in {need.role for need in search.needs}:
        return True
    return _no_worse(search, [made], [wanted])


def goes_with(search: Search, made: ToolSpec, lone: ToolSpec) -> bool:
    """Whether the ask's rules allow a tool beside another as far as they allow that one alone."""
    return _no_worse(search, [lone, made], [lone])


def is_served(search: Search, kinds: Sequence[Sequence[ToolSpec]]) -> bool:
    """Whether the ask's rules allow some set of tools, one of each of its roles, in some station.

    What fits no station, or is kept for another material, is passed over.
    """
    free = [[_tool(search, one) for one in some if _is_free(search, one)] for some in kinds]
    return any(_is_allowed(search, {tool.role: tool for tool in tools}) for tools in product(*free))


def _is_allowed(search: Search, tools: dict[str, Tool]) -> bool:
    """Whether some station takes tools together and no rule refuses them there."""
    if is_mixed(tools):
        return False
    for station in search.stations:
        if all(close_chain(tool, station, search.adapters) for tool in tools.values()):
            if not _refused(search, tools, station):
                return True
    return False


def _tool(search: Search, spec: ToolSpec) -> Tool:
    return tool_of_spec(spec, search.seats.get(spec.seat_name))


def _is_free(search: Search, spec: ToolSpec) -> bool:
    return spec.dedicated_to in ("", search.family)


def _no_worse(search: Search, tools: Sequence[ToolSpec], wanted: Sequence[ToolSpec]) -> bool:
    """Whether nothing refuses some tools where least refuses those that are wanted.

    What stands in the way of any tool, such as a station that is taken, is not held against them.
    """
    seated = _tool(search, wanted[0])
    stations = [one for one in search.stations if close_chain(seated, one, search.adapters)]
    refused = {one: _refused_of(search, wanted, one) for one in stations}
    least = min(map(len, refused.values()), default=0)
    return not stations or any(
        _refused_of(search, tools, station) <= rules
        for station, rules in refused.items()
        if len(rules) == least
    )


def _refused_of(search: Search, specs: Sequence[ToolSpec], station: Station) -> frozenset[str]:
    """The rules that refuse tools of some specifications together; two seats are one of them."""
    tools = {spec.role: _tool(search, spec) for spec in specs}
    mixed = {"stack"} if is_mixed(tools) else set()
    return _refused(search, tools, station) | mixed


def _refused(search: Search, tools: dict[str, Tool], station: Station) -> frozenset[str]:
    """The rules that refuse tools together in a station."""
    tooling = search.tooling(tools, station)
    found = [*search.answers.judge(tooling), *search.answers.judge_together(tooling)]
    return frozenset(finding.rule for finding in refusals(found))
