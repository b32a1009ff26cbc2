"""Which tooling could serve an ask: indexed queries whose cost does not grow with the crib.

Kinds are picked by size; of each kind only the few pieces that a ranking could put first are
read (the least worn, the most worn that lasts the job) beside the mounted ones. A piece that was
measured counts by its measured size, so measured pieces are looked for by that.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from crib.features.common.ask import Need
from crib.features.common.tooling import Adapter, EnvelopeRow, Seat, Station
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import PieceCard, select_cards
from crib.words import AWAY

EACH = 4
"""How many pieces of a kind are read from either end of the wear scale."""

_AT_HAND = (
    "piece.condition = 'sound' AND coalesce(place.sort, 'drawer') NOT IN"
    f" ({', '.join(repr(sort) for sort in AWAY)})"
    " AND piece.dedicated_to IN ('', :family)"
)
# The plus keeps SQLite from starting at "every sound piece": the sizes leave far fewer.
_BY_SIZE_FIRST = _AT_HAND.replace("piece.condition", "+piece.condition")
_LONG_ENOUGH = (
    "coalesce(coalesce(piece.length_mm, kind.length_mm - piece.ground_um / 1000.0) + 0.000001"
    " >= coalesce(kind.least_length_mm, kind.length_mm - coalesce(kind.regrind_mm, :grind_mm)), 1)"
)
_LASTING_MILLI = (
    "(coalesce(kind.learned_strokes, kind.interval_strokes, :interval) - :job_strokes) * 1000"
)
_NOT_MEASURED = "piece.measured_width_mm IS NULL AND piece.measured_long_mm IS NULL"
_WIDTH_IN_RANGE = (
    "kind.role = :role AND kind.shape = :shape AND kind.profile = :profile"
    " AND kind.width_mm BETWEEN :least_width AND :most_width"
)
_OF_KIND = "+kind.role = :role AND +kind.shape = :shape AND +kind.profile = :profile"
_MOUNTED = "piece.place_id IN (SELECT id FROM place WHERE station_id IS NOT NULL)"
TWO_SIZES = ("rectangle", "obround", "special")
"""Shapes with a long side; for any other a long side says nothing."""


@dataclass(frozen=True, slots=True)
class KindRow:
    """A kind that fits a need, and how far its size is from what is aimed at [mm]."""

    id: int
    name: str
    seat: str | None
    width_mm: float
    long_mm: float
    off_mm: float


@dataclass(frozen=True, slots=True)
class Wanted:
    """What else a piece must be or should be: long enough, and lasting the job where one does."""

    interval_strokes: float = 5000.0
    job_strokes: float = 0.0
    grind_mm: float = 3.0

    def values(self) -> dict[str, float]:
        """The figures for a query."""
        return {
            "interval": self.interval_strokes,
            "job_strokes": self.job_strokes,
            "grind_mm": self.grind_mm,
        }


def stations_doing(session: Session, work: str) -> list[Station]:
    """Every station that does a sort of work, with the seats it accepts."""
    accepted: dict[int, set[str]] = {}
    for row in session.rows(
        "SELECT station_seat.station_id, seat.name FROM station_seat"
        " JOIN seat ON seat.id = station_seat.seat_id"
    ):
        accepted.setdefault(row["station_id"], set()).add(row["name"])
    proven = _envelopes(session, "station_id")
    attached = _attachments_mounted(session)
    return [
        Station(
            id=row["id"],
            machine=row["machine"],
            name=row["name"],
            work=work,
            rated_force_n=row["rated_force_n"],
            derate=row["derate"],
            throat_mm=row["throat_mm"],
            daylight_mm=row["daylight_mm"],
            seats=frozenset(accepted.get(row["id"], ())),
            in_service=bool(row["in_service"]),
            lever_mm=row["lever_mm"],
            envelope=tuple(proven.get(row["id"], ())),
            attachments=tuple(attached.get(row["id"], ())),
        )
        for row in session.rows(
            "SELECT station.*, machine.name AS machine, machine.in_service FROM station"
            " JOIN machine ON machine.id = station.machine_id WHERE station.does = ?"
            " ORDER BY machine.name, station.name",
            (work,),
        )
    ]


def envelopes_of_kinds(session: Session) -> dict[int, list[EnvelopeRow]]:
    """The envelope of every kind that has one."""
    return _envelopes(session, "kind_id")


def _envelopes(session: Session, owner: str) -> dict[int, list[EnvelopeRow]]:
    found: dict[int, list[EnvelopeRow]] = {}
    for row in session.rows(
        f"SELECT {owner}, operation, cut_angle_deg, size_mm, thickness_mm, material"
        f" FROM envelope_point WHERE {owner} IS NOT NULL"
        f" ORDER BY {owner}, operation, cut_angle_deg, size_mm"
    ):
        found.setdefault(row[0], []).append(EnvelopeRow(*tuple(row)[1:]))
    return found


def _attachments_mounted(session: Session) -> dict[int, list[str]]:
    found: dict[int, list[str]] = {}
    for row in session.rows(
        "SELECT place.station_id, piece.tag FROM place JOIN piece ON piece.place_id = place.id"
        " JOIN kind ON kind.id = piece.kind_id"
        " WHERE place.station_id IS NOT NULL AND kind.role = 'attachment' ORDER BY piece.tag"
    ):
        found.setdefault(row[0], []).append(row[1])
    return found


def mounted_at_stations(session: Session, role: str, profile: str) -> list[PieceCard]:
    """The pieces of a role and profile that stand mounted, such as the blades of a shear.

    A broken or locked one too, since it is the one that would cut.
    """
    return select_cards(
        session,
        f"{_MOUNTED} AND +kind.role = ? AND +kind.profile = ?"
        " AND piece.condition NOT IN ('lost', 'retired')",
        (role, profile),
        tail="ORDER BY piece.tag",
    )


def seats_by_name(session: Session) -> dict[str, Seat]:
    """Every seat with its numbers."""
    columns = (
        "name, head_diameter_mm, head_thickness_mm, body_diameter_mm, nut_bore_mm,"
        " punch_length_mm, die_diameter_mm, die_height_mm, nut_diameter_mm"
    )
    rows = session.rows(f"SELECT {columns}, keyed FROM seat")
    return {row["name"]: Seat(**{**dict(row), "keyed": bool(row["keyed"])}) for row in rows}


def adapters_at_hand(session: Session, family: str = "") -> tuple[Adapter, ...]:
    """Every sound adapter that is not away, nor kept for another material."""
    rows = session.rows(
        "SELECT piece.tag, kind.role, fits.name AS fits, presents.name AS presents,"
        " kind.rated_force_n, place.name AS place FROM kind"
        " JOIN piece ON piece.kind_id = kind.id JOIN seat AS fits ON fits.id = kind.seat_id"
        " JOIN seat AS presents ON presents.id = kind.presents_seat_id"
        " LEFT JOIN place ON place.id = piece.place_id"
        " WHERE kind.role IN ('punch_adapter', 'die_adapter', 'attachment')"
        f" AND {_BY_SIZE_FIRST} ORDER BY piece.tag",
        {"family": family},
    )
    return tuple(
        Adapter(
            row["tag"],
            row["role"],
            row["fits"],
            row["presents"],
            row["rated_force_n"],
            row["place"] or "nowhere",
        )
        for row in rows
    )


def kinds_for(session: Session, need: Need, seats: Iterable[str] | None = None) -> list[KindRow]:
    """The kinds whose size could serve, the closest to the aim first.

    With ``seats``, only kinds that seat in one of them.
    """
    rows = session.rows(
        "SELECT kind.id, kind.name, seat.name AS seat, kind.width_mm,"
        " coalesce(kind.long_mm, kind.width_mm) AS long_mm,"
        " abs(kind.width_mm - :aim) AS off_mm"
        " FROM kind LEFT JOIN seat ON seat.id = kind.seat_id"
        f" WHERE {_in_range(need)} ORDER BY off_mm, kind.id",
        _range(need),
    )
    wanted = None if seats is None else set(seats)
    return [KindRow(**dict(row)) for row in rows if wanted is None or row["seat"] in wanted]


def usable_pieces(
    session: Session, kind: KindRow, family: str, wanted: Wanted | None = None
) -> list[PieceCard]:
    """The few pieces of a kind that a ranking could put first."""
    wanted = wanted or Wanted()
    where = f"piece.kind_id = :kind AND {_NOT_MEASURED} AND {_AT_HAND} AND {_LONG_ENOUGH}"
    values = {"kind": kind.id, "family": family, **wanted.values()}
    found = select_cards(session, where, values, tail=f"ORDER BY piece.wear_milli LIMIT {EACH}")
    if len(found) == EACH:
        lasting = f"{where} AND piece.wear_milli <= {_LASTING_MILLI}"
        tail = f"ORDER BY piece.wear_milli DESC LIMIT {EACH}"
        found += select_cards(session, lasting, values, tail=tail)
    return list({card.tag: card for card in found}.values())


def measured_pieces(
    session: Session, need: Need, family: str, wanted: Wanted | None = None, most: int = -1
) -> list[PieceCard]:
    """The measured pieces at hand whose size, measured over nominal, could serve.

    With ``most``, only so many of each sort that a ranking could put first.
    """
    at_hand = f"{_OF_KIND} AND {_BY_SIZE_FIRST} AND {_LONG_ENOUGH}"
    width = "piece.measured_width_mm BETWEEN :least_width AND :most_width"
    values = {**_range(need), "family": family, **(wanted or Wanted()).values()}
    if need.shape not in TWO_SIZES:
        return _least_worn_first(_near_or_mounted(session, f"{width} AND {at_hand}", values, most))
    long = (
        "coalesce(piece.measured_long_mm, kind.long_mm, piece.measured_width_mm, kind.width_mm)"
        " BETWEEN :least_long AND :most_long"
    )
    only_long = (
        "piece.measured_width_mm IS NULL AND piece.measured_long_mm IS NOT NULL"
        " AND kind.width_mm BETWEEN :least_width AND :most_width"
    )
    by_kind = at_hand.replace("+kind", "kind")
    return _least_worn_first(
        [
            *_near_or_mounted(session, f"{width} AND {long} AND {at_hand}", values, most),
            *_near_or_mounted(session, f"{only_long} AND {long} AND {by_kind}", values, most),
        ]
    )


def _near_or_mounted(
    session: Session, where: str, values: dict[str, Any], most: int
) -> list[PieceCard]:
    """All of them, or the nearest, the least worn, the most worn that last, and the mounted."""
    off = "abs(coalesce(piece.measured_width_mm, kind.width_mm) - :aim)"
    found = select_cards(
        session, where, values, tail=f"ORDER BY {off}, piece.wear_milli LIMIT {most}"
    )
    if len(found) == most:
        lasting = f"piece.wear_milli <= {_LASTING_MILLI}"
        mounted = _MOUNTED.replace("piece", "+piece", 1)
        worn = f"ORDER BY +piece.wear_milli DESC LIMIT {most}"
        found += select_cards(
            session, where, values, tail=f"ORDER BY +piece.wear_milli LIMIT {most}"
        )
        found += select_cards(session, f"{where} AND +{lasting}", values, tail=worn)
        found += select_cards(session, f"{where} AND {mounted}", values)
    return list({card.tag: card for card in found}.values())


def _least_worn_first(cards: list[PieceCard]) -> list[PieceCard]:
    return sorted(cards, key=lambda card: (card.wear_milli, card.tag))


def mounted_pieces(
    session: Session, need: Need, family: str, wanted: Wanted | None = None
) -> list[PieceCard]:
    """The pieces of a role and shape that stand mounted in some station, by their nominal size."""
    where = f"{_MOUNTED} AND {_OF_KIND} AND {_NOT_MEASURED} AND {_BY_SIZE_FIRST} AND {_LONG_ENOUGH}"
    values = {**_range(need), "family": family, **(wanted or Wanted()).values()}
    return select_cards(session, where, values, tail="ORDER BY piece.tag")


def any_pieces(session: Session, need: Need, family: str, most: int) -> list[PieceCard]:
    """Pieces that fit or could, whatever their condition, place or seat; retired ones left out.

    Half of them from what is at hand and half from what is not, so that neither hides the other.
    """
    values = {**_range(need), "family": family}
    tail = (
        f"ORDER BY abs(coalesce(piece.measured_width_mm, kind.width_mm) - :aim) LIMIT {most // 2}"
    )
    found: dict[str, PieceCard] = {}
    for which in (_BY_SIZE_FIRST, f"NOT ({_AT_HAND}) AND piece.condition <> 'retired'"):
        condition = f"{_in_range(need)} AND {which}"
        for card in select_cards(session, condition, values, tail=tail):
            found[card.tag] = card
    measured = (
        f"piece.measured_width_mm BETWEEN :least_width AND :most_width AND {_OF_KIND}"
        " AND +piece.condition <> 'retired'"
    )
    for card in select_cards(session, measured, values, tail=tail):
        found.setdefault(card.tag, card)
    return list(found.values())


def nearest_pieces(session: Session, need: Need, most: int) -> list[PieceCard]:
    """Sound pieces of the shape nearest in size, when none is in the range.

    The nearest by width from either side, and of the wanted width the nearest by length.
    """
    found: dict[str, PieceCard] = {}
    sound = (
        "kind.role = :role AND kind.shape = :shape AND kind.profile = :profile"
        " AND piece.condition = 'sound'"
    )
    ways = (
        (
            f"{sound} AND kind.width_mm BETWEEN :least_width AND :most_width",
            "ORDER BY abs(coalesce(kind.long_mm, kind.width_mm) - :aim_long)",
        ),
        (f"{sound} AND kind.width_mm >= :aim", "ORDER BY kind.width_mm"),
        (f"{sound} AND kind.width_mm < :aim", "ORDER BY kind.width_mm DESC"),
    )
    for condition, order in ways:
        for card in select_cards(session, condition, _range(need), tail=f"{order} LIMIT {most}"):
            found.setdefault(card.tag, card)
    return list(found.values())


def count_pieces(session: Session, need: Need, step: str, family: str = "") -> int:
    """How many pieces pass a step of the funnel: role, shape, width, size, or at hand.

    Read only where nothing serves: it may look at every kind.
    """
    steps = {
        "role": "kind.role = :role",
        "shape": "kind.role = :role AND kind.shape = :shape AND kind.profile = :profile",
        "width": _WIDTH_IN_RANGE,
        "size": _in_range(need),
        "at hand": f"{_in_range(need)} AND {_AT_HAND}",
    }
    values = {**_range(need), "family": family}
    counted: int = session.value(
        "SELECT count(*) FROM kind JOIN piece ON piece.kind_id = kind.id"
        " LEFT JOIN place ON place.id = piece.place_id"
        f" WHERE piece.condition <> 'retired' AND {steps[step]}",
        values,
    )
    return counted


def _in_range(need: Need) -> str:
    """The condition that a kind's nominal size could serve."""
    if need.shape not in TWO_SIZES:
        return _WIDTH_IN_RANGE
    long = "coalesce(kind.long_mm, kind.width_mm) BETWEEN :least_long AND :most_long"
    return f"{_WIDTH_IN_RANGE} AND {long}"


def _range(need: Need) -> dict[str, float | str]:
    return {
        "role": need.role,
        "shape": need.shape,
        "profile": need.profile,
        "least_width": need.least_width_mm,
        "most_width": need.most_width_mm,
        "least_long": need.least_long_mm,
        "most_long": need.most_long_mm,
        "aim": need.aim_width_mm,
        "aim_long": (need.least_long_mm + need.most_long_mm) / 2,
    }
