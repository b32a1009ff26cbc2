"""The program in processes of its own, each forked from one that has it loaded already.

Loading the program anew for each process would take ten times as long as what is asked of it.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable, Iterator, Sequence
from multiprocessing import get_context
from multiprocessing.connection import wait
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from crib.cli.command_list import COMMANDS
from crib.cli.main import main
from tests.cli.asking import Answer

_FORKS = get_context("forkserver")
_FORKS.set_forkserver_preload(
    [
        __name__,
        *(f"crib.cli.commands.{file}" for file, _line in COMMANDS.values()),
        "crib.page.serve",
        "uvicorn.lifespan.on",
        "uvicorn.loops.auto",
        "uvicorn.protocols.http.auto",
        "pydantic.types",  # what Typer loads when the first command is called
        "pydantic.type_adapter",
    ]
)


def load() -> None:
    """Have the program loaded, so that what is timed next is its own work."""
    Program(["--help"], Path.cwd()).answer()


class Program:
    """The program as it was started with some words in a folder; it runs beside the test."""

    def __init__(self, words: Sequence[str], folder: Path) -> None:
        self._said = TemporaryDirectory()
        facts = (list(words), folder, Path(self._said.name), dict(os.environ))
        self._process = _FORKS.Process(target=_be_the_program, args=facts)
        self._process.start()
        self.ended = self._process.sentinel

    def kill(self) -> None:
        """End it at once, whatever it is doing."""
        self._process.kill()

    def answer(self) -> Answer:
        """Wait for its end: the exit status, negative when it was killed, and both streams."""
        self._process.join()
        status = self._process.exitcode
        assert status is not None
        self._process.close()
        with self._said as said:
            out, err = (Path(said, name).read_text("utf-8") for name in ("out", "err"))
        return Answer(status, out, err)


def answers(programs: Iterable[Program], at_once: int) -> Iterator[Answer]:
    """Start so many programs at once, another one whenever one ends, and give their answers."""
    running: dict[Any, Program] = {}
    for program in programs:
        running[program.ended] = program
        if len(running) == at_once:
            for ended in wait(running):
                yield running.pop(ended).answer()
    for program in running.values():
        yield program.answer()


def _be_the_program(
    words: list[str], folder: Path, said: Path, environment: dict[str, str]
) -> None:
    for stream, name in ((1, "out"), (2, "err")):
        os.dup2(os.open(said / name, os.O_WRONLY | os.O_CREAT), stream)
    os.chdir(folder)
    os.environ.clear()
    os.environ.update(environment)
    sys.exit(main(words))
