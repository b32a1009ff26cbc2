"""The entries of an older crib are sealed when it is brought up, as the program itself would."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path

import pytest
from alembic import command

from crib.stock.book.ledger import NewEntry, new_stamp, write
from crib.stock.book.seals import broken_seals
from crib.stock.engine.migrate import alembic_config
from crib.stock.engine.opening import open_crib
from tests.schema.cribs import at_revision, filled


@pytest.mark.parametrize("revision", ["0001", "0002", "0003"])
def test_the_entries_of_an_older_crib_are_sealed(revision: str, tmp_path: Path) -> None:
    path = filled(tmp_path / "old.crib", revision)
    command.upgrade(alembic_config(path), "head")
    with closing(open_crib(path)) as session:
        assert list(broken_seals(session)) == []
        assert session.value("SELECT count(DISTINCT seal) FROM entry WHERE length(seal) = 32") >= 3
        write(session, new_stamp(1), [NewEntry("move", 1, place_id=2)])
        assert list(broken_seals(session)) == []


def test_a_ledger_without_entries_ends_before_the_first(tmp_path: Path) -> None:
    path = at_revision(tmp_path / "old.crib", "0003")
    command.upgrade(alembic_config(path), "head")
    with closing(open_crib(path)) as session:
        assert list(broken_seals(session)) == []
        assert tuple(session.rows("SELECT * FROM ledger_end")[0]) == (1, 0, "")
