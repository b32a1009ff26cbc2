"""What stands out on a terminal: STOP, CAUTION, the tag and, in tables, where the piece lies.

The words are the same everywhere: a file or a pipe gets them plain, a terminal in bold, and in
colour too unless ``NO_COLOR`` is set. No other escape goes out, whatever is stored.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from typing import TYPE_CHECKING, TextIO

from rich.console import RenderHook
from rich.highlighter import Highlighter
from rich.segment import Segment

from crib.unseen import SeenStream, lines_made_seen

if TYPE_CHECKING:
    from rich.console import Console, ConsoleOptions, ConsoleRenderable
    from rich.text import Text

COLUMNS = ("tag", "where", "from", "drawer", "goes to", "place")
"""The columns of tables in bold: which piece, and where it lies."""

_STYLES = {
    "bold red": re.compile(r"\b(?:STOP|WILL NOT DO|FAULT|BROKEN|LATE)\b"),
    "bold yellow": re.compile(r"\b(?:CAUTION|ASK FIRST|LOCKED|INSPECT)\b"),
    "bold": re.compile(r"\b[A-Z]{1,3}-[0-9]{2,}[A-Z]?\b"),
}
"""By how it looks; the last are tags as most shops stamp them."""


class StandingOut(Highlighter):
    """Gives the words that matter their look."""

    def highlight(self, text: Text) -> None:
        """Mark them in a text."""
        for style, words in _STYLES.items():
            text.highlight_regex(words, style)


class _Seen:
    """Something to draw, with nothing unseen in its texts."""

    def __init__(self, inner: ConsoleRenderable) -> None:
        self._inner = inner

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> Iterator[Segment]:
        for part in console.render(self._inner, options):
            yield Segment(lines_made_seen(part.text), part.style)


class SeenOnly(RenderHook):
    """Makes seen what a console draws; only its own looks are added after that."""

    def process_renderables(self, renderables: list[ConsoleRenderable]) -> list[ConsoleRenderable]:
        """What is to be drawn, made safe."""
        return [_Seen(one) for one in renderables]


def terminal() -> TextIO | None:
    """The terminal that the program writes on, or None where it writes to a file or a pipe."""
    stream = sys.stdout
    if isinstance(stream, SeenStream) and stream.isatty():
        return stream.below
    return None
