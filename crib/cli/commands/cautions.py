"""``crib cautions``: the page of cautions."""

from __future__ import annotations

from typing import TYPE_CHECKING

from crib.cli.door import CribOption, JsonOption, answer, say
from crib.desk.common.cautions import Page, read_cautions

if TYPE_CHECKING:
    from rich.console import Console


def command(as_json: JsonOption = False, crib: CribOption = "") -> None:
    """The cautions, work by work.

    Example: crib cautions
    """
    answer(read_cautions(), draw, as_json)


def draw(screen: Console, page: Page) -> None:
    """One heading after another, lines folded to the screen."""
    for section in page.sections:
        screen.print(section.heading.upper())
        for line in section.lines:
            say(screen, line, "  - ", "    ")
        screen.print()
