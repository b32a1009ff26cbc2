"""Safe copies: whole, verified, taken while others write; and putting one back."""

from __future__ import annotations

import sqlite3
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from crib.errors import CribBusy, CribDamaged, NoCrib, Refused
from crib.stock.book.ledger import NewEntry, new_stamp, write
from crib.stock.engine import restoring
from crib.stock.engine.backup import copy_whole, verify
from crib.stock.engine.disk import COMPANIONS
from crib.stock.engine.opening import open_crib
from crib.stock.engine.restoring import fit_to_restore, put_back, set_aside
from crib.stock.engine.session import Session
from tests.desk.rows import every_row
from tests.shop import small_shop


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    session = small_shop(tmp_path / "shop.crib")
    yield session
    session.close()


def log(shop: Session, count: int = 10) -> None:
    entry = NewEntry("strokes", 1, quantity=count, weighted_milli=1000 * count, severity=1.0)
    write(shop, new_stamp(1), [entry])


def tear(path: Path) -> None:
    """Smash the first page, as a dying disk would."""
    for name in COMPANIONS:
        path.with_name(path.name + name).unlink(missing_ok=True)
    content = bytearray(path.read_bytes())
    content[:2000] = b"\xff" * 2000
    path.write_bytes(bytes(content))


def test_a_copy_holds_every_row_and_says_what_it_holds(shop: Session, tmp_path: Path) -> None:
    log(shop)
    report = copy_whole(shop.path, tmp_path / "deep" / "copy.crib")
    assert (report.pieces, report.entries, report.strokes) == (5, 6, 10)
    copy = open_crib(report.path)
    assert every_row(copy) == every_row(shop)
    copy.close()
    assert sorted(one.name for one in (tmp_path / "deep").glob("*.partial")) == []


def test_a_copy_is_one_moment_while_another_goes_on_writing(shop: Session, tmp_path: Path) -> None:
    stop = threading.Event()

    def keep_writing() -> None:
        other = open_crib(shop.path)
        while not stop.is_set():
            log(other, 1)
        other.close()

    thread = threading.Thread(target=keep_writing)
    thread.start()
    try:
        report = copy_whole(shop.path, tmp_path / "copy.crib")
    finally:
        stop.set()
        thread.join()
    assert report.entries == 5 + report.strokes


def test_nothing_to_copy_is_refused(tmp_path: Path) -> None:
    with pytest.raises(NoCrib, match="there is no crib at"):
        copy_whole(tmp_path / "none.crib", tmp_path / "copy.crib")


@pytest.mark.parametrize("target", ["copy.crib"])
def test_a_torn_crib_leaves_no_copy_behind(shop: Session, tmp_path: Path, target: str) -> None:
    shop.close()
    tear(shop.path)
    with pytest.raises(CribDamaged, match=r"shop.crib cannot be"):
        copy_whole(shop.path, tmp_path / target)
    assert [one.name for one in tmp_path.iterdir()] == ["shop.crib"]


def test_another_database_is_not_copied_as_a_crib(tmp_path: Path) -> None:
    path = tmp_path / "other.db"
    connection = sqlite3.connect(path)
    connection.execute("CREATE TABLE t (x)")
    connection.commit()
    connection.close()
    with pytest.raises(CribDamaged, match=r"other\.db is not a crib"):
        copy_whole(path, tmp_path / "copy.crib")
    assert not (tmp_path / "copy.crib").exists()


def test_a_crib_with_orphans_fails_its_check(shop: Session) -> None:
    shop.connection.execute("PRAGMA foreign_keys = OFF")
    shop.connection.execute("DELETE FROM kind WHERE id = 1")
    with pytest.raises(CribDamaged, match="holds rows whose owner is gone"):
        verify(shop.path)


def test_a_file_that_is_not_there_cannot_be_verified(tmp_path: Path) -> None:
    with pytest.raises(CribDamaged, match="cannot be read"):
        verify(tmp_path / "none.crib")


def test_a_copy_put_back_is_seen_by_a_session_that_stayed_open(
    shop: Session, tmp_path: Path
) -> None:
    copy = tmp_path / "copy.crib"
    copy_whole(shop.path, copy)
    before = every_row(shop)
    log(shop, 500)
    other = open_crib(shop.path)
    assert other.value("SELECT strokes_total FROM piece WHERE id = 1") == 500
    put_back(copy, shop.path)
    assert every_row(other) == before
    log(other, 3)
    assert shop.value("SELECT strokes_total FROM piece WHERE id = 1") == 3
    assert shop.value("PRAGMA journal_mode") == "wal"
    other.close()


def test_a_copy_put_where_nothing_is_becomes_a_crib(shop: Session, tmp_path: Path) -> None:
    copy, fresh = tmp_path / "copy.crib", tmp_path / "fresh.crib"
    copy_whole(shop.path, copy)
    put_back(copy, fresh)
    session = open_crib(fresh)
    assert session.value("PRAGMA journal_mode") == "wal"
    assert every_row(session) == every_row(shop)
    session.close()


def test_a_torn_crib_is_replaced_and_its_bare_files_are_kept(shop: Session, tmp_path: Path) -> None:
    copy, aside = tmp_path / "copy.crib", tmp_path / "aside.crib"
    copy_whole(shop.path, copy)
    rows = every_row(shop)
    shop.close()
    tear(shop.path)
    torn = shop.path.read_bytes()
    shop.path.with_name("shop.crib-wal").write_bytes(b"an old log")
    kept = tmp_path / "aside.crib.torn"
    assert set_aside(shop.path, aside) == kept
    put_back(copy, shop.path)
    assert kept.read_bytes() == torn
    assert kept.with_name("aside.crib.torn-wal").read_bytes() == b"an old log"
    back = open_crib(shop.path)
    assert every_row(back) == rows
    back.close()
    assert list(tmp_path.glob("*.incoming")) == []


def test_setting_nothing_aside_makes_nothing(tmp_path: Path) -> None:
    assert set_aside(tmp_path / "none.crib", tmp_path / "aside.crib") is None
    assert list(tmp_path.iterdir()) == []


def test_a_crib_that_somebody_holds_is_left_as_it_is(
    shop: Session, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(restoring, "WAIT_SECONDS", 0.1)
    copy = tmp_path / "copy.crib"
    copy_whole(shop.path, copy)
    with shop.writing():
        shop.insert("person", {"name": "writing", "role": ""})
        with pytest.raises(CribBusy, match=r"held the crib|holds the crib"):
            put_back(copy, shop.path)
    assert shop.value("SELECT name FROM person ORDER BY id DESC") == "writing"


def test_only_a_whole_known_copy_may_take_a_cribs_place(shop: Session, tmp_path: Path) -> None:
    copy = tmp_path / "copy.crib"
    copy_whole(shop.path, copy)
    assert fit_to_restore(shop.path, copy).pieces == 5
    with pytest.raises(NoCrib, match="there is no file"):
        fit_to_restore(shop.path, tmp_path / "none.crib")
    with pytest.raises(Refused, match="is the crib itself"):
        fit_to_restore(shop.path, shop.path)
    connection = sqlite3.connect(copy)
    connection.execute("UPDATE alembic_version SET version_num = '9999'")
    connection.commit()
    connection.close()
    with pytest.raises(CribDamaged, match="revision 9999, which this program does not know"):
        fit_to_restore(shop.path, copy)


def test_another_programs_database_is_never_replaced(shop: Session, tmp_path: Path) -> None:
    other = tmp_path / "other.db"
    connection = sqlite3.connect(other)
    connection.execute("CREATE TABLE t (x)")
    connection.commit()
    connection.close()
    with pytest.raises(CribDamaged, match="is another program's database"):
        fit_to_restore(other, shop.path)
