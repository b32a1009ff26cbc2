"""Words that no rule looked under become those that were meant, when an older crib is upgraded."""

from __future__ import annotations

from pathlib import Path

import pytest
from alembic import command

from crib.desk.common.kept_for import families, family_of
from crib.features.common.operations import OPERATION_WORK, operation_called
from crib.stock.engine.migrate import alembic_config
from crib.trade.shop.shop_rules import Rules
from tests.schema.cribs import filled, raw


def after(tmp_path: Path, table: str, column: str, typed: str) -> str:
    """What a word of a crib at 0003 is once the crib is at 0004."""
    path = filled(tmp_path / "old.crib", "0003")
    with raw(path) as connection:
        connection.execute(f"UPDATE {table} SET {column} = ?", (typed,))
    command.upgrade(alembic_config(path), "0004")
    with raw(path) as connection:
        return str(connection.execute(f"SELECT {column} FROM {table}").fetchone()[0])


@pytest.mark.parametrize(
    "typed", ["flat", "Flats", "round bar", "Cut Flat", " NOTCH ", "bend", "cut angle"]
)
def test_a_list_is_for_what_taking_it_in_would_say(tmp_path: Path, typed: str) -> None:
    found = after(tmp_path, "envelope_point", "operation", typed)
    assert found == operation_called(typed)
    assert found in OPERATION_WORK


@pytest.mark.parametrize("typed", ["304", "Stainless", "aluminum", "Wear plate", "A36", "hsla"])
def test_a_piece_is_kept_for_what_taking_it_in_would_say(tmp_path: Path, typed: str) -> None:
    found = after(tmp_path, "piece", "dedicated_to", typed)
    assert found == family_of(typed, Rules({}))
    assert found in families()


@pytest.mark.parametrize(
    ("table", "column"), [("envelope_point", "operation"), ("piece", "dedicated_to")]
)
def test_what_cannot_be_told_stays(tmp_path: Path, table: str, column: str) -> None:
    assert after(tmp_path, table, column, "my own word") == "my own word"
