"""What a day is told with: the clock, the window, the prompts, and the count at night."""

from __future__ import annotations

import io
import shlex
import sys
from contextlib import closing
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import NamedTuple
from zoneinfo import ZoneInfo

import pytest
import time_machine

from crib.stock.engine.opening import open_crib
from tests.cli.asking import Answer, Window

ASKED_BACK = 2
NOTHING_SERVES = 3


class Count(NamedTuple):
    """What a piece is at the end of a day: strokes on its edge and since new, and where it lies."""

    edge: int
    total: int
    place: str
    condition: str = "sound"


class _Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@dataclass
class Week:
    """The shop's crib at its window, on a clock that stands where the story sets it."""

    window: Window
    folder: Path
    patch: pytest.MonkeyPatch
    clock: time_machine.Traveller
    counted: dict[str, Count] = field(default_factory=dict)
    """Every piece, as it was counted on the evening before."""

    def now(self, moment: str) -> None:
        """Set the clock, such as to ``2026-03-02 07:00``."""
        self.clock.move_to(moment_at(moment), tick=False)

    def do(self, words: str) -> Answer:
        """Run a command that must be taken."""
        said = self.window.ask(*shlex.split(words))
        assert said.status == 0, said.err
        return said

    def asked_back(self, words: str) -> str:
        """Run a command that must not be taken as it stands; what it says."""
        said = self.window.ask(*shlex.split(words))
        assert said.status == ASKED_BACK, said.out
        return said.err

    def missed(self, phrase: str) -> None:
        """Ask for what the crib cannot serve."""
        assert self.window.ask("find", *shlex.split(phrase)).status == NOTHING_SERVES

    def answer_prompts(self, words: str, *answers: str) -> Answer:
        """Run a command that asks, and type the answers."""
        typed = _Terminal("".join(f"{answer}\n" for answer in answers))
        self.patch.setattr(sys, "stdin", typed)
        return self.do(words)

    def write(self, name: str, *lines: str) -> None:
        """Put a file beside the crib."""
        (self.folder / name).write_text("\n".join(lines) + "\n")

    def at_night(self, touched: dict[str, Count]) -> None:
        """Count every piece: those of the day's table as it says, all others as on the eve."""
        self.counted |= touched
        assert counts(self.window.path) == self.counted


def moment_at(text: str) -> datetime:
    """A moment such as ``2026-03-02 07:00``, in the shop's own zone wherever the test runs."""
    return datetime.fromisoformat(text).replace(tzinfo=ZoneInfo("UTC"))


def counts(path: Path) -> dict[str, Count]:
    """What the crib has of every piece."""
    with closing(open_crib(path)) as session:
        rows = session.rows(
            "SELECT tag, strokes_edge, strokes_total, place.name, condition"
            " FROM piece LEFT JOIN place ON place.id = piece.place_id"
        )
    return {tag: Count(*facts) for tag, *facts in rows}
