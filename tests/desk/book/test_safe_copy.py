"""Backing up and restoring, as asked at the window."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from crib.acts import yes_to
from crib.desk.book.pairing import device_showing, make_program, revoke
from crib.desk.book.restored_devices import RestoredDevices, live_devices
from crib.desk.book.safe_copy import back_up, restore
from crib.desk.shelf.move import Move, move_pieces
from crib.errors import AskBack, CribDamaged, NoCrib, Refused
from crib.stock.engine.opening import open_crib
from crib.stock.engine.place import Place
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
from tests.desk.rows import every_row, nothing_changes
from tests.shop import small_shop

NOON = datetime(2026, 3, 31, 12, tzinfo=UTC)


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    session = small_shop(tmp_path / "shop.crib")
    yield session
    session.close()


def test_a_copy_lies_beside_the_crib_with_the_time_in_its_name(shop: Session) -> None:
    first, second = back_up(shop.path, now=NOON), back_up(shop.path, now=NOON)
    stamp = NOON.astimezone().strftime("%Y%m%d-%H%M%S")
    assert first.path.name == f"shop.crib.backup-{stamp}"
    assert second.path.name == f"shop.crib.backup-{stamp}-2"
    assert first.pieces == 5


def test_a_file_that_is_there_is_never_overwritten(shop: Session, tmp_path: Path) -> None:
    letter = tmp_path / "letter.txt"
    letter.write_text("dear sir")
    with pytest.raises(Refused, match="is there already"):
        back_up(shop.path, letter)
    assert letter.read_text() == "dear sir"
    with pytest.raises(Refused, match="is there already"):
        back_up(shop.path, shop.path)


def test_no_crib_no_copy(tmp_path: Path) -> None:
    with pytest.raises(NoCrib, match="there is no crib at"):
        back_up(tmp_path / "none.crib")


def test_restoring_asks_first_and_then_sets_the_present_crib_aside(shop: Session) -> None:
    copy = back_up(shop.path, now=NOON).path
    before = every_row(shop)
    move_pieces(shop, Move(("P-0137",), "A4"))
    with nothing_changes(shop), pytest.raises(AskBack, match=r"5 pieces, 6 entries"):
        restore(shop.path, copy, now=NOON)
    restored = restore(shop.path, copy, confirmed=yes_to("replace-crib"), now=NOON)
    assert every_row(shop) == before
    assert (restored.pieces, restored.entries) == (5, 5)
    assert restored.set_aside is not None
    assert restored.set_aside.name.startswith("shop.crib.before-restore-2026")
    aside = open_crib(restored.set_aside)
    assert piece_by_tag(aside, "P-0137").place == "A4"
    aside.close()


def test_a_damaged_copy_changes_nothing(shop: Session, tmp_path: Path) -> None:
    copy = tmp_path / "copy.crib"
    copy.write_text("not a crib")
    with nothing_changes(shop), pytest.raises(CribDamaged, match=r"copy\.crib cannot be read"):
        restore(shop.path, copy, confirmed=yes_to("replace-crib"))
    assert sorted(one.name for one in tmp_path.glob("*restore*")) == []


def test_restoring_where_no_crib_is_makes_one(shop: Session, tmp_path: Path) -> None:
    copy = back_up(shop.path).path
    with pytest.raises(AskBack, match="where nothing is now"):
        restore(tmp_path / "new.crib", copy)
    restored = restore(tmp_path / "new.crib", copy, confirmed=yes_to("replace-crib"))
    assert restored.set_aside is None
    assert open_and_count(restored.path) == 5


def test_a_damaged_crib_is_told_and_replaced(shop: Session) -> None:
    copy = back_up(shop.path).path
    shop.close()
    shop.path.write_bytes(b"\xff" * 4096)
    with pytest.raises(AskBack, match="which is damaged"):
        restore(shop.path, copy)
    restore(shop.path, copy, confirmed=yes_to("replace-crib"))
    assert open_and_count(shop.path) == 5


def let_in(session: Session, name: str) -> str:
    return make_program(session, name, now=NOON).credential


def test_a_copy_lets_nobody_in_who_was_shut_out_since(shop: Session) -> None:
    kept, lost = let_in(shop, "tablet 1"), let_in(shop, "tablet 2")
    copy = back_up(shop.path, now=NOON).path
    revoke(shop, "tablet 2", now=NOON)
    later = let_in(shop, "tablet 3")
    restored = restore(shop.path, copy, confirmed=yes_to("replace-crib"), now=NOON)
    assert restored.devices == RestoredDevices(("tablet 2",), ("tablet 3",))
    shown = [device_showing(shop, one, "program") for one in (kept, lost, later)]
    assert [one.name if one else None for one in shown] == ["tablet 1", None, None]
    # The copy itself is as it was made.
    assert [one.name for one in live_devices(copy) or ()] == ["tablet 1", "tablet 2"]


@pytest.mark.parametrize("what", ["gone", "torn", "another"])
def test_a_copy_lets_nobody_in_where_nobody_can_say_who_was(shop: Session, what: str) -> None:
    shown = let_in(shop, "tablet 1")
    copy = back_up(shop.path, now=NOON).path
    path = shop.path
    if what == "another":
        # A new crib whose first device has the number of the copy's.
        path = path.with_name("another.crib")
        other = small_shop(path)
        let_in(other, "tablet 1")
        other.close()
    else:
        shop.close()
        path.unlink() if what == "gone" else path.write_bytes(b"\xff" * 4096)
    restored = restore(path, copy, confirmed=yes_to("replace-crib"), now=NOON)
    assert restored.devices.shut_out == ("tablet 1",)
    again = open_crib(path)
    assert device_showing(again, shown, "program") is None
    again.close()


def open_and_count(path: Place) -> int:
    session = open_crib(path)
    count: int = session.value("SELECT count(*) FROM piece")
    session.close()
    return count
