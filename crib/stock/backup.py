"""A safe copy of a crib, with SQLite's own online backup, and the way back."""

from __future__ import annotations

import os
import sqlite3
from dataclasses import dataclass
from pathlib import Path

from crib.errors import CribDamaged, NoCrib
from crib.stock.session import APPLICATION_ID


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
    """
    if not source.is_file():
        message = f"there is no crib at {source}"
        raise NoCrib(message, way_out="check the path")
    target.parent.mkdir(parents=True, exist_ok=True)
    partial = target.with_name(f"{target.name}.{os.getpid()}.partial")
    try:
        _online_copy(source, partial)
        report = verify(partial)
        _flush(partial)
        os.replace(partial, target)
    finally:
        partial.unlink(missing_ok=True)
    return CopyReport(target, report.pieces, report.entries, report.strokes)


def verify(path: Path) -> CopyReport:
    """Check a crib file: it is a crib, SQLite finds it whole, no orphans; and count what it holds.

    Raises:
        CribDamaged: when it is not.
    """
    connection = sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro", uri=True)
    try:
        fault = _fault(connection)
        if fault:
            message = f"{path} {fault}"
            raise CribDamaged(message, way_out="use an older copy")
        counts = connection.execute(
            "SELECT (SELECT count(*) FROM piece), (SELECT count(*) FROM entry),"
            " (SELECT coalesce(sum(strokes_total), 0) FROM piece)"
        ).fetchone()
    except sqlite3.DatabaseError as error:
        message = f"{path} cannot be read: {error}"
        raise CribDamaged(message, way_out="use an older copy") from error
    finally:
        connection.close()
    return CopyReport(path, *counts)


def _online_copy(source: Path, target: Path) -> None:
    origin = sqlite3.connect(source)
    copy = sqlite3.connect(target)
    try:
        origin.backup(copy)
        copy.execute("PRAGMA journal_mode = DELETE")
    except sqlite3.DatabaseError as error:
        message = f"{source} cannot be copied: {error}"
        raise CribDamaged(message, way_out="check the path and the disk") from error
    finally:
        copy.close()
        origin.close()


def _fault(connection: sqlite3.Connection) -> str:
    if connection.execute("PRAGMA application_id").fetchone()[0] != APPLICATION_ID:
        return "is not a crib"
    found = connection.execute("PRAGMA integrity_check").fetchone()[0]
    if found != "ok":
        return f"is damaged: {found}"
    if connection.execute("PRAGMA foreign_key_check").fetchone() is not None:
        return "holds rows whose owner is gone"
    return ""


def _flush(path: Path) -> None:
    with path.open("rb") as file:
        os.fsync(file.fileno())
