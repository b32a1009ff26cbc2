"""What was made known without a file, and the lists of it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from crib.cli.door import say

if TYPE_CHECKING:
    from rich.console import Console

    from crib.desk.tables.by_name import Kept, Row


def draw_kept(screen: Console, kept: Kept) -> None:
    """What the crib has now that it had not."""
    for name, tally in kept.took.items():
        called = f"station {kept.station} of it" if name == "stations" else kept.name
        how = "changed" if tally.changed else "is there already"
        say(screen, f"{called} {'is in the crib now' if tally.added else how}", then="  ")


def say_row(screen: Console, row: Row, names: Sequence[str], lead: str = "") -> None:
    """A row as one line: its name, then what is known of it, each by its heading."""
    known = [f"{name} {row[name]}" for name in names if row[name] not in ("", "0 %")]
    say(screen, "; ".join([str(row["name"]), *known]), lead, f"{lead}  ")
