"""Everything out and in again: a full export makes an equal crib, as CSV and as XLSX."""

from __future__ import annotations

import csv
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from crib.desk.book.new_crib import new_crib
from crib.desk.tables.export_tables import give_out, give_template
from crib.desk.tables.import_tables import take_in
from crib.errors import BadRows, Refused
from crib.files.tables.columns import TABLES
from crib.stock.book import ledger
from crib.stock.engine.folders import seed_folder
from crib.stock.engine.opening import open_crib
from crib.stock.engine.session import Session
from crib.stock.queries.table_rows import crib_rows
from crib.stock.tables.all_tables import (
    HoldRecord,
    JobLineRecord,
    JobRecord,
    KindRecord,
    MachineRecord,
    OfferRecord,
    OrderLineRecord,
    PaperLineRecord,
    PaperRecord,
    PersonRecord,
    PieceRecord,
    PlaceRecord,
    PlannedRunRecord,
    PurchaseRecord,
    ReceiptRecord,
    WantRecord,
)
from crib.units import N_PER_US_TON
from tests.shop import add_piece, add_seat, add_station, insert, small_shop


@pytest.fixture(scope="module")
def empty(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("empty") / "empty.crib"
    new_crib(path)
    return path


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    session = small_shop(tmp_path / "shop.crib")
    yield session
    session.close()


def everything(session: Session) -> dict[str, Any]:
    """Every row of every table, and what the tables do not show of the pieces."""
    totals = [tuple(row) for row in session.rows("SELECT * FROM piece ORDER BY id")]
    shown = {table.name: [row for _id, row in crib_rows(session, table)] for table in TABLES}
    return shown | {"totals": [row[4:] for row in totals]}


def copy_through(session: Session, empty: Path, folder: Path, *, xlsx: bool) -> Session:
    """A new crib that a full export was taken into."""
    given = give_out(session, folder / "out", xlsx=xlsx)
    shutil.copy(empty, folder / "copy.crib")
    copy = open_crib(folder / "copy.crib")
    take_in(copy, Path(given.target), by="")
    return copy


def lived_in(session: Session) -> None:
    """Give a crib entries of every sort, one of them taken back."""
    stamp = ledger.new_stamp(1)
    for entry in (
        ledger.NewEntry(
            "strokes",
            1,
            100,
            130_000,
            severity=1.3,
            material="A36",
            thickness_mm=9.5,
            factors='{"material":1.3,"dry":1}',
        ),
        ledger.NewEntry("grind", 1, length_mm=68.5, ground_um=254, found="overdue", note="=done"),
        ledger.NewEntry("strokes", 1, 7, 7_000, job="24-118", estimate=True, subject="closing"),
        ledger.NewEntry("look", 2, acknowledged="plan"),
        ledger.NewEntry("look", 2, acknowledged=""),
        ledger.NewEntry("defer", 3, note="'til Friday"),
        ledger.NewEntry("move", 4, place_id=2),
        ledger.NewEntry("break", 5, condition="broken"),
    ):
        ledger.write(session, stamp, [entry])
    last = session.value("SELECT max(id) FROM entry")
    ledger.reverse(session, ledger.new_stamp(2), [last], "not broken")
    with session.writing():
        values = {"digest": "d" * 64, "name": "x", "lines": 1, "act": "a", "person_id": 1}
        session.insert("sheet", values | {"made_at": "2026-01-01T00:00:00Z"})


def planned_and_ordered(session: Session) -> None:
    """Give a crib a planned job, a piece handed out, a printed sheet, an order that came partly."""
    by: dict[str, Any] = {"person_id": 1, "made_at": "2026-01-01T00:00:00Z"}
    job_id = insert(session, JobRecord, name="24-118", run_order=2, closed_on="2026-02-01")
    insert(
        session, JobLineRecord, job_id=job_id, phrase="hole 13/16 thru 3/8", quantity=8, per_part=4
    )
    work: dict[str, Any] = {"material": "A36", "thickness_mm": 9.525, "with_piece_id": 2}
    run = {"phrase": "hole 13/16 thru 3/8 A36", "quantity": 8, "strokes": 8, "weighted_milli": 8000}
    insert(
        session,
        PlannedRunRecord,
        job_id=job_id,
        sequence=1,
        station_id=1,
        piece_id=1,
        **run,
        **work,
        **by,
    )
    insert(session, HoldRecord, job_id=job_id, piece_id=1, state="out", holder="nights", **by)
    insert(
        session, HoldRecord, id=7, piece_id=2, spare=True, state="back", back_on="2026-01-02", **by
    )
    paper_id = insert(session, PaperRecord, title="monday", **by)
    insert(session, PaperLineRecord, paper_id=paper_id, line=1, piece_id=1, planned=8, **work)
    supplier = {"supplier": "North", "made_on": "2026-01-01"}
    purchase_id = insert(session, PurchaseRecord, number="2026-0001", **supplier, **by)
    insert(session, OrderLineRecord, text="1 punch", quantity=1, specification='{"role":"punch"}')
    line_id = insert(
        session,
        OrderLineRecord,
        text="2 dies",
        quantity=2,
        received=1,
        purchase_id=purchase_id,
        job="x",
    )
    for quantity in (2, -1):
        came = {"quantity": quantity, "received_on": "2026-01-09", "lead_days": 8}
        insert(session, ReceiptRecord, order_line_id=line_id, price_cents=4100, **came, **by)


@pytest.mark.parametrize("xlsx", [False, True], ids=["CSV", "XLSX"])
def test_a_full_export_makes_an_equal_crib(
    shop: Session, empty: Path, tmp_path: Path, xlsx: bool
) -> None:
    lived_in(shop)
    planned_and_ordered(shop)
    copy = copy_through(shop, empty, tmp_path, xlsx=xlsx)
    assert everything(copy) == everything(shop)
    assert ledger.rebuild(copy) == []
    copy.close()


@pytest.mark.parametrize("shop_name", ["inch", "metric"])
def test_the_demo_cribs_go_out_and_in(empty: Path, tmp_path: Path, shop_name: str) -> None:
    shutil.copy(empty, tmp_path / "demo.crib")
    demo = open_crib(tmp_path / "demo.crib")
    take_in(demo, seed_folder() / shop_name, by="")
    copy = copy_through(demo, empty, tmp_path, xlsx=False)
    assert everything(copy) == everything(demo)
    assert ledger.rebuild(copy) == ledger.rebuild(demo) == []
    demo.close()
    copy.close()


plain_text = st.text(
    st.characters(
        exclude_categories=["Cs", "Cc", "Cf", "Zl", "Zp"], exclude_characters=";/\ufffe\uffff"
    ),
    max_size=12,
)
names = plain_text.filter(lambda text: bool(text.strip()) and not text.startswith("EXAMPLE"))
lengths = st.floats(0.01, 490)
money = st.none() | st.integers(0, 10**9)


@st.composite
def contents(draw: st.DrawFn) -> dict[str, Any]:
    """What a random crib holds: names that mean nothing, sizes that no shop has."""
    return {
        "names": draw(st.lists(names, min_size=6, max_size=6, unique_by=str.casefold)),
        "notes": draw(st.lists(plain_text, min_size=4, max_size=4)),
        "lengths": draw(st.lists(lengths, min_size=8, max_size=8)),
        "force": draw(st.floats(1, 1.9e7) | st.just(50 * N_PER_US_TON)),
        "derate": draw(st.integers(0, 99).map(lambda share: share / 100)),
        "money": draw(st.lists(money, min_size=2, max_size=2)),
        "wear": draw(st.floats(0, 9999)),
        "stress": draw(st.none() | st.floats(300, 3500)),
        "flag": draw(st.booleans()),
    }


def fill(session: Session, given: dict[str, Any]) -> None:
    """Make rows of the random contents in most tables."""
    name, note, length = given["names"], given["notes"], given["lengths"]
    insert(session, PersonRecord, name=name[0] + " 2", role=note[0])
    seat = add_seat(session, name[1], head_thickness_mm=length[0], note=note[1])
    insert(session, MachineRecord, name=name[2], plate=note[2], in_service=given["flag"])
    columns = {"derate": given["derate"], "throat_mm": length[1], "note": note[3]}
    add_station(session, name[2], name[3], given["force"], [seat], **columns)
    insert(session, PlaceRecord, name=name[4], walk_order=3)
    kind = {
        "name": name[5],
        "role": "punch",
        "shape": "rectangle",
        "width_mm": length[2],
        "long_mm": length[2] + length[3],
        "seat_id": seat,
        "key_angles": "0 90",
        "stress_limit_mpa": given["stress"],
        "price_cents": given["money"][0],
        "note": note[0],
    }
    kind_id = insert(session, KindRecord, **kind)
    sizes = {"length_mm": length[4], "measured_width_mm": length[5], "note": note[1]}
    tag = name[5].upper()[:40]
    add_piece(session, tag, kind_id, place=name[4], wear=given["wear"], **sizes)
    insert(session, JobRecord, name=name[0], note=note[2])
    for _ in range(2):
        insert(session, JobLineRecord, job_id=1, phrase=name[1], mark=note[3], quantity=4)
    insert(
        session, OfferRecord, kind_id=kind_id, supplier=name[2], price_cents=given["money"][1] or 0
    )
    want = {"ask": name[3], "job": note[0], "person_id": 1, "missing": note[1]}
    insert(session, WantRecord, **want, first_at="2026-01-01T00:00:00Z", last_at="2026-01-02")


@pytest.mark.parametrize("xlsx", [False, True], ids=["CSV", "XLSX"])
@settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(given=contents())
def test_whatever_a_crib_holds_goes_out_and_in(
    empty: Path, tmp_path_factory: pytest.TempPathFactory, xlsx: bool, given: dict[str, Any]
) -> None:
    folder = tmp_path_factory.mktemp("round")
    shutil.copy(empty, folder / "source.crib")
    source = open_crib(folder / "source.crib")
    fill(source, given)
    copy = copy_through(source, empty, folder, xlsx=xlsx)
    assert everything(copy) == everything(source)
    assert ledger.rebuild(copy) == []
    source.close()
    copy.close()


def test_names_that_differ_only_in_capitals_stay_apart(
    shop: Session, empty: Path, tmp_path: Path
) -> None:
    insert(shop, PersonRecord, name="Nights")
    insert(shop, PieceRecord, tag="X-1", kind_id=1, condition="retired")
    ledger.write(shop, ledger.new_stamp(4), [ledger.NewEntry("add", 6, condition="sound")])
    copy = copy_through(shop, empty, tmp_path, xlsx=False)
    assert everything(copy) == everything(shop)
    copy.close()


def edit(path: Path, change: tuple[str, str]) -> None:
    path.write_text(path.read_text(encoding="utf-8-sig").replace(*change), encoding="utf-8")


def test_a_total_that_was_edited_in_an_export_is_a_fault(
    shop: Session, empty: Path, tmp_path: Path
) -> None:
    lived_in(shop)
    give_out(shop, tmp_path / "out")
    edit(tmp_path / "out" / "pieces.csv", (",107,7,7,", ",107,7,1,"))
    shutil.copy(empty, tmp_path / "copy.crib")
    copy = open_crib(tmp_path / "copy.crib")
    with pytest.raises(BadRows, match="1 fault") as caught:
        take_in(copy, tmp_path / "out", by="")
    assert str(caught.value.faults[0]).startswith(
        "pieces.csv line 2, wear: P-0137 has 1000 here and 7000 by its entries"
    )
    copy.close()


def test_a_piece_that_the_ledger_never_brought_in_is_a_fault(
    shop: Session, empty: Path, tmp_path: Path
) -> None:
    give_out(shop, tmp_path / "out")
    with (tmp_path / "out" / "pieces.csv").open("a", encoding="utf-8") as file:
        file.write("X-1,'round punch 13/16  #0,,retired\n")
    shutil.copy(empty, tmp_path / "copy.crib")
    copy = open_crib(tmp_path / "copy.crib")
    with pytest.raises(BadRows, match="1 fault") as caught:
        take_in(copy, tmp_path / "out", by="")
    assert str(caught.value.faults[0]) == (
        "pieces.csv line 7, tag: X-1 has no add entry in entries"
    )
    copy.close()


def test_totals_left_out_of_an_export_come_from_the_ledger(
    shop: Session, empty: Path, tmp_path: Path
) -> None:
    lived_in(shop)
    give_out(shop, tmp_path / "out")
    pieces = tmp_path / "out" / "pieces.csv"
    with pieces.open(encoding="utf-8-sig", newline="") as file:
        rows = [row[:2] for row in csv.reader(file)]
    with pieces.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows(rows)
    shutil.copy(empty, tmp_path / "copy.crib")
    copy = open_crib(tmp_path / "copy.crib")
    take_in(copy, tmp_path / "out", by="")
    assert everything(copy) == everything(shop)
    copy.close()


def test_nothing_goes_out_as_a_formula(shop: Session, tmp_path: Path) -> None:
    insert(shop, PersonRecord, name="=cmd|'/C calc'!A0", role="+1")
    give_out(shop, tmp_path / "out")
    text = (tmp_path / "out" / "people.csv").read_text(encoding="utf-8-sig")
    assert "'=cmd|'/C calc'!A0,'+1" in text


def test_an_export_writes_over_nothing(shop: Session, tmp_path: Path) -> None:
    give_out(shop, tmp_path / "out")
    with pytest.raises(Refused, match=r"people.csv is there already"):
        give_out(shop, tmp_path / "out")
    of_sites = [table for table in TABLES if table.record.startswith("site")]
    assert len(list((tmp_path / "out").iterdir())) == len(TABLES) - len(of_sites)


def test_a_workbook_gets_its_ending(shop: Session, tmp_path: Path) -> None:
    assert give_out(shop, tmp_path / "out", xlsx=True).target.endswith("out.xlsx")
    assert give_out(shop, tmp_path / "two.xlsx").tables["pieces"] == 5


def test_others_may_write_after_an_export(shop: Session, tmp_path: Path) -> None:
    give_out(shop, tmp_path / "out")
    insert(shop, PersonRecord, name="bench 9")
    assert not shop.connection.in_transaction


def test_a_template_is_given_in_the_cribs_unit(shop: Session, tmp_path: Path) -> None:
    made = give_template(shop, tmp_path / "t")
    assert "README.txt" in made.files
    assert "13/16 in" in (tmp_path / "t" / "kinds.csv").read_text(encoding="utf-8-sig")


def test_an_export_without_its_ledger_is_there_already(shop: Session, tmp_path: Path) -> None:
    lived_in(shop)
    give_out(shop, tmp_path / "out")
    for name in ("entries", "sheets"):
        (tmp_path / "out" / f"{name}.csv").unlink()
    tallies = take_in(shop, tmp_path / "out", by="").tables
    assert all(tally.added == tally.changed == 0 for tally in tallies.values())
    assert tallies["pieces"].already == 5


def test_a_line_number_means_nothing_outside_a_full_export(shop: Session, tmp_path: Path) -> None:
    planned_and_ordered(shop)
    file = tmp_path / "orders.csv"
    file.write_text("text,quantity,line number,purchase\n9 nuts,9,1,2026-0001\n", "utf-8")
    take_in(shop, file, by="")
    row = shop.row("SELECT id, purchase_id FROM order_line WHERE text = '9 nuts'")
    assert row is not None
    assert (row["id"], row["purchase_id"]) == (3, None)


def test_receipts_do_not_come_in_by_themselves(shop: Session, tmp_path: Path) -> None:
    file = tmp_path / "receipts.csv"
    heading = "line number,quantity,received on,person,made at"
    file.write_text(f"{heading}\n1,-1,2026-01-09,nights,2026-01-09T00:00:00Z\n", "utf-8")
    with pytest.raises(BadRows, match="nothing of it was taken"):
        take_in(shop, file, by="")


@pytest.mark.parametrize("xlsx", [False, True], ids=["CSV", "XLSX"])
def test_a_seat_may_begin_with_a_blank(empty: Path, tmp_path: Path, xlsx: bool) -> None:
    session = small_shop(tmp_path / "blank.crib")
    seats = [add_seat(session, name) for name in (" 0", "1", " 2")]
    add_station(session, "Press", "first", None, seats[:1])
    add_station(session, "Press", "second", None, seats)
    copy = copy_through(session, empty, tmp_path, xlsx=xlsx)
    assert everything(copy) == everything(session)
    session.close()
    copy.close()
