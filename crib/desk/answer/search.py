"""Collect and judge the choices of tooling for an ask.

Sets are judged once for each combination of designs (kind and size) and station; pieces are judged
once each. The leading role (the punch) is read fully; the designs of the next role are taken in the
order in which they could come first (mounted ones, then by closeness to the policy) until enough of
them serve without a caution. So the cost does not grow with the crib, and no piece that is added
can hide an answer.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from copy import copy
from dataclasses import dataclass, field, replace
from itertools import islice, product
from typing import Any, TypeVar

from crib.desk.answer.rank import MOST_PICKS, Candidate, few_of_each
from crib.desk.answer.shelf_view import Group, ShelfView, read_needs
from crib.errors import Refused
from crib.features.common.ask import Answers, Ask, Need
from crib.features.common.case import Case
from crib.features.common.findings import Finding, cautions, refusals
from crib.features.common.tooling import (
    Station,
    Tool,
    ToolingSet,
    close_chain,
    closing_adapters,
    is_mixed,
)
from crib.stock.queries.pieces import pieces_named

Made = TypeVar("Made")

ENOUGH_CLEAN, ENOUGH = 6, 24
"""After this many designs of the second role serve without a caution, or at all, the rest could
only rank behind them."""

MOST_BESIDE = 12
"""Designs of a role that chosen pieces are judged beside when they will not do."""

LEAST_CLEAN, MOST_FOUND = 2, 600
"""With so many answers in hand, a few clean designs are enough: a shop with many seats and stations
has dozens of ways to mount one pair."""


@dataclass(frozen=True, slots=True, eq=False)
class _Set:
    """Groups of alike pieces in a station, as their first ones stand there, and what is said."""

    groups: list[Group]
    tooling: ToolingSet
    findings: list[Finding]


@dataclass
class Search(ShelfView):
    """Everything one search looks at; ``promised`` tags are a caution, each with its words."""

    promised: Mapping[str, str] = field(default_factory=dict)
    few: bool = False
    """Whether only those are wanted that are shown: the first of each set, and so many at most."""
    _said: dict[tuple[object, float], list[Finding]] = field(init=False, default_factory=dict)
    _made: dict[object, Any] = field(init=False, default_factory=dict)

    def once(self, make: Callable[[Search], Made]) -> Made:
        """What a step makes of this search, made but once."""
        if make not in self._made:
            self._made[make] = make(self)
        made: Made = self._made[make]
        return made

    def forget(self, make: Callable[[Search], object]) -> None:
        """Make a step anew where it is wanted again: what went wrong in it is told again."""
        self._made.pop(make, None)

    def on_smaller(self, answers: Answers[Ask, Case]) -> Search:
        """A search of the same shelf for another ask of the same work, such as one hit of a plan.

        What is read of stations, seats and adapters is shared with this one.
        """
        smaller = copy(self)
        for worked_out in ("needs", "mounted"):
            vars(smaller).pop(worked_out, None)
        smaller.answers, smaller.named, smaller.every_measured = answers, {}, True
        smaller.few = False
        smaller._said, smaller._made, smaller._wanted = {}, {}, {}
        return smaller

    def candidates(self) -> list[Candidate]:
        """Every choice that no rule refuses."""
        return self._looked_for() if self.named else self.once(Search._looked_for)

    def _looked_for(self) -> list[Candidate]:
        picks = self.first_look()
        if not self.needs or any(not pick.cautions for pick in picks):
            return picks
        saw_all = all(self.shelf.saw_all_measured(self.asked(need)) for need in self.needs)
        self.every_measured = True
        if saw_all:
            return picks
        read_needs(self)
        return self._combined()

    def first_look(self) -> list[Candidate]:
        """The choices with only those measured pieces that could come first."""
        return self._combined_few() if self.named else self.once(Search._combined_few)

    def _combined_few(self) -> list[Candidate]:
        if not self.needs:
            every = [self.judged({}, station) for station in self.stations]
            return [pick for pick in every if not refusals(pick.findings)]
        self.every_measured = False
        read_needs(self)
        return self._combined()

    def _combined(self) -> list[Candidate]:
        """Every set that serves; those of two seats only where few of one seat do.

        They come behind every set of one seat, so that none of them could hide one.
        """
        of_one = self._of_seats(mixed=False)
        return of_one if len(of_one) >= ENOUGH_CLEAN else [*of_one, *self._of_seats(mixed=True)]

    def _of_seats(self, *, mixed: bool) -> list[Candidate]:
        """The sets of one seat, or of two, from the groups as they are wanted."""
        lead, *others = self.needs
        picks: list[Candidate] = []
        leads = [group for group in self.groups(lead) if self._could_serve(group[0])]
        if not leads:
            return []
        wait = _Waiting(self, picks)
        clean = serving = 0
        for groups in self._combinations(others):
            sets = [
                one
                for group in leads
                if is_mixed({one[0].role: one[0] for one in (group, *groups)}) == mixed
                for one in self._serving([group, *groups])
            ]
            later = [one for one in sets if self.few and cautions(one.findings)]
            new = [pick for one in sets if one not in later for pick in self._pieces(one)]
            picks += new
            serving += bool(new)
            clean += any(not pick.cautions for pick in new)
            serving += wait.put_off(later, serving, served=bool(new))
            plenty = clean >= LEAST_CLEAN and len(picks) >= MOST_FOUND
            if clean >= ENOUGH_CLEAN or serving >= ENOUGH or plenty:
                break
        if len(few_of_each(pick for pick in picks if not pick.cautions)) < MOST_PICKS:
            wait.made()
        return picks

    def chosen(self, tags: Sequence[str]) -> list[Candidate]:
        """The choices with pieces that a person named, judged whatever comes of it.

        Raises:
            UnknownName: for a tag that is not in the crib.
            Refused: for a piece of a role that this ask does not use.
        """
        self.named = self._named(tags)
        picks = self.candidates() or self._chosen_misses()
        self.named = {}
        return picks

    def _chosen_misses(self) -> list[Candidate]:
        """The named pieces beside the nearest others, and alone where there are none."""
        groups = [list(islice(self.groups(need), MOST_BESIDE)) for need in self.needs]
        picks = [
            self.judged({group[0].role: group[0] for group in chosen}, station)
            for chosen in product(*groups)
            for station in self.stations
        ]
        return picks or [
            self.judged_without({tool.role: tool}, station)
            for group in self.named.values()
            for tool in group
            for station in self.stations
        ]

    def _named(self, tags: Sequence[str]) -> dict[str, list[Tool]]:
        named: dict[str, list[Tool]] = {}
        roles = [need.role for need in self.needs]
        takes = " and ".join(roles) or "nothing from the shelf"
        cards = {card.tag: card for card in pieces_named(self.shelf.session, tags)}
        for tool in self.tools(cards.values()):
            if tool.role not in roles:
                message = f"{tool.tag} is a {tool.role}; this ask takes {takes}"
                raise Refused(message, way_out="name pieces of those roles only")
            named.setdefault(tool.role, []).append(tool)
        return named

    def judged(self, tools: dict[str, Tool], station: Station) -> Candidate:
        """One choice with everything the rules say of it, refusals included."""
        if station.id in self.mounted:
            mounted = self.mounted[station.id]
            tools = {**tools, mounted.role: mounted}
        tooling = self.tooling(tools, station)
        findings = self.answers.judge(tooling)
        severities = self._severities(tooling)
        for tool in tools.values():
            findings += self._judge_piece(tool, severities[tool.role])
        findings += self.answers.judge_together(tooling)
        return self._candidate(tooling, findings, severities)

    def judged_without(self, tools: dict[str, Tool], station: Station) -> Candidate:
        """A choice that lacks a role, which refuses it beside whatever else does."""
        judged = self.judged(tools, station)
        lacking = tuple(
            Finding(need.role, "refuse", f"no {need.role} at hand to go with it", source="shelf")
            for need in self.needs
            if need.role not in tools
        )
        return replace(judged, findings=(*judged.findings, *lacking))

    def tooling(self, tools: dict[str, Tool], station: Station) -> ToolingSet:
        """The tools in a station, with the adapters that close the chain where they must.

        The strongest ones with which the tools close; where none do, the strongest.
        """
        fitting = {
            role: some
            for role, tool in tools.items()
            if (some := closing_adapters(tool, station, self.adapters))
        }
        ways = [
            ToolingSet(tools, station, dict(zip(fitting, chosen, strict=True)))
            for chosen in product(*fitting.values())
        ]
        closing = (one for one in ways if not refusals(self.answers.judge_together(one)))
        return ways[0] if len(ways) == 1 else next(closing, ways[0])

    def _could_serve(self, tool: Tool) -> bool:
        """Whether some station takes a tool by itself: what refuses it alone refuses every set."""
        return any(
            close_chain(tool, station, self.adapters)
            and not refusals(self.answers.judge(self.tooling({tool.role: tool}, station)))
            for station in self.stations
        )

    def _serving(self, groups: list[Group]) -> Iterator[_Set]:
        """The sets of one group of alike pieces for each role that no rule refuses."""
        shown = {group[0].role: group[0] for group in groups}
        for station in self.stations:
            if not all(close_chain(tool, station, self.adapters) for tool in shown.values()):
                continue
            tooling = self.tooling(shown, station)
            findings = self.answers.judge(tooling)
            if not refusals(findings):
                yield _Set(groups, tooling, findings)

    def _pieces(self, of: _Set) -> Iterator[Candidate]:
        """Every leading piece of a set, each beside the best piece of the other roles."""
        groups, tooling, findings = of.groups, of.tooling, of.findings
        severities = self._severities(tooling)
        said: dict[str, list[Finding]] = {}
        fit: list[Group] = []
        for group in groups:
            for tool in group:
                said[tool.tag] = self._judge_piece(tool, severities[tool.role])
            fit.append([tool for tool in group if not refusals(said[tool.tag])])
        if not all(fit):
            return
        beside = [
            sorted(group, key=lambda tool: self._beside_order(tool, tooling, said[tool.tag]))
            for group in fit[1:]
        ]
        figures, closeness_mm = self.answers.figures(tooling), self.answers.closeness_mm(tooling)
        for lead in fit[0]:
            together = self._together(lead, _nearest_first(lead, beside), tooling)
            if together is None:
                continue
            chosen, told = together
            of_each = (finding for tool in chosen.tools.values() for finding in said[tool.tag])
            every = (*findings, *of_each, *told)
            yield Candidate(chosen, every, figures, severities, closeness_mm)

    def _together(
        self, lead: Tool, beside: Sequence[Group], tooling: ToolingSet
    ) -> tuple[ToolingSet, list[Finding]] | None:
        """The first pieces beside a leading one that go with it, better without a caution.

        None where every one is refused with it.
        """
        second: tuple[ToolingSet, list[Finding]] | None = None
        for others in product(*beside):
            tools = {tool.role: tool for tool in (lead, *others)}
            chosen = ToolingSet(tools, tooling.station, tooling.adapters)
            told = self.answers.judge_together(chosen)
            if refusals(told):
                continue
            if not cautions(told):
                return chosen, told
            second = second or (chosen, told)
        return second

    def _candidate(
        self, tooling: ToolingSet, findings: list[Finding], severities: dict[str, float]
    ) -> Candidate:
        return Candidate(
            tooling,
            tuple(findings),
            self.answers.figures(tooling),
            severities,
            self.answers.closeness_mm(tooling),
        )

    def _severities(self, tooling: ToolingSet) -> dict[str, float]:
        return {role: self.answers.severity_each(tooling, role) for role in tooling.tools}

    def _judge_piece(self, tool: Tool, severity_each: float) -> list[Finding]:
        """What the rules say of a piece, worked out once: it stands beside many others."""
        # Only of a job of several parts it matters how much each of them wears.
        key = (tool.tag or tool.design, severity_each if self.case.facts.quantity > 1 else 0.0)
        if key not in self._said:
            said = self.answers.judge_piece(tool, severity_each)
            if tool.tag in self.promised:
                text = f"{tool.tag} is {self.promised[tool.tag]}"
                said.append(Finding("promised", "caution", text, source="holds"))
            self._said[key] = said
        return self._said[key]

    def _combinations(self, needs: Sequence[Need]) -> Iterator[tuple[Group, ...]]:
        """Groups for the roles beside the leading one; read as they are wanted."""
        if len(needs) == 1:
            for group in self.groups(needs[0]):
                yield (group,)
        else:
            yield from product(*(self.groups(need) for need in needs))

    def _beside_order(
        self, tool: Tool, tooling: ToolingSet, said: Sequence[Finding]
    ) -> tuple[int, bool, bool, int, int, str]:
        """The piece to take beside a leading one: by the lines that rank picks."""
        return (
            len(cautions(said)),
            tool.station_id != tooling.station.id,
            tool.dedicated_to != self.family,
            tool.walk_order,
            -tool.strokes_total,
            tool.tag,
        )


@dataclass
class _Waiting:
    """Sets with a caution of which no pieces were looked at yet: clean ones all come before them.

    They are looked at as soon as their number could end a search, or where too few are clean.
    """

    search: Search
    picks: list[Candidate]
    _sets: list[tuple[list[_Set], bool]] = field(init=False, default_factory=list)

    def put_off(self, sets: list[_Set], serving: int, *, served: bool) -> int:
        """Keep the sets of one design of the second role, others of which may have served.

        How many more designs serve, where it could matter: with them so many designs or picks may
        be in hand as are enough.
        """
        if sets:
            self._sets.append((sets, served))
        most = sum(len(one.groups[0]) for some, _served in self._sets for one in some)
        enough = len(self.picks) + most >= MOST_FOUND or serving + len(self._sets) >= ENOUGH
        return self.made() if enough else 0

    def made(self) -> int:
        """Add their picks; how many more designs serve by them."""
        serving = 0
        for sets, served in self._sets:
            new = [pick for one in sets for pick in self.search._pieces(one)]
            self.picks += new
            serving += bool(new) and not served
        self._sets.clear()
        return serving


def _nearest_first(lead: Tool, beside: Sequence[Group]) -> Sequence[Group]:
    """Pieces of the other roles in their order, those of the own site or the leading one's first.

    Else the nearest; as they are where none is from elsewhere.
    """
    if not any(tool.site for group in beside for tool in group):
        return beside
    near = ("", lead.site)
    return [sorted(g, key=lambda tool: (tool.site not in near, tool.site_days)) for g in beside]
