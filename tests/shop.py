"""Small cribs for tests: an empty one, and a shop with two machines and a handful of tools."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from contextlib import closing
from datetime import date
from functools import wraps
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, Concatenate, ParamSpec

from crib.stock.book import ledger
from crib.stock.book.people import WINDOW, person_id
from crib.stock.book.seals import seal_all
from crib.stock.book.settings import set_rule
from crib.stock.engine.migrate import create_tables
from crib.stock.engine.opening import open_crib
from crib.stock.engine.session import Session
from crib.stock.tables.all_tables import (
    KindRecord,
    MachineRecord,
    PersonRecord,
    PieceRecord,
    PlaceRecord,
    SeatRecord,
    ShopRuleRecord,
    StationRecord,
    StationSeatRecord,
)
from crib.stock.writers.table_rows import add_row
from crib.units import N_PER_US_TON, read_length_mm
from tests.on_engines import in_files, opened_copy

Facts = ParamSpec("Facts")
Builder = Callable[Concatenate[Path, Facts], Session]


def made_once(build: Builder[Facts]) -> Builder[Facts]:
    """Build a crib at its first use in this process; from then on put a copy of it at the path.

    Each set of arguments has a crib of its own, and so has each day, for its entries are dated.
    """
    kept: dict[str, bytes] = {}

    @wraps(build)
    def copied(path: Path, /, *values: Facts.args, **facts: Facts.kwargs) -> Session:
        made = repr((date.today(), values, facts))
        if made not in kept:
            with TemporaryDirectory() as folder:
                first = Path(folder) / "first.crib"
                with in_files(), closing(build(first, *values, **facts)) as session:
                    session.rows("PRAGMA wal_checkpoint(TRUNCATE)")
                kept[made] = first.read_bytes()
        return opened_copy(path, kept[made])

    return copied


@made_once
def new_crib(path: Path, unit: str = "in") -> Session:
    """An empty crib with the window person, in inches or millimetres."""
    create_tables(path)
    session = open_crib(path)
    insert(session, PersonRecord, name=WINDOW)
    if unit == "mm":
        stamp = ledger.new_stamp(person_id(session, ""))
        for key, value in (
            ("crib.unit", "mm"),
            ("crib.force_unit", "kN"),
            ("material.default", "S275"),
            ("clearance.policy", "tool_life"),
            ("wear.reference_thickness_mm", "10"),
        ):
            set_rule(session, stamp, key, value, "a metric crib")
    return session


@made_once
def small_shop(path: Path) -> Session:
    """Two machines, two seats, four drawers and five pieces, in inches."""
    session = new_crib(path)
    for name in ("bench 2", "nights"):
        insert(session, PersonRecord, name=name)
    seat_a = add_seat(session, "A", die_diameter_mm=54.0)
    seat_b = add_seat(session, "B", die_diameter_mm=70.0)
    add_station(session, "Ironworker 1", "punch", 50 * N_PER_US_TON, [seat_a])
    add_station(session, "Ironworker 2", "punch", 50 * N_PER_US_TON, [seat_a, seat_b])
    for order, name in enumerate(("A1", "A2", "A3", "A4")):
        insert(session, PlaceRecord, name=name, sort="drawer", walk_order=order)
    punch_13_16 = add_kind(session, role="punch", width="13/16", seat_id=seat_a)
    add_piece(session, "P-0137", punch_13_16, place="A1")
    add_piece(session, "D-0201", add_kind(session, role="die", width="27/32", seat_id=seat_a))
    add_piece(session, "D-0202", add_kind(session, role="die", width="7/8", seat_id=seat_a))
    add_piece(session, "P-0140", add_kind(session, role="punch", width="7/8", seat_id=seat_a))
    add_piece(session, "D-0301", add_kind(session, role="die", width="27/32", seat_id=seat_b))
    return session


def long_there(session: Session) -> None:
    """Have the pieces of a shop come in years ago, and papers as old as that be taken."""
    with session.writing():
        session.run("UPDATE entry SET shift_on = '2025-01-01'")
        session.run("UPDATE piece SET changed_on = '2025-01-01', latest_on = '2025-01-01'")
        seal_all(session)
    facts = {"changed_at": "2025-01-01T06:00:00.000Z", "person_id": 1, "why": "old papers"}
    insert(session, ShopRuleRecord, key="log.oldest_days", value="36600", **facts)


def insert(session: Session, table: type[Any], **columns: Any) -> int:
    """Add one row, checked by its table; its number, 0 in a table without numbers."""
    row = table.model_validate(columns).model_dump()
    if row.get("id", 0) is None:
        del row["id"]
    with session.writing():
        return add_row(session, table.__tablename__, row)


def add_seat(session: Session, name: str, **columns: Any) -> int:
    """A seat in numbers: a plausible punch side and die side unless said otherwise."""
    numbers: dict[str, Any] = {
        "head_diameter_mm": 40.0,
        "head_thickness_mm": 6.0,
        "body_diameter_mm": 32.0,
        "nut_bore_mm": 33.0,
        "punch_length_mm": 70.0,
        "die_diameter_mm": 54.0,
        "die_height_mm": 29.0,
        "keyed": True,
    }
    return insert(session, SeatRecord, name=name, **(numbers | columns))


def add_station(
    session: Session,
    machine: str,
    name: str,
    rated_force_n: float | None,
    seat_ids: list[int],
    **columns: Any,
) -> int:
    """A punch station, its machine when that is new, and the place that stands for it."""
    machine_id = session.value("SELECT id FROM machine WHERE name = ?", (machine,))
    if machine_id is None:
        machine_id = insert(session, MachineRecord, name=machine)
    station_id = insert(
        session,
        StationRecord,
        machine_id=machine_id,
        name=name,
        rated_force_n=rated_force_n,
        **columns,
    )
    insert(session, PlaceRecord, name=f"{machine} / {name}", sort="station", station_id=station_id)
    for seat_id in seat_ids:
        insert(session, StationSeatRecord, station_id=station_id, seat_id=seat_id)
    return station_id


def add_kind(session: Session, *, role: str, width: str, long: str = "", **columns: Any) -> int:
    """A kind by its size in shop spelling; round unless said otherwise."""
    numbers: dict[str, Any] = {"shape": "round", "width_mm": read_length_mm(width, "in")}
    if long:
        numbers["long_mm"] = read_length_mm(long, "in")
    numbers |= columns
    if "name" not in numbers:
        count = session.value("SELECT count(*) FROM kind")
        numbers["name"] = f"{numbers['shape']} {role} {width} {long} #{count}"
    return insert(session, KindRecord, role=role, **numbers)


def add_piece(
    session: Session,
    tag: str,
    kind_id: int,
    *,
    place: str = "A2",
    wear: float = 0.0,
    strokes: int | None = None,
    condition: str = "sound",
    length_mm: float | None = None,
    measured_width_mm: float | None = None,
    **columns: Any,
) -> int:
    """A piece with its opening entry."""
    row = PieceRecord.model_validate(
        {"kind_id": kind_id, "tag": tag, "condition": "retired", **columns}
    )
    values = row.model_dump()
    values.pop("id")
    place_id = session.value("SELECT id FROM place WHERE name = ?", (place,))
    count = round(wear) if strokes is None else strokes
    with session.writing():
        piece_id = session.insert("piece", values)
        entry = ledger.NewEntry(
            "add",
            piece_id,
            quantity=count,
            strokes_edge=count,
            weighted_milli=round(wear * 1000),
            condition=condition,
            place_id=place_id,
            length_mm=length_mm,
            measured_width_mm=measured_width_mm,
        )
        ledger.write(session, ledger.new_stamp(person_id(session, "")), [entry])
    return piece_id


def kept_in(path: Path) -> str:
    """Everything that a crib's file holds, as text."""
    with closing(sqlite3.connect(path)) as connection:
        return "\n".join(connection.iterdump())
