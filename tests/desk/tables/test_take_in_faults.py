"""What cannot be taken in: every fault is named with its place, and nothing is half taken."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from crib.acts import act, acts_in
from crib.desk.tables.import_tables import take_in
from crib.errors import BadRows, Refused
from crib.stock.engine.session import Session
from tests.desk.tables.test_import_tables import counts, folder
from tests.shop import small_shop

KIND = "round punch 13/16  #0"


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    session = small_shop(tmp_path / "shop.crib")
    yield session
    session.close()


def faults(session: Session, path: Path, tables: dict[str, str]) -> list[str]:
    """The faults of a folder, which must leave the crib as it was."""
    before = counts(session)
    with pytest.raises(BadRows, match="nothing of it was taken") as caught:
        take_in(session, folder(path, tables), by="", update=True)
    assert counts(session) == before
    return [str(fault) for fault in caught.value.faults]


@pytest.mark.parametrize(
    ("table", "text", "fault"),
    [
        ("kinds", "role,shape\npunch,round", "size: a punch needs its size, such as 13/16"),
        ("kinds", "role,size\ndie,1", "shape: a die needs its shape: round, square"),
        ("kinds", "role,shape,size\npunch,obround,1", "long: obround: it needs its long side"),
        ("kinds", "role,shape,size,long\npunch,round,1,2", "long: round: it has one size"),
        (
            "kinds",
            "role,shape,size,long\npunch,rectangle,2,1",
            "long: the long side must be at least the size",
        ),
        (
            "kinds",
            "role,seat\npunch adapter,A",
            "presents seat: an adapter needs the seat it fits and the seat it presents",
        ),
        ("kinds", "role,edges\nblade,3", "edges: edges 3 must be 1, 2 or 4"),
        (
            "kinds",
            "role,length,least length\nblade,2,3",
            "least length: it must be at most the length when new",
        ),
        ("kinds", "role,seat\nnut,C", "seat: 'C' is not among the seats; nearest: A"),
        ("kinds", f"role,name\nnut,{'x' * 121}", "name: "),
        ("seats", "name,head dia\nC,2", "head diameter: a seat needs head and body diameter, or"),
        ("seats", "name,OD,die height\nC;D,2,1", "name: a seat's name cannot hold ';'"),
        ("places", "name,sort\nX,station", "station: a place of sort station names its station"),
        (
            "stations",
            "machine,name\nIronworker 9,punch",
            "machine: 'Ironworker 9' is not among the machines; nearest: Ironworker",
        ),
        ("stations", "machine,name,derate\nIronworker 1,x,100 %", "derate: 1.0 must be < 1"),
        ("envelopes", "operation,size,thickness\ncut,1,1", "station: give the station or the kind"),
        (
            "envelopes",
            "kind,operation,angle,size,thickness\n" + KIND + ",cut,90,1,1",
            "kind: 'round punch 13/16 #0' is not among the kinds",
        ),
        (
            "envelopes",
            "station,operation,angle,size,thickness\nIronworker 1 / punch,cut,90,1,1",
            "angle: angle 90 must be below 90",
        ),
        ("pieces", "tag,kind\nX-1,no such", "kind: 'no such' is not among the kinds"),
        ("pieces", f"tag,kind\nX 1,'{KIND}", "tag: tag 'X 1' must be 1 to 40 letters"),
        ("pieces", f"tag,kind,edge\nX-1,'{KIND},0", "edge: edge 0 must be 1 to 4"),
        ("pieces", f"tag,kind,place\nX-1,'{KIND},Z9", "place: 'Z9' is not among the places"),
        (
            "pieces",
            f"tag,kind,strokes since new,strokes since grind\nX-1,'{KIND},5,6",
            "strokes since new: 5 must be at least the 6 since the grind",
        ),
        (
            "job_lines",
            "job,phrase\nJ9,hole 1",
            "job: 'J9' is not among the jobs; there are none yet",
        ),
        ("job_lines", "job,phrase,qty\nJ9,hole 1,-2", "quantity: count '-2' cannot be read"),
        ("orders", "text,qty,received\nx,1,2", "received: received 2 must be at most the 1 order"),
        ("orders", "text,qty\nx,0", "quantity: 0 must be > 0"),
        ("offers", f"kind,supplier,price,pack\n'{KIND},S,1,0", "pack size: 0 must be > 0"),
        ("wants", "ask,person\nhole 1,ghost", "person: 'ghost' is not among the people"),
        ("stations", "machine,name,capacity\nIronworker 1,x,450", "force '450' cannot be read: it"),
        (
            "stations",
            "machine,name,throat\nIronworker 1,x,9999mm",
            "9999.0 must be <= 5000",
        ),
        ("kinds", "role,shape,dia,stress limit,seat\npunch,round,1,10000 MPa,A", "must be <= 3500"),
        ("kinds", "role,shape,dia,stress limit,seat\npunch,round,1,240 MPa,A", "must be >= 300"),
        ("seats", "name,OD,die height\nC,54000mm,29mm", "must be <= 500"),
        ("seats", "name,OD,die height\nA,600mm,29mm", "must be <= 500"),
        ("rules", "key,value\nwear.plam,1", "value: unknown setting 'wear.plam'; nearest: wear"),
        ("rules", "key,value\nwear.plan,99", "value: wear.plan=99 must be 0.3 to 1"),
        ("rules", "key,value\ncrib.unit,mm", "value: the crib is in in; make another with new"),
        ("sheets", "digest,act,person,made at\nd,a,window,2026-01-01", "it is taken in only tog"),
    ],
)
def test_a_row_that_cannot_stand_is_a_fault(
    shop: Session, tmp_path: Path, table: str, text: str, fault: str
) -> None:
    found = faults(shop, tmp_path / "in", {table: text + "\n"})
    assert found[0].startswith(f"{table}.csv line ")
    assert fault in found[0]


def test_rules_that_do_not_agree_are_a_fault(shop: Session, tmp_path: Path) -> None:
    (found,) = faults(shop, tmp_path / "in", {"rules": "key,value\nwear.plan,0.95\n"})
    assert "wear.plan=0.95 must be at most wear.after_job=0.9" in found


@pytest.mark.parametrize(
    ("table", "text", "fault"),
    [
        ("people", "name\nbench 9\nBench  9", "people.csv line 3, name: it is in line 2 already"),
        ("kinds", "role\nnut\nnut", "kinds.csv line 3, name: it is in line 2 already"),
        (
            "pieces",
            f"tag,kind\nX-1,'{KIND}\nx-1,'{KIND}",
            "pieces.csv line 3, tag: it is in line 2 already; each row needs a name of its own",
        ),
        (
            "offers",
            f"kind,supplier,price\n'{KIND},S,1\n'{KIND},S,2",
            "offers.csv line 3, from quantity: it is in line 2 already",
        ),
    ],
)
def test_a_row_that_comes_twice_is_a_fault(
    shop: Session, tmp_path: Path, table: str, text: str, fault: str
) -> None:
    (found,) = faults(shop, tmp_path / "in", {table: text})
    assert found.startswith(fault)


def test_a_drawer_with_the_name_of_a_station_is_a_fault(shop: Session, tmp_path: Path) -> None:
    tables = {
        "stations": "machine,name\nIronworker 1,shear\n",
        "places": "name\nIronworker 1 / shear\n",
    }
    (found,) = faults(shop, tmp_path / "in", tables)
    assert found.startswith("stations.csv line 1, name: place 'Ironworker 1 / shear' stands for")


def test_two_places_for_one_station_are_a_fault(shop: Session, tmp_path: Path) -> None:
    text = "name,sort,station\nhere,station,Ironworker 1 / punch\n"
    (found,) = faults(shop, tmp_path / "in", {"places": text})
    assert "there is one of the same station already" in found


def test_all_faults_of_all_tables_are_named_at_once_line_by_line(
    shop: Session, tmp_path: Path
) -> None:
    tables = {
        "people": "nme\nbench 2\n",
        "kinds": "name,role,shape,dia,seat,price\nx,punch,round,20,6,A\ny,pnch,round,1,A,\n",
        "pieces": "tag,kind,place,length\nX-1,no such,A1,\nX-2,,Z9,20,6\n",
    }
    assert [fault.split(": ")[0] for fault in faults(shop, tmp_path / "in", tables)] == [
        "people.csv line 1, nme",
        "people.csv line 1, name",
        "kinds.csv line 2, price",
        "kinds.csv line 2, seat",
        "kinds.csv line 3, role",
        "pieces.csv line 2, kind",
        "pieces.csv line 3",
        "pieces.csv line 3, kind",
        "pieces.csv line 3, place",
    ]


def test_a_row_that_names_a_faulty_row_has_no_fault_of_its_own(
    shop: Session, tmp_path: Path
) -> None:
    tables = {
        "kinds": "name,role,shape,size\nbad,punch,round,x\n",
        "pieces": "tag,kind\nX-1,bad\n",
    }
    assert [fault[:9] for fault in faults(shop, tmp_path / "in", tables)] == ["kinds.csv"]


def test_a_row_that_names_a_table_with_a_bad_heading_has_no_fault_of_its_own(
    shop: Session, tmp_path: Path
) -> None:
    tables = {"kinds": "nme,role\nx,nut\n", "pieces": "tag,kind\nX-1,x\n"}
    assert [fault[:9] for fault in faults(shop, tmp_path / "in", tables)] == ["kinds.csv"]


def test_the_ledger_goes_only_into_an_empty_crib(shop: Session, tmp_path: Path) -> None:
    text = "number,act,action,person,made at,shift on\n1,a,rule,window,2026-01-01,2026-01-01\n"
    before = counts(shop)
    with pytest.raises(Refused, match="this one holds 5 pieces and 5 entries") as caught:
        take_in(shop, folder(tmp_path / "in", {"entries": text}), by="")
    assert acts_in(caught.value.way_out) == (act("new"),)
    assert counts(shop) == before
