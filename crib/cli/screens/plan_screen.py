"""How a plan is drawn: each machine's runs in order, then everything that needs a decision."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from crib.cli.door import say, say_cautions, table
from crib.cli.screens.ledger_screen import ledger_line
from crib.cli.wording import worded
from crib.desk.plan.plan_result import Plan, UnservedPhrase
from crib.desk.plan.runs import Run
from crib.desk.plan.task_order import OrderedTasks
from crib.features.common.hole_method import punched_words
from crib.stock.queries.jobs import RunCard
from crib.wording.rules import changed_rules

if TYPE_CHECKING:
    from rich.console import Console

MOST_RUNS = 60
_MARKS = {"caution": "CAUTION", "refuse": "STOP"}


def draw(screen: Console, plan: Plan) -> None:
    """The whole plan."""
    _head(screen, plan)
    for machine in plan.machines:
        screen.print()
        _machine(screen, plan, machine)
    _stands(screen, plan)
    _gives_out(screen, plan)
    _missing(screen, plan.missing)
    _listed(screen, "Made another way", (_other_line(plan)))
    _listed(screen, "The drawings say", (_told_line(plan)))
    _listed(screen, "With a caution", _caution_lines(plan))
    if plan.notes or plan.sheets or plan.accounts:
        screen.print()
    if plan.accounts:
        say(screen, ledger_line(plan.accounts, "`crib read FILE --all`"), then="  ")
    for sheet in plan.sheets:
        say(screen, f"Set-up sheet: {sheet}")
    for note in plan.notes:
        say(screen, f"Note: {worded(note)}.")
    if plan.rests_on:
        say(screen, changed_rules(plan.rests_on))
    say_cautions(screen, plan.cautions)


def _head(screen: Console, plan: Plan) -> None:
    for job in plan.jobs:
        name = f"Job {job.name}" if job.name else "Parts without a job"
        pieces = sum(part.pieces for part in job.parts)
        due = f", due {job.due_on}" if job.due_on else ""
        parts = len(job.parts)
        word = "part" if parts == 1 else "parts"
        many = "piece" if pieces == 1 else "pieces"
        say(screen, f"{name}: {parts} {word}, {pieces:,} {many}{due}")
    if plan.serves:
        return
    if plan.missing or plan.told:
        screen.print("Nothing of it can be made with what the crib has.")
    else:
        screen.print("Nothing to punch, notch, shear or bend is left to plan.")


def _stands(screen: Console, plan: Plan) -> None:
    """What changed of a plan that was kept before, and what did not."""
    if not (plan.stands or plan.lost):
        return
    _listed(screen, "No longer fit", [f"{tag} is {words}" for tag, words in plan.lost])
    if not plan.runs:
        screen.print("Nothing is planned anew.")
    lines = [
        f"{run.mark}: {run.phrase}: {_tags(run)}, {run.logged:,} of {run.strokes:,} logged"
        for run in plan.stands
    ]
    _listed(screen, "As planned before", lines)


def _tags(run: RunCard) -> str:
    return " ".join(tag for tag in (run.tag, run.with_tag, *run.beside_tags) if tag)


def _machine(screen: Console, plan: Plan, one: OrderedTasks) -> None:
    runs = [
        (number, run)
        for number, run in enumerate(plan.runs, 1)
        if run.station.machine == one.machine
    ]
    strokes = sum(run.strokes for _number, run in runs)
    word = "stroke" if strokes == 1 else "strokes"
    say(screen, f"{one.machine}: {strokes:,} {word}, about {time_words(plan.minutes_at(one))}")
    say(screen, f"  {_changes(plan, one)}", then="  ")
    shown = table("run", "part", "parts", "what", "at", "take", "strokes", right=_RIGHT)
    shown.columns[1].max_width = 12
    jobs = len(plan.jobs) > 1
    for number, run in runs[:MOST_RUNS]:
        part = run.task.chunk.part
        mark = f"{part.job} {part.mark}" if jobs else part.mark
        each = f"{run.each} x " if run.each > 1 else ""
        reamed = punched_words(run.use.option.candidate.figures, plan.system)
        what = f"{each}{run.use.feature.phrase}" + (f": {reamed}" if reamed else "")
        figures = (f"{run.strokes:,}",)
        shown.add_row(
            str(number), mark, f"{run.pieces:,}", what, run.station.name, _take(run), *figures
        )
    screen.print(shown)
    if len(runs) > MOST_RUNS:
        screen.print(f"and {len(runs) - MOST_RUNS} more runs: --json has them all")


def time_words(minutes: float) -> str:
    """Hours to a tenth, and minutes where that would be none."""
    return f"{minutes / 60:.1f} h" if minutes >= _TENTH_HOUR else f"{max(round(minutes), 1)} min"


_TENTH_HOUR = 6.0
_RIGHT = ("run", "parts", "strokes")


def _take(run: Run) -> str:
    """The tags; a plus before them says that they are put in before this run."""
    tags = " ".join([*(tool.tag for tool in run.tools), *run.use.pair.adapters])
    if run.swapped:
        return f"swap: {tags}"
    return f"+ {tags}" if run.put_in else tags or "its own"


def _changes(plan: Plan, one: OrderedTasks) -> str:
    """How many changes, how good that is, and what another order would save."""
    word = "tool change" if one.changes == 1 else "tool changes"
    least = "the fewest there can be" if one.proven else f"no order needs fewer than {one.least}"
    said = [f"{one.changes} {word} (+)", least]
    saved = one.given_changes - one.changes
    if plan.in_order and one.changes > one.free_changes:
        said[1] = f"a free order would save {one.changes - one.free_changes}"
    elif saved > 0:
        said.append(f"{saved} fewer than in the order given")
    swaps = plan.swaps_at(one.machine)
    if swaps:
        said.append(f"{swaps} more to swap a copy that is worn")
    return "; ".join(said)


def _gives_out(screen: Console, plan: Plan) -> None:
    if not plan.gives_out:
        return
    screen.print()
    screen.print("Will not last:")
    for one in plan.gives_out:
        text = f"{one.tag} is dull in {one.mark} ({one.phrase}): {one.do}"
        say(screen, text, "  - ", "    ")


def _missing(screen: Console, missing: Sequence[UnservedPhrase]) -> None:
    if not missing:
        return
    screen.print()
    screen.print("Missing:")
    for one in missing:
        marks = ", ".join(one.marks[:6]) + (" ..." if len(one.marks) > 6 else "")
        say(screen, f"{one.quantity:,} x {one.phrase} on {marks}", "  - ", "    ")
        if one.found.serves:
            station = one.found.picks[0].tooling.station.label
            say(screen, f"would go at {station}", "    ", "    ")
        for line in one.found.order:
            say(screen, f"order {line.text}", "    ", "      ")
        if one.found.why_no_order:
            say(screen, f"nothing to order: {one.found.why_no_order}", "    ", "      ")
        for way in one.found.workarounds[:3]:
            say(screen, f"or {worded(way.said())}", "    ", "      ")


def _other_line(plan: Plan) -> list[str]:
    return [f"{other.mark}: {other.to_do}" for other in plan.others]


def _told_line(plan: Plan) -> list[str]:
    return [
        f"{_MARKS.get(one.verdict, one.verdict)} {one.mark}, {one.each} x {one.phrase}: {one.text}"
        for one in plan.told
    ]


def _caution_lines(plan: Plan) -> list[str]:
    grouped: dict[str, list[str]] = {}
    for phrase, finding in plan.warnings():
        grouped.setdefault(f"{finding.rule}: {finding.text}", []).append(phrase)
    return [f"{', '.join(dict.fromkeys(some))}: {text}" for text, some in grouped.items()]


def _listed(screen: Console, title: str, lines: Iterable[str]) -> None:
    counted = Counter(lines)
    if counted:
        screen.print()
        screen.print(f"{title}:")
    for line in counted:
        say(screen, line, "  - ", "    ")
