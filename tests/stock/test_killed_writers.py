"""A program killed in the middle of a sheet leaves the whole of it, or nothing."""

from __future__ import annotations

import random
import time
from pathlib import Path

import pytest

from crib.desk.strokes.log import LogOptions
from crib.desk.strokes.stroke_sheet import take_sheet
from crib.stock.book import ledger
from crib.stock.engine.opening import open_crib
from crib.stock.engine.session import Session
from tests.forked import Program, load
from tests.shop import add_piece, small_shop

KILLED = [8, pytest.param(30, marks=pytest.mark.audit)]
"""Writers that are killed, in every run and in the long one; one more is left in peace before."""
LINES = 6000
PIECES = 40


def sheet(number: int) -> bytes:
    """A sheet unlike any other: counts depend on its number."""
    chance = random.Random(number)
    rows = [
        f"T-{chance.randrange(PIECES):03},{chance.randrange(1, 300)},{thru},{number}"
        for thru in chance.choices(("3/8", "1/2", ""), k=LINES)
    ]
    return "\n".join(["tag,count,thru,job", *rows]).encode()


def start(crib: Path, path: Path) -> Program:
    return Program(["log", str(path), "--crib", str(crib)], crib.parent)


def lines_in_ledger(session: Session, number: int) -> int:
    return int(session.value("SELECT count(*) FROM entry WHERE job = ?", (str(number),)))


@pytest.mark.slow
@pytest.mark.parametrize("killed", KILLED)
def test_killed_writers_leave_whole_sheets_or_none(killed: int, tmp_path: Path) -> None:
    crib = tmp_path / "shop.crib"
    session = small_shop(crib)
    kind = session.value("SELECT kind_id FROM piece WHERE tag = 'P-0137'")
    for number in range(PIECES):
        add_piece(session, f"T-{number:03}", kind)

    files = [tmp_path / f"{number}.csv" for number in range(killed + 1)]
    for number, path in enumerate(files):
        path.write_bytes(sheet(number))
    load()
    began = time.monotonic()
    assert "strokes taken for" in start(crib, files[0]).answer().out
    usual_seconds = time.monotonic() - began

    acknowledged, whole = {0}, {0}
    chance = random.Random(4)
    for number in range(1, killed + 1):
        writer = start(crib, files[number])
        time.sleep(usual_seconds * chance.uniform(0.15, 1.1))
        writer.kill()
        said = writer.answer()
        if said.status == 0 or "strokes taken for" in said.out:
            acknowledged.add(number)
        found = lines_in_ledger(session, number)
        assert found in (0, LINES)
        whole |= {number} if found else set()
        kept = session.value("SELECT count(*) FROM sheet WHERE name = ?", (files[number].name,))
        assert kept == (1 if found else 0)
    assert acknowledged <= whole
    assert len(whole) <= killed, "no writer was killed before it was done"
    assert ledger.rebuild(session) == []
    assert session.value("PRAGMA integrity_check") == "ok"
    session.close()
    retake_everything(crib, files, whole)


def retake_everything(crib: Path, files: list[Path], whole: set[int]) -> None:
    """Typing every sheet again adds those that were lost, and no other."""
    session = open_crib(crib)
    for number, path in enumerate(files):
        result = take_sheet(session, path.read_bytes(), path.name, LogOptions())
        assert (result.taken_before is not None) == (number in whole)
    counts = session.rows("SELECT job, count(*) FROM entry WHERE action = 'strokes' GROUP BY job")
    assert {row[0]: row[1] for row in counts} == {
        str(number): LINES for number in range(len(files))
    }
    assert ledger.rebuild(session) == []
    assert session.value("PRAGMA integrity_check") == "ok"
    session.close()
