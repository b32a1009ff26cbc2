"""A crib of 100,000 pieces and a million entries moves to a server and back in bounded memory."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from contextlib import closing
from pathlib import Path

import pytest

from crib.stock.engine.opening import open_crib
from crib.stock.engine.place import Place
from crib.stock.engine.whole_copy import TableSum, layout_of, proof_of, rows_of
from tests.bench.big_crib import Size, build
from tests.house import ROOT
from tests.stock.engine.server import TestServer

MOST_MEGABYTES = 250


def moved(place: Place, target: Place) -> tuple[float, float]:
    """Move a crib by a program of its own: how many seconds and megabytes that took."""
    words = [sys.executable, "-m", "crib", "rehouse", str(target), "--crib", str(place)]
    began = time.monotonic()
    child = subprocess.Popen(words, cwd=ROOT)
    _number, status, usage = os.wait4(child.pid, 0)
    child.returncode = os.waitstatus_to_exitcode(status)
    assert child.returncode == 0
    return time.monotonic() - began, usage.ru_maxrss / 1024


def proof(path: Path) -> dict[str, TableSum]:
    with closing(open_crib(path)) as session, session.one_moment():
        return proof_of(lambda *said: rows_of(session, *said), layout_of(session))


@pytest.mark.audit
def test_a_big_crib_moves_there_and_back(server: TestServer, tmp_path: Path) -> None:
    path, back = build(tmp_path / "big.crib", Size(100_000, 4_000, 1_000_000)), tmp_path / "back"
    before, place = proof(path), server.new_database()
    assert before["entry"].rows >= 1_000_000
    for source, target in ((path, place), (place, back)):
        seconds, megabytes = moved(source, target)
        print(f"to {target}: {seconds:.0f} s, {megabytes:.0f} MB")
        assert megabytes < MOST_MEGABYTES
    assert proof(back) == before
