"""What buying reads beside the shelf: packages, lead times seen, use by month, unplanned lines."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from itertools import groupby
from operator import itemgetter
from statistics import mean, median, stdev

from crib.stock.engine.in_lists import asked_tables
from crib.stock.engine.session import Session
from crib.stock.queries.demand import for_site
from crib.stock.queries.newest_strokes import newest_strokes

_MOST_SEEN = 20
"""Deliveries of one supplier that are looked at: the latest."""
_MOST_ENTRIES = 2_000
"""Entries read of one piece for its months; of a piece with more the months are not told."""


@dataclass(frozen=True, slots=True)
class BundlePiece:
    """A kind of a package, and how many of it."""

    kind_id: int
    kind: str
    quantity: int


@dataclass(frozen=True, slots=True)
class BundleRow:
    """A package of kinds at one price."""

    id: int
    supplier: str
    name: str
    price_cents: int
    lead_days: int | None
    pieces: tuple[BundlePiece, ...]

    @property
    def count(self) -> int:
        """How many pieces come with it."""
        return sum(piece.quantity for piece in self.pieces)


@dataclass(frozen=True, slots=True)
class LeadSeen:
    """How long a supplier took: middle, mean and spread of his latest deliveries."""

    deliveries: int
    days: int
    mean_days: float
    sd_days: float


@dataclass(frozen=True, slots=True)
class JobAsk:
    """Features of an open job for which there is neither a run nor a want."""

    job: str
    due_on: str
    phrase: str
    quantity: int


def bundles(session: Session) -> list[BundleRow]:
    """Every package with its kinds."""
    pieces: dict[int, list[BundlePiece]] = {}
    for row in session.rows(
        "SELECT bundle_line.bundle_id, bundle_line.kind_id, kind.name, bundle_line.quantity"
        " FROM bundle_line JOIN kind ON kind.id = bundle_line.kind_id"
        " ORDER BY bundle_line.bundle_id, bundle_line.kind_id"
    ):
        pieces.setdefault(row[0], []).append(BundlePiece(*tuple(row)[1:]))
    rows = session.rows("SELECT id, supplier, name, price_cents, lead_days FROM bundle ORDER BY id")
    return [
        BundleRow(**dict(row), pieces=tuple(pieces[row["id"]]))
        for row in rows
        if row["id"] in pieces
    ]


def lead_times_seen(session: Session) -> dict[str, LeadSeen]:
    """How long each supplier took from order to delivery."""
    seen: dict[str, list[int]] = {}
    for supplier, days in session.rows(
        "SELECT purchase.supplier, receipt.lead_days FROM receipt"
        " JOIN order_line ON order_line.id = receipt.order_line_id"
        " JOIN purchase ON purchase.id = order_line.purchase_id"
        " WHERE receipt.quantity > 0 AND receipt.lead_days IS NOT NULL ORDER BY receipt.id DESC"
    ):
        if len(seen.setdefault(supplier, [])) < _MOST_SEEN:
            seen[supplier].append(days)
    return {
        supplier: LeadSeen(
            len(days), round(median(days)), mean(days), stdev(days) if len(days) > 1 else 0.0
        )
        for supplier, days in seen.items()
    }


def weighted_by_month(
    session: Session, kind_ids: Iterable[int], first: date, end: date
) -> dict[int, dict[str, float]]:
    """Weighted strokes of some kinds, by month such as 2026-03, from a day to before another.

    A kind one of whose pieces has too many entries to be read at the window is left out.
    """
    months: dict[int, dict[str, float]] = {kind_id: {} for kind_id in kind_ids}
    for kind_id, by_month, lines in _months_of_pieces(session, months, first, end):
        own = months.get(kind_id)
        if lines >= _MOST_ENTRIES:
            months.pop(kind_id, None)
        elif own is not None:
            for month, weighted in by_month.items():
                own[month] = own.get(month, 0.0) + weighted
    return months


def _months_of_pieces(
    session: Session, kind_ids: Iterable[int], first: date, end: date
) -> Iterator[tuple[int, dict[str, float], int]]:
    """Of each piece of some kinds: its kind, what it did in each month, and how many entries."""
    hint, since = session.engine.hint, first.isoformat()
    rows = [(kind_id, since, end.isoformat()) for kind_id in kind_ids]
    columns = {"kind_id": "INTEGER", "since": "TEXT", "until": "TEXT"}
    for asked, values in asked_tables(columns, rows):
        entries = session.each(
            f"{asked} SELECT piece.kind_id, piece.id, substr(entry.shift_on, 1, 7), count(*),"
            " coalesce(sum(entry.weighted_milli) FILTER (WHERE entry.shift_on < asked.until), 0)"
            f" FROM asked {hint.then_join} piece ON piece.kind_id = asked.kind_id"
            " AND piece.strokes_total > 0"
            f" {hint.join_each('entry', newest_strokes('asked.since', _MOST_ENTRIES))}"
            " GROUP BY piece.kind_id, piece.id, substr(entry.shift_on, 1, 7)"
            " ORDER BY piece.kind_id, piece.id, substr(entry.shift_on, 1, 7)",
            values,
        )
        for (kind_id, _piece_id), own in groupby(entries, key=itemgetter(0, 1)):
            months = list(own)
            by_month = {row[2]: row[4] / 1000 for row in months if row[4]}
            yield kind_id, by_month, sum(row[3] for row in months)


def unplanned_asks(session: Session, most: int) -> list[JobAsk]:
    """Features of open jobs that no run is planned for and that were not missed, soonest first."""
    rows = session.rows(
        "SELECT job.name, job.due_on, line.phrase, sum(line.quantity) FROM job"
        " JOIN job_line AS line ON line.job_id = job.id WHERE job.open"
        " AND NOT EXISTS (SELECT 1 FROM planned_run WHERE planned_run.job_id = job.id)"
        " AND NOT EXISTS (SELECT 1 FROM want WHERE want.job = job.name AND want.ask = line.phrase)"
        f" AND {for_site('job', session.site)}"
        " GROUP BY job.id, line.phrase ORDER BY job.due_on = '', job.due_on, job.id, min(line.id)"
        " LIMIT ?",
        (most,),
    )
    return [JobAsk(*row) for row in rows]


def jobs_in_hand(session: Session) -> frozenset[str]:
    """The names of the open jobs."""
    return frozenset(row[0] for row in session.rows("SELECT name FROM job WHERE open"))


def orders_state(session: Session) -> tuple[int, ...]:
    """What changes with every line that is ordered, cancelled or received."""
    row = session.row(
        "SELECT count(*) AS lines, coalesce(max(id), 0) AS newest,"
        " coalesce(sum(received), 0) AS received, count(*) FILTER (WHERE open) AS open"
        " FROM order_line"
    )
    return tuple(row) if row else ()


def supplier_addresses(session: Session) -> dict[str, str]:
    """The address of each supplier that has one, by its name in small letters."""
    rows = session.rows("SELECT name, address FROM supplier WHERE address <> ''")
    return {row["name"].casefold(): row["address"] for row in rows}
