"""A crib copied into a new file, whatever it lies in itself."""

from __future__ import annotations

import sqlite3
from pathlib import Path

from crib.files.common.whole_file import whole_file
from crib.stock.engine.backup import CopyReport, verify
from crib.stock.engine.disk import COMPANIONS
from crib.stock.engine.engine_sqlite import bare_file
from crib.stock.engine.inspection_sqlite import INSPECTION
from crib.stock.engine.migrate import create_tables
from crib.stock.engine.whole_copy import (
    CopySource,
    Proof,
    Summing,
    every_row,
    layout_of,
    proof_of,
    require_equal,
    rows_of,
)


def copy_into_file(source: CopySource, target: Path, revision: str = "head") -> CopyReport:
    """Copy the crib behind a session as it is at this moment, or in the block that is writing.

    The file gets its name when it is whole, compared row by row and verified.

    Args:
        source: The session of the crib.
        target: The new file.
        revision: That of the crib's tables, where it is not the newest.

    Raises:
        CribDamaged: when the copy differs or fails its check; no file is left behind then.
        DiskFault: when the disk or the rights do not allow it; nor is one left then.
    """
    return _copied(source, target, revision)[0]


def move_into_file(source: CopySource, target: Path) -> Proof:
    """Copy a crib into a file to work with from then on.

    Raises:
        CribDamaged, DiskFault: as ``copy_into_file``.
    """
    _report, proof = _copied(source, target, "head")
    with bare_file(target) as crib:
        crib.execute("PRAGMA journal_mode = WAL")
    return proof


def _copied(source: CopySource, target: Path, revision: str) -> tuple[CopyReport, Proof]:
    target.parent.mkdir(parents=True, exist_ok=True)
    with whole_file(target) as partial:
        try:
            create_tables(partial, revision)
            with source.one_moment():
                proof = _fill_file(source, partial)
            report = verify(partial, called=target)
        finally:
            for end in ("-journal", *COMPANIONS):
                partial.with_name(partial.name + end).unlink(missing_ok=True)
    return CopyReport(target, report.pieces, report.entries, report.strokes), proof


def _fill_file(source: CopySource, path: Path) -> Proof:
    """Put every row into a file that has the tables, and prove that they are there.

    Nobody else may know the file yet: it is not safe against a power cut while this goes on.
    """
    with bare_file(path) as copy:
        copy.isolation_level = None
        for setting in ("journal_mode = OFF", "synchronous = OFF", "foreign_keys = OFF"):
            copy.execute(f"PRAGMA {setting}")
        copy.execute("BEGIN")
        proof = _fill(source, copy)
        copy.execute(INSPECTION.marking(source.engine.inspection.mark(source.rows)))
        copy.execute("COMMIT")
        require_equal(
            proof, proof_of(lambda *said: copy.execute(every_row(*said)), layout_of(source))
        )
        copy.execute("PRAGMA journal_mode = DELETE")
    return proof


def _fill(source: CopySource, copy: sqlite3.Connection) -> Proof:
    """Every row; the indexes are made when all are there, which is faster."""
    indexes = copy.execute(
        "SELECT name, sql FROM sqlite_master WHERE type = 'index' AND sql IS NOT NULL"
    ).fetchall()
    for name, _sql in indexes:
        copy.execute(f"DROP INDEX {name}")
    made = {}
    for table, columns in layout_of(source).items():
        copy.execute(f"DELETE FROM {table}")
        marks = ", ".join("?" * len(columns))
        sql = f"INSERT INTO {table} ({', '.join(columns)}) VALUES ({marks})"
        summing = Summing()
        copy.executemany(sql, summing.through(rows_of(source, table, columns)))
        made[table] = summing.sum()
    for _name, sql in indexes:
        copy.execute(sql)
    return made
