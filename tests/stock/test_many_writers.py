"""Many windows at once lose nothing and count nothing twice."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from crib.stock.book import ledger
from crib.stock.engine.session import open_crib
from crib.stock.queries.pieces import piece_by_tag
from tests.forked import Program, answers
from tests.shop import small_shop

PROCESSES = 200
AT_ONCE = 8
PUNCHES = ("P-0137", "D-0201", "P-0140")


def log(path: Path, number: int) -> Program:
    """One window: a punch over the one die that all of them share, or a piece alone."""
    tag = PUNCHES[number % len(PUNCHES)]
    words = [tag, str(number + 1), "thru", "3/8", "304"]
    if tag == "P-0137":
        words += ["with", "D-0202"]
    return Program(["log", *words, "--json", "--crib", str(path)], path.parent)


@pytest.mark.slow
def test_two_hundred_windows_lose_nothing_and_double_nothing(tmp_path: Path) -> None:
    path = tmp_path / "shop.crib"
    small_shop(path).close()
    windows = (log(path, number) for number in range(PROCESSES))
    said = Counter((answer.status, answer.err) for answer in answers(windows, AT_ONCE))
    assert said == {(0, ""): PROCESSES}

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
