"""Asking for the strokes of a shift, one line after another, and saving once.

At a terminal each line is filled in from the plan, so that Enter is enough; without one nothing is
taken for granted, and every count must be given.
"""

from __future__ import annotations

import sys
import textwrap
from collections.abc import Sequence
from dataclasses import replace

import typer

from crib.cli.keyed import keyed_now
from crib.cli.wording import worded
from crib.desk.strokes.log import LogOptions, LogResult, log_lines
from crib.desk.strokes.log_book import KnownLine, StrokeLine
from crib.desk.strokes.shift import (
    ProposedLine,
    line_said,
    line_text,
    lines_to_ask,
    plate_text,
    proposed_lines,
)
from crib.errors import AskBack, BadInput, Missing
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.units import System

EXAMPLE = "say it in words: crib log P-0137 400 thru 3/8 A36"
_END = ("q", "quit", "end")
_SKIP, _WHY = "-", "?"
_NOT_KNOWN = (_WHY, _SKIP)
_WIDE = 79


def ask_for_lines(session: Session, options: LogOptions, machine: str = "") -> LogResult:
    """Go through what is mounted and planned, then count everything in one act.

    Raises:
        UnknownName: for a machine that is not known.
        Missing: when there is nothing to ask about, or nobody answers.
        BadInput: for a key, since nothing may be held while somebody thinks.
    """
    if keyed_now() is not None:
        message = "a key goes with the lines it is for, and none were given"
        raise BadInput(message, way_out=EXAMPLE)
    proposed = proposed_lines(session, machine)
    asked = lines_to_ask(proposed) if sys.stdin.isatty() else _as_mounted(proposed)
    if not asked:
        where = f"at {machine.strip()}" if machine else "in any station"
        message = f"nothing is mounted {where}, so there is nothing to ask about"
        raise Missing(message, way_out=EXAMPLE)
    system = shop_rules(session).system
    _say_how(options, asked)
    lines = _all_lines(session, asked, system)
    if not lines:
        message = "no strokes were given, nothing was counted"
        raise Missing(message, way_out=EXAMPLE)
    _sum_up(lines, system)
    if not _yes("Save?"):
        say("nothing was counted")
        raise typer.Exit(0)
    return _save(session, lines, options)


def _as_mounted(proposed: Sequence[ProposedLine]) -> list[ProposedLine]:
    """The mounted tools alone, without a plan or a die taken for granted."""
    return [replace(one, die_tag="") for one in proposed if one.strokes is None]


def _say_how(options: LogOptions, asked: Sequence[ProposedLine]) -> None:
    say(f"Strokes of {options.on or 'this shift'}. A line is like: 400 thru 3/8 A36")
    if any(one.strokes is not None for one in asked):
        say("Enter takes the planned count in [ ], a number changes it, ~400 is an estimate,")
        say("- skips, ? explains, q ends.")
    else:
        say("Enter skips, ? explains, q ends.")


def _sum_up(lines: Sequence[StrokeLine], system: System) -> None:
    say("")
    for line in lines:
        for text in textwrap.wrap(line_text(line, system), _WIDE - 6, subsequent_indent="    "):
            say(f"  {text}")
    count = "1 line" if len(lines) == 1 else f"{len(lines)} lines"
    say(f"  {count}, {sum(line.count for line in lines):,} strokes")


def _all_lines(session: Session, asked: Sequence[ProposedLine], system: System) -> list[StrokeLine]:
    lines: list[StrokeLine] = []
    heading = ""
    for one in asked:
        if _heading(one) != heading:
            heading = _heading(one)
            say(heading)
        if one.strokes is not None:
            say("\n".join(_wrapped(f"  {_plan(one)}")))
        try:
            said = _line(session, one, system)
        except EOFError:
            break
        lines += [said] if said else []
    return lines


def _heading(one: ProposedLine) -> str:
    over = f" over {one.dies}" if one.dies else ""
    over += f" with {', '.join(one.beside)}" if one.beside else ""
    instead = f", {one.standing} is" if one.standing else ""
    away = "" if one.mounted else f" (not mounted now{instead})"
    return "\n".join(_wrapped(f"{one.station}: {one.tag} {one.kind}{over}{away}"))


def _plan(one: ProposedLine) -> str:
    mark = f" {one.mark}:" if one.mark else ""
    return f"job {one.job}:{mark} {one.phrase}"


def _wrapped(text: str) -> list[str]:
    return textwrap.wrap(text, _WIDE, subsequent_indent="  ", break_on_hyphens=False)


def _line(session: Session, one: ProposedLine, system: System) -> StrokeLine | None:
    """What was said about one line; None when it is skipped.

    Raises:
        EOFError: when the questions are to end.
    """
    usual = "" if one.strokes is None else f" [{one.strokes}]"
    while True:
        said = ask(f"  strokes{usual}: ")
        if said is None or said.casefold() in _END:
            raise EOFError
        if said == _SKIP or not (said or usual):
            return None
        if said == _WHY:
            _explain(one)
            continue
        try:
            return _read(session, one, said.split() or [str(one.strokes)], system)
        except BadInput as error:
            hint = f" -> {worded(error.way_out)}" if error.way_out else ""
            say(f"  {error.message}{hint}")


def _explain(one: ProposedLine) -> None:
    said = f"{one.tag}: nothing is planned; type how many strokes it made."
    if one.strokes is not None:
        said = (
            f"{one.strokes} strokes of {one.tag} are planned for {_plan(one)}, and not logged yet."
        )
    if one.standing or one.other_die:
        other = one.standing or one.other_die
        said += f" The plan named {one.tag if one.standing else one.die_tag}; {other} is mounted"
        said += " in its place."
    said += " Behind the count may stand what was different: 400 about thru 1/2 A36 with D-0201 dry"
    for text in textwrap.wrap(said, _WIDE - 4, break_on_hyphens=False):
        say(f"    {text}")


def _read(session: Session, one: ProposedLine, words: list[str], system: System) -> StrokeLine:
    """The line; without a plan its plate is asked for when it was not said."""
    if one.strokes is not None:
        return line_said(session, one.known, words)
    bare = KnownLine(one.tag, one.die_tag)
    line = line_said(session, bare, words)
    if "thru" in (word.casefold() for word in words):
        return line
    usual = plate_text(one.thickness_mm, one.material, system) if one.thickness_mm else "not known"
    said = ask(f"  thru (Enter = {usual}, ? = not known): ")
    if not said:
        return line_said(session, one.known, words)
    if said in _NOT_KNOWN:
        return line
    return line_said(session, bare, [*words, "thru", *said.removeprefix("thru ").split()])


def _save(session: Session, lines: list[StrokeLine], options: LogOptions) -> LogResult:
    """Count the lines; what is asked back is asked here, and answered once for each question."""
    while True:
        try:
            return log_lines(session, lines, options)
        except AskBack as error:
            say(f"  {error.message}")
            if error.confirm is None or not _yes("Count it all the same?"):
                raise
            options = replace(options, confirmed=options.confirmed | {error.confirm})


def say(text: str) -> None:
    """Talk beside the answer, so that the answer alone stands on the standard output."""
    print(text, file=sys.stderr)


def ask(prompt: str) -> str | None:
    """One line typed; None when there is nobody to type."""
    print(prompt, end="", file=sys.stderr, flush=True)
    typed = sys.stdin.readline()
    return typed.strip() if typed else None


def _yes(question: str) -> bool:
    return (ask(f"{question} y/n: ") or "").casefold() in ("y", "yes")
