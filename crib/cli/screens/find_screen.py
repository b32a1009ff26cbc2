"""How the answer to ``crib find`` is drawn."""

from __future__ import annotations

from typing import TYPE_CHECKING

from crib.cli.door import say, say_cautions, shown_back, table
from crib.cli.screens.hits_screen import hits_table, plan_words
from crib.cli.wording import spelled, worded
from crib.desk.answer.find import Found
from crib.desk.answer.rank import Candidate
from crib.features.common.findings import Finding, refusals
from crib.features.common.key_checks import pair_ways
from crib.features.common.sizes import clean_text
from crib.units import System, format_length
from crib.wording.rules import changed_rules
from crib.wording.tools import tool_name, tool_place, tool_size

if TYPE_CHECKING:
    from rich.console import Console

MARKS = {"ok": "ok", "caution": "CAUTION", "refuse": "STOP"}
MOST_ROWS = 6


def draw(console: Console, found: Found) -> None:
    """The first pick in full, the others in a line each; or what is missing."""
    _head(console, found)
    if found.serves:
        _first(console, found, found.picks[0])
        _others(console, found)
    else:
        _nothing(console, found)
    for note in found.notes:
        say(console, f"Note: {worded(note)}.")
    if found.rests_on:
        say(console, changed_rules(found.rests_on))
    say_cautions(console, found.cautions)


def draw_with_reasons(console: Console, found: Found) -> None:
    """The same, with every check of each pick that is shown, and where its limit comes from."""
    draw(console, found)
    for number, one in enumerate((found.picks or found.near_misses)[:MOST_ROWS], 1):
        console.print()
        say(console, f"Checks of {number}: {_pieces(one)} in {one.tooling.station.label}")
        _findings(console, one.findings, sources=True)


def _head(console: Console, found: Found) -> None:
    quantity = f", {found.facts.quantity:,} of them" if found.facts.quantity > 1 else ""
    job = f", job {found.facts.job}" if found.facts.job else ""
    phrase = shown_back(found.phrase, found.understood)
    say(console, f"{phrase}{quantity}{job}")
    if found.method is not None:
        say(console, found.method.line(found.system))
    console.print()


def _first(console: Console, found: Found, one: Candidate) -> None:
    shown = table("take", "tag", "size", "from", "edge")
    for tool in one.tools:
        shown.add_row(
            tool_name(tool),
            tool.tag,
            tool_size(tool, found.system),
            tool_place(tool),
            f"{tool.edge_state}, {100 * tool.used:.0f} % used" if tool.edge_state else "",
        )
    for adapter in one.tooling.adapters.values():
        seats = f"adapter, {adapter.presents} in {adapter.fits}"
        shown.add_row(seats, adapter.tag, "", adapter.place, "")
    say(console, f"Use {one.tooling.station.label}:")
    if shown.row_count:
        console.print(shown)
    told = [finding for finding in one.findings if _worth_telling(finding)]
    if one.plan is not None:
        say(console, plan_words(one.plan, told))
        console.print(hits_table(one, one.plan, found.system))
    _findings(console, told)
    if found.log:
        say(console, f"Afterwards log it: {spelled(found.log)}", then="  ")


def _worth_telling(finding: Finding) -> bool:
    """The figures people ask for, and whatever is not plainly ok."""
    always = (
        *(
            "force",
            "adverse force",
            "clearance",
            "deviation",
            "lasting",
            "copies",
            "method",
            "blade gap",
            "note",
        ),
        "stack",
    )
    bend = ("flange", "inside radius")
    return finding.verdict != "ok" or finding.rule in always + bend


def _findings(
    console: Console, findings: list[Finding] | tuple[Finding, ...], *, sources: bool = False
) -> None:
    shown = table("", "check", "what")
    for finding in findings:
        source = f" [{finding.source}]" if sources and finding.source else ""
        shown.add_row(MARKS[finding.verdict], finding.rule, worded(finding.said()) + source)
    console.print(shown)


def _others(console: Console, found: Found) -> None:
    rest = found.picks[1:MOST_ROWS]
    if not rest:
        return
    shown = table("", "pieces", "station", "load", "clearance", "cautions", right=("load",))
    for number, one in enumerate(rest, 2):
        shown.add_row(
            str(number),
            _pieces(one) + _punched(one, found.system),
            one.tooling.station.label,
            f"{100 * one.figures['load']:.0f} %" if "load" in one.figures else "",
            _clearance(one, found.system),
            _caution_words(one),
        )
    console.print("It would also go with:")
    console.print(shown)
    hidden = len(found.picks) - 1 - len(rest)
    more = f" {hidden} more with --json." if hidden > 0 else ""
    say(console, f"Number 1 comes first for: {found.decided_by}.{more}")


def _nothing(console: Console, found: Found) -> None:
    if found.chosen:
        say(console, f"{' + '.join(found.chosen)} will not do.")
    else:
        console.print("Nothing in the crib serves.")
    if found.why_no_order:
        say(console, f"Nothing to order would help either: {found.why_no_order}.")
    steps = table("left", "after", "why not more", right=("left",))
    for step in found.funnel:
        told_below = step is found.funnel[-1] and found.near_misses
        steps.add_row(str(step.left), step.step, "see below" if told_below else step.failed)
    if found.funnel:
        console.print()
        console.print(steps)
    _near(console, found)
    _order(console, found)
    if found.workarounds:
        console.print("Instead:" if found.chosen else "Meanwhile, cheapest first:")
        for way in found.workarounds:
            act = found.to_try(way)
            trial = f" ({spelled(act)})" if act else ""
            say(console, f"{worded(way.said())}{trial}", "  - ", "    ")


def _near(console: Console, found: Found) -> None:
    for number, one in enumerate(found.near_misses, 1):
        title = "Nearest" if number == 1 else "Then"
        say(console, f"{title}: {_pieces(one)} in {one.tooling.station.label}")
        if one.plan is not None:
            say(console, plan_words(one.plan, refusals(one.findings)))
        _findings(console, refusals(one.findings))


def _order(console: Console, found: Found) -> None:
    if not found.order:
        return
    console.print("Order:")
    for line in found.order:
        say(console, line.text, "  - ", "    ")
        say(console, f"because {line.because}", "    ", "    ")
    console.print()


def _pieces(one: Candidate) -> str:
    tags = [f"{tool.tag} ({tool.site})" if tool.site else tool.tag for tool in one.tools]
    adapters = [adapter.tag for adapter in one.tooling.adapters.values()]
    pieces = " + ".join([*tags, *adapters]) or "the station's own tools"
    ways = pair_ways(one.tooling)
    return f"{pieces}, {ways}" if ways else pieces


def _punched(one: Candidate, system: System) -> str:
    """The size that is punched, where it is not the size of the hole."""
    punched_mm = one.figures.get("punched_mm")
    return "" if punched_mm is None else f", {clean_text(punched_mm, system)}"


def _clearance(one: Candidate, system: System) -> str:
    gaps_mm = [finding.value for finding in one.findings if finding.rule == "clearance"]
    if not gaps_mm or gaps_mm[0] is None:
        return ""
    return format_length(gaps_mm[0], system, digits=3 if system == "mm" else 4)


def _caution_words(one: Candidate) -> str:
    return ", ".join(
        dict.fromkeys(finding.rule for finding in one.findings if finding.verdict == "caution")
    )
