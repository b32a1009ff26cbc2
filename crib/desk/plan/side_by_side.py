"""One search on each core: helpers look for a better order beside the search that began them.

A helper is this file run by another Python, which gets the jobs through its standard input and
writes the order it found. It ends when its time is over, and at once when that input is closed: so
none outlives the program that began it, however that ends. Where no helper can be begun the search
goes on alone.
"""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import asdict
from pathlib import Path
from threading import Thread
from time import time

from crib.desk.plan.compiled_search import annealed_when_ready, fastest_annealed
from crib.trade.changes.cooling import cooled_again, first_chance
from crib.trade.changes.tool_changes import Help, OrderSearch, Rows

_PACKAGE = Path(__file__).parents[3]
_GRACE_S = 2.0
# Compiling takes six seconds; with less than that left, or another at it, plain code does more.
_WORTH_COMPILING_S = 8.0

_Helper = subprocess.Popen[str]


def spare_cores() -> int:
    """How many cores this program may use beside the one that it runs on."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0)) - 1
    return (os.cpu_count() or 1) - 1


def everything_that_helps() -> Help:
    """Compiled code where it can be had, and a helper on each other core.

    Where there is a helper it compiles, the first time, while the search goes on as it is.
    """
    return Help(annealed_when_ready if spare_cores() else fastest_annealed, beside)


@contextmanager
def beside(search: OrderSearch, count: int | None = None) -> Iterator[Rows]:
    """Helpers that look for a better order in processes of their own, ended with the block."""
    until = time() + search.seconds
    seeds = range(1, 1 + (spare_cores() if count is None else count))
    helpers: list[_Helper] = []
    try:
        helpers += filter(None, (_begun(search, seed, until) for seed in seeds))
        yield lambda: [row for one in helpers if (row := _row_of(one, search.row, until))]
    finally:
        for helper in helpers:
            helper.kill()
            helper.communicate()


def _row_of(helper: _Helper, row: Sequence[int], until: float) -> list[int]:
    """The order that a helper found in time; none of one that failed."""
    try:
        helper.wait(max(0.0, until - time()) + _GRACE_S)
        # Its input is left open until then: a helper whose input is closed ends at once.
        places = json.load(helper.stdout) if helper.stdout else []
    except (subprocess.TimeoutExpired, ValueError, OSError):
        return []
    return [row[place] for place in places] if sorted(places) == list(range(len(row))) else []


def _begun(search: OrderSearch, seed: int, until: float) -> _Helper | None:
    """A helper with its task, or ``None`` where the system begins none."""
    paths = [str(_PACKAGE), *filter(None, [os.environ.get("PYTHONPATH")])]
    task = {**asdict(search), "seed": seed, "until": until}
    try:
        helper = subprocess.Popen(
            [sys.executable or "", "-m", __name__],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            text=True,
            env={**os.environ, "PYTHONPATH": os.pathsep.join(paths)},
        )
    except (OSError, ValueError):
        return None
    try:
        assert helper.stdin is not None
        helper.stdin.write(json.dumps(task) + "\n")
        helper.stdin.flush()
    except OSError:
        helper.kill()
        helper.communicate()
        return None
    return helper


def _work() -> None:
    """What a helper does; its input stays open as long as somebody waits for the answer."""
    began = time()
    task = json.loads(sys.stdin.readline())
    Thread(target=_leave_when_alone, daemon=True).start()
    row, seconds = task["row"], task["until"] - began
    compiles = task["seed"] == 1 and seconds >= _WORTH_COMPILING_S
    helped = fastest_annealed if compiles else annealed_when_ready
    found = cooled_again(
        row,
        task["slots"],
        task["first"],
        first_chance(task["seed"]),
        lambda: (time() - began) / seconds if seconds > 0 else 1.0,
        task["enough"],
        helped(max(job.bit_length() for job in row)),
    )
    sys.stdout.write(json.dumps([row.index(job) for job in found]))
    sys.stdout.flush()
    os._exit(0)


def _leave_when_alone() -> None:
    sys.stdin.read()
    os._exit(1)


if __name__ == "__main__":
    # Whoever began it ends it: an interrupt from the keyboard reaches both.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _work()
