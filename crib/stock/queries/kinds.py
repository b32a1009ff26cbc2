"""Kinds and seats by name, by what they are, and what one of them costs."""

from __future__ import annotations

from dataclasses import dataclass

from crib.stock.engine.session import Session

_SAME_MM = 0.001


@dataclass(frozen=True, slots=True)
class NamedRow:
    """A row by its number and name."""

    id: int
    name: str


@dataclass(frozen=True, slots=True)
class SeatNumbers:
    """A seat in the numbers that the shop declared. Lengths mm."""

    name: str
    head_diameter_mm: float | None
    head_thickness_mm: float | None
    body_diameter_mm: float | None
    nut_bore_mm: float | None
    punch_length_mm: float | None
    die_diameter_mm: float | None
    die_height_mm: float | None
    nut_diameter_mm: float | None
    keyed: bool


def all_kinds(session: Session) -> list[NamedRow]:
    """Every kind, by name."""
    return [NamedRow(*row) for row in session.rows("SELECT id, name FROM kind ORDER BY name")]


def all_seats(session: Session) -> list[NamedRow]:
    """Every seat, by name."""
    return [NamedRow(*row) for row in session.rows("SELECT id, name FROM seat ORDER BY name")]


def kind_called(session: Session, name: str) -> int | None:
    """The number of the kind with a name, in small or capital letters."""
    found = session.value("SELECT id FROM kind WHERE lower(name) = lower(?)", (name,))
    return None if found is None else int(found)


def kind_named(session: Session, name: str) -> int | None:
    """The number of the kind with exactly this name."""
    found = session.value("SELECT id FROM kind WHERE name = ?", (name,))
    return None if found is None else int(found)


def kinds_alike(
    session: Session,
    role: str,
    shape: str,
    sizes_mm: tuple[float | None, float | None],
    seat_id: int | None,
    key_angles: str | None,
) -> list[NamedRow]:
    """The kinds of a role, shape, width, length and seat; of any key angles where none are said."""
    rows = session.rows(
        "SELECT id, name FROM kind WHERE role = ? AND shape = ? AND seat_id IS NOT DISTINCT FROM ?"
        " AND abs(coalesce(width_mm, 0) - ?) < ? AND abs(coalesce(long_mm, 0) - ?) < ?"
        " AND key_angles = coalesce(?, key_angles) ORDER BY name",
        (
            *(role, shape, seat_id),
            *(sizes_mm[0] or 0.0, _SAME_MM, sizes_mm[1] or 0.0, _SAME_MM, key_angles),
        ),
    )
    return [NamedRow(*row) for row in rows]


def seat_numbered(session: Session, name: str) -> int | None:
    """The number of the seat with exactly this name."""
    found = session.value("SELECT id FROM seat WHERE name = ?", (name,))
    return None if found is None else int(found)


def role_of_kind(session: Session, kind_id: int) -> str:
    """What a kind is: punch, die, blade."""
    return str(session.value("SELECT role FROM kind WHERE id = ?", (kind_id,)))


def usual_price_cents(session: Session, kind_id: int) -> int | None:
    """What a piece of a kind costs, as its kind says."""
    found = session.value("SELECT price_cents FROM kind WHERE id = ?", (kind_id,))
    return None if found is None else int(found)


def seat_of_kind(session: Session, kind_id: int) -> SeatNumbers | None:
    """The seat of a kind in numbers; None for a kind without one."""
    row = session.row(
        "SELECT seat.name, head_diameter_mm, head_thickness_mm, body_diameter_mm, nut_bore_mm,"
        " punch_length_mm, die_diameter_mm, die_height_mm, nut_diameter_mm, keyed"
        " FROM seat JOIN kind ON kind.seat_id = seat.id WHERE kind.id = ?",
        (kind_id,),
    )
    return SeatNumbers(**{**dict(row), "keyed": bool(row["keyed"])}) if row else None
