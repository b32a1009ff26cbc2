"""Measure two things side by side in one run and hold their ratio to a limit."""

from __future__ import annotations

import gc
import os
import resource
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from statistics import median
from tempfile import TemporaryDirectory

from tests.house import ROOT


@dataclass(frozen=True)
class Ratio:
    """One measured ratio: medians of runs that took turns."""

    what: str
    against: str
    seconds: float
    seconds_against: float
    limit: float

    @property
    def ratio(self) -> float:
        """How many times as long the first takes."""
        return self.seconds / self.seconds_against

    @property
    def line(self) -> str:
        """The ratio as a line of the table at the end."""
        verdict = "ok" if self.ratio <= self.limit else "TOO SLOW"
        times = f"{self.seconds * 1000:10.1f} ms {self.seconds_against * 1000:10.1f} ms"
        return f"{self.what:<44} {times} {self.ratio:6.2f} {self.limit:6.2f}  {verdict}"


BYTECODE = TemporaryDirectory(prefix="bytecode-")
MEASURED: list[Ratio] = []
HEADING = f"{'':<44} {'this':>13} {'against':>13} {'ratio':>6} {'limit':>6}"


def timed(call: Callable[[], object]) -> float:
    """Seconds that one call takes, with the collector at rest."""
    gc.collect()
    gc.disable()
    try:
        began = time.perf_counter()
        call()
        return time.perf_counter() - began
    finally:
        gc.enable()


def timed_as_it_runs(call: Callable[[], object]) -> float:
    """Seconds of the processor that one call takes, with the collector as a program has it."""
    gc.collect()
    began = time.process_time()
    call()
    return time.process_time() - began


def compare(
    what: str,
    this: Callable[[], float],
    against: tuple[str, Callable[[], float]],
    *,
    limit: float,
    rounds: int,
) -> Ratio:
    """Take the two by turns, once for nothing and then so many rounds; keep the medians."""
    this()
    against[1]()
    pairs = [(this(), against[1]()) for _round in range(rounds)]
    measured = Ratio(
        what,
        against[0],
        median(pair[0] for pair in pairs),
        median(pair[1] for pair in pairs),
        limit,
    )
    MEASURED.append(measured)
    return measured


def program(words: Sequence[str]) -> Callable[[], float]:
    """A run of the Python interpreter with some words; it must answer. Gives processor seconds.

    Other programs on the machine disturb these least. Everything runs from bytecode, as installed
    copies do; the first run, which does not count, makes what is missing.
    """
    environment = {**os.environ, "PYTHONPYCACHEPREFIX": BYTECODE.name}
    environment.pop("PYTHONDONTWRITEBYTECODE", None)

    def run() -> float:
        before = _processor_seconds()
        done = subprocess.run(
            [sys.executable, *words],
            cwd=ROOT,
            env=environment,
            capture_output=True,
            text=True,
            check=False,
        )
        assert done.returncode == 0, done.stderr
        return _processor_seconds() - before

    return run


def _processor_seconds() -> float:
    """What all programs that this one started and that have ended took."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime
