"""Putting a safe copy in the crib's place, so that nothing is lost and nobody sees half of it."""

from __future__ import annotations

import os
import shutil
import sqlite3
import time
from pathlib import Path

from crib.acts import act, saying
from crib.errors import CribBusy, CribDamaged, NewerCrib, NoCrib, Refused
from crib.files.common.whole_file import put_in_place, whole_file
from crib.stock.engine.backup import CopyReport, copy_whole, verify
from crib.stock.engine.disk import COMPANIONS
from crib.stock.engine.engine import StoreError
from crib.stock.engine.engine_sqlite import APPLICATION_ID, SqliteEngine, bare_file, identity
from crib.stock.engine.moved import split_revision

WAIT_SECONDS = 30.0
_PAGES_AT_ONCE = 4096
_TORN = (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB)


def fit_to_restore(path: Path | None, backup: Path) -> CopyReport:
    """What a copy holds; refused unless it is whole, known, and the crib's place is a crib's.

    The place is None where it is no file.

    Raises:
        NoCrib: when there is no such copy.
        Refused: when the copy is the crib itself.
        CribDamaged: when the copy is not whole or newer than this program, or when another
            program's database stands in the crib's place.
    """
    if not backup.is_file():
        message = f"there is no file {backup}"
        raise NoCrib(message, way_out="check the path; safe copies lie beside the crib")
    if path and path.exists() and path.samefile(backup):
        message = f"{backup} is the crib itself"
        raise Refused(message, way_out="name the safe copy to bring back")
    found = verify(backup)
    _require_known_revision(backup)
    if path and path.exists() and _is_foreign(path):
        message = f"{path} is another program's database, not a crib"
        way_out = saying("choose another place with ", act("say.crib"))
        raise CribDamaged(message, way_out=way_out)
    return found


def set_aside(path: Path, aside: Path) -> Path | None:
    """Keep what stands in the crib's place: a verified copy, or a damaged crib's bare files."""
    if not path.exists():
        return None
    # SQLite may throw away the log of a crib it finds torn, so the bare files are kept first.
    torn = aside.with_name(f"{aside.name}.torn")
    for name in (*COMPANIONS, ""):
        bare = path.with_name(path.name + name)
        if bare.exists():
            with whole_file(torn.with_name(torn.name + name)) as partial:
                shutil.copy2(bare, partial)
    try:
        copy_whole(path, aside)
    except CribDamaged:
        return torn
    except BaseException:
        _drop(torn, "", *COMPANIONS)
        raise
    _drop(torn, "", *COMPANIONS)
    return aside


def _drop(path: Path, *ends: str) -> None:
    for name in ends:
        path.with_name(path.name + name).unlink(missing_ok=True)


def put_back(backup: Path, path: Path) -> None:
    """Put a copy in the crib's place, and bring the write-ahead log back into use.

    Raises:
        CribBusy: when somebody else holds the crib; nothing is changed then.
        DiskFault: when the disk or the rights do not allow it; nothing is changed then.
    """
    if not (path.exists() and _copy_over(backup, path)):
        incoming = path.with_name(f"{path.name}.{os.getpid()}.incoming")
        copy_whole(backup, incoming)
        # A torn crib's log would be played into the new file.
        _drop(path, *COMPANIONS)
        put_in_place(incoming, path)
    with bare_file(path) as connection:
        connection.execute("PRAGMA journal_mode = WAL")
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")


def _copy_over(backup: Path, path: Path) -> bool:
    """Copy into the crib in one transaction, so that open sessions see old or new, never half.

    Returns False when the crib is too torn to be written to.
    """
    deadline = time.monotonic() + WAIT_SECONDS

    def give_up(status: int, _left: int, _total: int) -> None:
        busy = status & 0xFF in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED)
        if busy and time.monotonic() > deadline:
            message = f"{path}: somebody else held the crib for {WAIT_SECONDS:g} s"
            raise CribBusy(message, way_out="try again; nothing was changed")

    with bare_file(backup) as origin, bare_file(path) as target:
        try:
            target.execute("PRAGMA synchronous = FULL")
            origin.backup(target, pages=_PAGES_AT_ONCE, progress=give_up, sleep=0.05)
        except sqlite3.DatabaseError as error:
            if error.sqlite_errorcode & 0xFF in _TORN:
                return False
            if SqliteEngine().is_locked(error):
                message = f"{path}: another program holds the crib"
                raise CribBusy(message, way_out="try again; nothing was changed") from error
            raise
    return True


def _require_known_revision(backup: Path) -> None:
    from crib.stock.engine.migrate import known_revisions

    with bare_file(backup, read_only=True) as connection:
        row = connection.execute("SELECT version_num FROM alembic_version").fetchone()
    revision = split_revision(row[0])[0] if row else "none"
    if revision not in known_revisions(backup):
        message = f"{backup} has tables of revision {revision}, which this program does not know"
        raise NewerCrib(message, way_out="use the newer program that wrote it")


def _is_foreign(path: Path) -> bool:
    """Whether a readable database that is not a crib stands there; a torn crib is not foreign."""
    try:
        with bare_file(path, read_only=True) as connection:
            whose = identity(connection)
            tables = connection.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]
    except StoreError:
        return False
    return bool(tables) and whose != APPLICATION_ID
