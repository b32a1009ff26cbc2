"""The desk's find in a process of its own that waits until it is asked, as a server does.

To be woken for each question costs a process something, in cold caches not least. A page is
measured beside a desk that is woken the same way, so that only what the page adds is counted.
Run as a program it answers quantities, one a line, from the crib that it is told.
"""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import IO

from crib.desk.answer.find import find
from crib.features.common.case import Circumstances
from crib.stock.engine.opening import open_crib
from tests.bench.asking import PHRASE
from tests.browser.serving import Server
from tests.house import ROOT


@dataclass
class DeskApart:
    """A process that answers finds of a crib; each is one that it was not asked before."""

    process: Server
    asks: IO[str]
    answers: IO[str]
    quantity: int = 1

    def find(self) -> None:
        """Ask for another find, and wait until it is made."""
        self.quantity += 1
        self.asks.write(f"{self.quantity}\n")
        self.asks.flush()
        assert int(self.answers.readline()) == self.quantity


@contextmanager
def desk_apart(crib: Path) -> Iterator[DeskApart]:
    """A desk in a process of its own until the block ends."""
    words = [sys.executable, "-m", "tests.bench.desk_apart", str(crib)]
    with subprocess.Popen(
        words, cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as desk:
        assert desk.stdin is not None
        assert desk.stdout is not None
        yield DeskApart(Server("", desk.pid), desk.stdin, desk.stdout)


def _answer(crib: Path) -> None:
    with closing(open_crib(crib)) as session:
        for line in sys.stdin:
            find(session, PHRASE, Circumstances(int(line)), record=False)
            print(int(line), flush=True)


if __name__ == "__main__":
    _answer(Path(sys.argv[1]))
