"""What is on the way between sites, as the screens that mention it show it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from crib.cli.door import say, table

if TYPE_CHECKING:
    from rich.console import Console

    from crib.desk.common.ways import OnTheWay, Ways


def draw_ways(screen: Console, ways: Ways) -> None:
    """Everything that is on the way."""
    if not ways.pieces:
        say(screen, "nothing is on the way")
    draw_on_the_way(screen, ways.pieces)


def draw_on_the_way(screen: Console, pieces: Sequence[OnTheWay]) -> None:
    """A line for each piece on the way, what is late with its days; nothing where none is."""
    if not pieces:
        return
    rows = table("on the way", "is a", "from", "to", "sent", "there by")
    for piece in pieces:
        late = f", {piece.days_late} d late" if piece.days_late else ""
        rows.add_row(
            *(piece.tag, piece.kind, piece.from_site, piece.to_site, piece.sent_on),
            f"{piece.due_on}{late}",
        )
    screen.print(rows)
