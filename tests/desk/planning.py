"""Shops and part files for the tests of plans."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from crib.desk.plan.make_plan import PlanRequest, make_plan
from crib.desk.plan.plan_result import Plan
from crib.stock.engine.session import Session
from crib.stock.tables.all_tables import JobLineRecord, JobRecord, PlaceRecord
from tests.shop import add_kind, add_piece, add_seat, add_station, insert, made_once, new_crib

DIE_OVER = {"1/2": "17/32", "9/16": "19/32", "11/16": "23/32", "13/16": "27/32", "15/16": "31/32"}
KN = 1000.0
SLOT = "  v  {x:.2f}u  35.00  22.00  0.00l  28.00  0.00  0.00"


@made_once
def one_machine(path: Path, slots: int = 1) -> Session:
    """A machine with some punch stations alike, and a pair of each size."""
    session = new_crib(path)
    seat = add_seat(session, "A")
    for number in range(1, slots + 1):
        add_station(session, "Ironworker 1", f"punch {number}", 445_000.0, [seat], throat_mm=400.0)
    stock(session, seat)
    return session


@made_once
def two_machines(path: Path) -> Session:
    """Two machines alike, and two pairs of each size."""
    session = one_machine(path)
    seat = session.value("SELECT id FROM seat")
    add_station(session, "Ironworker 2", "punch 1", 445_000.0, [seat], throat_mm=400.0)
    for number, (punch, die) in enumerate(DIE_OVER.items(), 1):
        add_piece(session, f"P-2{number}", kind_of(session, "punch", punch))
        add_piece(session, f"D-2{number}", kind_of(session, "die", die))
    return session


def stock(session: Session, seat: int) -> None:
    """A drawer, and a pair of each size: P-11 over D-11 and so on."""
    insert(session, PlaceRecord, name="A2", sort="drawer", walk_order=1)
    for number, (punch, die) in enumerate(DIE_OVER.items(), 1):
        made: dict[str, Any] = {"seat_id": seat, "least_length_mm": 60.0, "length_mm": 70.0}
        kind = add_kind(session, role="punch", width=punch, name=f"punch {punch}", **made)
        add_piece(session, f"P-1{number}", kind)
        kind = add_kind(session, role="die", width=die, name=f"die {die}", seat_id=seat)
        add_piece(session, f"D-1{number}", kind)


def kind_of(session: Session, role: str, size: str) -> int:
    """The kind of that role and size."""
    return int(session.value("SELECT id FROM kind WHERE name = ?", (f"{role} {size}",)))


@made_once
def metric_shop(path: Path, longest: str, rated_kn: float) -> Session:
    """A metric shop with one obround pair 22 mm wide in one station."""
    session = new_crib(path, "mm")
    sizes: dict[str, Any] = {"body_diameter_mm": 58.0, "nut_bore_mm": 60.0, "die_diameter_mm": 90.0}
    seat = add_seat(session, "S", head_diameter_mm=66.0, **sizes)
    add_station(session, "Press 1", "punch", rated_kn * KN, [seat], throat_mm=500.0)
    insert(session, PlaceRecord, name="A2", sort="drawer", walk_order=1)
    long = float(longest)
    for role, tag, width_mm, long_mm in (
        ("punch", "P-22", 22.0, long),
        ("die", "D-24", 24.0, long + 2.0),
    ):
        sizes = {"shape": "obround", "width_mm": width_mm, "long_mm": long_mm}
        if role == "punch":
            sizes |= {"length_mm": 70.0, "least_length_mm": 65.0}
        kind = add_kind(session, role=role, width=f"{width_mm}mm", **sizes, key_angles="0 90",
                        seat_id=seat)  # fmt: skip
        add_piece(session, tag, kind)
    return session


def slot_file(path: Path, *, quantity: int = 4, thickness: float = 12.0) -> Path:
    """A plate with two slots 22 x 50 along it, as the NC file of a detailer has it."""
    head = ["24-118", "D-7", "1", "P1", "S275", quantity, "PL12*100", "B", 300.0, 100.0]
    numbers = [thickness, thickness, thickness, 0.0, 9.42, 0.22, 0.0, 0.0, 0.0, 0.0]
    lines = ["ST", *(f"  {one}" for one in [*head, *numbers, "", "", "", ""])]
    lines += ["BO", SLOT.format(x=72.5), SLOT.format(x=200.0), "EN"]
    path.write_text("\n".join(lines) + "\n", "utf-8")
    return path


def part_list(path: Path, *lines: tuple[str, str, int, int]) -> Path:
    """A list of parts: mark, phrase, pieces, and how many in each."""
    rows = ["mark,phrase,quantity,each"]
    rows += [f"{mark},{phrase},{pieces},{each}" for mark, phrase, pieces, each in lines]
    path.write_text("\n".join(rows) + "\n", "utf-8")
    return path


def add_job(session: Session, name: str, *lines: tuple[str, str, int], **facts: Any) -> int:
    """A kept job: mark, phrase and how many of each line."""
    job_id = insert(session, JobRecord, name=name, **facts)
    for mark, phrase, quantity in lines:
        insert(session, JobLineRecord, job_id=job_id, mark=mark, phrase=phrase, quantity=quantity)
    return job_id


def plan(session: Session, *files: Path, **options: Any) -> Plan:
    """The plan of some files or of what is kept."""
    return make_plan(session, PlanRequest(files, **({"seconds": 0.2} | options)))


def hole(size: str, thick: str = "3/8") -> str:
    """A hole's phrase."""
    return f"hole {size} thru {thick} A36"
