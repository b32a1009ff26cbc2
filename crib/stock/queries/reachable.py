"""What is there to be found: pieces in use with where they stand, and lists with whose they are."""

from __future__ import annotations

from dataclasses import dataclass

from crib.stock.engine.session import Session


@dataclass(frozen=True, slots=True)
class PieceThere:
    """A piece that is not gone. ``stands_at`` is the work of the station where it is mounted."""

    tag: str
    kind_id: int
    dedicated_to: str
    stands_at: str


@dataclass(frozen=True, slots=True)
class ListOf:
    """A list of proven sizes for one operation; ``does`` is its station's work, if it has one."""

    owner: str
    operation: str
    does: str


def pieces_there(session: Session) -> list[PieceThere]:
    """Every piece that is not broken, lost or retired, by its tag."""
    rows = session.rows(
        "SELECT piece.tag, piece.kind_id, piece.dedicated_to, coalesce(station.does, '') AS"
        " stands_at FROM piece JOIN kind ON kind.id = piece.kind_id"
        " LEFT JOIN place ON place.id = piece.place_id"
        " LEFT JOIN station ON station.id = place.station_id"
        " WHERE piece.condition NOT IN ('broken', 'lost', 'retired') ORDER BY piece.tag"
    )
    return [PieceThere(**dict(row)) for row in rows]


def lists_there(session: Session) -> list[ListOf]:
    """Every list of proven sizes, once for each operation."""
    rows = session.rows(
        "SELECT DISTINCT coalesce(kind.name, machine.name || ' / ' || station.name) AS owner,"
        " point.operation, coalesce(station.does, '') AS does FROM envelope_point AS point"
        " LEFT JOIN kind ON kind.id = point.kind_id"
        " LEFT JOIN station ON station.id = point.station_id"
        " LEFT JOIN machine ON machine.id = station.machine_id ORDER BY 1, 2"
    )
    return [ListOf(**dict(row)) for row in rows]
