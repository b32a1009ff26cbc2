"""Taking a long stroke sheet, against SQLite taking the very same rows and nothing else."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime
from itertools import count
from pathlib import Path
from typing import Any

import pytest

from crib.acts import yes_to
from crib.stock.engine.engine_sqlite import settled_connection
from crib.stock.engine.opening import open_crib
from tests.bench.big_crib import Size, build
from tests.bench.ratios import compare, timed

pytestmark = pytest.mark.bench

LINES = 100_000
PIECES = 2_000
NOW = datetime(2026, 3, 2, 15, 0, tzinfo=UTC)
ROUNDS = 3


@pytest.fixture(scope="module")
def empty(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A crib to take the sheet into; each run gets its own copy."""
    path = tmp_path_factory.mktemp("sheet") / "before.crib"
    return build(path, Size(pieces=PIECES, kinds=400, entries=20_000))


@pytest.fixture
def fresh(empty: Path, tmp_path: Path) -> Iterator[Path]:
    """Copies of the crib, one after another."""
    numbers = count(1)

    def copies() -> Iterator[Path]:
        for number in numbers:
            path = tmp_path / f"{number}.crib"
            shutil.copyfile(empty, path)
            yield path

    return copies()


def sheet() -> bytes:
    """A hundred thousand lines over all pieces, in three thicknesses and two materials."""
    plates = ("3/8,A36", "1/2,A36", "1/4,A572-50")
    lines = (
        f"T-{number % PIECES + 1:06d},{1 + number % 40},{plates[number % 3]},J-{number % 90}"
        for number in range(LINES)
    )
    return "\n".join(["tag,count,thru,material,job", *lines]).encode()


def take(path: Path, data: bytes) -> float:
    """Seconds to take the sheet into a crib."""
    from crib.desk.strokes.log import LogOptions
    from crib.desk.strokes.stroke_sheet import take_sheet

    session = open_crib(path)
    try:
        return timed(
            lambda: take_sheet(
                session, data, "long.csv", LogOptions(confirmed=yes_to("many-strokes")), NOW
            )
        )
    finally:
        session.close()


def store(path: Path, sql: str, rows: list[tuple[Any, ...]]) -> float:
    """Seconds to store rows past the program, with the same indexes and the same durability."""

    def run() -> None:
        connection.execute("BEGIN IMMEDIATE")
        connection.executemany(sql, rows)
        connection.execute("COMMIT")

    with closing(settled_connection(path)) as connection:
        return timed(run)


def rows_of(path: Path, before: int) -> tuple[str, list[tuple[Any, ...]]]:
    """The ledger's rows that a sheet made, and the statement that stores them."""
    with closing(settled_connection(path)) as connection:
        rows = connection.execute("SELECT * FROM entry WHERE id > ?", (before,)).fetchall()
    columns = rows[0].keys()
    marks = ", ".join("?" * len(columns))
    sql = f"INSERT INTO entry ({', '.join(columns)}) VALUES ({marks})"
    return sql, [tuple(row) for row in rows]


def test_a_long_sheet_is_taken_within_ten_times_the_bare_rows(fresh: Iterator[Path]) -> None:
    data, taken = sheet(), next(fresh)
    take(taken, data)
    sql, rows = rows_of(taken, 20_000)
    assert len(rows) >= LINES
    found = compare(
        "a sheet of 100,000 lines",
        lambda: take(next(fresh), data),
        ("executemany of the same rows, same indexes", lambda: store(next(fresh), sql, rows)),
        limit=10.0,
        rounds=ROUNDS,
    )
    assert found.ratio <= found.limit, found.line
