"""A new piece's row is written in one place, and is nothing until its opening entry."""

from __future__ import annotations

import ast
from dataclasses import asdict
from pathlib import Path

import pytest

from crib.stock.book import ledger
from crib.stock.book.totals import TOTAL_NAMES, Totals
from crib.stock.engine.session import Session
from crib.stock.tables.row_check import RowRefused
from crib.stock.writers.new_pieces import NewPieceRow, add_piece_row
from tests.house import sources
from tests.shop import small_shop

NEW = NewPieceRow("P-0900", 1, bought_on="2026-03-02", price_cents=4100, note="from the fair")


def shop_in(folder: Path) -> Session:
    return small_shop(folder / "shop.crib")


def test_a_new_row_holds_what_is_known_and_counts_as_retired(tmp_path: Path) -> None:
    shop = shop_in(tmp_path)
    with shop.writing():
        piece_id = add_piece_row(shop, NEW)
    row = shop.row("SELECT * FROM piece WHERE id = ?", (piece_id,))
    assert row is not None
    assert {name: row[name] for name in asdict(NEW)} == asdict(NEW)
    assert {name: row[name] for name in TOTAL_NAMES} == asdict(Totals())
    assert ledger.rebuild(shop) == []
    shop.close()


@pytest.mark.parametrize(
    ("new", "said"),
    [
        (NewPieceRow("P-0137", 1), "piece: there is one of the same tag already"),
        (NewPieceRow("p-1", 1), "piece: it must hold that"),
        (NewPieceRow("P-1", 999), "piece: it names a row of another table that is not there"),
        (NewPieceRow("P-1", 1, price_cents=-1), "piece: price_cents -1 must be >= 0"),
        (NewPieceRow("P-1", 1, note="x" * 401), "piece: note 'x"),
    ],
)
def test_a_row_that_cannot_stand_is_refused(tmp_path: Path, new: NewPieceRow, said: str) -> None:
    shop = shop_in(tmp_path)
    before = shop.value("SELECT count(*) FROM piece")
    with pytest.raises(RowRefused) as caught, shop.writing():
        add_piece_row(shop, new)
    assert caught.value.message.startswith(said)
    assert shop.value("SELECT count(*) FROM piece") == before
    shop.close()


def test_nothing_else_puts_a_piece_in() -> None:
    inserts = [
        path
        for path, source in sources("crib").items()
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Attribute)
        and node.func.attr in ("insert", "add", "insert_many", "upsert")
        and node.args
        and isinstance(node.args[0], ast.Constant)
        and node.args[0].value == "piece"
    ]
    assert inserts == ["crib/stock/writers/new_pieces.py"]
