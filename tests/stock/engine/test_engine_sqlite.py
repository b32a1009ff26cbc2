"""The SQLite engine's duties: which rule was broken, who holds the file, one moment's view."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from crib.errors import CribBusy
from crib.stock.engine.engine import BrokenRule, RuleBroken, StoreError
from crib.stock.engine.engine_sqlite import SqliteEngine, settled_connection
from crib.stock.engine.opening import open_crib
from crib.stock.engine.session import Session
from crib.stock.tables.own_keys import OWN_KEYS
from tests.shop import new_crib, small_shop


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    session = small_shop(tmp_path / "shop.crib")
    yield session
    session.close()


@pytest.mark.parametrize(
    ("sql", "rule", "text"),
    [
        (
            "UPDATE piece SET condition = 'blue'",
            BrokenRule("CHECK", "", "ck_piece_condition"),
            "CHECK constraint failed: ck_piece_condition",
        ),
        (
            "UPDATE piece SET tag = 'P-0137'",
            BrokenRule("UNIQUE", "piece", "tag"),
            "UNIQUE constraint failed: piece.tag",
        ),
        (
            "INSERT INTO station (machine_id, name, does, derate, note)"
            " SELECT machine_id, name, does, derate, note FROM station",
            BrokenRule("UNIQUE", "station", "machine_id, name"),
            "UNIQUE constraint failed: station.machine_id, station.name",
        ),
        (
            "UPDATE piece SET kind_id = NULL",
            BrokenRule("NOT NULL", "piece", "kind_id"),
            "NOT NULL constraint failed: piece.kind_id",
        ),
        (
            "UPDATE piece SET kind_id = 999",
            BrokenRule("FOREIGN KEY"),
            "FOREIGN KEY constraint failed",
        ),
    ],
)
def test_a_broken_rule_is_told_in_parts_and_in_words(
    shop: Session, sql: str, rule: BrokenRule, text: str
) -> None:
    with pytest.raises(RuleBroken, match=f"^{text}$") as caught, shop.writing():
        shop.run(sql)
    assert caught.value.rule == rule


def test_any_other_fault_of_a_statement_is_no_broken_rule(shop: Session) -> None:
    with pytest.raises(StoreError, match="no such column: colour") as caught:
        shop.value("SELECT colour FROM piece")
    assert not isinstance(caught.value, RuleBroken)
    assert SqliteEngine().broken_rule(sqlite3.IntegrityError("datatype mismatch")) is None
    assert not SqliteEngine().is_locked(ValueError("no"))


def test_a_fault_in_the_middle_of_an_answer_is_told_too(shop: Session) -> None:
    rows = shop.each("SELECT CASE tag WHEN 'P-0140' THEN abs(-9223372036854775808) END FROM piece")
    with pytest.raises(StoreError, match="integer overflow"):
        list(rows)


def test_one_moment_is_seen_while_others_write(shop: Session) -> None:
    with closing(open_crib(shop.path)) as other, shop.one_moment():
        assert shop.value("SELECT count(*) FROM person") == 3
        with other.writing():
            other.insert("person", {"name": "days", "role": ""})
        with shop.one_moment():
            assert shop.value("SELECT count(*) FROM person") == 3
        assert shop.value("SELECT count(*) FROM person") == 3
    assert shop.value("SELECT count(*) FROM person") == 4
    assert not shop.connection.in_transaction


def test_a_moment_within_a_write_belongs_to_it(shop: Session) -> None:
    with shop.writing():
        shop.insert("person", {"name": "days", "role": ""})
        with shop.one_moment():
            assert shop.value("SELECT count(*) FROM person") == 4
        assert shop.connection.in_transaction


def test_a_crib_that_somebody_holds_shut_is_busy(tmp_path: Path) -> None:
    path = tmp_path / "shop.crib"
    new_crib(path).close()
    with closing(settled_connection(path)) as holder:
        holder.execute("PRAGMA locking_mode = EXCLUSIVE")
        holder.execute("BEGIN EXCLUSIVE")
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr("crib.stock.engine.engine_sqlite._BUSY_SECONDS", 0.01)
            with pytest.raises(CribBusy, match="another program holds the crib"):
                open_crib(path)


def test_a_row_of_a_table_with_its_own_key_is_added_without_a_number(shop: Session) -> None:
    with shop.writing():
        shop.add("station_seat", {"station_id": 1, "seat_id": 2})
    assert shop.value("SELECT count(*) FROM station_seat WHERE station_id = 1") == 2


def test_the_tables_without_a_number_are_known_with_their_keys() -> None:
    from sqlmodel import SQLModel

    from crib.stock.tables import all_tables

    assert all_tables.PieceRecord is not None
    keyed = {
        name: tuple(column.name for column in table.primary_key.columns)
        for name, table in SQLModel.metadata.tables.items()
        if "id" not in table.columns
    }
    assert keyed == OWN_KEYS
