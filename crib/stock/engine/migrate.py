"""Make a crib's tables, and bring an older crib up to date without losing a row.

Alembic is imported only here, and only when there is something to migrate.
"""

from __future__ import annotations

import os
from pathlib import Path
from types import ModuleType

from alembic import command
from alembic.config import Config
from alembic.script import ScriptDirectory
from sqlalchemy.exc import SQLAlchemyError

from crib.acts import act, saying
from crib.errors import CribDamaged, CribError, NewerCrib, Refused
from crib.files.common.whole_file import put_in_place
from crib.stock.engine.backup import copy_whole
from crib.stock.engine.engine_sqlite import APPLICATION_ID, SqliteEngine, bare_file
from crib.stock.engine.folders import schema_folder
from crib.stock.engine.place import Place, ServerPlace


def alembic_config(place: Place) -> Config:
    """The migration settings for one crib."""
    config = Config()
    config.set_main_option("script_location", str(schema_folder()).replace("%", "%%"))
    config.attributes["crib_place"] = place
    return config


def create_tables(path: Path, revision: str = "head") -> None:
    """Make an empty crib file with every table of a revision, the newest unless one is said.

    Raises:
        Refused: when the file is there already.
    """
    if path.exists():
        message = f"{path} is there already"
        way_out = saying("choose another file with ", act("say.crib"), "; nothing was changed")
        raise Refused(message, way_out=way_out)
    path.parent.mkdir(parents=True, exist_ok=True)
    with bare_file(path) as connection:
        connection.execute("PRAGMA journal_mode = WAL")
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        connection.commit()
    _run_revisions(path, revision)


def _run_revisions(path: Path, revision: str = "head") -> None:
    """Bring a file to a revision.

    Raises:
        DiskFault: when the disk or the rights do not allow it.
    """
    try:
        command.upgrade(alembic_config(path), revision)
    except SQLAlchemyError as error:
        cause = getattr(error, "orig", None) or error
        raise SqliteEngine().disk_fault(cause, path) or error from error


def known_revisions(place: Place) -> tuple[str, ...]:
    """Every revision in schema/versions, oldest first."""
    script = ScriptDirectory.from_config(alembic_config(place))
    return tuple(reversed([revision.revision for revision in script.walk_revisions()]))


def require_known(place: Place, revision: str) -> None:
    """Nothing, where a crib's tables are of a revision in schema/versions.

    Raises:
        NewerCrib: where they are not.
    """
    if revision not in known_revisions(place):
        message = f"{place} has tables of revision {revision}, which this program does not know"
        raise NewerCrib(message, way_out="use the newer program that wrote it")


def run_on_server(place: ServerPlace) -> None:
    """Bring a crib on a server to the newest revision, in one transaction of the server."""
    command.upgrade(alembic_config(place), "head")


def revision_file(revision: str) -> ModuleType:
    """The file of one revision, for what it alone knows of older rows."""
    found = ScriptDirectory.from_config(alembic_config(Path())).get_revision(revision)
    return found.module


def upgrade_with_backup(path: Path) -> Path:
    """Copy the crib beside itself, then bring it to the newest revision. Returns the copy's path.

    The upgrade is one transaction: a revision that fails leaves the crib as it was. Somebody else
    may upgrade the same crib meanwhile; then nothing is left to do, and their copy stays.

    Raises:
        CribDamaged: when the crib is of a newer program than this one, or a revision fails.
        DiskFault: when the disk or the rights do not allow it.
    """
    revision = revision_of(path)
    require_known(path, revision)
    copy = _copy_of(path, revision)
    try:
        _run_revisions(path)
    except CribError:
        raise
    except Exception as error:
        message = f"the upgrade of {path} from revision {revision} failed: {error}"
        way_out = f"nothing was changed; a copy stands at {copy}"
        raise CribDamaged(message, way_out=way_out) from error
    return copy


def revision_of(path: Path) -> str:
    """The revision of a crib file's tables."""
    with bare_file(path) as connection:
        found = connection.execute("SELECT version_num FROM alembic_version").fetchone()
    return str(found[0])


def _copy_of(path: Path, revision: str) -> Path:
    """A copy of the crib at this revision; none is made when it has left it meanwhile."""
    copy = path.with_name(f"{path.name}.before-{revision}-upgrade")
    taken = path.with_name(f"{copy.name}.{os.getpid()}")
    try:
        copy_whole(path, taken)
        if revision_of(taken) == revision:
            put_in_place(taken, copy)
    finally:
        taken.unlink(missing_ok=True)
    return copy
