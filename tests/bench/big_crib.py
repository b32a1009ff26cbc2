"""Cribs of any size, built by bulk SQL: many kinds, a few that run high, a ledger that adds up.

Every piece has the same story: it came in, worked for years, was ground, and worked again. So its
totals are known without folding, and ``ledger.rebuild`` finds nothing to say of them.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from itertools import chain, cycle, islice
from pathlib import Path
from typing import Any

from crib.stock.engine.engine_sqlite import settled_connection
from crib.stock.tables.all_tables import EntryRecord, KindRecord, PieceRecord
from tests.shop import add_seat, add_station, new_crib

CAME_ON, GROUND_ON, LAST_ON = "2020-01-01", "2025-06-02", "2026-01-12"
SHARE_OF_RUNNERS = 0.3
EVERYDAY = 30
"""Designs in the catalogue before the 13/16 punch, which runs high in every shop."""
MEASURED_EACH = 50
STROKES_EACH = 10
GROUND_UM = 300
SEATS = ("A", "B", "C", "D")
DRAWERS = 400
PER_INCH = 25.4

_STEPS = """
    CREATE TEMP TABLE step AS
    WITH RECURSIVE counted(n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM counted WHERE n < :steps)
    SELECT n, 's' || n AS act,
        strftime('%Y-%m-%dT%H:%M:%S.000Z', '2020-01-02', '+' || (n * 1900 / :steps) || ' days',
            '+' || (n % 86400) || ' seconds') AS made_at,
        date('2020-01-02', '+' || (n * 1900 / :steps) || ' days') AS shift_on
    FROM counted
"""


@dataclass(frozen=True)
class Size:
    """How big a crib is to be: pieces, the kinds they are of, the ledger's rows."""

    pieces: int
    kinds: int
    entries: int
    runners: int = 20
    seats: int = len(SEATS)

    @property
    def steps(self) -> int:
        """Stroke entries of each piece, beside its three others."""
        return max(1, self.entries // self.pieces - 3)


def build(path: Path, size: Size) -> Path:
    """A crib of that size; the rows go in past the program, the indexes come back afterwards."""
    session = new_crib(path)
    seats = [
        add_seat(session, name, die_diameter_mm=50.0 + 8 * number)
        for number, name in enumerate(SEATS[: size.seats])
    ]
    for number in range(1, 5):
        add_station(session, f"Ironworker {number}", "punch", 490_000.0, seats)
    session.close()
    with closing(settled_connection(path)) as connection:
        connection.execute("PRAGMA synchronous = OFF")
        connection.execute("BEGIN")
        indexes = _without_indexes(connection)
        _add_shelf(connection, size, seats)
        _add_ledger(connection, size)
        for sql in indexes:
            connection.execute(sql)
        connection.execute("COMMIT")
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    return path


def kinds(size: Size, seats: list[int]) -> Iterator[tuple[str, str, float, float | None, int]]:
    """Role, shape, width, length and seat of each kind, the everyday ones first."""
    every = _catalogue()
    for number, (role, shape, width, long) in enumerate(every):
        for seat_id in seats:
            yield role, shape, width * PER_INCH, long * PER_INCH if long else None, seat_id
        if (number + 1) * len(seats) >= size.kinds:
            return


def _catalogue() -> Iterator[tuple[str, str, float, float | None]]:
    """Sizes in inches: sixteenths with their dies, then the other rounds, then other shapes."""
    sixteenths = [number / 16 for number in range(3, 33)]
    for size in sixteenths:
        yield "punch", "round", size, None
        yield "die", "round", size + 1 / 32, None
        yield "die", "round", size + 1 / 16, None
    for number in range(12, 128):
        if number % 4:
            yield "punch", "round", number / 64, None
            yield "die", "round", number / 64 + 1 / 32 + 1 / 128, None
    for shape in ("square", "hexagon"):
        for size in sixteenths:
            yield "punch", shape, size, None
            yield "die", shape, size + 1 / 32, None
    for shape in ("obround", "rectangle"):
        for size in sixteenths:
            for longer in (0.5, 1.0, 1.5):
                yield "punch", shape, size, size + longer
                yield "die", shape, size + 1 / 32, size + longer + 1 / 32


def _without_indexes(connection: sqlite3.Connection) -> list[str]:
    """Drop the long tables' indexes and return how they were made."""
    found = connection.execute(
        "SELECT name, sql FROM sqlite_master WHERE type = 'index' AND sql IS NOT NULL"
        " AND tbl_name IN ('piece', 'entry')"
    ).fetchall()
    for row in found:
        connection.execute(f"DROP INDEX {row['name']}")
    return [row["sql"] for row in found]


def _add_shelf(connection: sqlite3.Connection, size: Size, seats: list[int]) -> None:
    connection.executemany(
        "INSERT INTO place (name, sort, walk_order) VALUES (?, 'drawer', ?)",
        ((f"R{number}", number) for number in range(DRAWERS)),
    )
    _insert(connection, KindRecord, _kinds(size, seats))
    _insert(connection, PieceRecord, _pieces(connection, size))
    connection.execute(
        "UPDATE piece SET measured_width_mm = (SELECT width_mm - 0.02 FROM kind"
        " WHERE kind.id = piece.kind_id) WHERE id % ? = 0",
        (MEASURED_EACH,),
    )


def _insert(connection: sqlite3.Connection, table: Any, rows: Iterator[dict[str, Any]]) -> None:
    """Store rows, with the table's own defaults where a row says nothing."""
    first = next(rows)
    defaults = table.model_validate(first).model_dump()
    del defaults["id"]
    columns, marks = ", ".join(defaults), ", ".join(f":{name}" for name in defaults)
    connection.executemany(
        f"INSERT INTO {table.__tablename__} ({columns}) VALUES ({marks})",
        (defaults | row for row in chain([first], rows)),
    )


def _kinds(size: Size, seats: list[int]) -> Iterator[dict[str, Any]]:
    for number, (role, shape, width_mm, long_mm, seat_id) in enumerate(kinds(size, seats), 1):
        yield {
            "name": f"kind {number}",
            "role": role,
            "shape": shape,
            "width_mm": width_mm,
            "long_mm": long_mm,
            "seat_id": seat_id,
            "length_mm": 70.0 if role == "punch" else 29.0,
            "price_cents": 4000,
        }


def _pieces(connection: sqlite3.Connection, size: Size) -> Iterator[dict[str, Any]]:
    drawers = cycle(row[0] for row in _ids(connection, "place WHERE sort = 'drawer'"))
    for number, kind_id in enumerate(_kind_of_each(connection, size), 1):
        wear = 1 + number * 37 % 4800
        yield {
            "kind_id": kind_id,
            "tag": f"T-{number:06d}",
            "place_id": next(drawers),
            "wear_milli": wear * 1000,
            "strokes_edge": wear,
            "strokes_total": size.steps * STROKES_EACH + wear,
            "grinds": 1,
            "ground_um": GROUND_UM,
            "changed_on": GROUND_ON,
            "latest_on": LAST_ON,
        }


def _kind_of_each(connection: sqlite3.Connection, size: Size) -> Iterator[int]:
    """The runners get their share in turn, every kind gets its part of the rest."""
    every = [row[0] for row in _ids(connection, "kind")]
    first = EVERYDAY * size.seats
    runners = every[first : first + size.runners]
    many = int(size.pieces * SHARE_OF_RUNNERS)
    yield from islice(cycle(runners), many)
    yield from islice(cycle(every), size.pieces - many)


def _ids(connection: sqlite3.Connection, table: str) -> list[sqlite3.Row]:
    return connection.execute(f"SELECT id FROM {table} ORDER BY id").fetchall()


def _add_ledger(connection: sqlite3.Connection, size: Size) -> None:
    connection.execute(_STEPS, {"steps": size.steps})
    came = {"condition": "'sound'", "place_id": "place_id"}
    came["measured_width_mm"] = "measured_width_mm"
    _write(connection, "add", CAME_ON, "piece", came)
    worked = {"act": "step.act", "made_at": "step.made_at", "shift_on": "step.shift_on"}
    worked |= {"quantity": f"{STROKES_EACH}", "weighted_milli": f"{STROKES_EACH * 1000}"}
    _write(connection, "strokes", CAME_ON, "step CROSS JOIN piece", worked)
    _write(connection, "grind", GROUND_ON, "piece", {"ground_um": f"{GROUND_UM}"})
    again = {"quantity": "piece.strokes_edge", "weighted_milli": "piece.wear_milli"}
    _write(connection, "strokes", LAST_ON, "piece", again)
    connection.execute("DROP TABLE step")


def _write(
    connection: sqlite3.Connection, action: str, day: str, source: str, columns: dict[str, str]
) -> None:
    """One entry for each row of a source; what is not said in SQL is the table's default."""
    entry = {
        "act": f"{action} {day}",
        "action": action,
        "person_id": 1,
        "made_at": f"{day}T06:00:00.000Z",
        "shift_on": day,
    }
    values = EntryRecord.model_validate(entry).model_dump()
    for name in ("id", "piece_id", *columns):
        del values[name]
    said = {"piece_id": "piece.id", **columns, **{name: f":{name}" for name in values}}
    connection.execute(
        f"INSERT INTO entry ({', '.join(said)}) SELECT {', '.join(said.values())} FROM {source}",
        values,
    )
