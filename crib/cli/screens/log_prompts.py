"""Asking for the strokes of a shift, one line after another, and saving once.

At a terminal each line is filled in from the plan, so that Enter is enough; without one nothing is
taken for granted, and every count must be given. Whatever is typed is kept in the crib at once, as
a draft, until it is counted or thrown away in so many words.
"""

from __future__ import annotations

import sys
import textwrap
from collections.abc import Sequence
from dataclasses import dataclass, replace
from shutil import get_terminal_size

import typer

from crib.acts import act
from crib.cli.keyed import keyed_now
from crib.cli.wording import spelled, worded
from crib.desk.strokes import drafts
from crib.desk.strokes.drafts import StrokeDraft
from crib.desk.strokes.log import LogOptions, LogResult, stroke_lines
from crib.desk.strokes.log_book import KnownLine, StrokeLine
from crib.desk.strokes.shift import (
    ProposedLine,
    line_said,
    line_text,
    lines_to_ask,
    plate_text,
    proposed_lines,
)
from crib.errors import AskBack, BadInput, CribError, Missing
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.units import System

EXAMPLE = "say it in words: crib log P-0137 400 thru 3/8 A36"
_END = ("q", "quit", "end")
_SKIP, _WHY = "-", "?"
_NOT_KNOWN = (_WHY, _SKIP)
_WIDE = 79
_STOPPED = 1


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
    begun = StrokeDraft(options.on, options.job.strip(), options.about, machine)
    talk = _Talk(session, options, shop_rules(session).system, begun)
    try:
        return talk.whole()
    except (KeyboardInterrupt, _Left) as left:
        talk.say_kept()
        raise typer.Exit(_STOPPED if isinstance(left, KeyboardInterrupt) else 0) from None
    except CribError:
        if talk.draft.id is not None:
            talk.say_kept()
        raise


class _Left(Exception):
    """The questions are left, and what was typed stays a draft."""


@dataclass
class _Talk:
    """The questions of a shift and what was answered so far."""

    session: Session
    options: LogOptions
    system: System
    draft: StrokeDraft

    def whole(self) -> LogResult:
        """Ask, show what it comes to, and count it."""
        self._offer()
        proposed = proposed_lines(self.session, self.draft.machine)
        asked = lines_to_ask(proposed) if sys.stdin.isatty() else _as_mounted(proposed)
        asked = [one for one in asked if _question(one) not in self.draft.seen]
        if not asked and not self.draft.lines:
            machine = self.draft.machine.strip()
            where = f"at {machine}" if machine else "in any station"
            message = f"nothing is mounted {where}, so there is nothing to ask about"
            raise Missing(message, way_out=EXAMPLE)
        _say_how(self.draft, asked)
        self._ask(asked)
        if not self.draft.lines:
            message = "no strokes were given, nothing was counted"
            raise Missing(message, way_out=EXAMPLE)
        return self._settle()

    def say_kept(self) -> None:
        """What becomes of what was typed, and how it is gone on with."""
        if not (self.draft.lines or self.draft.begun):
            say("\nnothing was counted")
            return
        by = {"by": self.options.by} if self.options.by else {}
        go_on = spelled(act("log", **by))
        say(f"\nnothing was counted; {_lines(self.draft)} kept as a draft. Go on: {go_on}")

    def _offer(self) -> None:
        """Go on with what was kept, if there is something and it is wanted."""
        for kept in drafts.drafts_kept(self.session, self.options.by):
            when = kept.changed_at.replace("T", " ")[:16]
            say(f"A draft of {_lines(kept)}, kept {when} UTC, is not counted yet:")
            _sum_up(kept, self.system)
            said = _choice("Go on with it? y, n = leave it for later, d = throw it away: ", "ynd")
            if said == "d":
                drafts.drop(self.session, kept)
            if said == "y":
                self.draft = kept
                return

    def _ask(self, asked: Sequence[ProposedLine]) -> None:
        heading = ""
        for one in asked:
            if _heading(one) != heading:
                heading = _heading(one)
                say(heading)
            if one.strokes is not None:
                say("\n".join(_wrapped(f"  {_plan(one)}")))
            try:
                said = self._line(one)
            except EOFError:
                return
            lines = (*self.draft.lines, *([said] if said else []))
            seen = (*self.draft.seen, _question(one))
            self._keep(replace(self.draft, lines=lines, seen=seen, begun=""))

    def _line(self, one: ProposedLine) -> StrokeLine | None:
        """What was said about one line; None when it is skipped.

        Enter takes what stands in the question; behind an answer that could not be read it takes
        nothing, so that what was meant is not lost.

        Raises:
            EOFError: when the questions are to end.
        """
        usual = self.draft.begun or ("" if one.strokes is None else str(one.strokes))
        shown = f"[{usual}]" if usual else "(Enter skips)"
        unread = False
        while True:
            said = ask("  strokes (- skips): " if unread else f"  strokes {shown}: ")
            if said is None or said.casefold() in _END:
                raise EOFError
            if said == _SKIP or not (said or unread or usual):
                return None
            if said == _WHY:
                _explain(one)
            if said == _WHY or (unread and not said):
                continue
            try:
                return self._read(one, said or usual)
            except BadInput as error:
                _say_error(error)
                unread = True

    def _read(self, one: ProposedLine, said: str) -> StrokeLine:
        """The line; without a plan its plate is asked for when it was not said.

        Raises:
            BadInput: for a count that cannot be read.
            EOFError: when nobody answers.
        """
        words = said.split()
        if one.standing and words[0].upper() == one.standing:
            copy = replace(one.known, tag=one.standing, beside=None)
            return line_said(self.session, copy, words[1:])
        if one.strokes is not None:
            return line_said(self.session, one.known, words)
        bare = KnownLine(one.tag, one.die_tag, beside=one.beside)
        line = line_said(self.session, bare, words)
        if "thru" in (word.casefold() for word in words):
            return line
        self._keep(replace(self.draft, begun=said))
        known = one.thickness_mm is not None
        usual = plate_text(one.thickness_mm or 0.0, one.material, self.system) if known else ""
        while True:
            plate = ask(f"  thru (Enter = {usual or 'not known'}, ? = not known): ")
            if plate is None:
                raise EOFError
            if not plate:
                return line_said(self.session, one.known, words)
            if plate in _NOT_KNOWN:
                return line
            try:
                behind = ["thru", *plate.removeprefix("thru ").split()]
                return line_said(self.session, bare, [*words, *behind])
            except BadInput as error:
                _say_error(error)

    def _keep(self, draft: StrokeDraft) -> None:
        self.draft = drafts.keep(self.session, draft, self.options.by)

    def _settle(self) -> LogResult:
        """Count it when somebody says so; until then every line can still be changed."""
        while self.draft.lines:
            _sum_up(self.draft, self.system)
            numbers = [str(number) for number in range(1, len(self.draft.lines) + 1)]
            question = "Save? y, n = keep it as a draft, d = throw it away, 1 = change line 1: "
            said = _choice(question, ["y", "n", "d", *numbers])
            if said == "y":
                counted = self._save()
                if counted is not None:
                    return counted
                continue
            if said == "n":
                raise _Left
            if said == "d":
                drafts.drop(self.session, self.draft)
                self.draft = replace(self.draft, lines=(), begun="", id=None)
            else:
                self._change(int(said) - 1)
        raise _Left

    def _change(self, at: int) -> None:
        """Take one line as it is typed anew; Enter leaves it as it was."""
        line = line_text(self.draft.lines[at], self.system)
        while True:
            said = ask(f"  {line}\n  line {at + 1} anew (Enter leaves it, - takes it out): ")
            if not said:
                return
            try:
                new = [] if said == _SKIP else self._lines_anew(said)
            except BadInput as error:
                _say_error(error)
                continue
            self._keep(drafts.without(self.draft, at, new))
            return

    def _lines_anew(self, said: str) -> list[StrokeLine]:
        return stroke_lines(self.session, said.split(), shop_rules(self.session))

    def _save(self) -> LogResult | None:
        """Count the lines; what is asked back is asked here, once for each question.

        None where it was not meant so: then a line can be changed.
        """
        options = self.options
        while True:
            try:
                return drafts.count_draft(self.session, self.draft, options)
            except AskBack as error:
                say(f"  {error.message}")
                if error.confirm is None or _choice("Count it all the same? y, n: ", "yn") == "n":
                    return None
                options = replace(options, confirmed=options.confirmed | {error.confirm})


def _question(one: ProposedLine) -> str:
    """What tells a question from the others of a shift."""
    return "|".join((one.station, one.tag, one.die_tag, one.job, one.mark, one.phrase))


def _as_mounted(proposed: Sequence[ProposedLine]) -> list[ProposedLine]:
    """The mounted tools alone, without a plan or a die taken for granted."""
    return [replace(one, die_tag="") for one in proposed if one.strokes is None]


def _say_how(draft: StrokeDraft, asked: Sequence[ProposedLine]) -> None:
    say(f"Strokes of {draft.on or 'this shift'}. A line is like: 400 thru 3/8 A36")
    if any(one.strokes is not None for one in asked):
        say("Enter takes the planned count in [ ], a number changes it, ~400 is an estimate,")
        say("- skips, ? explains, q ends. What is typed is kept at once.")
    else:
        say("Enter skips, ? explains, q ends. What is typed is kept at once.")


def _lines(draft: StrokeDraft) -> str:
    count = len(draft.lines) + bool(draft.begun)
    return "1 line" if count == 1 else f"{count} lines"


def _sum_up(draft: StrokeDraft, system: System) -> None:
    lines = draft.lines
    say("")
    for number, line in enumerate(lines, 1):
        text = f"{number}. {line_text(line, system)}"
        for part in textwrap.wrap(text, _WIDE - 6, subsequent_indent="     "):
            say(f"  {part}")
    count = "1 line" if len(lines) == 1 else f"{len(lines)} lines"
    if lines:
        say(f"  {count}, {sum(line.count for line in lines):,} strokes")
    if draft.begun:
        say(f"  begun, not among them yet: {draft.begun}")


def _heading(one: ProposedLine) -> str:
    over = f" over {one.dies}" if one.dies else ""
    over += f" with {', '.join(one.beside)}" if one.beside else ""
    instead = f", {one.standing} is" if one.standing else ""
    away = "" if one.mounted else f" (not mounted now{instead})"
    return "\n".join(_wrapped(f"{one.station}: {one.tag} {one.kind}{over}{away}"))


def _plan(one: ProposedLine) -> str:
    mark = f" {one.mark}:" if one.mark else ""
    die = f" (planned over {one.die_tag})" if one.other_die else ""
    return f"job {one.job}:{mark} {one.phrase}{die}"


def _wrapped(text: str) -> list[str]:
    return textwrap.wrap(text, _WIDE, subsequent_indent="  ", break_on_hyphens=False)


def _say_error(error: BadInput) -> None:
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
    if one.standing:
        said += f" If {one.standing} did it, say so: {one.standing} {one.strokes}."
    if one.other_die:
        said += f" If that was under it, say so: {one.strokes} with {one.other_die}."
    said += " Behind the count may stand what was different: 400 about thru 1/2 A36 with D-0201 dry"
    for text in textwrap.wrap(said, _WIDE - 4, break_on_hyphens=False):
        say(f"    {text}")


def say(text: str) -> None:
    """Talk beside the answer, so that the answer alone stands on the standard output."""
    then = f"{' ' * (len(text) - len(text.lstrip()))}  "
    lines = textwrap.wrap(
        *(text, get_terminal_size((_WIDE, 24)).columns),
        subsequent_indent=then,
        break_on_hyphens=False,
        break_long_words=False,
    )
    print("\n".join(lines), file=sys.stderr)


def ask(prompt: str) -> str | None:
    """One line typed; None when there is nobody to type."""
    print(prompt, end="", file=sys.stderr, flush=True)
    typed = sys.stdin.readline()
    return typed.strip() if typed else None


def _choice(question: str, among: Sequence[str]) -> str:
    """One of some short answers; asked until it is one, and ``n`` where nobody answers."""
    while True:
        said = ask(question)
        if said is None:
            return "n"
        word = said.casefold()
        found = {"yes": "y", "no": "n", **dict.fromkeys(_END, "n")}.get(word, word)
        if found in list(among):
            return found
        say(f"  say one of: {', '.join(among)}; nothing is lost")
