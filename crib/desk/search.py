"""Collect and judge the choices of tooling for an ask.

Sets are judged once for each combination of designs (kind and size) and station; pieces are judged
once each. The leading role (the punch) is read fully, the next role's kinds are taken in the order
of their closeness to the policy until enough of them serve, so the cost does not grow with the
crib and no piece that is added can hide an answer.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import product

from crib.desk.rank import Candidate
from crib.desk.tools import tool_of
from crib.errors import Refused
from crib.features.ask import Ask, Circumstances, Need
from crib.features.findings import Finding, refusals
from crib.features.tooling import Adapter, Seat, Station, Tool, ToolingSet, close_chain
from crib.stock.candidates import (
    adapters_at_hand,
    kinds_for,
    measured_pieces,
    mounted_kinds,
    seats_by_name,
    stations_doing,
    usable_pieces,
)
from crib.stock.pieces import PieceCard, piece_by_tag
from crib.stock.session import Session
from crib.trade.rules import Rules

ENOUGH_KINDS = 6
"""After this many kinds of the second role serve, the rest could only rank behind them."""

Group = list[Tool]


@dataclass
class Search:
    """Everything one search looks at."""

    session: Session
    ask: Ask
    rules: Rules
    facts: Circumstances
    stations: list[Station] = field(init=False)
    seats: dict[str, Seat] = field(init=False)
    adapters: tuple[Adapter, ...] = field(init=False)

    def __post_init__(self) -> None:
        """Read the stations, seats and adapters."""
        every = stations_doing(self.session, self.ask.work)
        self.stations = [station for station in every if station.in_service]
        self.seats = seats_by_name(self.session)
        self.adapters = adapters_at_hand(self.session)

    @property
    def needs(self) -> tuple[Need, ...]:
        """The roles that the ask needs, the leading one first."""
        return self.ask.needs(self.rules, self.facts)

    def reachable_seats(self) -> set[str]:
        """Seats that some station accepts, itself or through an adapter at hand."""
        direct = {seat for station in self.stations for seat in station.seats}
        return direct | {one.presents for one in self.adapters if one.fits in direct}

    def tools(self, cards: Iterable[PieceCard]) -> list[Tool]:
        """Cards as the rules see them."""
        return [tool_of(card, self.seats, self.rules) for card in cards]

    def candidates(self) -> list[Candidate]:
        """Every choice that no rule refuses."""
        lead, *others = self.needs
        found: list[Candidate] = []
        leads = list(self._groups(lead))
        if not leads:
            return []
        for groups in self._combinations(others):
            before = len(found)
            for group in leads:
                found.extend(self._serving([group, *groups]))
            if len(found) > before and _kinds_of(found) >= ENOUGH_KINDS:
                break
        return found

    def chosen(self, tags: Sequence[str]) -> list[Candidate]:
        """The choices with pieces that a person named, judged whatever comes of it.

        Raises:
            UnknownName: for a tag that is not in the crib.
            Refused: for a piece of a role that this ask does not use.
        """
        named: dict[str, Group] = {}
        roles = [need.role for need in self.needs]
        for tool in self.tools(piece_by_tag(self.session, tag) for tag in tags):
            if tool.role not in roles:
                message = f"{tool.tag} is a {tool.role}; this ask takes {' and '.join(roles)}"
                raise Refused(message, way_out="name pieces of those roles only")
            named.setdefault(tool.role, []).append(tool)
        groups = [
            [named[need.role]] if need.role in named else list(self._groups(need))
            for need in self.needs
        ]
        return [
            self.judged(dict(zip(roles, tools, strict=True)), station)
            for chosen in product(*groups)
            for tools in product(*chosen)
            for station in self.stations
        ]

    def judged(self, tools: dict[str, Tool], station: Station) -> Candidate:
        """One choice with everything the rules say of it, refusals included."""
        tooling = self.tooling(tools, station)
        findings = list(self.ask.judge(tooling, self.rules, self.facts))
        severities = self._severities(tooling)
        for tool in tools.values():
            findings += self._judge_piece(tool, severities[tool.role])
        return self._candidate(tooling, findings, severities)

    def tooling(self, tools: dict[str, Tool], station: Station) -> ToolingSet:
        """The tools in a station, with the adapters that close the chain where they must."""
        closing = {
            role: chain
            for role, tool in tools.items()
            if isinstance(chain := close_chain(tool, station, self.adapters), Adapter)
        }
        return ToolingSet(tools, station, closing)

    def _serving(self, groups: list[Group]) -> Iterator[Candidate]:
        """The choices from one group of alike pieces for each role that no rule refuses."""
        shown = {group[0].role: group[0] for group in groups}
        for station in self.stations:
            if not all(close_chain(tool, station, self.adapters) for tool in shown.values()):
                continue
            tooling = self.tooling(shown, station)
            findings = self.ask.judge(tooling, self.rules, self.facts)
            if not refusals(findings):
                yield from self._pieces(groups, tooling, findings)

    def _pieces(
        self, groups: list[Group], tooling: ToolingSet, findings: list[Finding]
    ) -> Iterator[Candidate]:
        """Every leading piece, each beside the best piece of the other roles."""
        severities = self._severities(tooling)
        said: dict[str, list[Finding]] = {}
        fit: list[Group] = []
        for group in groups:
            for tool in group:
                said[tool.tag] = self._judge_piece(tool, severities[tool.role])
            fit.append([tool for tool in group if not refusals(said[tool.tag])])
        if not all(fit):
            return
        beside = [min(group, key=lambda tool: _piece_order(tool, tooling)) for group in fit[1:]]
        for lead in fit[0]:
            tools = {tool.role: tool for tool in (lead, *beside)}
            every = [*findings, *(one for tool in tools.values() for one in said[tool.tag])]
            chosen = ToolingSet(tools, tooling.station, tooling.adapters)
            yield self._candidate(chosen, every, severities)

    def _candidate(
        self, tooling: ToolingSet, findings: list[Finding], severities: dict[str, float]
    ) -> Candidate:
        return Candidate(
            tooling,
            tuple(findings),
            self.ask.figures(tooling, self.rules, self.facts),
            severities,
            self.ask.closeness_mm(tooling, self.rules, self.facts),
        )

    def _severities(self, tooling: ToolingSet) -> dict[str, float]:
        return {
            role: self.ask.severity_each(tooling, role, self.rules, self.facts)
            for role in tooling.tools
        }

    def _judge_piece(self, tool: Tool, severity_each: float) -> list[Finding]:
        return self.ask.judge_piece(tool, severity_each, self.rules, self.facts)

    def _combinations(self, needs: Sequence[Need]) -> Iterator[tuple[Group, ...]]:
        """Groups for the roles beside the leading one; read as they are wanted."""
        if len(needs) == 1:
            for group in self._groups(needs[0]):
                yield (group,)
        else:
            yield from product(*(self._groups(need) for need in needs))

    def _groups(self, need: Need) -> Iterator[Group]:
        """Pieces alike in design: measured ones by their measure, then kind by kind."""
        family = self.ask.plate.material.family
        reachable = self.reachable_seats()
        measured: dict[tuple[object, ...], Group] = {}
        for tool in self.tools(measured_pieces(self.session, need, family)):
            if tool.seat and tool.seat.name in reachable:
                measured.setdefault(tool.design, []).append(tool)
        yield from measured.values()
        mounted = mounted_kinds(self.session, need.role)
        kinds = kinds_for(self.session, need, reachable)
        for kind in sorted(kinds, key=lambda one: one.id not in mounted):
            tools = self.tools(usable_pieces(self.session, kind, family))
            if tools:
                yield tools


def _kinds_of(found: list[Candidate]) -> int:
    """How many designs of the last role serve so far."""
    return len({one.tools[-1].design for one in found})


def _piece_order(tool: Tool, tooling: ToolingSet) -> tuple[bool, bool, int, int, str]:
    """Mounted there, not dull, nearest, older: the piece to take beside a leading one."""
    return (
        tool.station_id != tooling.station.id,
        tool.used >= 1.0,
        tool.walk_order,
        -tool.strokes_total,
        tool.tag,
    )
