"""Places: finding one by the name somebody types, and what stands mounted at a station."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches

from crib.acts import act, saying
from crib.errors import BadValue, Refused, UnknownName
from crib.stock.book.label_codes import read_code
from crib.stock.engine.engine import Row
from crib.stock.engine.in_lists import in_lists
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import PieceCard, at_site, select_cards, select_rows

_LONGEST_NAME = 80


@dataclass(frozen=True, slots=True)
class PlaceCard:
    """A drawer, a station, the grinder, somebody's hands, or outside the shop."""

    id: int
    name: str
    sort: str
    station_id: int | None
    site_id: int | None = None


@dataclass(frozen=True, slots=True)
class StationCard:
    """A station as far as mounting goes: what it does, the seats it accepts, its heights."""

    id: int
    place: str
    machine: str
    name: str
    does: str
    daylight_mm: float | None
    stroke_mm: float | None
    seats: frozenset[str]


_OF_STATION = ("id", "place", "machine", "name", "does", "daylight_mm", "stroke_mm")
ADAPTERS = ("punch_adapter", "die_adapter", "attachment")
"""Roles that sit in one seat and present another."""


@dataclass(frozen=True, slots=True)
class MountedAdapter:
    """A mounted adapter: what it sits in and presents; for punches, dies, or sets (attachment)."""

    tag: str
    for_role: str
    seat: str
    presents: str
    added_height_mm: float | None


def place_by_name(session: Session, name: str) -> PlaceCard:
    """The place of that name, whatever the case, the blanks and the slash; or of a label's address.

    Raises:
        UnknownName: when there is none; names the nearest ones.
    """
    name = read_code(name).name
    wanted = plain_name(name)
    for place in all_places(session):
        if plain_name(place.name) == wanted:
            return place
    message = f"no place called {name.strip()[:40]!r}"
    makes_one = saying("; ", act("move.new-drawer"), " makes one")
    raise UnknownName(message, way_out=saying(places_like(session, name), makes_one))


def all_places(session: Session) -> list[PlaceCard]:
    """Every place, in the order of a walk."""
    rows = session.rows(
        "SELECT id, name, sort, station_id, site_id FROM place ORDER BY walk_order, name"
    )
    return [PlaceCard(**dict(row)) for row in rows]


def places_like(session: Session, name: str) -> str:
    """The places whose names come nearest to one that is not known, or some that are."""
    known = _known_places(session)
    near = _near(known, name)
    return f"{'nearest' if near else 'known'}: {', '.join(near or list(known.values())[:6])}"


def places_near(session: Session, name: str) -> list[str]:
    """The places whose names come nearest to one that is not known."""
    return _near(_known_places(session), name)


def _known_places(session: Session) -> dict[str, str]:
    return {plain_name(place.name): place.name for place in all_places(session)}


def _near(known: dict[str, str], name: str) -> list[str]:
    return [known[one] for one in get_close_matches(plain_name(name), known, n=4, cutoff=0.5)]


def plain_name(name: str) -> str:
    """A place's name without what people type differently."""
    return "".join(name.replace("/", " ").split()).casefold()


def make_drawer(session: Session, name: str) -> PlaceCard:
    """A new drawer at the end of the walk.

    Raises:
        BadValue: for a name that cannot stand on a label.
        Refused: when a place of that name is there already.
    """
    tidy = " ".join(name.split())
    if not (tidy.isprintable() and 0 < len(tidy) <= _LONGEST_NAME):
        message = f"drawer name {name[:40]!r} must be 1 to {_LONGEST_NAME} letters on one line"
        raise BadValue(message)
    for row in session.rows("SELECT name FROM place"):
        if plain_name(row["name"]) == plain_name(tidy):
            message = f"there is a place called {row['name']!r} already"
            raise Refused(message, way_out=saying("leave out ", act("say.new-drawer")))
    last = session.value("SELECT coalesce(max(walk_order), 0) FROM place WHERE sort = 'drawer'")
    values = {"name": tidy, "sort": "drawer", "walk_order": last + 1} | session.rooted
    return PlaceCard(
        session.insert("place", values), tidy, "drawer", None, *session.rooted.values()
    )


def station_card(session: Session, station_id: int) -> StationCard:
    """A station with the seats it accepts."""
    return station_cards(session, [station_id])[station_id]


def station_cards(session: Session, station_ids: Iterable[int]) -> dict[int, StationCard]:
    """Stations with the seats they accept, by their numbers."""
    rows = [
        row
        for marks, some in in_lists(station_ids)
        for row in session.rows(
            "SELECT station.id, coalesce(place.name, '') AS place, machine.name AS machine,"
            " station.name, station.does, station.daylight_mm, station.stroke_mm,"
            " seat.name AS seat FROM station JOIN machine ON machine.id = station.machine_id"
            " LEFT JOIN place ON place.station_id = station.id"
            " LEFT JOIN station_seat ON station_seat.station_id = station.id"
            f" LEFT JOIN seat ON seat.id = station_seat.seat_id WHERE station.id IN {marks}",
            some,
        )
    ]
    seats: dict[int, set[str]] = {row["id"]: set() for row in rows}
    for row in rows:
        if row["seat"] is not None:
            seats[row["id"]].add(row["seat"])
    return {
        row["id"]: StationCard(
            **{name: row[name] for name in _OF_STATION}, seats=frozenset(seats[row["id"]])
        )
        for row in rows
    }


def mounted_at(session: Session, station_id: int) -> list[PieceCard]:
    """The pieces that stand at a station, broken ones too; lost and retired ones are not there."""
    return mounted_at_stations(session, [station_id])[station_id]


def mounted_at_stations(session: Session, station_ids: Iterable[int]) -> dict[int, list[PieceCard]]:
    """What stands at each of some stations, as ``mounted_at`` has it."""
    mounted: dict[int, list[PieceCard]] = {station_id: [] for station_id in station_ids}
    for marks, some in in_lists(mounted):
        for card in select_cards(
            session,
            f"place.station_id IN {marks} AND piece.condition NOT IN ('lost', 'retired')",
            some,
            tail="ORDER BY piece.tag",
        ):
            if card.station_id is not None:
                mounted[card.station_id].append(card)
    return mounted


def mounted_anywhere(session: Session) -> list[Row]:
    """The rows of what stands at any station of the site, broken ones too, by their tags."""
    return select_rows(
        session,
        f"piece.place_id IN (SELECT id FROM place WHERE station_id IS NOT NULL AND"
        f" {at_site(session.site)})"
        " AND piece.condition NOT IN ('lost', 'retired')",
        tail="ORDER BY piece.tag",
    )


def occupied_stations(session: Session) -> list[int]:
    """Every station where a piece stands."""
    rows = session.rows(
        "SELECT DISTINCT place.station_id FROM place JOIN piece ON piece.place_id = place.id"
        " WHERE place.station_id IS NOT NULL ORDER BY place.station_id"
    )
    return [int(row[0]) for row in rows]


def adapters_among(session: Session, cards: Iterable[PieceCard]) -> list[MountedAdapter]:
    """The adapters among some pieces, with the seats they join."""
    adapters = [card for card in cards if card.role in ADAPTERS]
    presented: dict[int, tuple[str, float | None]] = {
        row[0]: (row[1], row[2])
        for marks, some in in_lists(card.kind_id for card in adapters)
        for row in session.rows(
            "SELECT kind.id, seat.name, kind.added_height_mm FROM kind"
            " JOIN seat ON seat.id = kind.presents_seat_id"
            f" WHERE kind.id IN {marks}",
            some,
        )
    }
    return [
        MountedAdapter(
            card.tag,
            card.role.removesuffix("_adapter"),
            card.seat or "",
            *presented.get(card.kind_id, ("", None)),
        )
        for card in adapters
    ]


@dataclass(frozen=True, slots=True)
class HomeDrawer:
    """The drawer that a piece lies in, or lay in before it went elsewhere."""

    name: str
    walk_order: int


def home_drawers(session: Session, piece_ids: Iterable[int]) -> dict[int, HomeDrawer]:
    """The drawer that each of some pieces last lay in, by its ledger; none that never did."""
    return {
        row[0]: HomeDrawer(row[1], row[2])
        for marks, some in in_lists(piece_ids)
        for row in session.rows(
            "SELECT piece.id, place.name, place.walk_order FROM piece"
            " JOIN entry ON entry.id = (SELECT moved.id FROM entry AS moved"
            " JOIN place AS drawer ON drawer.id = moved.place_id AND drawer.sort = 'drawer'"
            " LEFT JOIN entry AS counter ON counter.reverses_id = moved.id"
            " WHERE moved.piece_id = piece.id AND moved.place_id IS NOT NULL"
            " AND counter.id IS NULL ORDER BY moved.shift_on DESC, moved.id DESC LIMIT 1)"
            f" JOIN place ON place.id = entry.place_id WHERE piece.id IN {marks}",
            some,
        )
    }


def handed_out_at(session: Session, piece_ids: Iterable[int]) -> dict[tuple[int, str], int]:
    """Where some pieces were when they were handed out, by piece and hold's subject.

    A piece that stayed mounted was handed out where it stood.
    """
    return {
        (row[0], row[1]): row[2]
        for marks, some in in_lists(piece_ids)
        for row in session.rows(
            "SELECT entry.piece_id, entry.subject, entry.place_id FROM entry"
            " LEFT JOIN entry AS counter ON counter.reverses_id = entry.id"
            f" WHERE entry.piece_id IN {marks} AND entry.action = 'move'"
            " AND entry.subject LIKE 'hold % out' AND counter.id IS NULL ORDER BY entry.id",
            some,
        )
    }


def last_drawer(session: Session, piece_id: int) -> PlaceCard | None:
    """The drawer that a piece last lay in, by its ledger."""
    row = session.row(
        "SELECT place.id, place.name, place.sort, place.station_id, place.site_id FROM entry"
        " JOIN place ON place.id = entry.place_id AND place.sort = 'drawer'"
        " LEFT JOIN entry AS counter ON counter.reverses_id = entry.id"
        " WHERE entry.piece_id = ? AND counter.id IS NULL"
        " ORDER BY entry.shift_on DESC, entry.id DESC LIMIT 1",
        (piece_id,),
    )
    return PlaceCard(**dict(row)) if row else None
