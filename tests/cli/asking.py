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
    crib: str = ""
    """The line under the answer that says which crib it is from, taken off ``out``."""

    @property
    def json(self) -> Any:
        """The one JSON object on stdout, without the crib that it is from."""
        said = json.loads(self.out)
        return {name: one for name, one in said.items() if name != "answered_from"}

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
        out, line, rest = said.out.rpartition("crib: ")
        if not out.endswith("\n") or rest.count("\n") != 1 or "--json" in words:
            return Answer(status, said.out, said.err)
        return Answer(status, out, said.err, line + rest.rstrip("\n"))
