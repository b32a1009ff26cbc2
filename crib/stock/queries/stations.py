"""Stations with what they accept and are proven for, seats in numbers, adapters between them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from crib.features.common.tooling import Adapter, EnvelopeRow, Seat, Station
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import at_site
from crib.words import AWAY

_STATIONS = """
    SELECT station.id, station.name, station.does, station.rated_force_n, station.derate,
        station.throat_mm, station.daylight_mm, station.lever_mm, station.stroke_mm,
        machine.name AS machine, machine.in_service, seat.name AS seat
    FROM station JOIN machine ON machine.id = station.machine_id
    LEFT JOIN station_seat ON station_seat.station_id = station.id
    LEFT JOIN seat ON seat.id = station_seat.seat_id
"""
_ADAPTERS = """
    SELECT piece.tag, kind.role, fits.name AS fits, presents.name AS presents,
        kind.rated_force_n, kind.added_height_mm, piece.condition, piece.dedicated_to,
        place.name AS place, place.sort AS place_sort, place.station_id
    FROM kind JOIN piece ON piece.kind_id = kind.id
    LEFT JOIN seat AS fits ON fits.id = kind.seat_id
    LEFT JOIN seat AS presents ON presents.id = kind.presents_seat_id
    LEFT JOIN place ON place.id = piece.place_id
    WHERE kind.role IN ('punch_adapter', 'die_adapter', 'attachment')
"""


@dataclass(frozen=True, slots=True)
class AdapterRow:
    """A piece that joins two seats or is an attachment: where and in what state it is."""

    tag: str
    role: str
    fits: str | None
    presents: str | None
    rated_force_n: float | None
    added_height_mm: float | None
    condition: str
    dedicated_to: str
    place: str | None
    place_sort: str | None
    station_id: int | None

    def serves(self, family: str) -> bool:
        """Whether it joins two seats, is sound and not away, nor kept for another material."""
        return (
            self.fits is not None
            and self.presents is not None
            and self.condition == "sound"
            and self.place_sort not in AWAY
            and self.dedicated_to in ("", family)
        )


@dataclass(frozen=True, slots=True)
class Envelopes:
    """What stations and kinds are proven for, by their numbers."""

    of_station: dict[int, list[EnvelopeRow]]
    of_kind: dict[int, list[EnvelopeRow]]


def all_stations(
    session: Session, envelopes: Envelopes, adapters: list[AdapterRow]
) -> list[Station]:
    """Every station of the asker's site, whether its machine is in service or not."""
    here = "TRUE" if session.site is None else f"machine.site_id = {session.site:d}"
    rows = session.rows(f"{_STATIONS} WHERE {here} ORDER BY machine.name, station.name, station.id")
    accepted: dict[int, set[str]] = {row["id"]: set() for row in rows}
    for row in rows:
        if row["seat"] is not None:
            accepted[row["id"]].add(row["seat"])
    return [
        Station(
            id=row["id"],
            machine=row["machine"],
            name=row["name"],
            work=row["does"],
            rated_force_n=row["rated_force_n"],
            derate=row["derate"],
            throat_mm=row["throat_mm"],
            daylight_mm=row["daylight_mm"],
            seats=frozenset(accepted[row["id"]]),
            in_service=bool(row["in_service"]),
            lever_mm=row["lever_mm"],
            stroke_mm=row["stroke_mm"],
            envelope=tuple(envelopes.of_station.get(row["id"], ())),
            attachments=tuple(
                adapter.tag
                for adapter in adapters
                if adapter.role == "attachment" and adapter.station_id == row["id"]
            ),
        )
        for row in {row["id"]: row for row in rows}.values()
    ]


def all_envelopes(session: Session) -> Envelopes:
    """What every station and every kind is proven for."""
    found = Envelopes({}, {})
    for row in session.rows(
        "SELECT station_id, kind_id, operation, cut_angle_deg, size_mm, thickness_mm, material,"
        " depth_mm FROM envelope_point ORDER BY operation, cut_angle_deg, size_mm, id"
    ):
        station_id, kind_id, *point = row
        owned = found.of_kind if station_id is None else found.of_station
        owned.setdefault(kind_id if station_id is None else station_id, []).append(
            EnvelopeRow(*point)
        )
    return found


def all_adapters(session: Session) -> list[AdapterRow]:
    """Every adapter and attachment of the asker's site, by its tag."""
    rows = session.rows(f"{_ADAPTERS} AND {at_site(session.site)} ORDER BY piece.tag")
    return [AdapterRow(**dict(row)) for row in rows]


def adapters_of(
    rows: list[AdapterRow], seats: Mapping[str, Seat], family: str = ""
) -> tuple[Adapter, ...]:
    """The adapters among some rows that serve a family of materials, each with its seat."""
    return tuple(
        Adapter(
            row.tag,
            row.role,
            row.fits or "",
            row.presents or "",
            row.rated_force_n,
            row.place or "nowhere",
            seats.get(row.fits or ""),
            row.added_height_mm,
        )
        for row in rows
        if row.serves(family)
    )


def adapters_at_hand(session: Session, family: str = "") -> tuple[Adapter, ...]:
    """Every adapter that serves a family of materials."""
    return adapters_of(all_adapters(session), seats_by_name(session), family)


def seats_by_name(session: Session) -> dict[str, Seat]:
    """Every seat with its numbers."""
    columns = (
        "name, head_diameter_mm, head_thickness_mm, body_diameter_mm, nut_bore_mm,"
        " punch_length_mm, die_diameter_mm, die_height_mm, nut_diameter_mm"
    )
    rows = session.rows(f"SELECT {columns}, keyed FROM seat")
    return {row["name"]: Seat(**{**dict(row), "keyed": bool(row["keyed"])}) for row in rows}
