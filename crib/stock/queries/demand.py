"""What buying looks at: stock of each kind, use, offers, open orders and wants.

Use is read through the ledger's index on piece and moment: only for the kinds that are asked about,
only of the last year, and at most so many entries of a piece, so that the cost does not grow with
the ledger. Pieces and kinds are walked whole; there are thousands of them, not millions.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from itertools import groupby
from operator import itemgetter
from typing import Any

from crib.features.common.tool_spec import ToolSpec
from crib.stock.engine.engine import Row
from crib.stock.engine.in_lists import asked_tables, marks
from crib.stock.engine.session import Session
from crib.stock.queries.kind_specs import all_kind_specs
from crib.stock.queries.newest_strokes import first_shift, newest_strokes
from crib.stock.queries.order_specs import read_spec
from crib.stock.queries.pieces import at_site

YEAR_DAYS = 365
LEAST_OBSERVED_DAYS = 30
MOST_ENTRIES = 500
"""Entries read of one piece; a piece with more in a year is judged by its newest ones."""

GONE = ("broken", "lost", "retired")


@dataclass(frozen=True, slots=True)
class KindStock:
    """A kind with what the crib has of it. ``held`` pieces wait to be looked at.

    Its specification is kept for a material when all its pieces are.
    """

    id: int
    name: str
    role: str
    shape: str
    width_mm: float | None
    long_mm: float | None
    seat: str | None
    length_mm: float | None
    least_length_mm: float | None
    regrind_mm: float | None
    edges: int
    interval_strokes: int | None
    price_cents: int | None
    lead_days: int | None
    supplier: str
    least_count: int
    sound: int
    held: int
    strokes_total: int
    latest_on: str
    spec: ToolSpec
    learned_strokes: int | None = None


@dataclass(frozen=True, slots=True)
class KindUse:
    """How a kind was used in the days that the crib looked on, a year at most.

    ``shifts`` are those in which it made strokes.
    """

    strokes_per_day: float = 0.0
    weighted_per_day: float = 0.0
    uses_per_week: float = 0.0
    observed_days: int = YEAR_DAYS
    most_thickness_mm: float | None = None
    material: str = ""
    shifts: int = 0

    @property
    def strokes(self) -> int:
        """Strokes in the days that were looked at."""
        return round(self.strokes_per_day * self.observed_days)


@dataclass(frozen=True, slots=True)
class OfferRow:
    """What a supplier asks for one of a kind, from a quantity up, in whole packs.

    ``to_drawing``: made for us by a drawing, so that nobody takes it back.
    """

    supplier: str
    pack_size: int
    from_quantity: int
    price_cents: int
    lead_days: int | None
    to_drawing: bool = False


@dataclass(frozen=True, slots=True)
class OpenOrder:
    """Something ordered of which some is still to come; ``spec`` as far as it was kept.

    ``lead_days`` are those of its kind's record.
    """

    kind_id: int | None
    kind: str | None
    text: str
    supplier: str
    quantity: int
    ordered_on: str
    needed_by: str
    spec: ToolSpec | None = None
    number: str = ""
    lead_days: int | None = None


@dataclass(frozen=True, slots=True)
class Nameplate:
    """A station by its work and as a supplier knows it: machine, station, nameplate."""

    work: str
    label: str


@dataclass(frozen=True, slots=True)
class WantRow:
    """An open want, with the day its job is due when that is known.

    A planned one is a feature of an open job that was not asked for yet.
    """

    id: int
    ask: str
    job: str
    quantity: int
    times_asked: int
    first_at: str
    last_at: str
    missing: str
    due_on: str
    planned: bool = False


@dataclass(slots=True)
class _Reading:
    """The strokes of one kind as its pieces are read."""

    strokes_per_day: float = 0.0
    weighted_per_day: float = 0.0
    uses_per_week: float = 0.0
    days: set[str] = field(default_factory=set)
    thickest: tuple[float, str] | None = None

    def add(self, rows: Sequence[Row], today: date, observed_days: int) -> None:
        """Count the entries of one piece."""
        days = {row["shift_on"] for row in rows}
        span = observed_days
        if len(rows) == MOST_ENTRIES:
            span = max((today - date.fromisoformat(min(days))).days, 1)
            self.uses_per_week = max(self.uses_per_week, 7 * len(days) / span)
        self.days |= days
        self.strokes_per_day += sum(row["quantity"] for row in rows) / span
        self.weighted_per_day += sum(row["weighted_milli"] for row in rows) / 1000 / span
        for row in rows:
            if row["thickness_mm"] and row["thickness_mm"] > (self.thickest or (0.0, ""))[0]:
                self.thickest = (row["thickness_mm"], row["material"])

    def use(self, observed_days: int) -> KindUse:
        """What the readings amount to."""
        thickness_mm, material = self.thickest or (None, "")
        # In whole weeks: 52 uses in 365 days are one a week.
        uses_per_week = max(self.uses_per_week, len(self.days) / (observed_days // 7))
        return KindUse(
            self.strokes_per_day,
            self.weighted_per_day,
            uses_per_week,
            observed_days,
            thickness_mm,
            material,
            len(self.days),
        )


def kinds_with_stock(session: Session) -> list[KindStock]:
    """Every kind, what it is and what there is of it."""
    specs = {kind.id: kind.spec for kind in all_kind_specs(session)}
    rows = session.rows(_kinds_sql(_pieces_for(session)))
    return [_with_spec(dict(row), specs[row["id"]]) for row in rows]


def _kinds_sql(which: str) -> str:
    """Every kind with what there is of it, of some pieces."""
    return f"""
    SELECT kind.id, kind.name, kind.role, kind.shape, kind.width_mm, kind.long_mm,
        seat.name AS seat, kind.length_mm, kind.least_length_mm,
        kind.regrind_mm, kind.edges, kind.interval_strokes, kind.learned_strokes, kind.price_cents,
        kind.lead_days, kind.supplier, kind.least_count, coalesce(owned.sound, 0) AS sound,
        coalesce(owned.held, 0) AS held, coalesce(owned.strokes, 0) AS strokes_total,
        coalesce(owned.latest_on, '') AS latest_on, coalesce(owned.dedicated_to, '') AS dedicated_to
    FROM kind LEFT JOIN seat ON seat.id = kind.seat_id
    LEFT JOIN (
        SELECT kind_id, count(*) FILTER (WHERE condition = 'sound') AS sound,
            count(*) FILTER (WHERE condition IN ('inspect', 'locked')) AS held,
            sum(strokes_total) AS strokes,
            max(latest_on) AS latest_on,
            CASE WHEN min(dedicated_to) = max(dedicated_to) THEN min(dedicated_to) END
                AS dedicated_to
        FROM piece {which} GROUP BY kind_id
    ) AS owned ON owned.kind_id = kind.id
    ORDER BY kind.id
"""


def _pieces_for(session: Session) -> str:
    """The pieces that are at the asker's site or on the way to it, or all of them."""
    if session.site is None:
        return ""
    site = f"{session.site:d}"
    comes = f"coalesce(place.to_site_id, place.site_id, {site}) = {site}"
    return f"LEFT JOIN place ON place.id = piece.place_id WHERE {comes}"


def sound_elsewhere(session: Session) -> dict[int, list[tuple[int, int]]]:
    """The sites beside the asker's where sound pieces of a kind lie, and how many, by kind."""
    found: dict[int, list[tuple[int, int]]] = {}
    for kind_id, site_id, count in session.rows(
        "SELECT piece.kind_id, place.site_id, count(*) FROM piece"
        " JOIN place ON place.id = piece.place_id WHERE piece.condition = 'sound'"
        " AND place.site_id <> ? AND place.sort <> 'way'"
        " GROUP BY piece.kind_id, place.site_id ORDER BY piece.kind_id, place.site_id",
        (session.site,),
    ):
        found.setdefault(kind_id, []).append((site_id, count))
    return found


def _with_spec(row: dict[str, Any], spec: ToolSpec) -> KindStock:
    kept_for = row.pop("dedicated_to")
    return KindStock(**row, spec=replace(spec, dedicated_to=kept_for) if kept_for else spec)


def observed_days(session: Session, today: date) -> int:
    """For how many days the crib has looked on: since its first entry, 30 to 365."""
    first = first_shift(session)
    days = (today - date.fromisoformat(first)).days if first else 0
    return min(max(days, LEAST_OBSERVED_DAYS), YEAR_DAYS)


def recent_use(session: Session, kind_ids: Iterable[int], today: date) -> dict[int, KindUse]:
    """The use of some kinds in the last year, by the shifts their strokes were made in."""
    since = (today - timedelta(days=YEAR_DAYS)).isoformat()
    looked_on = observed_days(session, today)
    readings: dict[int, _Reading] = {}
    for (kind_id, _piece_id), rows in groupby(
        _strokes(session, kind_ids, since), key=itemgetter("kind_id", "piece_id")
    ):
        readings.setdefault(kind_id, _Reading()).add(list(rows), today, looked_on)
    return {kind_id: reading.use(looked_on) for kind_id, reading in readings.items()}


def _strokes(session: Session, kind_ids: Iterable[int], since: str) -> Iterator[Row]:
    """The newest entries of the pieces of some kinds, piece by piece."""
    hint, rows = session.engine.hint, [(kind_id, since) for kind_id in kind_ids]
    here = _pieces_for(session).partition("WHERE ")[2]
    at, only = (
        ("LEFT JOIN place ON place.id = piece.place_id", f" WHERE {here}") if here else ("", "")
    )
    for asked, values in asked_tables({"kind_id": "INTEGER", "since": "TEXT"}, rows):
        yield from session.each(
            f"{asked} SELECT piece.kind_id, piece.id AS piece_id, entry.quantity,"
            " entry.weighted_milli, entry.shift_on, entry.thickness_mm, entry.material"
            f" FROM asked {hint.then_join} piece ON piece.kind_id = asked.kind_id"
            " AND piece.strokes_total > 0 AND piece.latest_on >= asked.since"
            f" {at} {hint.join_each('entry', newest_strokes('asked.since', MOST_ENTRIES))}{only}"
            " ORDER BY piece.kind_id, piece.condition, piece.wear_milli, piece.id,"
            " entry.made_at DESC, entry.id DESC",
            values,
        )


def gone_since(session: Session, day: date) -> dict[int, list[tuple[str, str]]]:
    """Tags and conditions of the pieces that broke, got lost or were retired since a day."""
    found: dict[int, list[tuple[str, str]]] = {}
    for row in session.rows(
        f"SELECT kind_id, tag, condition FROM piece LEFT JOIN place ON place.id = piece.place_id"
        f" WHERE condition IN {marks(GONE)} AND changed_on >= ? AND {at_site(session.site)}"
        " ORDER BY tag",
        (*GONE, day.isoformat()),
    ):
        found.setdefault(row["kind_id"], []).append((row["tag"], row["condition"]))
    return found


def offers_by_kind(session: Session) -> dict[int, list[OfferRow]]:
    """Every offer, by kind."""
    found: dict[int, list[OfferRow]] = {}
    for row in session.rows(
        "SELECT kind_id, supplier, pack_size, from_quantity, price_cents, lead_days, to_drawing"
        " FROM offer ORDER BY kind_id, supplier, from_quantity"
    ):
        values = {**dict(row), "to_drawing": bool(row["to_drawing"])}
        found.setdefault(values.pop("kind_id"), []).append(OfferRow(**values))
    return found


def open_orders(session: Session) -> list[OpenOrder]:
    """Every order line of which some is still to come, the oldest first."""
    rows = session.rows(
        "SELECT order_line.kind_id, kind.name AS kind, order_line.text, order_line.supplier,"
        " order_line.quantity - order_line.received AS quantity, order_line.ordered_on,"
        " order_line.needed_by, order_line.specification, coalesce(purchase.number, '') AS number,"
        " kind.lead_days FROM order_line"
        " LEFT JOIN kind ON kind.id = order_line.kind_id"
        " LEFT JOIN purchase ON purchase.id = order_line.purchase_id"
        " WHERE order_line.open AND order_line.received < order_line.quantity"
        f" AND {for_site('order_line', session.site)}"
        " ORDER BY order_line.ordered_on, order_line.id"
    )
    return [_open_order(dict(row)) for row in rows]


def for_site(table: str, site_id: int | None) -> str:
    """That a row is for a site, or nobody said for which; or any row for the whole company."""
    return "TRUE" if site_id is None else f"coalesce({table}.site_id, {site_id:d}) = {site_id:d}"


def _open_order(row: dict[str, Any]) -> OpenOrder:
    spec = read_spec(row.pop("specification"))
    return OpenOrder(**row, spec=spec)


def open_wants(session: Session) -> list[WantRow]:
    """Every open want, the oldest first."""
    rows = session.rows(
        "SELECT want.id, want.ask, want.job, want.quantity, want.times_asked, want.first_at,"
        " want.last_at,"
        " want.missing, coalesce(job.due_on, '') AS due_on FROM want"
        " LEFT JOIN job ON job.name = want.job AND job.open WHERE want.status = 'open'"
        f" AND {for_site('want', session.site)} ORDER BY want.id"
    )
    return [WantRow(**dict(row)) for row in rows]


def nameplates_by_seat(session: Session) -> dict[str, list[Nameplate]]:
    """For each seat the stations in service that take it: as on the nameplate, adapters last."""
    found: dict[str, list[Nameplate]] = {}
    for row in session.rows(
        "SELECT seat.name AS seat, machine.name AS machine, station.name AS station, machine.plate,"
        " station.does FROM station_seat JOIN seat ON seat.id = station_seat.seat_id"
        " JOIN station ON station.id = station_seat.station_id"
        " JOIN machine ON machine.id = station.machine_id WHERE machine.in_service"
        " ORDER BY machine.name, station.name"
    ):
        plate = f" (nameplate: {row['plate']})" if row["plate"] else ""
        label = f"{row['machine']} / {row['station']}{plate}"
        found.setdefault(row["seat"], []).append(Nameplate(row["does"], label))
    direct = {seat: list(plates) for seat, plates in found.items()}
    for fits, presents in session.rows(
        "SELECT DISTINCT fits.name, presents.name FROM kind"
        " JOIN seat AS fits ON fits.id = kind.seat_id"
        " JOIN seat AS presents ON presents.id = kind.presents_seat_id ORDER BY 1, 2"
    ):
        through = [
            Nameplate(one.work, f"{one.label} by adapter from seat {fits}")
            for one in direct.get(fits, ())
        ]
        found.setdefault(presents, []).extend(through)
    return found


def labels_for(plates: Mapping[str, Sequence[Nameplate]], spec: ToolSpec) -> list[str]:
    """The stations for a tool: those that do its work, or else all that take its seat."""
    every = plates.get(spec.seat_name, ())
    fitting = [one.label for one in every if one.work == spec.work]
    return fitting or [one.label for one in every]
