"""A crib as rows of SQL give it, and what a set of pieces is by them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from crib.stock.engine.session import Session

AWAY = ("grinder", "person", "outside")
_PIECES = """
    SELECT piece.*, kind.role, kind.shape, kind.profile, kind.width_mm, kind.long_mm,
        kind.depth_mm, kind.angle_deg, kind.header_mm, kind.least_wall_mm, kind.most_wall_mm,
        kind.work_length_mm, kind.line_limit_n_mm, kind.key_angles, kind.length_mm AS new_mm,
        kind.least_length_mm, kind.regrind_mm, kind.stress_limit_mpa, kind.rated_force_n,
        kind.interval_strokes, kind.learned_strokes, kind.added_height_mm,
        coalesce(kind.corner_radius_mm, 0) AS corner_radius_mm,
        seat.name AS seat, presents.name AS presents,
        seat.body_diameter_mm, seat.nut_bore_mm, seat.die_diameter_mm, seat.keyed,
        seat.punch_length_mm, seat.die_height_mm,
        place.sort AS place_sort, place.station_id
    FROM piece JOIN kind ON kind.id = piece.kind_id
    LEFT JOIN seat ON seat.id = kind.seat_id
    LEFT JOIN seat AS presents ON presents.id = kind.presents_seat_id
    LEFT JOIN place ON place.id = piece.place_id
"""
_STATIONS = """
    SELECT station.*, machine.name AS machine, machine.in_service
    FROM station JOIN machine ON machine.id = station.machine_id
"""

Row = dict[str, Any]


@dataclass(frozen=True)
class World:
    """Pieces by tag, stations by machine and name, their seats, and the lists that prove them."""

    pieces: dict[str, Row]
    stations: dict[tuple[str, str], Row]
    seats: dict[int, set[str]]
    lists: tuple[Row, ...]
    seat_rows: dict[str, Row]

    def listed(self, operation: str, *, station: int | None = None, kind: int | None = None) -> Any:
        """The rows that prove a station or a kind for an operation, square to the stock."""
        return [
            row
            for row in self.lists
            if row["operation"] == operation
            and row["cut_angle_deg"] < 0.5
            and (row["station_id"], row["kind_id"]) == (station, kind)
        ]


def read_world(session: Session) -> World:
    """The crib as it stands."""

    def rows(sql: str) -> list[Row]:
        return [dict(row) for row in session.rows(sql)]

    seats: dict[int, set[str]] = {}
    for row in rows(
        "SELECT station_id, seat.name FROM station_seat JOIN seat ON seat.id = station_seat.seat_id"
    ):
        seats.setdefault(row["station_id"], set()).add(row["name"])
    return World(
        {row["tag"]: row for row in rows(_PIECES)},
        {(row["machine"], row["name"]): row for row in rows(_STATIONS)},
        seats,
        tuple(rows("SELECT * FROM envelope_point")),
        {row["name"]: row for row in rows("SELECT * FROM seat")},
    )


def width_mm(piece: Row) -> float:
    """A piece's size as it counts: measured over nominal [mm]."""
    return float(piece["measured_width_mm"] or piece["width_mm"])


def long_mm(piece: Row) -> float:
    """A piece's longer size; of round and square ones their width [mm]."""
    if piece["shape"] in ("rectangle", "obround"):
        return float(piece["measured_long_mm"] or piece["long_mm"] or width_mm(piece))
    return width_mm(piece)


def keys(piece: Row) -> set[int]:
    """The angles at which a piece is keyed."""
    return {int(word) for word in piece["key_angles"].replace(",", " ").split()}
