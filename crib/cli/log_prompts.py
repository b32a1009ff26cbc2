"""Asking for the strokes of what is mounted, one line after another, and saving once."""

from __future__ import annotations

import sys
from dataclasses import replace

import typer

from crib.desk.log import LogOptions, LogResult, lines_of, log_lines
from crib.desk.log_book import StrokeLine
from crib.desk.mounted import Mounted, mounted_tools
from crib.errors import AskBack, BadInput, Missing
from crib.stock.session import Session

EXAMPLE = "say it in words: crib log P-0137 400 thru 3/8 A36"
_END = ("q", "quit", "end")
_NOT_KNOWN = ("?", "-")


def ask_for_lines(session: Session, options: LogOptions) -> LogResult:
    """Go through what is mounted, then count everything in one act.

    Raises:
        Missing: when nothing is mounted, or nobody answers.
    """
    mounted = mounted_tools(session)
    if not mounted:
        message = "nothing is mounted in any station, so there is nothing to ask about"
        raise Missing(message, way_out=EXAMPLE)
    say("Strokes of this shift. Enter skips, q ends. A line is like: 400 thru 3/8 A36")
    lines, texts = _all_lines(session, mounted)
    if not lines:
        message = "no strokes were given, nothing was counted"
        raise Missing(message, way_out=EXAMPLE)
    say("")
    for text in texts:
        say(f"  {text}")
    if not _yes("Save?"):
        say("nothing was counted")
        raise typer.Exit(0)
    return _save(session, lines, options)


def _all_lines(session: Session, mounted: list[Mounted]) -> tuple[list[StrokeLine], list[str]]:
    lines: list[StrokeLine] = []
    texts: list[str] = []
    for one in mounted:
        over = f" over {one.die}" if one.die else ""
        say(f"{one.station}: {one.tag} {one.kind}{over}")
        words = _line(session, one)
        if words is None:
            break
        if words:
            lines += lines_of(session, words)
            texts.append(" ".join(words))
    return lines, texts


def _line(session: Session, one: Mounted) -> list[str] | None:
    """The words of one tool's line; empty to skip it, None to end."""
    while True:
        said = ask("  strokes: ")
        if said is None or said.casefold() in _END:
            return None
        if not said:
            return []
        words = [one.tag, *said.split()]
        try:
            lines_of(session, words)
            if "thru" not in said.casefold().split():
                words += _thru(one)
                lines_of(session, words)
        except BadInput as error:
            say(f"  {error.message}" + (f" -> {error.way_out}" if error.way_out else ""))
        else:
            return words


def _thru(one: Mounted) -> list[str]:
    usual = one.last_thru.removeprefix("thru ") or "not known"
    said = ask(f"  thru (Enter = {usual}, ? = not known): ")
    if not said:
        return one.last_thru.split()
    return [] if said in _NOT_KNOWN else ["thru", *said.removeprefix("thru ").split()]


def _save(session: Session, lines: list[StrokeLine], options: LogOptions) -> LogResult:
    """Count the lines; what is asked back is asked here, and answered once for each question."""
    while True:
        try:
            return log_lines(session, lines, options)
        except AskBack as error:
            say(f"  {error.message}")
            if not _yes("Count it all the same?"):
                raise
            again = "--again" in error.way_out
            options = replace(options, again=options.again or again, sure=options.sure or not again)


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
