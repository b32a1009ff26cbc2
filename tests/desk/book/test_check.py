"""Is everything sound: each fault is found by its own check, and wrong totals are mended."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from crib.acts import act, acts_in
from crib.desk.book.check import CheckReport, check_crib, mend_crib
from crib.desk.book.safe_copy import back_up
from crib.desk.common.acting import stamp_for
from crib.desk.edges.broke import BreakRequest, report_break
from crib.desk.shelf.move import Move, move_pieces
from crib.errors import CribDamaged
from crib.stock.book import ledger
from crib.stock.book.ledger import NewEntry, rebuild
from crib.stock.engine.backup import verify
from crib.stock.engine.opening import open_crib
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
from tests.desk.rows import every_row, nothing_changes
from tests.shop import add_kind, add_piece, small_shop

ONE = "Ironworker 1 / punch"


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    session = small_shop(tmp_path / "shop.crib")
    yield session
    session.close()


def faults(report: CheckReport) -> dict[str, tuple[str, ...]]:
    return {one.name: one.faults for one in report.checks if not one.ok}


def force(shop: Session, sql: str) -> None:
    """Write past every guard, as a stray hand with another program would."""
    shop.connection.execute("PRAGMA foreign_keys = OFF")
    shop.connection.execute("PRAGMA ignore_check_constraints = ON")
    shop.connection.execute(sql)


def test_a_sound_crib_passes_every_check_and_is_not_touched(shop: Session) -> None:
    with nothing_changes(shop):
        report = check_crib(shop)
    assert report.sound
    assert len(report.checks) == 13
    assert all(one.ok and one.faults == () for one in report.checks)


@pytest.mark.parametrize(
    ("sql", "check", "said"),
    [
        ("DELETE FROM kind WHERE id = 2", "no row has lost its owner", "piece row 2 points at"),
        (
            "UPDATE alembic_version SET version_num = '0000'",
            "the tables are this program's",
            "revision 0000",
        ),
        (
            "ALTER TABLE person DROP COLUMN role",
            "the tables are this program's",
            "person has no column role",
        ),
        (
            "ALTER TABLE seat ADD COLUMN colour TEXT",
            "the tables are this program's",
            "seat has an unknown column colour",
        ),
        ("DROP TABLE want", "the tables are this program's", "want has no column ask"),
        (
            "UPDATE piece SET wear_milli = 7000 WHERE id = 1",
            "the ledger bears out every total",
            "P-0137 wear_milli: running 7000, by the ledger 0",
        ),
        (
            "UPDATE piece SET wear_milli = -1 WHERE id = 1",
            "no wear or count is below zero",
            "P-0137 has a total below zero",
        ),
        (
            "INSERT INTO entry (act, action, person_id, made_at, shift_on, quantity,"
            " weighted_milli, strokes_edge, estimate, material, job, ground_um, note, piece_id,"
            " reverses_id)"
            " SELECT 'x', 'reverse', 1, '', '', 0, 0, 0, 0, '', '', 0, '', 2, 1",
            "each counter-entry fits its entry",
            "entry 6 takes back 1, which it cannot",
        ),
        (
            "INSERT INTO order_line (text, supplier, quantity, received, ordered_on, needed_by,"
            " open, job, specification) VALUES ('1 punch', '', 1, 0, '', '', 1, '', '{\"role\"')",
            "what is ordered can be read in figures",
            "a line without an order: the specification of '1 punch' cannot be read",
        ),
        (
            "UPDATE piece SET place_id = (SELECT id FROM place WHERE sort = 'station' LIMIT 1)",
            "stations: one punch, one die, right seat, die bigger, stack and keys hold",
            "takes one punch, not 2",
        ),
    ],
)
def test_each_fault_is_found_and_told(shop: Session, sql: str, check: str, said: str) -> None:
    force(shop, sql)
    report = check_crib(shop)
    assert not report.sound
    assert any(said in fault for fault in faults(report)[check])


def test_an_unsafe_pair_and_a_wrong_seat_are_found(shop: Session) -> None:
    station = shop.value("SELECT id FROM place WHERE name = ?", (ONE,))
    for tag in ("P-0140", "D-0202", "D-0301"):
        entry = NewEntry("move", piece_by_tag(shop, tag).id, place_id=station)
        ledger.write(shop, stamp_for(shop, ""), [entry])
    (told,) = faults(check_crib(shop)).values()
    assert len(told) == 4
    assert any("die D-0202 (7/8 in) is not bigger than punch P-0140" in one for one in told)
    assert any("D-0301 is seat B" in one for one in told)


def test_a_broken_piece_in_a_station_is_a_remark_not_a_fault(shop: Session) -> None:
    move_pieces(shop, Move(("P-0137",), ONE))
    ledger.write(shop, stamp_for(shop, ""), [NewEntry("break", 1, condition="broken")])
    report = check_crib(shop)
    assert report.sound
    assert report.remarks == (f"P-0137 is broken and stands at {ONE}: take it out",)


def test_an_adapter_whose_height_nobody_said_is_a_remark(shop: Session) -> None:
    joins: dict[str, Any] = {"width": "1", "seat_id": 1, "presents_seat_id": 2}
    for number, adds_mm in enumerate((None, 0.0, None)):
        kind = add_kind(
            shop, name=f"r{number}", role="die_adapter", **joins, added_height_mm=adds_mm
        )
        add_piece(shop, f"X-{number}", kind)
    (remark,) = check_crib(shop).remarks
    assert str(remark).startswith("no pair in X-0, X-2 is taken till the height it adds")
    assert acts_in(remark) == (act("import.change", file="kinds.csv"),)


def test_a_torn_or_changed_copy_beside_the_crib_is_found(shop: Session) -> None:
    copy, other = (back_up(shop.path).path for _copy in range(2))
    assert check_crib(shop).sound
    with closing(sqlite3.connect(copy)) as connection:
        connection.execute("UPDATE entry SET note = 'nothing happened' WHERE id = 2")
        connection.commit()
    content = other.read_bytes()
    other.write_bytes(content[: len(content) // 2])
    shop.path.with_name(f"{shop.path.name}.backup-empty").touch()
    report = check_crib(shop)
    assert not report.sound
    told = faults(report)["each safe copy beside it is whole"]
    assert len(told) == 3
    assert any(f"{copy} holds entries that were changed" in one for one in told)
    assert sum(str(other) in one for one in told) == 1


def test_many_faults_are_counted_and_the_first_are_told(shop: Session) -> None:
    with shop.writing():
        shop.run_many(
            "INSERT INTO piece (kind_id, tag, condition, edge, wear_milli, strokes_edge,"
            " strokes_total, grinds, ground_um, acknowledged, deferred, changed_on, latest_on,"
            " dedicated_to, bought_on, note)"
            " VALUES (1, ?, 'sound', 1, 0, 0, 0, 0, 0, '', 0, '', '', '', '', '')",
            ((f"X-{n}",) for n in range(60)),
        )
    check = next(one for one in check_crib(shop).checks if not one.ok)
    assert (check.count, len(check.faults)) == (60, 50)


def test_a_torn_file_is_a_fault_and_not_an_end(shop: Session) -> None:
    shop.connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    root = shop.value("SELECT rootpage FROM sqlite_master WHERE name = 'entry'")
    shop.close()
    content = bytearray(shop.path.read_bytes())
    size = int.from_bytes(content[16:18], "big")
    content[(root - 1) * size : root * size] = b"\xff" * size
    shop.path.write_bytes(bytes(content))
    torn = open_crib(shop.path)
    report = check_crib(torn)
    torn.close()
    assert not report.sound
    assert not report.checks[0].ok
    assert "the ledger bears out every total" in faults(report)


def test_wrong_totals_are_mended_from_the_ledger_after_a_safe_copy(shop: Session) -> None:
    before = every_row(shop)["piece"]
    with shop.writing():
        shop.run("UPDATE piece SET wear_milli = 7000, condition = 'broken' WHERE id IN (1, 3)")
    report = mend_crib(shop)
    assert (report.sound, report.mended) == (True, 2)
    assert every_row(shop)["piece"] == before
    assert rebuild(shop) == []
    assert verify(Path(report.copy)).pieces == 5


def test_a_sound_crib_is_not_copied_for_mending(shop: Session) -> None:
    with nothing_changes(shop):
        report = mend_crib(shop)
    assert (report.sound, report.mended, report.copy) == (True, 0, "")
    assert [one.name for one in shop.path.parent.glob("*backup*")] == []


def test_a_crib_that_cannot_be_copied_is_not_mended(shop: Session) -> None:
    force(shop, "UPDATE piece SET wear_milli = 7000 WHERE id = 1")
    force(shop, "DELETE FROM kind WHERE id = 2")
    before = every_row(shop)
    with pytest.raises(CribDamaged, match="owner is gone"):
        mend_crib(shop)
    assert every_row(shop) == before


@pytest.mark.parametrize(
    ("ahead", "day_ahead", "told"),
    [
        (timedelta(minutes=4), 0, False),
        (timedelta(minutes=6), 0, True),
        (timedelta(), 2, True),
        (timedelta(hours=-1), 0, False),
    ],
)
def test_an_entry_that_a_clock_dated_ahead_is_told(
    shop: Session, ahead: timedelta, day_ahead: int, told: bool
) -> None:
    now = datetime.now(UTC).replace(hour=11)
    written = (now + ahead).isoformat(timespec="milliseconds").replace("+00:00", "Z")
    day = (now + timedelta(days=day_ahead)).date().isoformat()
    with shop.writing():
        before = (now - timedelta(hours=2)).isoformat(timespec="milliseconds")
        shop.run("UPDATE entry SET made_at = ?, shift_on = '2026-01-01'", (before,))
        shop.run("UPDATE piece SET changed_on = '2026-01-01', latest_on = '2026-01-01'")
        shop.run("UPDATE entry SET made_at = ?, shift_on = ? WHERE id = 1", (written, day))
        ledger.refold(shop, 1)
    said = faults(check_crib(shop, now=now)).get("no entry is of a day to come", ())
    assert [text[:19] for text in said] == (["entry 1 of P-0137 i"] if told else [])


def test_an_older_crib_that_gave_a_snapped_piece_back_is_mended(shop: Session) -> None:
    report_break(shop, BreakRequest("P-0137", ["snapped"]))
    force(shop, "UPDATE piece SET condition = 'sound' WHERE tag = 'P-0137'")
    (told,) = faults(check_crib(shop))["the ledger bears out every total"]
    assert told.startswith("P-0137 condition: running sound, by the ledger broken: do not use it")
    assert mend_crib(shop).sound
    assert piece_by_tag(shop, "P-0137").condition == "broken"
