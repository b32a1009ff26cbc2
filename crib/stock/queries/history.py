"""Reading the ledger: entries with who made them, and whether they were taken back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from crib.stock.book.kept_factors import read_factors
from crib.stock.engine.engine import Row
from crib.stock.engine.session import Session
from crib.trade.life.wear import Factor

_SELECT = """
    SELECT entry.id, entry.act, entry.action, entry.made_at, entry.shift_on,
        person.name AS who, piece.tag, place.name AS place, entry.quantity, entry.weighted_milli,
        entry.severity, entry.estimate, entry.material, entry.thickness_mm, entry.job,
        entry.condition, entry.length_mm, entry.ground_um, entry.measured_width_mm,
        entry.measured_long_mm, entry.edge, entry.found, entry.note, entry.reverses_id,
        entry.factors, counter.id AS taken_back_by
    FROM entry JOIN person ON person.id = entry.person_id
    LEFT JOIN piece ON piece.id = entry.piece_id
    LEFT JOIN place ON place.id = entry.place_id
    LEFT JOIN entry AS counter ON counter.reverses_id = entry.id
"""

_ACT_LETTERS = 16


@dataclass(frozen=True, slots=True)
class EntryCard:
    """One entry as people read it. Lengths mm; ``ground_um`` thousandths of a mm.

    ``factors`` are what its severity is the product of; None where they are not on record.
    """

    id: int
    act: str
    action: str
    made_at: str
    shift_on: str
    who: str
    tag: str | None
    place: str | None
    quantity: int
    weighted_milli: int
    severity: float | None
    estimate: bool
    material: str
    thickness_mm: float | None
    job: str
    condition: str | None
    length_mm: float | None
    ground_um: int
    measured_width_mm: float | None
    measured_long_mm: float | None
    edge: int | None
    found: str | None
    note: str
    reverses_id: int | None
    factors: tuple[Factor, ...] | None
    taken_back_by: int | None


def entries(
    session: Session, where: str, values: Sequence[Any] = (), *, most: int | None = None
) -> list[EntryCard]:
    """The entries that a condition picks, newest first; ``where`` is the program's."""
    limit = "" if most is None else f"LIMIT {int(most)}"
    rows = session.rows(f"{_SELECT} WHERE {where} ORDER BY entry.id DESC {limit}", values)
    return [_card(row) for row in rows]


def _card(row: Row) -> EntryCard:
    read = {"estimate": bool(row["estimate"]), "factors": read_factors(row["factors"])}
    return EntryCard(**{**dict(row), **read})


def count_entries(session: Session, where: str, values: Sequence[Any] = ()) -> int:
    """How many entries a condition picks."""
    return int(session.value(f"SELECT count(*) FROM entry WHERE {where}", values))


def last_act(session: Session, person_id: int) -> str | None:
    """A person's newest act that is not a counter-entry and not taken back already."""
    found = session.value(
        "SELECT entry.act FROM entry LEFT JOIN entry AS counter ON counter.reverses_id = entry.id"
        " WHERE entry.person_id = ? AND entry.action <> 'reverse' AND counter.id IS NULL"
        " ORDER BY entry.id DESC LIMIT 1",
        (person_id,),
    )
    return None if found is None else str(found)


def act_named(session: Session, name: str) -> str:
    """The act of that name, or the act of the entry with that number."""
    is_number = name.isascii() and name.isdigit() and len(name) < _ACT_LETTERS
    found = is_number and session.value("SELECT act FROM entry WHERE id = ?", (int(name),))
    return str(found or name)


def act_entries(session: Session, act: str) -> list[int]:
    """The entries of an act that still hold, newest first."""
    rows = session.rows(
        "SELECT entry.id FROM entry LEFT JOIN entry AS counter ON counter.reverses_id = entry.id"
        " WHERE entry.act = ? AND entry.action <> 'reverse' AND counter.id IS NULL"
        " ORDER BY entry.id DESC",
        (act,),
    )
    return [int(row[0]) for row in rows]
