"""Many windows at once lose nothing and count nothing twice."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from crib.stock.book import ledger
from crib.stock.engine.opening import open_crib
from crib.stock.queries.pieces import piece_by_tag
from tests.forked import Program, answers
from tests.shop import small_shop

WINDOWS = [80, pytest.param(200, marks=pytest.mark.audit)]
"""How many, in every run and in the long one."""
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
@pytest.mark.parametrize("windows", WINDOWS)
def test_many_windows_lose_nothing_and_double_nothing(windows: int, tmp_path: Path) -> None:
    path = tmp_path / "shop.crib"
    small_shop(path).close()
    logged = (log(path, number) for number in range(windows))
    said = Counter((answer.status, answer.err) for answer in answers(logged, AT_ONCE))
    assert said == {(0, ""): windows}

    wanted: Counter[str] = Counter()
    for number in range(windows):
        tag = PUNCHES[number % len(PUNCHES)]
        wanted[tag] += number + 1
        wanted["D-0202"] += number + 1 if tag == "P-0137" else 0
    session = open_crib(path)
    assert {tag: piece_by_tag(session, tag).strokes_total for tag in wanted} == wanted
    acts = session.value("SELECT count(DISTINCT act) FROM entry WHERE action = 'strokes'")
    assert acts == windows
    assert ledger.rebuild(session) == []
    assert session.value("PRAGMA integrity_check") == "ok"
    session.close()
