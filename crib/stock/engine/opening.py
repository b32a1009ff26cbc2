"""Opening a crib, wherever it lies: brought up to this program's tables, or only to be read."""

from __future__ import annotations

from pathlib import Path

from crib.errors import BadInput, CribFault, CribMoved, DiskFault
from crib.stock.engine import revision
from crib.stock.engine.disk import looked_at, not_writable
from crib.stock.engine.engine import REVISION, Connection, Engine, held, not_a_crib
from crib.stock.engine.engine_sqlite import SqliteEngine
from crib.stock.engine.moved import moved_error, note_of, split_revision
from crib.stock.engine.place import Place, ServerPlace
from crib.stock.engine.session import Session


def open_crib(path: Place) -> Session:
    """Open an existing crib, and bring an older one up to this program's tables first.

    Raises:
        NoCrib: when there is no such file, or no crib in the database.
        CribMoved: when it moved elsewhere before this program's tables; else it can only be read.
        CribDamaged: when the file is not a crib.
        DiskFault: when it cannot be read, or is an older crib and cannot be written.
    """
    if isinstance(path, ServerPlace):
        return _open_server(path)
    engine = SqliteEngine()
    connection, cannot_write = _connect(engine, path)
    try:
        found, has_moved = _revision(engine, connection, path)
        if has_moved:
            cannot_write = _moved(connection, path, found)
        elif found != head_revision():
            if cannot_write is not None:
                raise cannot_write
            connection.close()
            from crib.stock.engine.migrate import upgrade_with_backup

            upgrade_with_backup(path)
            connection = engine.connect(path)
    except BaseException:
        connection.close()
        raise
    return Session(engine, connection, path, cannot_write)


def _moved(connection: Connection, place: Place, revision: str) -> CribMoved:
    """Why a crib that moved elsewhere can only be read; an older one, not even that."""
    why = moved_error(place, str(note_of(connection.execute)))
    if revision != head_revision():
        raise why
    return why


def has_moved(session: Session) -> bool:
    """Whether the crib moved elsewhere, so that it can only be read."""
    return isinstance(session.cannot_write, CribMoved)


def reopened_to_write(session: Session) -> bool:
    """Let a crib that moved be written in by this session; whether it had moved."""
    had_moved = has_moved(session)
    if had_moved:
        session.cannot_write = None
    return had_moved


def _open_server(place: ServerPlace) -> Session:
    """Open a crib on a server, and bring an older one up to this program's tables first."""
    engine = server_engine()
    session = Session(engine, engine.connect(place), place)
    try:
        found, has_moved = _revision(engine, session.connection, place)
        if has_moved:
            session.cannot_write = _moved(session.connection, place, found)
        elif found != head_revision():
            from crib.stock.engine.upgrade_server import upgrade_on_server

            upgrade_on_server(place, session, found)
            session.close()
            session = Session(engine, engine.connect(place), place)
    except BaseException:
        session.close()
        raise
    return session


def server_engine() -> Engine:
    """The engine of a server; its driver is loaded only for one.

    Raises:
        BadInput: where the driver is not installed.
    """
    try:
        from crib.stock.engine.engine_postgres import PostgresEngine
    except ImportError:
        message = "a crib on a server needs the driver psycopg"
        raise BadInput(message, way_out="pip install 'crib[postgresql]'") from None
    return PostgresEngine()


def open_to_read(path: Path) -> Session:
    """Open a crib of any revision as it stands, to look at it and no more.

    Raises:
        CribDamaged: when the file is not a crib, or cannot be read.
    """
    engine = SqliteEngine()
    connection = engine.connect_to_read(path)
    if connection is None:
        raise not_a_crib(path)
    return Session(engine, connection, path, looked_at(path))


def _connect(engine: Engine, path: Path) -> tuple[Connection, CribFault | None]:
    """A connection, and why nothing can be written through it, if nothing can."""
    try:
        return engine.connect(path), not_writable(path)
    except DiskFault as fault:
        connection = engine.connect_to_read(path)
        if connection is None:
            raise
        return connection, fault


def head_revision() -> str:
    """The newest revision of ``schema/versions``, as this program expects it."""
    return revision.HEAD_REVISION


def _revision(engine: Engine, connection: Connection, path: Place) -> tuple[str, bool]:
    """The revision of a crib's tables, and whether it moved elsewhere."""
    try:
        found = connection.execute(*REVISION).fetchone()
    except engine.error as error:
        if engine.is_locked(error):
            raise held(path) from error
        raise engine.disk_fault(error, path) or not_a_crib(path) from error
    if found is None:
        raise not_a_crib(path)
    return split_revision(str(found[0]))
