"""Ask the desk for tooling from a test, and small changes to a shop's shelf."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from crib.desk.answer.find import Found, find
from crib.desk.answer.rank import Candidate
from crib.features.common.case import Circumstances
from crib.features.common.findings import Finding, refusals
from crib.stock.book import ledger
from crib.stock.book.people import person_id
from crib.stock.book.settings import set_rule
from crib.stock.engine.session import Session
from crib.stock.tables.all_tables import PlaceRecord
from crib.units import N_PER_US_TON
from tests.shop import add_kind, add_piece, add_seat, add_station, insert, made_once, new_crib

HOLE = "hole 13/16 thru 3/8 A36"


def ask(shop: Session, phrase: str = HOLE, *chosen: str, **facts: Any) -> Found:
    """The answer to a phrase, with nothing remembered."""
    return find(shop, phrase, Circumstances(**facts), chosen=chosen, record=False)


def tags(found: Found) -> list[str]:
    """Every pick as its tags joined, the first one first."""
    return ["+".join(tool.tag for tool in one.tools) for one in found.picks]


def first(found: Found) -> str:
    """The first pick's tags, or empty."""
    return tags(found)[0] if found.picks else ""


def stops(one: Candidate) -> dict[str, Finding]:
    """What refuses a near miss, by rule."""
    return {finding.rule: finding for finding in refusals(one.findings)}


def say(one: Candidate, rule: str) -> Finding:
    """The one finding of a rule."""
    (found,) = [finding for finding in one.findings if finding.rule == rule]
    return found


def enter(shop: Session, tag: str, action: str, **columns: Any) -> None:
    """An entry about a piece."""
    piece_id = shop.value("SELECT id FROM piece WHERE tag = ?", (tag,))
    stamp = ledger.new_stamp(person_id(shop, ""))
    ledger.write(shop, stamp, [ledger.NewEntry(action, piece_id, **columns)])


def move(shop: Session, tag: str, place: str, sort: str = "drawer") -> None:
    """Put a piece in a place, which is made when it is new."""
    place_id = shop.value("SELECT id FROM place WHERE name = ?", (place,))
    if place_id is None:
        place_id = insert(shop, PlaceRecord, name=place, sort=sort)
    enter(shop, tag, "move", place_id=place_id)


def measure(shop: Session, tag: str, width_mm: float | None, **columns: Any) -> None:
    """A measured size."""
    enter(shop, tag, "correct", measured_width_mm=width_mm, **columns)


def rule(shop: Session, key: str, value: str) -> None:
    """Change a rule of the shop."""
    set_rule(shop, ledger.new_stamp(person_id(shop, "")), key, value, "for a test")


def change(shop: Session, sql: str, *values: Any) -> None:
    """Change plain columns."""
    with shop.writing():
        shop.run(sql, values)


@made_once
def one_station(
    path: Path, /, rated_n: float | None = 50 * N_PER_US_TON, **columns: Any
) -> Session:
    """A shop with one seat and one station, three drawers and an empty shelf."""
    shop = new_crib(path)
    seat = add_seat(shop, "A", die_diameter_mm=54.0)
    add_station(shop, "Ironworker 1", "punch", rated_n, [seat], **columns)
    for order, name in enumerate(("A1", "A2", "A3")):
        insert(shop, PlaceRecord, name=name, sort="drawer", walk_order=order)
    return shop


def pair(shop: Session, width: str = "13/16", opening: str = "27/32", seat_id: int = 1) -> None:
    """A punch P-1 and a die D-1."""
    punch = add_kind(shop, role="punch", width=width, seat_id=seat_id)
    die = add_kind(shop, role="die", width=opening, seat_id=seat_id)
    add_piece(shop, "P-1", punch, place="A1")
    add_piece(shop, "D-1", die, place="A2")
