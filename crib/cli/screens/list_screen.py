"""A shop's own list as it was read, line by line."""

from __future__ import annotations

from typing import TYPE_CHECKING

from crib.cli.door import say

if TYPE_CHECKING:
    from rich.console import Console

    from crib.desk.tables.list_words import ReadLine
    from crib.desk.tables.take_list import TakenList


def draw_list(screen: Console, took: TakenList) -> None:
    """How each line was read, why others are left, and what is still to be said."""
    for note in took.notes:
        say(screen, f"note: {note}", then="  ")
    for text in took.above:
        say(screen, f"above the tools: {text}", then="  ")
    for line in took.lines:
        say(screen, f"line {line.line}: {line.text}", then="  ")
        read_as = "" if line.read is None else _read_as(line.read)
        what = (
            f"LEFT: {line.left}"
            if line.left
            else "; ".join(filter(None, [read_as, " ".join(line.tags)]))
        )
        say(screen, what, "  -> ", "     ")
    lines = f"{len(took.lines)} lines: {took.taken} taken ({took.pieces} pieces), {took.left} left"
    screen.print(lines)
    if took.without_length:
        text = f"{took.without_length} pieces have no length and count as not ground yet"
        say(screen, f"{text}: --length 'round punches=2.70', or crib measure", then="  ")
    for one in took.to_say:
        about = f": {'; '.join(one.about)}" if one.about else ""
        say(screen, f"still to be said: {one.message}{about}", then="  ")
    if took.dry_run:
        screen.print("dry run: nothing was taken; leave --dry-run out to take it")


def _read_as(line: ReadLine) -> str:
    size = f"{line.size} x {line.long}" if line.long else line.size
    parts = [f"{line.count} x" if line.count > 1 else "", line.shape, line.role, size]
    what = " ".join(part for part in parts if part)
    about = [
        f"seat {line.seat}" if line.seat else "",
        f"{line.length} long" if line.length else "",
        f"in {line.drawer}" if line.drawer else "",
        "at the grinder" if line.at_grinder else "",
        line.condition if line.condition != "sound" else "",
        f"bought {line.date}" if line.date else "",
        f"note {line.note}" if line.note else "",
        f"not said, taken for it: {line.taken_for}" if line.taken_for else "",
    ]
    return "; ".join([what, *filter(None, about)])
