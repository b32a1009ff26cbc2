"""Ask the program from a test, as from the shell."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from crib.cli.main import main


@dataclass(frozen=True)
class Answer:
    """What the program said: its exit status and both streams."""

    status: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        """The one JSON object on stdout."""
        return json.loads(self.out)

    @property
    def lines(self) -> list[str]:
        """The lines of stdout without the blanks at their ends."""
        return [line.rstrip() for line in self.out.splitlines()]


class Window:
    """One crib and the two streams of the program."""

    def __init__(self, path: Path, capsys: pytest.CaptureFixture[str]) -> None:
        self.path = path
        self._capsys = capsys

    def ask(self, *words: str) -> Answer:
        """Run one command on the crib."""
        self._capsys.readouterr()
        status = main([*words, "--crib", str(self.path)])
        said = self._capsys.readouterr()
        return Answer(status, said.out, said.err)
