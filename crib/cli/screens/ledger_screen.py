"""What became of everything in the files that were read: one line, or every item of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import TYPE_CHECKING

from crib.cli.door import say, table
from crib.cli.wording import worded
from crib.desk.parts.parts_count import ledger_sums
from crib.files.common.reading_ledger import FileAccount, ReadItem

if TYPE_CHECKING:
    from rich.console import Console

_PLURALS = {
    "line": "lines",
    "cut": "cuts",
    "word": "words",
    "entity": "entities",
    "row": "rows",
    "cell": "cells",
    "sheet": "sheets",
    "part": "parts",
    "file": "files",
}
_RIGHT = ("line",)


def ledger_line(accounts: Sequence[FileAccount], how_to_list: str) -> str:
    """How much stood in the files, and how it ended; what is blank is no part of it."""
    kinds = [item.kind for account in accounts for item in account.items if item.ending != "blank"]
    counts = [(kind, kinds.count(kind)) for kind in _PLURALS if kind in kinds]
    what = ", ".join(f"{n:,} {kind if n == 1 else _PLURALS[kind]}" for kind, n in counts)
    sums = ledger_sums(accounts)
    ended = ", ".join(f"{sums[ending]:,} {ending}" for ending in ("counted", "merged", "told"))
    return f"{what}: {ended} ({how_to_list} lists them)"


def draw_ledger(screen: Console, accounts: Sequence[FileAccount]) -> None:
    """Every item of every file and how it ended; those alike in a row are one line."""
    for account in accounts:
        screen.print()
        say(screen, account.file or "The parts and files themselves")
        shown = table("line", "what", "ended", "why", right=_RIGHT)
        for row in _rows(account.items):
            shown.add_row(*row)
        screen.print(shown)


def _rows(items: Sequence[ReadItem]) -> Iterator[tuple[str, str, str, str]]:
    for _alike, group in groupby(items, lambda item: (item.kind, item.ending, item.why)):
        same = list(group)
        first, last = same[0], same[-1]
        where = f"{first.line}-{last.line}" if last.line > first.line else f"{first.line or ''}"
        what = first.name or first.kind
        if len(same) > 1:
            what = f"{len(same)} {_PLURALS[first.kind]}, the first {what}"
        yield where, what, first.ending, worded(first.why) if first.why else ""
