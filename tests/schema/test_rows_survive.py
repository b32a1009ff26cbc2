"""Rows put in at the first revision, parents and children, are all there at every later one."""

from __future__ import annotations

from pathlib import Path

import pytest
from alembic import command

from crib.stock.engine.migrate import alembic_config, known_revisions
from crib.stock.engine.opening import open_crib
from crib.stock.engine.revision import HEAD_REVISION
from tests.schema.cribs import filled, holdings, raw, revision_of, table_names
from tests.schema.rows import ROWS

REVISIONS = known_revisions(Path("none"))


def counts(path: Path) -> dict[str, int]:
    """How many rows each table holds."""
    return {name: len(rows) for name, rows in holdings(path).items()}


@pytest.mark.parametrize("revision", REVISIONS)
def test_rows_of_a_revision_reach_the_head(revision: str, tmp_path: Path) -> None:
    path = filled(tmp_path / "old.crib", revision)
    before = counts(path)
    command.upgrade(alembic_config(path), "head")
    assert revision_of(path) == HEAD_REVISION
    after = counts(path)
    assert {name: after[name] for name in before} == before


@pytest.mark.parametrize("revision", REVISIONS)
def test_every_value_of_the_rows_reaches_the_head(revision: str, tmp_path: Path) -> None:
    path = filled(tmp_path / "old.crib", revision)
    before = holdings(path)
    command.upgrade(alembic_config(path), "head")
    after = holdings(path)
    for name, rows in before.items():
        shared = [column for column in rows[0] if column in after[name][0]]
        kept = [[row[column] for column in shared] for row in after[name]]
        assert kept == [[row[column] for column in shared] for row in rows], name


@pytest.mark.parametrize("revision", REVISIONS)
def test_one_down_and_up_again_keeps_the_rows_that_both_know(revision: str, tmp_path: Path) -> None:
    path = filled(tmp_path / "old.crib", revision)
    before = counts(path)
    command.downgrade(alembic_config(path), "-1")
    between = set(table_names(path))
    command.upgrade(alembic_config(path), "+1")
    after = counts(path)
    assert {name: after[name] for name in between} == {name: before[name] for name in between}


@pytest.mark.parametrize("revision", REVISIONS)
def test_no_row_is_left_without_its_owner(revision: str, tmp_path: Path) -> None:
    path = filled(tmp_path / "old.crib", revision)
    command.upgrade(alembic_config(path), "head")
    with raw(path) as connection:
        assert connection.execute("PRAGMA foreign_key_check").fetchall() == []


def test_every_table_of_the_head_has_rows_here(tmp_path: Path) -> None:
    path = filled(tmp_path / "new.crib", HEAD_REVISION)
    assert {name for name, count in counts(path).items() if count == 0} == set()
    assert set(ROWS) <= set(REVISIONS)


def test_a_filled_crib_opens_and_reads(tmp_path: Path) -> None:
    session = open_crib(filled(tmp_path / "new.crib", HEAD_REVISION))
    assert session.value("SELECT count(*) FROM piece") == 2
    session.close()
