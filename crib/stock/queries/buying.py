"""What buying reads beside the shelf: packages, lead times seen, use by month, unplanned lines."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from statistics import mean, median, stdev

from crib.stock.engine.session import Session

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
        return sum(one.quantity for one in self.pieces)


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


def first_shift(session: Session) -> str:
    """The day of the first entry; empty in a new crib."""
    found = session.value("SELECT shift_on FROM entry WHERE id = (SELECT min(id) FROM entry)")
    return str(found or "")


def weighted_by_month(
    session: Session, kind_ids: Iterable[int], first: date, end: date
) -> dict[int, dict[str, float]]:
    """Weighted strokes of some kinds, by month such as 2026-03, from a day to before another.

    A kind one of whose pieces has too many entries to be read at the window is left out.
    """
    found: dict[int, dict[str, float]] = {}
    for kind_id in kind_ids:
        months: dict[str, float] = {}
        if all(
            _add_months(session, piece["id"], first.isoformat(), end.isoformat(), months)
            for piece in session.rows(
                "SELECT id FROM piece WHERE kind_id = ? AND strokes_total > 0", (kind_id,)
            )
        ):
            found[kind_id] = months
    return found


def _add_months(
    session: Session, piece_id: int, first: str, end: str, months: dict[str, float]
) -> bool:
    """Add what a piece did; False when that is too much to read."""
    rows = session.rows(
        "SELECT entry.weighted_milli, entry.shift_on FROM entry"
        " LEFT JOIN entry AS counter ON counter.reverses_id = entry.id"
        " WHERE entry.piece_id = ? AND entry.made_at >= ? AND entry.action = 'strokes'"
        " AND entry.shift_on >= ? AND counter.id IS NULL"
        f" ORDER BY entry.made_at DESC LIMIT {_MOST_ENTRIES}",
        (piece_id, first, first),
    )
    for row in rows:
        if row["shift_on"] < end:
            month = row["shift_on"][:7]
            months[month] = months.get(month, 0.0) + row["weighted_milli"] / 1000
    return len(rows) < _MOST_ENTRIES


def unplanned_asks(session: Session, most: int) -> list[JobAsk]:
    """Features of open jobs that no run is planned for and that were not missed, soonest first."""
    rows = session.rows(
        "SELECT job.name, job.due_on, line.phrase, sum(line.quantity) FROM job"
        " JOIN job_line AS line ON line.job_id = job.id WHERE job.open"
        " AND NOT EXISTS (SELECT 1 FROM planned_run WHERE planned_run.job_id = job.id)"
        " AND NOT EXISTS (SELECT 1 FROM want WHERE want.job = job.name AND want.ask = line.phrase)"
        " GROUP BY job.id, line.phrase ORDER BY job.due_on = '', job.due_on, job.id, min(line.id)"
        " LIMIT ?",
        (most,),
    )
    return [JobAsk(*row) for row in rows]


def jobs_in_hand(session: Session) -> frozenset[str]:
    """The names of the open jobs."""
    return frozenset(row[0] for row in session.rows("SELECT name FROM job WHERE open"))
