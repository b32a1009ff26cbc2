"""Make a crib's tables, and bring an older crib up to date without losing a row.

Alembic is imported only here, and only when there is something to migrate.
"""

from __future__ import annotations

import sqlite3
from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.script import ScriptDirectory

from crib.errors import CribDamaged, Refused
from crib.stock.backup import copy_whole
from crib.stock.folders import schema_folder
from crib.stock.session import APPLICATION_ID


def alembic_config(path: Path) -> Config:
    """The migration settings for one crib file."""
    config = Config()
    config.set_main_option("script_location", str(schema_folder()).replace("%", "%%"))
    config.attributes["crib_path"] = path
    return config


def create_tables(path: Path) -> None:
    """Make an empty crib file with every table.

    Raises:
        Refused: when the file is there already.
    """
    if path.exists():
        message = f"{path} is there already"
        raise Refused(message, way_out="choose another file with --crib; nothing was changed")
    path.parent.mkdir(parents=True, exist_ok=True)
    connection = sqlite3.connect(path)
    try:
        connection.execute("PRAGMA journal_mode = WAL")
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        connection.commit()
    finally:
        connection.close()
    command.upgrade(alembic_config(path), "head")


def known_revisions(path: Path) -> tuple[str, ...]:
    """Every revision in schema/versions, oldest first."""
    script = ScriptDirectory.from_config(alembic_config(path))
    return tuple(reversed([revision.revision for revision in script.walk_revisions()]))


def upgrade_with_backup(path: Path) -> Path:
    """Copy the crib beside itself, then bring it to the newest revision. Returns the copy's path.

    Raises:
        CribDamaged: when the crib is of a newer program than this one.
    """
    connection = sqlite3.connect(path)
    try:
        revision = connection.execute("SELECT version_num FROM alembic_version").fetchone()[0]
    finally:
        connection.close()
    if revision not in known_revisions(path):
        message = f"{path} has tables of revision {revision}, which this program does not know"
        raise CribDamaged(message, way_out="use the newer program that wrote it")
    copy = path.with_name(f"{path.name}.before-{revision}-upgrade")
    copy_whole(path, copy)
    command.upgrade(alembic_config(path), "head")
    return copy
