"""The set-up sheets of a plan, one for each machine: station by station what goes in and is run."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from io import BytesIO
from pathlib import Path

from crib.desk.answer.find import Found
from crib.desk.common.caution_page import Work
from crib.desk.common.cautions import (
    all_cautions,
    is_heavy,
    set_up_checks,
    short_cautions,
    station_work,
)
from crib.desk.plan.feature_places import gauge_lines, key_angle_deg
from crib.desk.plan.plan_result import Plan, marks_of
from crib.desk.plan.runs import Run, partner_of
from crib.errors import BadInput
from crib.features.common.findings import Finding, cautions
from crib.features.common.hole_method import punched_words
from crib.features.common.key_words import key_way
from crib.features.common.speech import Speech
from crib.features.common.spoken import LATER
from crib.features.holes.pair_workarounds import WHICH_BOLT
from crib.files.common.paper_sizes import usual_paper
from crib.files.paper.pictures import check_place
from crib.files.paper.set_up_sheet import (
    SetUpOut,
    SetUpRun,
    SetUpSheet,
    SetUpTool,
    StationSetUp,
    write_set_up_sheet,
)
from crib.stock.engine.session import Session
from crib.stock.queries.places import home_drawers
from crib.stock.queries.strokes import mounted_pieces
from crib.trade.metal.clearance import percent_of_thickness, total_clearance_mm
from crib.trade.shop.shop_rules import Rules

FIRST_PIECE = "First piece of each run: size, place and burr checked before the rest"
NO_DRAWING = "planned without the drawing: check reach, edges and legs before the first hit"
HELD = ("punch", "die", "set", "brake_tool")
"""What a station holds one of at a time."""

STANDS_THERE = "stands there"

Standing = Mapping[int, Sequence[SetUpOut]]
"""The tools that stand in each station, by its number."""

_MOST_NOTES = 20
_MOST_MARKS = 6


def sheet_places(where: str, machines: Sequence[str]) -> list[Path]:
    """A file for each machine: the name as given for one, numbered for several.

    Raises:
        BadInput: for a name that is no PDF's.
        Refused: when something is there already.
        Missing: when there is no such folder.
    """
    path = Path(where)
    if path.suffix.lower() != ".pdf":
        message = f"a set-up sheet is a PDF file, found {path.name!r}"
        raise BadInput(message, way_out=f"name it {path.stem or 'set-up'}.pdf")
    if len(machines) < 2:
        places = [path]
    else:
        places = [
            path.with_name(f"{path.stem}-{number}{path.suffix}")
            for number in range(1, len(machines) + 1)
        ]
    for place in places:
        check_place(place)
    return places


def standing_tools(session: Session) -> dict[int, list[SetUpOut]]:
    """What stands in each station now and is changed for other work, and where it belongs."""
    cards = [card for card in mounted_pieces(session) if card.role in HELD]
    homes = home_drawers(session, (card.id for card in cards))
    found: dict[int, list[SetUpOut]] = {}
    for card in cards:
        home = homes.get(card.id)
        one = SetUpOut(card.tag, card.kind_name, home.name if home else "")
        found.setdefault(card.station_id or 0, []).append(one)
    return found


def write_sheets(
    plan: Plan, rules: Rules, where: str, made_on: date, standing: Standing
) -> list[str]:
    """Write the sheet of every machine; returns the files' names.

    ``standing`` are the tools in each station before the work, by the station's number.
    """
    machines = [one.machine for one in plan.machines]
    places = sheet_places(where, machines)
    paper = usual_paper(plan.system)
    written = []
    for machine, place in zip(machines, places, strict=False):
        sheet = sheet_of(plan, machine, rules, made_on, standing)
        write_set_up_sheet(sheet, place, paper)
        written.append(str(place))
    return written


def sheet_bytes(plan: Plan, machine: str, rules: Rules, made_on: date, standing: Standing) -> bytes:
    """The sheet of one machine as a PDF's bytes; as ``write_sheets`` for what is in the plan."""
    made = BytesIO()
    sheet = sheet_of(plan, machine, rules, made_on, standing)
    write_set_up_sheet(sheet, made, usual_paper(plan.system))
    return made.getvalue()


def sheet_of(
    plan: Plan, machine: str, rules: Rules, made_on: date, standing: Standing
) -> SetUpSheet:
    """The sheet of one machine, in the order in which its stations are set up."""
    numbered = [
        (number, run) for number, run in enumerate(plan.runs, 1) if run.station.machine == machine
    ]
    jobs = dict.fromkeys(run.task.chunk.job.name for _number, run in numbered)
    return SetUpSheet(
        title="Set-up sheet",
        job=", ".join(name for name in jobs if name) or "not named",
        machine=machine,
        made_on=made_on.isoformat(),
        stations=tuple(
            _station(plan, change, Speech(rules))
            for change in _changes(_set_ups(numbered), standing)
        ),
        hold_points=tuple(_hold_points(plan, numbered)),
        cautions=short_cautions(_works(plan, machine)),
        dangers=all_cautions(_works(plan, machine)),
        notes=tuple(_notes(plan, machine))[:_MOST_NOTES],
    )


def _works(plan: Plan, machine: str) -> list[Work]:
    """The works of a machine, and lifting where something heavy is mounted for them."""
    tools = (tool for run in plan.runs_at(machine) for tool in run.tools)
    works = plan.works_at(machine)
    if any(is_heavy(tool.role, tool.width_mm) for tool in tools):
        works.append("heavy")
    return works


def _set_ups(numbered: Sequence[tuple[int, Run]]) -> list[list[tuple[int, Run]]]:
    """Runs that a station makes without a change of its tools, in the order of the first."""
    found: list[list[tuple[int, Run]]] = []
    open_at: dict[int, tuple[tuple[str, ...], list[tuple[int, Run]]]] = {}
    for number, run in numbered:
        tags = tuple(sorted(tool.tag for tool in run.tools))
        now = open_at.get(run.station.id)
        if now is None or now[0] != tags or run.put_in:
            now = (tags, [])
            open_at[run.station.id] = now
            found.append(now[1])
        now[1].append((number, run))
    return found


@dataclass(frozen=True, slots=True)
class _Change:
    """One set-up: its runs, what comes out of the station first, and where what goes in is.

    ``where`` names the pieces that are not where the crib has them by then, by tag.
    """

    numbered: list[tuple[int, Run]]
    out: tuple[SetUpOut, ...]
    where: Mapping[str, str]


def _changes(set_ups: Sequence[list[tuple[int, Run]]], standing: Standing) -> Iterator[_Change]:
    """Each set-up with the tools that must leave its station first, walked through in turn."""
    there = {station: list(tools) for station, tools in standing.items()}
    taken_out: dict[str, str] = {}
    for some in set_ups:
        first = some[0][1]
        held = [tool for tool in first.tools if tool.role in HELD]
        tags = {tool.tag for tool in held}
        before = there.get(first.station.id, [])
        out = tuple(one for one in before if held and one.tag not in tags)
        stays = [tool.tag for tool in first.tools if tool.station_id == first.station.id]
        stays = [one.tag for one in before if one.tag in tags] if held else stays
        yield _Change(some, out, {**taken_out, **dict.fromkeys(stays, STANDS_THERE)})
        taken_out.update({one.tag: one.to for one in out})
        if held:
            homes = taken_out | {one.tag: one.to for one in before}
            there[first.station.id] = [
                SetUpOut(tool.tag, tool.kind, homes.get(tool.tag, tool.place)) for tool in held
            ]


def _station(plan: Plan, change: _Change, say: Speech) -> StationSetUp:
    numbered = change.numbered
    first = numbered[0][1]
    adapters = [
        SetUpTool("adapter", tag, "", "", "", "as it is") for tag in first.use.pair.adapters
    ]
    runs = [run for _number, run in numbered]
    return StationSetUp(
        station=first.station.name + (": swap" if first.swapped else ""),
        tools=(*_tools(runs, change.where), *adapters),
        stripper_gap=_gap(plan, runs, say) if first.station.work == "punch" else "not used here",
        oil=None,
        runs=tuple(_run(number, run, say) for number, run in numbered),
        checks=set_up_checks(station_work(first.station.work)),
        clearance=_clearance(plan, runs, say),
        out=change.out,
    )


def _tools(runs: Sequence[Run], where: Mapping[str, str]) -> Iterator[SetUpTool]:
    first = runs[0]
    roles = first.use.pair.roles
    for role, tool in zip(roles, first.tools, strict=True):
        edge = f"{tool.edge_state}, {100 * tool.used:.0f} %" if tool.edge_state else "no edge"
        place = where.get(tool.tag, tool.place)
        angle = key_angle_deg(tool, partner_of(role, roles, first.tools), runs)
        key = "" if angle is None else key_way(tool.shape, angle)
        yield SetUpTool(role.replace("_", " "), tool.tag, tool.kind, place, key, edge)


def _gap(plan: Plan, runs: Sequence[Run], say: Speech) -> str:
    """The stripper is set to the thickest stock that is run, no wider than it needs to slide."""
    thick_mm = max(plan.served[run.use.feature.phrase].plate.thickness_mm for run in runs)
    return f"just over {say.length(thick_mm)}, so that the stock slides"


def _clearance(plan: Plan, runs: Sequence[Run], say: Speech) -> str:
    """How much bigger the die is, in all and of each thickness; of blades their gap."""
    first = runs[0]
    figures = first.use.option.candidate.figures
    tools = dict(zip(first.use.pair.roles, first.tools, strict=True))
    if "punch" in tools and "die" in tools:
        punch, die = tools["punch"], tools["die"]
        sides = ((punch.width_mm, die.width_mm), (punch.long_mm, die.long_mm))
        total_mm = min(total_clearance_mm(small_mm, big_mm) for small_mm, big_mm in sides)
        thick_mm = {plan.served[run.use.feature.phrase].plate.thickness_mm for run in runs}
        of_each = (
            f"{percent_of_thickness(total_mm, one_mm):.0f} % of {say.length(one_mm)}"
            for one_mm in sorted(thick_mm)
        )
        return f"{say.length(total_mm)} in total, {', '.join(of_each)}"
    if "blade_gap_least_mm" in figures:
        gap = (say.caliper(figures[f"blade_gap_{end}_mm"]) for end in ("least", "most"))
        return f"blade gap {' to '.join(gap)}, the manual comes first"
    return ""


def _run(number: int, run: Run, say: Speech) -> SetUpRun:
    figures = run.use.option.candidate.figures
    force_kn = figures.get("force_kn")
    plan = run.use.option.candidate.plan
    return SetUpRun(
        order=number,
        phrase=run.use.feature.phrase,
        part_mark=run.task.chunk.part.mark,
        material="",
        parts=run.pieces,
        hits=run.each * run.use.pair.hits,
        strokes=run.strokes,
        force="" if force_kn is None else say.force(force_kn * 1000),
        load=figures.get("load"),
        gauge_lines=tuple(gauge_lines(run, say)),
        note=plan.text if plan else punched_words(figures, say.system),
    )


def _hold_points(plan: Plan, numbered: Sequence[tuple[int, Run]]) -> Iterator[str]:
    """Where the work stops until somebody has looked."""
    yield from _without_drawing([run for _number, run in numbered])
    yield FIRST_PIECE
    for number, run in numbered:
        if run.swapped:
            yield f"Before run {number}: swap to {' and '.join(tool.tag for tool in run.tools)}"
        weighty = dict.fromkeys(finding.rule for finding in _weighty(run))
        rules = [rule for rule in weighty if rule != LATER]
        if rules:
            yield f"Run {number}: {', '.join(rules)}, see notes; stand aside for the first hit"
    marks = set(marks_of([run for _number, run in numbered]))
    for one in plan.gives_out:
        if not one.swap_to and one.mark in marks:
            yield f"{one.tag} in {one.mark}: {one.do}"


def _without_drawing(runs: Sequence[Run]) -> Iterator[str]:
    """What no drawing was looked at for: kept lines and lists say sizes, not where they sit."""
    blind = marks_of([run for run in runs if run.task.chunk.part.drawn is None])
    if len(blind) == len(marks_of(runs)) > 0:
        yield f"All parts {NO_DRAWING}"
    elif blind:
        more = f" and {len(blind) - _MOST_MARKS} more" if len(blind) > _MOST_MARKS else ""
        yield f"{', '.join(blind[:_MOST_MARKS])}{more} {NO_DRAWING}"


def _weighty(run: Run) -> list[Finding]:
    """The cautions of a run that are not about its edges."""
    found = cautions(run.use.option.candidate.findings)
    return [one for one in found if one.rule not in ("lasting", "edge")]


def _notes(plan: Plan, machine: str) -> Iterator[str]:
    runs = plan.runs_at(machine)
    marks = set(marks_of(runs))
    yield from dict.fromkeys(
        f"Caution, {run.use.feature.phrase}: {one.text}" for run in runs for one in _weighty(run)
    )
    for told in plan.told:
        if told.mark in marks:
            word = "STOP" if told.verdict == "refuse" else "Caution"
            yield f"{word}, {told.mark}, {told.each} x {told.phrase}: {told.text}"
    planned = set(marks_of(plan.runs))
    for other in plan.others:
        if other.mark in marks or other.mark not in planned:
            yield f"{other.mark}: {other.to_do}"
    for missing in plan.missing:
        if marks & set(missing.marks) or not planned & set(missing.marks):
            lacking = f"{missing.quantity} x {missing.phrase}{_meanwhile(missing.found)}"
            yield f"Not made here, tooling is missing: {lacking}"


def _meanwhile(found: Found) -> str:
    """What is done instead: where it can be drilled that, else what comes first."""
    ways = [way.text for way in found.workarounds if way.text != WHICH_BOLT]
    drilled = [text for text in ways if text.startswith("drill")]
    return f"; or {(drilled or ways)[0]}" if ways else ""
