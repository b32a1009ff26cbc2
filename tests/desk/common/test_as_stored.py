"""What an act answers is what the crib holds after it, read again, with what must be known."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from crib.desk.kit.hand_out import HandOut, hand_out, lend
from crib.desk.kit.take_back import TakeBack, take_back, take_loans_back
from crib.desk.shelf.count import settle_count
from crib.stock.book import ledger
from crib.stock.book.ledger import NewEntry
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
from tests.desk.kitting import SECOND, kit_shop

TAG = "P-0137"
AHEAD = (datetime.now(UTC).astimezone().date() + timedelta(days=2)).isoformat()
NOTE = f"{TAG} has entries of {AHEAD}"


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    """Two jobs that want P-0137, on which a clock that was ahead wrote an entry."""
    session = kit_shop(tmp_path / "shop.crib")
    stamp = replace(ledger.new_stamp(1), shift_on=AHEAD)
    entry = NewEntry("look", piece_by_tag(session, TAG).id, note="a clock that was ahead")
    ledger.write(session, stamp, [entry])
    yield session
    session.close()


def lent(shop: Session) -> Any:
    lend(shop, [TAG], HandOut("bench 2"))
    return take_loans_back(shop, [TAG], TakeBack())


def kit_back(shop: Session) -> Any:
    hand_out(shop, SECOND, HandOut("bench 2"))
    return take_back(shop, SECOND, TakeBack())


ACTS: dict[str, Callable[[Session], Any]] = {
    "count": lambda shop: settle_count(shop, "A4", [TAG], "yearly"),
    "lend": lambda shop: lend(shop, [TAG], HandOut("bench 2")),
    "loan back": lent,
    "kit out": lambda shop: hand_out(shop, SECOND, HandOut("bench 2")),
    "kit back": kit_back,
}


@pytest.mark.parametrize("name", ACTS)
def test_an_act_on_a_piece_with_later_entries_says_so(shop: Session, name: str) -> None:
    told = [str(note) for note in ACTS[name](shop).notes]
    assert [one for one in told if one.startswith(NOTE)] != []


def test_a_count_tells_what_became_of_each_piece(shop: Session) -> None:
    count = settle_count(shop, "A1", ["P-0140"], "yearly")
    stored = {one.tag: (one.condition, one.place) for one in count.stored}
    assert stored == {"P-0140": ("sound", "A1"), TAG: ("lost", "A1")}
    for tag, (condition, place) in stored.items():
        card = piece_by_tag(shop, tag)
        assert (card.condition, card.place) == (condition, place)


def test_what_is_back_is_told_where_it_is_stored(shop: Session) -> None:
    back = kit_back(shop)
    for piece in back.pieces:
        assert piece.place == piece_by_tag(shop, piece.tag).place
