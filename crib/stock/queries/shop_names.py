"""The names of the shop's things and people, as they are kept."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from crib.stock.book.names import name_meant
from crib.stock.engine.session import Session

NamedThing = Literal["piece", "job", "place", "person"]
_NAMED: dict[NamedThing, tuple[str, str, str]] = {
    "piece": ("tag", "piece", ""),
    "job": ("name", "job", " AND open"),
    "place": ("name", "place", ""),
    "person": ("name", "person", ""),
}


@dataclass(frozen=True, slots=True)
class StationPlace:
    """A station, its machine, and the place that stands for it."""

    station_id: int
    place_id: int
    place: str
    machine: str


def machine_names(session: Session) -> list[str]:
    """The names of all machines."""
    return [str(row[0]) for row in session.rows("SELECT name FROM machine ORDER BY name")]


def machine_called(session: Session, name: str) -> str:
    """The machine that is meant, by its own name; empty for none.

    Raises:
        UnknownName: when there is none of that name, or more than one.
    """
    if not name.strip():
        return ""
    return name_meant(name, machine_names(session), "no machine called")


def station_places(session: Session) -> list[StationPlace]:
    """Every station in the order of a walk round the shop."""
    rows = session.rows(
        "SELECT station.id AS station_id, place.id AS place_id, place.name AS place,"
        " machine.name AS machine FROM place JOIN station ON station.id = place.station_id"
        " JOIN machine ON machine.id = station.machine_id ORDER BY place.walk_order, place.name"
    )
    return [StationPlace(**dict(row)) for row in rows]


def names_beginning(session: Session, of: NamedThing, beginning: str, most: int) -> list[str]:
    """The names of pieces, jobs still open, places or people that begin so, in their order."""
    column, table, only = _NAMED[of]
    rows = session.rows(
        f"SELECT {column} FROM {table}"
        f" WHERE substr(lower({column}), 1, ?) = ?{only} ORDER BY {column} LIMIT ?",
        (len(beginning), beginning.casefold(), most),
    )
    return [str(row[0]) for row in rows]
