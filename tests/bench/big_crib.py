"""Cribs of any size, built by bulk SQL: many kinds, a few that run high, a ledger that adds up.

Every piece has the same story: it came in, worked for years, was ground, and worked again. So its
totals are known without folding, and ``ledger.rebuild`` finds nothing to say of them.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from itertools import cycle, islice
from pathlib import Path

from crib.stock.session import connect
from tests.shop import add_seat, add_station, new_crib

CAME_ON, GROUND_ON, LAST_ON = "2020-01-01", "2025-06-02", "2026-01-12"
SHARE_OF_RUNNERS = 0.3
EVERYDAY = 30
"""Designs in the catalogue before the 13/16 punch, which runs high in every shop."""
MEASURED_EACH = 50
STROKES_EACH = 10
SEATS = ("A", "B", "C", "D")
DRAWERS = 400
PER_INCH = 25.4

_ENTRY = (
    "INSERT INTO entry (act, action, piece_id, person_id, made_at, shift_on, quantity,"
    " weighted_milli, strokes_edge, estimate, material, job, ground_um, note, condition, place_id)"
)
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
    with closing(connect(path)) as connection:
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
    connection.executemany(
        "INSERT INTO kind (name, role, shape, width_mm, long_mm, seat_id, key_angles, face,"
        " bevel_mm, length_mm, edges, added_height_mm, price_cents, supplier, least_count, note)"
        " VALUES (?, ?, ?, ?, ?, ?, '', 'flat', 0, 70, 1, 0, 4000, 'the usual', 1, '')",
        ((f"kind {number}", *kind) for number, kind in enumerate(kinds(size, seats), 1)),
    )
    connection.executemany(
        "INSERT INTO piece (kind_id, tag, place_id, condition, measured_width_mm, edge,"
        " wear_milli, strokes_edge, strokes_total, grinds, ground_um, acknowledged, deferred,"
        " changed_on, latest_on, dedicated_to, bought_on, note)"
        " VALUES (?, ?, ?, 'sound', NULL, 1, ?, ?, ?, 1, 300, '', 0, ?, ?, '', '', '')",
        _pieces(connection, size),
    )
    connection.execute(
        "UPDATE piece SET measured_width_mm = (SELECT width_mm - 0.02 FROM kind"
        " WHERE kind.id = piece.kind_id) WHERE id % ? = 0",
        (MEASURED_EACH,),
    )


def _pieces(connection: sqlite3.Connection, size: Size) -> Iterator[tuple[object, ...]]:
    drawers = cycle(row[0] for row in _ids(connection, "place WHERE sort = 'drawer'"))
    for number, kind_id in enumerate(_kind_of_each(connection, size), 1):
        wear = 1 + number * 37 % 4800
        total = size.steps * STROKES_EACH + wear
        place = next(drawers)
        yield kind_id, f"T-{number:06d}", place, wear * 1000, wear, total, GROUND_ON, LAST_ON


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
    at_came, at_ground, at_last = (f"{day}T06:00:00.000Z" for day in (CAME_ON, GROUND_ON, LAST_ON))
    connection.execute(
        f"{_ENTRY} SELECT 'came', 'add', id, 1, '{at_came}', '{CAME_ON}', 0, 0, 0, 0, '', '', 0,"
        " '', 'sound', place_id FROM piece ORDER BY id"
    )
    connection.execute(
        "UPDATE entry SET measured_width_mm ="
        " (SELECT measured_width_mm FROM piece WHERE piece.id = entry.piece_id)"
    )
    connection.execute(
        f"{_ENTRY} SELECT step.act, 'strokes', piece.id, 1, step.made_at, step.shift_on,"
        f" {STROKES_EACH}, {STROKES_EACH * 1000}, 0, 0, 'A36', '', 0, '', NULL, NULL"
        " FROM step CROSS JOIN piece"
    )
    connection.execute(
        f"{_ENTRY} SELECT 'ground', 'grind', id, 1, '{at_ground}', '{GROUND_ON}', 0, 0, 0, 0, '',"
        " '', 300, '', NULL, NULL FROM piece"
    )
    connection.execute(
        f"{_ENTRY} SELECT 'last', 'strokes', id, 1, '{at_last}', '{LAST_ON}', strokes_edge,"
        " wear_milli, 0, 0, 'A36', '', 0, '', NULL, NULL FROM piece"
    )
    connection.execute("DROP TABLE step")
