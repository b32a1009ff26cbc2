"""What is counted and looked through over the whole crib: its size, and what cannot be right."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from crib.stock.engine.moved import MOVED_TABLE, split_revision
from crib.stock.engine.session import Session
from crib.stock.queries.order_specs import read_spec
from crib.stock.tables.row_check import columns_of, declared_tables


@dataclass(frozen=True, slots=True)
class CribSize:
    """How much a crib holds, and the day of its last shift."""

    last_shift: str
    drawers: int
    pieces: int
    entries: int


@dataclass(frozen=True, slots=True)
class LineCount:
    """An order line: how many are counted on it, and how many its deliveries make."""

    number: str
    text: str
    received: int
    came: int


_LOOKED = ("want", "kept_key", "pairing_code")


def crib_size(session: Session) -> CribSize:
    """What there is of drawers, pieces and entries."""
    row = session.row(
        "SELECT (SELECT max(shift_on) FROM entry) AS last_shift,"
        " (SELECT count(*) FROM place WHERE sort = 'drawer') AS drawers,"
        " (SELECT count(*) FROM piece) AS pieces, (SELECT count(*) FROM entry) AS entries"
    )
    assert row is not None
    return CribSize(**dict(row))


def note_rows(session: Session) -> None:
    """Have the crib keep how many rows it holds now."""
    with session.writing():
        session.run(session.engine.inspection.marking(_rows_of_work(session)))


def rows_since_noted(session: Session) -> int | None:
    """How many rows came in since ``note_rows``; None where that was never done."""
    noted = session.engine.inspection.mark(session.rows)
    return _rows_of_work(session) - noted if noted else None


def _rows_of_work(session: Session) -> int:
    """All rows but the asks that were missed, which looking around leaves behind."""
    tables = [table for table in declared_tables() if table not in _LOOKED]
    return sum(session.value(f"SELECT count(*) FROM {table}") for table in tables)


def damaged_parts(session: Session) -> Iterator[str]:
    """What the crib's file or database holds damaged."""
    return session.engine.inspection.faults(session.each)


def rows_without_owner(session: Session) -> Iterator[tuple[str, int, str]]:
    """Rows whose owner is gone: table, number of the row, the owner's table."""
    return session.engine.inspection.orphans(session.each)


def table_revision(session: Session) -> str:
    """The revision that the crib's tables are of."""
    return split_revision(str(session.value("SELECT version_num FROM alembic_version")))[0]


def columns_amiss(session: Session) -> Iterator[tuple[str, str, bool]]:
    """Columns that the file lacks or the program does not know: table, column, is it there.

    A table that is lacking lacks each of its columns.
    """
    inspection = session.engine.inspection
    for table in declared_tables():
        there = set(inspection.columns(session.each, table))
        wanted = columns_of(table).keys()
        yield from ((table, column, False) for column in wanted if column not in there)
        yield from ((table, column, True) for column in sorted(there - wanted))


def strange_tables(session: Session) -> list[str]:
    """Tables that the program does not know."""
    there = set(session.engine.inspection.tables(session.each))
    return sorted(there - {*declared_tables(), "alembic_version", MOVED_TABLE})


def misfit_counter_entries(session: Session) -> list[tuple[int, int]]:
    """Counter-entries, each with the entry that it takes back and cannot."""
    rows = session.rows(
        "SELECT counter.id, counter.reverses_id"
        " FROM entry AS counter JOIN entry ON entry.id = counter.reverses_id"
        " WHERE entry.action = 'reverse' OR entry.piece_id IS DISTINCT FROM counter.piece_id"
        " OR counter.id < entry.id"
    )
    return [(row[0], row[1]) for row in rows]


def entries_ahead(session: Session, moment: str, day: str) -> list[tuple[int, str, str, str]]:
    """Entries written after a moment or of a later day: number, tag, moment, day."""
    rows = session.rows(
        "SELECT entry.id, coalesce(piece.tag, '') AS tag, entry.made_at, entry.shift_on FROM entry"
        " LEFT JOIN piece ON piece.id = entry.piece_id"
        " WHERE entry.made_at > ? OR entry.shift_on > ? ORDER BY entry.id",
        (moment, day),
    )
    return [(row[0], row[1], row[2], row[3]) for row in rows]


def tags_with_impossible_totals(session: Session) -> list[str]:
    """The tags of pieces with a total below zero, or fewer strokes since new than since grind."""
    rows = session.rows(
        "SELECT tag FROM piece WHERE wear_milli < 0 OR strokes_edge < 0 OR strokes_total < 0"
        " OR grinds < 0 OR ground_um < 0 OR strokes_edge > strokes_total"
    )
    return [row[0] for row in rows]


def unread_specifications(session: Session) -> list[tuple[str, str]]:
    """The orders of which a line's specification cannot be read, each with the line's text."""
    rows = session.rows(
        "SELECT purchase.number, order_line.text, order_line.specification FROM order_line"
        " LEFT JOIN purchase ON purchase.id = order_line.purchase_id"
        " WHERE order_line.specification <> '' ORDER BY order_line.id"
    )
    return [(row[0] or "", row[1]) for row in rows if read_spec(row[2]) is None]


def miscounted_lines(session: Session) -> list[LineCount]:
    """Order lines that count another number than their deliveries make."""
    rows = session.rows(
        "SELECT purchase.number, order_line.text, order_line.received,"
        " coalesce(delivered.came, 0) AS came FROM order_line"
        " JOIN purchase ON purchase.id = order_line.purchase_id"
        " LEFT JOIN (SELECT order_line_id, sum(quantity) AS came FROM receipt"
        " GROUP BY order_line_id) AS delivered ON delivered.order_line_id = order_line.id"
        " WHERE order_line.received <> coalesce(delivered.came, 0) ORDER BY order_line.id"
    )
    return [LineCount(**dict(row)) for row in rows]
