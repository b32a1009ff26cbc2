"""The lines of a shift as they may be proposed: what is mounted, and what was planned with it.

A door asks about each line, or prints it; what comes back is read as said about that line.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from crib.desk.common.blade_pairs import cutting_with
from crib.desk.common.mounting import pair_fault
from crib.desk.strokes.log_book import KnownLine, StrokeLine
from crib.desk.strokes.log_words import read_lines
from crib.desk.strokes.manner_words import words_of
from crib.errors import BadInput
from crib.features.common.sizes import size_word
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.jobs import RunCard, open_runs_at
from crib.stock.queries.pieces import PieceCard, pieces_by_ids
from crib.stock.queries.shop_names import machine_called, station_places
from crib.stock.queries.strokes import last_work, mounted_pieces
from crib.trade.shop.shop_rules import Rules
from crib.units import System

ASKED = ("punch", "blade", "set")
"""The roles that strike; a die's strokes are those of the punch over it."""


@dataclass(frozen=True, slots=True)
class ProposedLine:
    """One line to be asked about. ``strokes`` are planned and not logged yet; None without a plan.

    ``die_tag`` is the die that is counted when it is clear which, ``beside`` what cuts with the
    tool; of a planned run both are the plan's. ``dies`` names every die at the station,
    ``standing`` the copy of a planned tool that is mounted there in its place. Without a plan
    ``thickness_mm`` and ``material`` are those of the tool's last work.
    """

    station: str
    mounted: bool
    tag: str
    kind: str
    dies: str
    die_tag: str
    strokes: int | None
    thickness_mm: float | None
    material: str
    job: str = ""
    mark: str = ""
    phrase: str = ""
    standing: str = ""
    beside: tuple[str, ...] = ()

    @property
    def known(self) -> KnownLine:
        """What a count alone would mean."""
        plate = (self.thickness_mm, self.material)
        return KnownLine(self.tag, self.die_tag, *plate, self.job, beside=self.beside or None)

    @property
    def other_die(self) -> str:
        """The die that stands there instead of the planned one; empty when none does."""
        there = self.dies.split(", ") if self.dies and self.mounted else []
        return there[0] if self.die_tag and len(there) == 1 and there[0] != self.die_tag else ""


@dataclass(frozen=True, slots=True)
class _Station:
    """A station with what stands in it."""

    id: int
    place: str
    cards: tuple[PieceCard, ...]

    def dies_for(self, tool: PieceCard, system: System) -> list[PieceCard]:
        """The dies here that can run with a tool."""
        if tool.role != "punch":
            return []
        dies = [card for card in self.cards if card.role == "die"]
        return [die for die in dies if pair_fault(tool, die, system) is None]

    @property
    def tools(self) -> list[PieceCard]:
        """The tools here that strike; of those that cut together the first by tag."""
        found: list[PieceCard] = []
        for card in sorted(self.cards, key=lambda one: one.tag):
            if card.role in ASKED and not cutting_with(card, found):
                found.append(card)
        return found

    @property
    def dies(self) -> str:
        """Every die here, fitting or not."""
        return ", ".join(card.tag for card in self.cards if card.role == "die")


def proposed_lines(session: Session, machine: str = "") -> list[ProposedLine]:
    """A line for each mounted tool and each planned run, station by station.

    Raises:
        UnknownName: for a machine that is not known.
    """
    rules = shop_rules(session)
    stations = _stations(session, machine)
    runs: dict[int, list[RunCard]] = {}
    for run in open_runs_at(session, [one.id for one in stations]):
        runs.setdefault(run.station_id, []).append(run)
    planned = [run for own in runs.values() for run in own]
    cards = pieces_by_ids(session, {run.piece_id for run in planned})
    return [
        line
        for station in stations
        for line in _Proposer(session, rules, station, cards).lines(runs.get(station.id, ()))
    ]


def lines_to_ask(proposed: Iterable[ProposedLine]) -> list[ProposedLine]:
    """The lines for somebody in a hurry: a mounted tool with planned runs is only asked for those.

    What it did besides goes in by its tag.
    """
    lines = list(proposed)
    planned = {
        (line.station, tag)
        for line in lines
        if line.strokes is not None
        for tag in (line.tag, *line.beside)
    }
    return [
        line
        for line in lines
        if line.strokes is not None or (line.station, line.tag) not in planned
    ]


def line_said(session: Session, known: KnownLine, words: Sequence[str]) -> StrokeLine:
    """The line that some words say about what is known: a count, and what was different.

    Raises:
        BadInput: for words that cannot be read, or that say more than one line.
    """
    rules = shop_rules(session)
    lines = read_lines([known.tag, *words], rules, {known.tag}, {known.tag: known}.get)
    if len(lines) != 1:
        message = f"{' '.join(words)[:60]!r} is more than one line"
        raise BadInput(message, way_out="say one line at a time, like: 400 about thru 3/8 A36")
    return lines[0]


def line_text(line: StrokeLine, system: System) -> str:
    """A line as it would be typed by hand."""
    words = [line.tag, str(line.count)]
    words += ["about"] if line.estimate else []
    if line.work.thickness_mm is not None and line.work.material is not None:
        words.append(f"thru {plate_text(line.work.thickness_mm, line.work.material.name, system)}")
    words += [f"with {line.die_tag}"] if line.die_tag else []
    words += words_of(line.work.manner)
    words += [f"job {line.job}"] if line.job else []
    return " ".join(words)


def plate_text(thickness_mm: float, material: str, system: System) -> str:
    """A plate as it is said behind ``thru``."""
    return f"{size_word(thickness_mm, system)} {material}".strip()


@dataclass(frozen=True, slots=True)
class _Proposer:
    """Makes the lines of one station; ``planned`` are the pieces of every planned run."""

    session: Session
    rules: Rules
    station: _Station
    planned: dict[int, PieceCard]

    def lines(self, runs: Sequence[RunCard]) -> Iterator[ProposedLine]:
        """Each mounted tool, then its runs; then the runs of tools that are not mounted."""
        tools = self.station.tools
        chosen = {run.id: self._place_of(run, tools) for run in runs}
        for tool in tools:
            yield self._without_plan(tool)
            for run in runs:
                if chosen[run.id] == tool:
                    yield self._of_run(run, tool)
        for run in runs:
            if chosen[run.id] is None:
                yield self._of_run(run, None)

    def _place_of(self, run: RunCard, tools: Sequence[PieceCard]) -> PieceCard | None:
        """Behind which mounted tool a run stands: a piece of its own, else a copy of its tool."""
        own = [tool for tool in tools if tool.id in run.piece_ids]
        copies = [tool for tool in tools if tool.kind_id == run.kind_id]
        return next(iter([*own, *copies]), None)

    def _without_plan(self, tool: PieceCard) -> ProposedLine:
        last = last_work(self.session, tool.id)
        beside = cutting_with(tool, self.station.cards)
        return ProposedLine(
            station=self.station.place,
            mounted=True,
            tag=tool.tag,
            kind=tool.kind_name,
            dies=self.station.dies if tool.role == "punch" else "",
            die_tag=self._die_under(tool),
            strokes=None,
            thickness_mm=last.thickness_mm if last else None,
            material=last.material if last else "",
            beside=tuple(one.tag for one in beside),
        )

    def _of_run(self, run: RunCard, there: PieceCard | None) -> ProposedLine:
        """The line of a run with the set that its plan named; ``there`` stands where it works."""
        tool = self.planned[run.piece_id]
        here = there is not None and there.id in run.piece_ids
        return ProposedLine(
            station=self.station.place,
            mounted=here,
            tag=tool.tag,
            kind=tool.kind_name,
            dies=self.station.dies if here and tool.role == "punch" else run.die_tag,
            die_tag=run.die_tag or (self._die_under(tool) if here else ""),
            strokes=run.left,
            thickness_mm=run.thickness_mm,
            material=run.material,
            job=run.job,
            mark=run.mark,
            phrase=run.phrase,
            standing=there.tag if there is not None and not here else "",
            beside=run.beside_tags,
        )

    def _die_under(self, tool: PieceCard) -> str:
        """The one die here that can run with a tool; empty when it is none or several."""
        here = [die.tag for die in self.station.dies_for(tool, self.rules.system)]
        return here[0] if len(here) == 1 else ""


def _stations(session: Session, machine: str) -> list[_Station]:
    """The stations, of one machine when it is named, in the order of a walk round the shop."""
    wanted = machine_called(session, machine)
    by_place: dict[int, list[PieceCard]] = {}
    for card in mounted_pieces(session):
        by_place.setdefault(card.place_id or 0, []).append(card)
    return [
        _Station(place.station_id, place.place, tuple(by_place.get(place.place_id, ())))
        for place in station_places(session)
        if not wanted or place.machine == wanted
    ]
