"""Taking tables in: new rows, rows that are there, changed rows; whole or not at all."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from crib.acts import acts_in
from crib.desk.book.new_crib import new_crib
from crib.desk.tables.import_tables import Tally, take_in
from crib.errors import BadInput, BadRows, UnknownName
from crib.files.tables.columns import TABLES, find_table
from crib.files.tables.template import write_template
from crib.stock.book import ledger
from crib.stock.engine.opening import open_crib
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
from crib.stock.queries.table_rows import crib_rows
from crib.units import N_PER_US_TON, mm_from_inches
from tests.shop import made_once

SHOP = {
    "people": "name,role\nbench 2,fitter\nlead,lead hand\n",
    "machines": "name,plate\nIronworker 1,50 US tons\n",
    "seats": "name,head dia,body dia,OD,die height\nA,1.5,1.25,2-1/8,1-1/8\nB,,,3,1-1/2\n",
    "stations": "machine,name,capacity,seats\nIronworker 1,punch,50 US tons,A/B\n",
    "places": "name;order\nA1;1\nA2;2\n",
    "kinds": "role,shape,dia,seat,price\npunch,round,13/16,A,38.50\ndie,round,27/32,A,\n",
    "envelopes": "station,operation,size,thickness\nIronworker 1 / punch,flat,13/16,3/8\n",
    "pieces": "tag,kind,drawer,strokes,length\n"
    'p-0137,"round punch 13/16 in, seat A",A1,1200,2.72\n'
    'D-0201,"ROUND DIE 27/32 IN, SEAT A",Ironworker 1 / punch,,\n',
    "jobs": "name,due\n24-118,2026-12-24\n",
    "job_lines": "job,phrase,qty\n24-118,hole 13/16 thru 3/8,48\n24-118,hole 13/16 thru 3/8,48\n",
    "wants": "ask,qty\nhole 1-1/16 thru 3/8,20\n",
    "rules": "key,value,why\nFORCE.caution_load,0.750,old machine\n",
    "offers": 'kind,supplier,price\n"round punch 13/16 in, seat A",North Street,38.50\n',
    "bundles": "supplier,name,price\nNorth Street,starter,420\n",
    "bundle_lines": 'bundle,kind,qty\nNorth Street / starter,"round punch 13/16 in, seat A",2\n',
    "orders": "text,qty\n1 round die 7/8 in,1\n",
}
NOON = datetime(2026, 11, 2, 12, tzinfo=UTC)


@made_once
def empty_crib(path: Path, unit: str = "in") -> Session:
    """A new crib as the program makes it."""
    new_crib(path, unit=unit)
    return open_crib(path)


@pytest.fixture
def crib(tmp_path: Path) -> Iterator[Session]:
    session = empty_crib(tmp_path / "shop.crib")
    yield session
    session.close()


def folder(path: Path, tables: dict[str, str]) -> Path:
    path.mkdir(exist_ok=True)
    for name, text in tables.items():
        (path / f"{name}.csv").write_text(text, encoding="utf-8")
    return path


def counts(session: Session) -> dict[str, int]:
    return {
        table.name: int(session.value(f"SELECT count(*) FROM {table.record}")) for table in TABLES
    }


def values(session: Session, table: str) -> list[dict[str, object]]:
    return [row for _number, row in crib_rows(session, find_table(table))]


@pytest.fixture
def shop(crib: Session, tmp_path: Path) -> Session:
    take_in(crib, folder(tmp_path / "shop", SHOP), by="", now=NOON)
    return crib


def test_a_folder_is_taken_whole(crib: Session, tmp_path: Path) -> None:
    taken = take_in(crib, folder(tmp_path / "shop", SHOP), by="bench 2", now=NOON)
    rows = {name: text.count("\n") - 1 for name, text in SHOP.items()}
    assert taken.tables == {name: Tally(added=count) for name, count in rows.items()}
    assert taken.notes == ()
    assert ledger.rebuild(crib) == []


def test_taking_it_again_adds_nothing(shop: Session, tmp_path: Path) -> None:
    before = counts(shop)
    taken = take_in(shop, tmp_path / "shop", by="")
    assert all(tally.added == tally.changed == 0 for tally in taken.tables.values())
    assert taken.tables["job_lines"] == Tally(already=2)
    assert counts(shop) == before


def test_one_more_equal_line_is_added(shop: Session, tmp_path: Path) -> None:
    path = folder(
        tmp_path / "more", {"job_lines": SHOP["job_lines"] + "24-118,hole 13/16 thru 3/8,48"}
    )
    assert take_in(shop, path, by="").tables == {"job_lines": Tally(added=1, already=2)}


def test_a_piece_comes_with_its_opening_entry(shop: Session) -> None:
    piece = piece_by_tag(shop, "P-0137")
    assert (piece.place, piece.condition, piece.length_mm) == ("A1", "sound", mm_from_inches(2.72))
    assert (piece.strokes_total, piece.strokes_edge, piece.wear) == (1200, 1200, 1200.0)
    entry = shop.row("SELECT * FROM entry WHERE piece_id = ?", (piece.id,))
    assert entry is not None
    assert (entry["action"], entry["note"], entry["made_at"]) == (
        *("add", "from pieces.csv"),
        "2026-11-02T12:00:00.000Z",
    )


@pytest.mark.parametrize(
    ("columns", "cells", "totals"),
    [
        ("strokes since new", "900", (900, 900, 900_000)),
        ("strokes since grind", "300", (300, 300, 300_000)),
        ("strokes since new,strokes since grind", "900,300", (900, 300, 300_000)),
        ("strokes since new,wear", "900,1300.5", (900, 900, 1_300_500)),
        ("grinds", "0", (0, 0, 0)),
    ],
)
def test_an_edge_that_was_never_told_of_has_all_the_strokes_on_it(
    shop: Session, tmp_path: Path, columns: str, cells: str, totals: tuple[int, int, int]
) -> None:
    text = f'tag,kind,{columns}\nX-1,"round die 27/32 in, seat A",{cells}\n'
    take_in(shop, folder(tmp_path / "one", {"pieces": text}), by="")
    piece = piece_by_tag(shop, "X-1")
    assert (piece.strokes_total, piece.strokes_edge, piece.wear_milli) == totals


def test_grinds_from_before_the_crib_are_a_note(shop: Session, tmp_path: Path) -> None:
    text = 'tag,kind,grinds,ground off\nX-1,"round die 27/32 in, seat A",3,0.030 in\n'
    path = folder(tmp_path / "one", {"pieces": text})
    take_in(shop, path, by="")
    assert piece_by_tag(shop, "X-1").ground_um == 762
    note = shop.value("SELECT note FROM entry ORDER BY id DESC LIMIT 1")
    assert note == "from pieces.csv; ground 3 times before"
    assert take_in(shop, path, by="").tables == {"pieces": Tally(already=1)}


def test_a_station_makes_its_place_and_takes_its_seats(shop: Session) -> None:
    (station,) = values(shop, "stations")
    assert (station["seats"], station["rated force"]) == (("A", "B"), 50 * N_PER_US_TON)
    assert piece_by_tag(shop, "D-0201").place == "Ironworker 1 / punch"
    assert piece_by_tag(shop, "D-0201").station_id == 1


def test_a_place_of_its_own_may_stand_for_a_station(crib: Session, tmp_path: Path) -> None:
    places = "name,sort,station\nmain punch,station,Ironworker 1 / punch\n"
    tables = {name: SHOP[name] for name in ("machines", "seats", "stations")}
    take_in(crib, folder(tmp_path / "in", tables | {"places": places}), by="")
    assert [row["name"] for row in values(crib, "places")] == ["main punch"]


def test_a_kind_without_a_name_gets_one_from_what_it_is(crib: Session, tmp_path: Path) -> None:
    kinds = (
        "role,shape,size,long,seat\npunch,obround,13/16,2 in,A\nstripper,,,,A\nnut,,,,\n"
        "other,,12 in,,\n"
    )
    take_in(crib, folder(tmp_path / "in", {"seats": SHOP["seats"], "kinds": kinds}), by="")
    assert [row["name"] for row in values(crib, "kinds")] == [
        "obround punch 13/16 x 2 in, seat A",
        "stripper, seat A",
        "nut",
        "other 12 in",
    ]


def test_a_rule_goes_into_the_ledger(shop: Session) -> None:
    entry = shop.row("SELECT * FROM entry WHERE action = 'rule' ORDER BY id DESC")
    assert entry is not None
    assert entry["note"] == "force.caution_load: 0.8 -> 0.75; old machine"


def test_rules_that_only_agree_together_are_taken(crib: Session, tmp_path: Path) -> None:
    rules = "key,value\nwear.plan,0.95\nwear.after_job,1\n"
    taken = take_in(crib, folder(tmp_path / "in", {"rules": rules}), by="")
    assert taken.tables == {"rules": Tally(added=2)}


def test_a_dry_run_says_the_same_and_leaves_nothing(crib: Session, tmp_path: Path) -> None:
    before = counts(crib)
    path = folder(tmp_path / "shop", SHOP)
    tried = take_in(crib, path, by="", dry_run=True)
    assert counts(crib) == before
    assert tried.tables == take_in(crib, path, by="").tables
    assert tried.as_json()["dry_run"] is True


@pytest.mark.parametrize(
    ("table", "text", "column", "value"),
    [
        ("people", "name,role\nLEAD,foreman\n", "role", "foreman"),
        ("machines", "name,in service\nIronworker 1,no\n", "in service", False),
        ("seats", "name,note\nA,small\n", "note", "small"),
        ("places", "name,order\nA1,7\n", "walk order", 7),
        ("kinds", 'name,role,price\n"round punch 13/16 in, seat A",punch,40\n', "price", 4000),
        ("offers", SHOP["offers"].replace("38.50", "41"), "price", 4100),
        ("jobs", "name,open\n24-118,no\n", "open", False),
        ("bundles", SHOP["bundles"].replace("420", "400"), "price", 40000),
        ("rules", "key,value\nforce.caution_load,0.7\n", "value", "0.7"),
        ("stations", "machine,name,seats\nIronworker 1,punch,B\n", "seats", ("B",)),
        ("pieces", 'tag,kind,note\nP-0137,"round punch 13/16 in, seat A",shiny\n', "note", "shiny"),
    ],
)
def test_a_row_with_other_values_is_changed_only_when_asked(
    shop: Session, tmp_path: Path, table: str, text: str, column: str, value: object
) -> None:
    path = folder(tmp_path / "new", {table: text})
    before = values(shop, table)
    with pytest.raises(BadRows, match="has 1 fault; nothing of it was taken") as caught:
        take_in(shop, path, by="")
    assert caught.value.faults[0].column == column
    assert values(shop, table) == before
    assert take_in(shop, path, by="", update=True).tables == {table: Tally(changed=1)}
    changed = [row for row in values(shop, table) if row not in before]
    assert [row[column] for row in changed] == [value]
    assert ledger.rebuild(shop) == []


def test_columns_that_are_not_in_the_file_stay_as_they_are(shop: Session, tmp_path: Path) -> None:
    path = folder(tmp_path / "new", {"stations": "machine,name,throat\nIronworker 1,punch,12 in\n"})
    take_in(shop, path, by="", update=True)
    (station,) = values(shop, "stations")
    assert (station["throat"], station["seats"]) == (mm_from_inches(12), ("A", "B"))


def test_what_the_ledger_moves_is_not_changed_by_a_table(shop: Session, tmp_path: Path) -> None:
    text = 'tag,kind,place,strokes\nP-0137,"round punch 13/16 in, seat A",A2,1200\n'
    with pytest.raises(BadRows, match="1 fault") as caught:
        take_in(shop, folder(tmp_path / "new", {"pieces": text}), by="", update=True)
    (fault,) = caught.value.faults
    assert str(fault).startswith("pieces.csv line 2, place: the crib has A1, here it is A2; ")
    ways = [one.name for one in acts_in(fault.text)]
    assert ways == ["move", "measure", "grind", "retire"]


def test_pieces_whose_coming_in_was_undone_can_come_in_again(shop: Session, tmp_path: Path) -> None:
    entries = [row["id"] for row in shop.rows("SELECT id FROM entry WHERE action = 'add'")]
    ledger.reverse(shop, ledger.new_stamp(1), entries, "wrong folder")
    assert piece_by_tag(shop, "P-0137").condition == "retired"
    taken = take_in(shop, tmp_path / "shop", by="")
    assert taken.tables["pieces"] == Tally(added=2)
    assert piece_by_tag(shop, "P-0137").strokes_total == 1200
    assert ledger.rebuild(shop) == []


def test_empty_figures_are_told_with_what_they_are_read_as(shop: Session, tmp_path: Path) -> None:
    rows = "Pieces by hand,,\ntag,kind,grinds\nP-8,HALF,\nP-9,HALF,\nP-10,HALF,2\n"
    kind = values(shop, "kind")[0]["name"]
    more = folder(tmp_path / "more", {"pieces": rows.replace("HALF", f'"{kind}"')})
    taken = take_in(shop, more, by="")
    assert taken.notes == (
        "pieces.csv: line 1 is above the heading, and not read",
        "pieces.csv: grinds: 2 empty cells read as 0",
    )


def test_a_template_as_it_is_is_refused(crib: Session, tmp_path: Path) -> None:
    write_template(tmp_path / "t", "in")
    with pytest.raises(BadInput, match="holds no rows to take in; 52 rows are examples") as caught:
        take_in(crib, tmp_path / "t", by="")
    assert "EXAMPLE" in str(caught.value.way_out)


def test_examples_beside_rows_are_left_out_with_a_note(crib: Session, tmp_path: Path) -> None:
    write_template(tmp_path / "t", "in")
    with (tmp_path / "t" / "people.csv").open("a", encoding="utf-8") as file:
        file.write("bench 2,\n")
    taken = take_in(crib, tmp_path / "t", by="")
    assert taken.tables["people"] == Tally(added=1)
    assert "people.csv: 1 example row left out" in taken.notes


def test_somebody_unknown_takes_nothing_in(crib: Session, tmp_path: Path) -> None:
    before = counts(crib)
    with pytest.raises(UnknownName, match="nobody is called 'ghost'"):
        take_in(crib, folder(tmp_path / "shop", SHOP), by="ghost")
    assert counts(crib) == before


def test_a_metric_crib_reads_bare_numbers_as_millimetres(tmp_path: Path) -> None:
    session = empty_crib(tmp_path / "mm.crib", unit="mm")
    tables = {
        "seats": "name,die diameter,die height\nA,54,29\n",
        "kinds": "role,shape,size,seat\ndie,round,22.5,A\n",
        "machines": "name\nPress\n",
        "stations": "machine,name,rated force\nPress,punch,445 kN\n",
    }
    take_in(session, folder(tmp_path / "in", tables), by="")
    assert [row["name"] for row in values(session, "kinds")] == ["round die 22.5 mm, seat A"]
    assert values(session, "stations")[0]["rated force"] == 445_000.0
    session.close()


def test_a_ram_that_would_travel_all_its_daylight_is_a_fault(shop: Session, tmp_path: Path) -> None:
    for stroke in ("7in", "8"):
        row = f"machine,name,daylight,stroke\nIronworker 1,punch,7,{stroke}\n"
        source = folder(tmp_path / "more", {"stations": row})
        with pytest.raises(BadRows) as caught:
            take_in(shop, source, by="", update=True, now=NOON)
        (fault,) = caught.value.faults
        assert (fault.column, str(fault.text)[:31]) == ("stroke", "it must be less than the daylig")


def test_a_rectangle_with_equal_sides_is_taken_as_a_square_and_is_there_already(
    shop: Session, tmp_path: Path
) -> None:
    row = "name,role,shape,size,long,seat\nP 3/4,punch,rectangle,3/4,0.75,A\n"
    take_in(shop, folder(tmp_path / "more", {"kinds": row}), by="", now=NOON)
    (kind,) = [one for one in values(shop, "kinds") if one["name"] == "P 3/4"]
    assert (kind["shape"], kind["long"]) == ("square", None)
    again = take_in(shop, tmp_path / "more", by="", now=NOON)
    assert again.tables["kinds"] == Tally(already=1)
