"""The runs of a plan: what is struck where with which pieces, split where an edge gives out.

The wear of every piece is carried through the plan in its order. At the last whole piece of work
before an edge is dull the run ends, and goes on with another copy where there is one.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import floor

from crib.desk.common.piece_wear import EDGED
from crib.desk.plan.magazine_walk import Key
from crib.desk.plan.phrase_picks import Served
from crib.desk.plan.relief_copies import Copies, CopyPlace
from crib.desk.plan.task_order import OrderedTasks
from crib.desk.plan.tasks import FeatureUse, Magazine, Task
from crib.features.common.tooling import Station, Tool

_DUST = 1e-6


@dataclass(frozen=True)
class Run:
    """One phrase on one part in one station with one set of pieces.

    ``pieces`` are parts, ``each`` features of a part, ``hits`` strokes of a feature with this set.
    ``put_in`` says that the set is put in before it.
    """

    task: Task
    use: FeatureUse
    station: Station
    tools: tuple[Tool, ...]
    pieces: int
    put_in: bool = False
    swapped: bool = False

    @property
    def each(self) -> int:
        """Features of one part."""
        return self.use.feature.each

    @property
    def quantity(self) -> int:
        """Features of all parts."""
        return self.pieces * self.each

    @property
    def strokes(self) -> int:
        """Strokes of the tool that strikes."""
        return self.quantity * self.use.pair.hits

    @property
    def weighted(self) -> float:
        """What they cost the tool that strikes, in weighted strokes."""
        weights = self.use.pair.weights
        return self.quantity * weights[0] if weights else 0.0


@dataclass(frozen=True, slots=True)
class GivesOut:
    """An edge that will not last: after how many parts of a run, and what to do then.

    ``swap_to`` is another copy, empty when there is none that would do.
    """

    tag: str
    kind: str
    job: str
    mark: str
    phrase: str
    after_parts: int
    of_parts: int
    used: float
    swap_to: str
    swap_place: str
    do: str


@dataclass
class Wearing:
    """The edges as they stand while the plan is walked through."""

    copies: Copies
    _wear: dict[str, float]
    _instead: dict[str, Tool]
    _given_up: set[str]
    _coming: Mapping[str, float]

    @staticmethod
    def begin(copies: Copies, coming: Mapping[str, float]) -> Wearing:
        """Every edge as it is in the crib, with what is coming to it from other runs."""
        return Wearing(copies, {}, {}, set(), coming)

    def _worn(self, tool: Tool) -> float:
        """The wear of an edge by now."""
        begun = tool.wear + self._coming.get(tool.tag, 0.0)
        return self._wear.get(tool.tag, begun)

    def now(self, tool: Tool) -> Tool:
        """The copy that is in use instead of a tool by now."""
        while tool.tag in self._instead:
            tool = self._instead[tool.tag]
        return tool

    def parts_left(self, tool: Tool, weight: float) -> float:
        """How many parts an edge still does at a weight for each; no end for what cannot wear."""
        if tool.role not in EDGED or weight <= 0 or tool.tag in self._given_up:
            return float("inf")
        left = tool.interval - self._worn(tool)
        return max(floor(left / weight + _DUST), 0)

    def used(self, tool: Tool) -> float:
        """The share of an edge's life that is used by now."""
        return self._worn(tool) / tool.interval

    def strike(self, tool: Tool, weighted: float) -> None:
        """Wear an edge."""
        self._wear[tool.tag] = self._worn(tool) + weighted

    def replace(self, tool: Tool, place: CopyPlace, weight: float, parts: int) -> Tool | None:
        """Take another copy from here on; None when the tool itself must be ground first."""
        copy = self.copies.best(tool, place, weight, parts)
        if copy is not None:
            self._instead[tool.tag] = copy
        elif weight <= tool.interval:
            self._wear[tool.tag] = 0.0
        else:
            self._given_up.add(tool.tag)
        return copy


def runs_of(
    ordered: Sequence[OrderedTasks],
    magazines: Mapping[Key, Magazine],
    served: Mapping[str, Served],
    copies: Copies,
    coming: Mapping[str, float],
) -> tuple[list[Run], list[GivesOut]]:
    """Every run in order, and the edges that give out on the way.

    ``coming`` are the weighted strokes that other runs will put on a piece, by tag.
    """
    wearing = Wearing.begin(copies, coming)
    runs: list[Run] = []
    out: list[GivesOut] = []
    for machine in ordered:
        for task, puts, slots in zip(machine.tasks, machine.puts, machine.slots, strict=True):
            new = set(puts)
            for use in _by_tools(task):
                put = (use.magazine, use.tools)
                station = magazines[use.magazine].stations[slots.get(put, 0)]
                run = Run(task, use, station, use.pair.tools, task.chunk.part.pieces, put in new)
                new.discard(put)
                runs += _split(run, served[use.feature.phrase], wearing, out)
    return runs, out


def _by_tools(task: Task) -> list[FeatureUse]:
    """The task's work with each set of tools together."""
    turns = list(dict.fromkeys((use.magazine, use.tools) for use in task.uses))
    return sorted(task.uses, key=lambda use: turns.index((use.magazine, use.tools)))


def _split(run: Run, served: Served, wearing: Wearing, out: list[GivesOut]) -> Iterator[Run]:
    """The run in as many pieces as its edges need."""
    left, done = run.pieces, 0
    while left:
        tools = tuple(wearing.now(tool) for tool in run.use.pair.tools)
        weights = [weight * run.each for weight in run.use.pair.weights]
        lasting = [
            wearing.parts_left(tool, weight) for tool, weight in zip(tools, weights, strict=True)
        ]
        some = int(min([float(left), *lasting]))
        if some:
            for tool, weight in zip(tools, weights, strict=True):
                wearing.strike(tool, weight * some)
            yield replace(run, tools=tools, pieces=some)
            left, done = left - some, done + some
            run = replace(run, put_in=False, swapped=False)
        if not left:
            return
        roles = run.use.pair.roles
        for role, tool, weight, lasts in zip(roles, tools, weights, lasting, strict=True):
            if lasts <= some:
                used = wearing.used(tool)
                beside = partner_of(role, roles, tuple(map(wearing.now, tools)))
                place = CopyPlace(served, run.station, beside)
                copy = wearing.replace(tool, place, weight, left)
                out.append(_gives_out(run, tool, used, done, copy))
                run = replace(run, swapped=copy is not None)


def partner_of(role: str, roles: Sequence[str], tools: Sequence[Tool]) -> Tool | None:
    """The die that goes with a punch, or the punch with a die, of the same pair."""
    other = {"punch": "die", "die": "punch"}.get(role.split()[-1], "")
    wanted = " ".join([*role.split()[:-1], other])
    return next((tool for name, tool in zip(roles, tools, strict=True) if name == wanted), None)


def _gives_out(run: Run, tool: Tool, used: float, done: int, copy: Tool | None) -> GivesOut:
    part = run.task.chunk.part
    renew = "turn" if tool.edge < tool.edges else "grind"
    if copy is not None:
        when = f"after {done} of {part.pieces}" if done else "before it"
        do = f"{when} take {copy.tag} from {copy.place}, or {renew} {tool.tag}"
    elif done:
        do = f"{renew} it first, or stop after {done} of {part.pieces} and {renew} it"
    else:
        do = f"{renew} it first"
    return GivesOut(
        tool.tag,
        tool.kind,
        part.job,
        part.mark,
        run.use.feature.phrase,
        done,
        part.pieces,
        used,
        copy.tag if copy else "",
        copy.place if copy else "",
        do,
    )
