"""The newest revision makes exactly the tables that the program declares."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import create_engine
from sqlalchemy.pool import NullPool
from sqlmodel import SQLModel

from crib.stock.engine.migrate import alembic_config, create_tables, known_revisions
from crib.stock.engine.revision import HEAD_REVISION
from crib.stock.tables import all_tables
from tests.schema.cribs import raw, revision_of, structure, table_names


@pytest.fixture
def head(tmp_path: Path) -> Path:
    """An empty crib as the program makes it."""
    path = tmp_path / "head.crib"
    create_tables(path)
    return path


def declared(path: Path) -> Path:
    """A file made from the declared tables, past the revisions."""
    engine = create_engine(f"sqlite:///{path}", poolclass=NullPool)
    SQLModel.metadata.create_all(engine)
    engine.dispose()
    return path


def test_there_is_one_head_and_the_program_expects_it(head: Path) -> None:
    script = ScriptDirectory.from_config(alembic_config(head))
    assert script.get_heads() == [HEAD_REVISION]
    assert known_revisions(head)[-1] == HEAD_REVISION
    assert revision_of(head) == HEAD_REVISION


def test_revisions_are_numbered_in_their_order(head: Path) -> None:
    known = known_revisions(head)
    assert list(known) == [f"{number:04d}" for number in range(1, len(known) + 1)]


def test_autogenerate_finds_no_difference(head: Path) -> None:
    engine = create_engine(f"sqlite:///{head}", poolclass=NullPool)
    options: dict[str, Any] = {"compare_type": True, "compare_server_default": True}
    with engine.connect() as connection:
        context = MigrationContext.configure(connection, opts=options)
        assert compare_metadata(context, SQLModel.metadata) == []
    engine.dispose()


def test_every_column_limit_and_index_is_made_as_declared(head: Path, tmp_path: Path) -> None:
    # Autogenerate does not look at CHECK constraints, nor at an index's condition.
    assert structure(head) == structure(declared(tmp_path / "declared.db"))


def test_every_check_has_a_name() -> None:
    nameless = [
        f"{table.name}: {one}"
        for table in SQLModel.metadata.tables.values()
        for one in table.constraints
        if type(one).__name__ == "CheckConstraint" and not one.name
    ]
    assert nameless == []


def test_the_declared_tables_are_all_listed_in_one_place() -> None:
    listed = {str(getattr(all_tables, name).__tablename__) for name in all_tables.__all__}
    assert listed == set(SQLModel.metadata.tables)


def test_down_to_nothing_and_up_again_gives_the_same_tables(head: Path) -> None:
    before = structure(head)
    command.downgrade(alembic_config(head), "base")
    assert table_names(head) == []
    assert revision_of(head) is None
    command.upgrade(alembic_config(head), "head")
    assert structure(head) == before


def test_a_new_crib_is_marked_as_one_and_writes_ahead(head: Path) -> None:
    with raw(head) as connection:
        assert connection.execute("PRAGMA application_id").fetchone()[0] == 0x63726962
        assert connection.execute("PRAGMA journal_mode").fetchone()[0] == "wal"
        assert connection.execute("PRAGMA integrity_check").fetchone()[0] == "ok"
