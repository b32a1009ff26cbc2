"""Reading the ledger: entries with who made them, and whether they were taken back."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from crib.stock.book.kept_factors import read_factors
from crib.stock.engine.engine import Row
from crib.stock.engine.in_lists import in_lists
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


@dataclass(frozen=True, slots=True)
class EntryFilter:
    """Which entries: of one piece, of one person, of shifts since a day; empty means all."""

    piece_id: int | None = None
    person_id: int | None = None
    since: str = ""

    def condition(self) -> tuple[str, list[Any]]:
        """The filter as a WHERE clause with its values."""
        asked = (
            ("entry.piece_id = ?", self.piece_id),
            ("entry.person_id = ?", self.person_id),
            ("entry.shift_on >= ?", self.since or None),
        )
        parts = [(sql, value) for sql, value in asked if value is not None]
        where = " AND ".join(sql for sql, _value in parts)
        return f"WHERE {where}" if where else "", [value for _sql, value in parts]


def entries(session: Session, chosen: EntryFilter, most: int) -> list[EntryCard]:
    """The newest entries that pass a filter."""
    where, values = chosen.condition()
    return _cards(session, f"{where} ORDER BY entry.id DESC LIMIT ?", [*values, most])


def count_entries(session: Session, chosen: EntryFilter) -> int:
    """How many entries pass a filter."""
    where, values = chosen.condition()
    return int(session.value(f"SELECT count(*) FROM entry {where}", values))


def numbers_beside(session: Session, entry: int) -> list[int]:
    """The numbers of all entries that were written in the same act as one; none for no entry."""
    rows = session.rows(
        "SELECT entry.id FROM entry JOIN entry AS named ON named.act = entry.act"
        " WHERE named.id = ? ORDER BY entry.id",
        (entry,),
    )
    return [int(row[0]) for row in rows]


def entries_numbered(session: Session, numbers: Iterable[int]) -> list[EntryCard]:
    """The entries of these numbers, newest first."""
    cards = [
        card
        for marks, some in in_lists(numbers)
        for card in _cards(session, f"WHERE entry.id IN {marks}", some)
    ]
    return sorted(cards, key=lambda card: -card.id)


def _cards(session: Session, tail: str, values: Sequence[Any]) -> list[EntryCard]:
    rows = session.rows(f"{_SELECT} {tail}", values)
    return [_card(row) for row in rows]


def _card(row: Row) -> EntryCard:
    read = {"estimate": bool(row["estimate"]), "factors": read_factors(row["factors"])}
    return EntryCard(**{**dict(row), **read})


def was_taken_from(session: Session, file: str) -> bool:
    """Whether a piece came in with a file of that name, and that was not taken back."""
    sql = (
        "SELECT entry.id FROM entry LEFT JOIN entry AS counter ON counter.reverses_id = entry.id"
        " WHERE entry.action = 'add' AND entry.note = ? AND counter.id IS NULL LIMIT 1"
    )
    return session.value(sql, (f"from {file}",)) is not None


def last_entry(session: Session, piece_id: int) -> int:
    """The number of the newest entry of a piece."""
    return int(session.value("SELECT max(id) FROM entry WHERE piece_id = ?", (piece_id,)))


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


def other_halves(session: Session, numbers: Iterable[int]) -> list[int]:
    """Entries that still stand and are the other half of some: of one line typed for a pair.

    A punch and its die, or two blades or halves of a set, have their entries side by side in one
    act, with the same count in the same plate.
    """
    halves = {
        int(row[0])
        for marks, some in in_lists(numbers)
        for row in session.rows(
            "SELECT other.id FROM entry JOIN entry AS other ON other.act = entry.act"
            " AND other.id IN (entry.id - 1, entry.id + 1) AND other.action = entry.action"
            " AND other.quantity = entry.quantity AND other.material = entry.material"
            " AND other.thickness_mm IS NOT DISTINCT FROM entry.thickness_mm"
            " JOIN piece AS one ON one.id = entry.piece_id"
            " JOIN kind ON kind.id = one.kind_id"
            " JOIN piece AS two ON two.id = other.piece_id AND two.id <> one.id"
            " JOIN kind AS beside ON beside.id = two.kind_id"
            " LEFT JOIN entry AS counter ON counter.reverses_id = other.id"
            f" WHERE entry.id IN {marks} AND entry.action IN ('strokes', 'turn', 'grind')"
            " AND counter.id IS NULL AND ((kind.role = 'punch' AND beside.role = 'die'"
            " AND other.id > entry.id) OR (kind.role = 'die' AND beside.role = 'punch'"
            " AND other.id < entry.id)"
            " OR (kind.role IN ('blade', 'set') AND beside.role = kind.role))",
            some,
        )
    }
    return sorted(halves - set(numbers))


def pieces_of_entries(session: Session, numbers: Iterable[int]) -> list[int]:
    """The pieces that some entries are of, each once."""
    pieces = {
        int(row[0])
        for marks, some in in_lists(numbers)
        for row in session.rows(
            f"SELECT DISTINCT piece_id FROM entry WHERE id IN {marks} AND piece_id IS NOT NULL",
            some,
        )
    }
    return sorted(pieces)


def coming_in(session: Session, piece_id: int) -> tuple[int, str]:
    """The number and the act of the entry that brought a piece in; 0 when there is none."""
    row = session.row(
        "SELECT id, act FROM entry WHERE piece_id = ? AND action = 'add' ORDER BY id DESC",
        (piece_id,),
    )
    return (int(row["id"]), str(row["act"])) if row else (0, "")
