"""The set-up sheet of a machine: station by station what to mount, to set, to check and to run.

Every text is ready to print: lengths, forces and phrases are written by whoever makes the sheet.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, BinaryIO

from crib.errors import BadValue
from crib.files.paper.shop_paper import PaperFrame, write_paper
from crib.files.paper.shop_paper_parts import (
    BODY,
    LARGE,
    SMALL,
    bar,
    gap,
    kept,
    ruled,
    text,
    tick,
    tick_list,
)

if TYPE_CHECKING:
    from reportlab.platypus import Flowable, Paragraph, Table

DEFER = (
    "This sheet advises. The plate on the machine, its maker's manual, the guards, local codes and"
    " trained people decide. Lock the power out to change tools."
)
NOT_SAID = "not said"
RUN_ROOM = 100.0
"""What a station's first line of work takes: its tools do not stand on the page before it."""


@dataclass(frozen=True, slots=True)
class SetUpTool:
    """One piece to mount; ``key`` is how its key is set, empty where it has none."""

    role: str
    tag: str
    what: str
    place: str
    key: str
    edge: str


@dataclass(frozen=True, slots=True)
class SetUpOut:
    """One piece that stands there and comes out first, and where it goes."""

    tag: str
    what: str
    to: str


@dataclass(frozen=True, slots=True)
class SetUpRun:
    """One line of work at a station.

    ``hits`` are those of one part, ``strokes`` those of all parts; ``load`` is the force over what
    the station may be loaded to, None where it is not known.
    """

    order: int
    phrase: str
    part_mark: str
    material: str
    parts: int
    hits: int
    strokes: int
    force: str
    load: float | None
    gauge_lines: tuple[str, ...] = ()
    note: str = ""


@dataclass(frozen=True, slots=True)
class StationSetUp:
    """One station: what comes out, what goes in, how it is set, what is run.

    ``oil`` is None when nobody said; ``clearance`` is that of the pair or the blades.
    """

    station: str
    tools: tuple[SetUpTool, ...]
    stripper_gap: str
    oil: bool | None
    runs: tuple[SetUpRun, ...]
    checks: tuple[str, ...] = ()
    clearance: str = ""
    out: tuple[SetUpOut, ...] = ()


@dataclass(frozen=True, slots=True)
class SetUpSheet:
    """The whole sheet; ``hold_points`` stop the work until somebody looked and signed.

    ``cautions`` stand at the foot of each page, ``dangers`` are all those of its works.
    """

    title: str
    job: str
    machine: str
    made_on: str
    stations: tuple[StationSetUp, ...]
    hold_points: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    dangers: tuple[str, ...] = ()


def write_set_up_sheet(sheet: SetUpSheet, where: Path | BinaryIO, paper: str = "Letter") -> int:
    """Write a set-up sheet as a PDF, whole or not at all; returns how many pages it has.

    Raises:
        BadValue: for a sheet without a station, or a paper that is not known.
    """
    if not sheet.stations:
        message = f"the set-up sheet {sheet.title[:40]!r} has no station"
        raise BadValue(message, way_out="give it at least one station to set up")
    facts = (f"Job {sheet.job}", f"Machine {sheet.machine}", f"Made {sheet.made_on}")
    frame = PaperFrame(sheet.title, facts, (*sheet.cautions, DEFER), paper)
    return write_paper(frame, partial(_body, sheet), where)


def _body(sheet: SetUpSheet, width: float) -> list[Flowable]:
    parts: list[Flowable] = []
    if sheet.hold_points:
        parts += [_hold_points(sheet, width), gap(10)]
    for number, station in enumerate(sheet.stations, 1):
        name = f"Set-up {number} of {len(sheet.stations)}: {station.station}"
        parts += [*_station(station, name, width), gap(12)]
    if sheet.notes:
        parts += [text("Notes", BODY, bold=True), *(text(note) for note in sheet.notes), gap(8)]
    if sheet.dangers:
        parts += [text("Cautions", BODY, bold=True), *(text(one) for one in sheet.dangers)]
    return parts


def _hold_points(sheet: SetUpSheet, width: float) -> Table:
    heading = ("", "Hold point: stop here until it is signed", "Seen by", "Time")
    rows = [[tick(), text(point, BODY, bold=True), "", ""] for point in sheet.hold_points]
    return ruled(heading, rows, (24, width - 204, 110, 70), least=24)


def _station(station: StationSetUp, name: str, width: float) -> list[Flowable]:
    head: list[Flowable] = [bar(name, width)]
    if station.out:
        head.append(_out(station.out, width))
    if station.tools:
        head.append(_tools(station.tools, width))
    head.append(_settings(station, width))
    if station.checks:
        head.append(tick_list(station.checks, width))
    if station.runs:
        return [kept(head, width, RUN_ROOM), *head, gap(3), _runs(station, width)]
    return [kept(head, width), *head]


def _out(tools: tuple[SetUpOut, ...], width: float) -> Table:
    heading = ("", "Take out first", "Tool", "It goes back to")
    rows = [
        [
            tick(),
            text(tool.tag, LARGE, bold=True),
            text(tool.what),
            text(tool.to or NOT_SAID, BODY, bold=bool(tool.to)),
        ]
        for tool in tools
    ]
    return ruled(heading, rows, (24, 80, width - 284, 180))


def _tools(tools: tuple[SetUpTool, ...], width: float) -> Table:
    heading = ("", "Put in", "Tool", "From", "Key to throat", "Edge")
    rows = [
        [
            tick(),
            text(tool.tag, LARGE, bold=True),
            text(f"{tool.role}: {tool.what}" if tool.role else tool.what),
            text(tool.place or NOT_SAID, BODY, bold=bool(tool.place)),
            text(tool.key or "no key"),
            text(tool.edge or NOT_SAID),
        ]
        for tool in tools
    ]
    return ruled(heading, rows, (24, 80, width - 332, 100, 48, 80))


def _settings(station: StationSetUp, width: float) -> Table:
    oil = {True: "yes", False: "no", None: "not said: ask"}[station.oil]
    gap_text = station.stripper_gap or "not said: the machine's manual"
    row = [
        tick(),
        text(f"Stripper gap: {gap_text}", bold=True),
        tick(),
        text(f"Oil: {oil}", bold=True),
    ]
    rows: list[list[Any]] = [row]
    if station.clearance:
        rows.append([tick(), text(f"Clearance: {station.clearance}", bold=True), "", ""])
    return ruled((), rows, (24, width * 0.6 - 24, 24, width * 0.4 - 24))


def _runs(station: StationSetUp, width: float) -> Table:
    heading = (
        "",
        "Run",
        f"Work at {station.station}",
        "Parts",
        "Hits a part",
        "Strokes",
        "Force, load",
    )
    rows = [
        [
            tick(),
            text(str(run.order), LARGE, bold=True),
            _work(run),
            text(f"{run.parts:,}"),
            text(f"{run.hits:,}"),
            text(f"{run.strokes:,}", bold=True),
            [text(run.force or NOT_SAID, bold=True), text(_load(run.load), bold=True)],
        ]
        for run in station.runs
    ]
    return ruled(heading, rows, (24, 32, width - 288, 42, 46, 54, 90))


def _work(run: SetUpRun) -> list[Paragraph]:
    mark = ", ".join(one for one in (run.part_mark, run.material) if one)
    lines = [text(run.phrase, 11, bold=True)]
    if mark:
        lines.append(text(mark))
    lines += [text(f"Stop: {line}") for line in run.gauge_lines]
    if run.note:
        lines.append(text(run.note, SMALL))
    return lines


def _load(load: float | None) -> str:
    if load is None:
        return "load not known"
    share = f"{100 * load:.0f} %"
    return share if load <= 1 else f"{share}: OVER, do not run"
