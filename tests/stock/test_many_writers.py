"""Many windows at once lose nothing and count nothing twice."""

from __future__ import annotations

import os
import subprocess
import sys
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from crib.stock.book import ledger
from crib.stock.engine.session import open_crib
from crib.stock.queries.pieces import piece_by_tag
from tests.house import ROOT
from tests.shop import small_shop

PROCESSES = 200
AT_ONCE = 8
PUNCHES = ("P-0137", "D-0201", "P-0140")


def log(path: Path, number: int) -> subprocess.CompletedProcess[str]:
    """One window: a punch over the one die that all of them share, or a piece alone."""
    tag = PUNCHES[number % len(PUNCHES)]
    words = [tag, str(number + 1), "thru", "3/8", "304"]
    if tag == "P-0137":
        words += ["with", "D-0202"]
    command = [sys.executable, "-m", "crib", "log", *words, "--json", "--crib", str(path)]
    return subprocess.run(command, cwd=ROOT, env=os.environ, capture_output=True, text=True)


@pytest.mark.slow
def test_two_hundred_windows_lose_nothing_and_double_nothing(tmp_path: Path) -> None:
    path = tmp_path / "shop.crib"
    small_shop(path).close()
    with ThreadPoolExecutor(AT_ONCE) as windows:
        ran = list(windows.map(lambda number: log(path, number), range(PROCESSES)))
    assert Counter((one.returncode, one.stderr) for one in ran) == {(0, ""): PROCESSES}

    wanted: Counter[str] = Counter()
    for number in range(PROCESSES):
        tag = PUNCHES[number % len(PUNCHES)]
        wanted[tag] += number + 1
        wanted["D-0202"] += number + 1 if tag == "P-0137" else 0
    session = open_crib(path)
    assert {tag: piece_by_tag(session, tag).strokes_total for tag in wanted} == wanted
    acts = session.value("SELECT count(DISTINCT act) FROM entry WHERE action = 'strokes'")
    assert acts == PROCESSES
    assert ledger.rebuild(session) == []
    assert session.value("PRAGMA integrity_check") == "ok"
    session.close()
