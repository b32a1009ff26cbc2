"""Taking a piece out of use."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from crib.desk.shelf.move import Move, move_pieces
from crib.desk.shelf.retire import retire_piece
from crib.errors import BadValue, Refused, UnknownName
from crib.stock.book.ledger import rebuild
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
from tests.desk.rows import nothing_changes
from tests.shop import add_piece, small_shop


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    session = small_shop(tmp_path / "shop.crib")
    yield session
    session.close()


def test_a_retired_piece_keeps_its_tag_and_says_what_is_left(shop: Session) -> None:
    add_piece(shop, "P-0138", piece_by_tag(shop, "P-0137").kind_id)
    retired = retire_piece(shop, "p-0137", "cracked  at the head", by="nights")
    assert (retired.tag, retired.was, retired.left_of_kind) == ("P-0137", "sound", 1)
    assert retired.why == "cracked at the head"
    assert piece_by_tag(shop, "P-0137").condition == "retired"
    assert rebuild(shop) == []


def test_no_reason_a_second_time_or_an_unknown_tag_is_refused(shop: Session) -> None:
    with nothing_changes(shop), pytest.raises(BadValue, match="no reason given"):
        retire_piece(shop, "P-0137", "")
    with nothing_changes(shop), pytest.raises(UnknownName, match="no piece with tag"):
        retire_piece(shop, "P-1", "worn")
    retire_piece(shop, "P-0137", "worn")
    with nothing_changes(shop), pytest.raises(Refused, match="P-0137 is retired already"):
        retire_piece(shop, "P-0137", "worn")


def test_a_mounted_piece_is_taken_out_first(shop: Session) -> None:
    move_pieces(shop, Move(("P-0137",), "Ironworker 1 / punch"))
    with nothing_changes(shop), pytest.raises(Refused, match="is mounted at Ironworker 1 / punch"):
        retire_piece(shop, "P-0137", "worn")
