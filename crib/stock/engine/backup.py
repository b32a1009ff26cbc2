"""A safe copy of a crib, with SQLite's own online backup, and the way back."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from pathlib import Path

from crib.errors import CribDamaged, NoCrib
from crib.files.common.whole_file import whole_file
from crib.stock.engine.disk import COMPANIONS
from crib.stock.engine.engine import StoreError
from crib.stock.engine.engine_sqlite import (
    APPLICATION_ID,
    bare_file,
    identity,
)
from crib.stock.engine.inspection_sqlite import file_faults, orphans


@dataclass(frozen=True, slots=True)
class CopyReport:
    """What a copy holds, read back from the copy itself."""

    path: Path
    pieces: int
    entries: int
    strokes: int


def copy_whole(source: Path, target: Path) -> CopyReport:
    """Copy a crib with SQLite's online backup and verify the copy before it gets its name.

    Others may go on writing meanwhile: the copy is one moment of the crib.

    Raises:
        NoCrib: when there is nothing to copy.
        CribDamaged: when the copy fails its check; no file is left behind then.
        DiskFault: when the disk or the rights do not allow it; nor is one left then.
    """
    if not source.is_file():
        message = f"there is no crib at {source}"
        raise NoCrib(message, way_out="check the path")
    target.parent.mkdir(parents=True, exist_ok=True)
    with whole_file(target) as partial:
        try:
            _online_copy(source, partial)
            report = verify(partial, called=source)
        finally:
            for end in ("-journal", *COMPANIONS):
                partial.with_name(partial.name + end).unlink(missing_ok=True)
    return CopyReport(target, report.pieces, report.entries, report.strokes)


def verify(path: Path, *, called: Path | None = None) -> CopyReport:
    """Check a crib file: it is a crib, SQLite finds it whole, no orphans; and count what it holds.

    Args:
        path: The file.
        called: What to call it in an error, when it is a copy that has no name yet.

    Raises:
        CribDamaged: when it is not.
    """
    name = called or path
    try:
        with bare_file(path, read_only=True) as connection:
            fault, counts = _fault(connection), _counts(connection)
    except StoreError as error:
        message = f"{name} cannot be read: {error}"
        raise CribDamaged(message, way_out="use an older copy") from error
    if fault:
        message = f"{name} {fault}"
        raise CribDamaged(message, way_out="use an older copy")
    return CopyReport(path, *counts)


def _counts(connection: sqlite3.Connection) -> tuple[int, int, int]:
    """Pieces, entries and strokes; nothing in a file that is not a crib."""
    if identity(connection) != APPLICATION_ID:
        return (0, 0, 0)
    pieces, entries, strokes = connection.execute(
        "SELECT (SELECT count(*) FROM piece), (SELECT count(*) FROM entry),"
        " (SELECT coalesce(sum(strokes_total), 0) FROM piece)"
    ).fetchone()
    return (int(pieces), int(entries), int(strokes))


def _online_copy(source: Path, target: Path) -> None:
    try:
        with bare_file(source, read_only=True) as origin, bare_file(target) as copy:
            origin.backup(copy)
            copy.execute("PRAGMA journal_mode = DELETE")
    except StoreError as error:
        message = f"{source} cannot be copied: {error}"
        raise CribDamaged(message, way_out="check the path and the disk") from error


def _fault(connection: sqlite3.Connection) -> str:
    if identity(connection) != APPLICATION_ID:
        return "is not a crib"
    found = next(file_faults(connection.execute), "")
    if found:
        return f"is damaged: {found}"
    if next(orphans(connection.execute), None) is not None:
        return "holds rows whose owner is gone"
    return ""
