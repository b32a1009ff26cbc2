"""The ledger: entries are added, never changed, never erased; running totals move with them.

A piece's totals are what its effective entries amount to when they are taken in the order of
their shift date (then of writing). An entry is effective unless another entry reverses it. So

* a late shift, typed after the grind that followed it, counts against the edge it was made with;
* undoing is adding a counter-entry and taking the rest again;
* ``rebuild`` can prove the running totals from the ledger alone.

Stroke weights are whole thousandths, so sums do not depend on their order.
"""

from __future__ import annotations

import os
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, fields, replace
from datetime import UTC, date, datetime
from typing import Any

from crib.errors import Refused, UnknownName
from crib.stock.session import Row, Session

EDGE_ACTIONS = ("grind", "turn")
STATE_COLUMNS = (
    "place_id",
    "condition",
    "length_mm",
    "measured_width_mm",
    "measured_long_mm",
    "edge",
    "acknowledged",
)


@dataclass(frozen=True, slots=True)
class Stamp:
    """Who makes an act, when, and for which shift."""

    person_id: int
    made_at: str
    shift_on: str
    act: str


@dataclass(frozen=True, slots=True)
class NewEntry:
    """One line to be written. A column left None leaves that part of the piece as it was."""

    action: str
    piece_id: int | None = None
    quantity: int = 0
    weighted_milli: int = 0
    strokes_edge: int = 0
    severity: float | None = None
    estimate: bool = False
    material: str = ""
    thickness_mm: float | None = None
    job: str = ""
    place_id: int | None = None
    condition: str | None = None
    length_mm: float | None = None
    ground_um: int = 0
    measured_width_mm: float | None = None
    measured_long_mm: float | None = None
    edge: int | None = None
    acknowledged: str | None = None
    note: str = ""
    reverses_id: int | None = None


@dataclass(frozen=True, slots=True)
class Totals:
    """What the ledger says of one piece. A piece that was never added counts as retired."""

    place_id: int | None = None
    condition: str = "retired"
    measured_width_mm: float | None = None
    measured_long_mm: float | None = None
    length_mm: float | None = None
    edge: int = 1
    wear_milli: int = 0
    strokes_edge: int = 0
    strokes_total: int = 0
    grinds: int = 0
    ground_um: int = 0
    acknowledged: str = ""
    deferred: bool = False
    changed_on: str = ""
    latest_on: str = ""


@dataclass(frozen=True, slots=True)
class Difference:
    """A running total that the ledger does not bear out."""

    tag: str
    total: str
    running: Any
    rebuilt: Any


TOTAL_NAMES = tuple(one.name for one in fields(Totals))
_ENTRY_NAMES = tuple(one.name for one in fields(NewEntry))
_INSERT = (
    f"INSERT INTO entry (act, person_id, made_at, shift_on, {', '.join(_ENTRY_NAMES)})"
    f" VALUES ({', '.join('?' * (4 + len(_ENTRY_NAMES)))})"
)
_UPDATE = f"UPDATE piece SET {', '.join(f'{n} = :{n}' for n in TOTAL_NAMES)} WHERE id = :id"
_EFFECTIVE = (
    "FROM entry LEFT JOIN entry AS counter ON counter.reverses_id = entry.id"
    " WHERE counter.id IS NULL AND entry.action <> 'reverse'"
)


def new_stamp(
    person_id: int, *, shift_on: date | None = None, now: datetime | None = None
) -> Stamp:
    """A stamp for one act. ``now`` is the machine's clock unless a caller sets it.

    Raises:
        Refused: for a shift in the future.
    """
    moment = now or datetime.now(UTC)
    today = moment.astimezone().date()
    shift = shift_on or today
    if shift > today:
        message = f"shift date {shift.isoformat()} is after today, {today.isoformat()}"
        raise Refused(message, way_out="give the day the work was done, as YYYY-MM-DD")
    made_at = moment.astimezone(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")
    return Stamp(person_id, made_at, shift.isoformat(), os.urandom(8).hex())


def write(session: Session, stamp: Stamp, entries: Sequence[NewEntry]) -> None:
    """Add entries and move the running totals, in one transaction.

    Raises:
        CribBusy: when the write lock is not to be had; nothing is written then.
    """
    with session.writing():
        _insert(session, stamp, entries)
        strokes: dict[int, list[NewEntry]] = defaultdict(list)
        others: dict[int, list[NewEntry]] = defaultdict(list)
        for entry in entries:
            if entry.piece_id is not None:
                group = strokes if entry.action == "strokes" else others
                group[entry.piece_id].append(entry)
        _move_totals(session, stamp, strokes, others)


def _insert(session: Session, stamp: Stamp, entries: Sequence[NewEntry]) -> None:
    head = (stamp.act, stamp.person_id, stamp.made_at, stamp.shift_on)
    session.run_many(
        _INSERT, ((*head, *(getattr(entry, name) for name in _ENTRY_NAMES)) for entry in entries)
    )


def _move_totals(
    session: Session,
    stamp: Stamp,
    strokes: Mapping[int, list[NewEntry]],
    others: Mapping[int, list[NewEntry]],
) -> None:
    """Move plain strokes by their sums; step through the rest; refold what is out of order."""
    sums = []
    for piece_id, logged in strokes.items():
        if piece_id not in others:
            count = sum(entry.quantity for entry in logged)
            weighted = sum(entry.weighted_milli for entry in logged)
            sums.append((weighted, count, count, stamp.shift_on, piece_id, stamp.shift_on))
    late = _add_sums(session, stamp, sums)
    for piece_id in others:
        current = _running(session, piece_id)
        if piece_id in strokes or stamp.shift_on < current.latest_on:
            late.append(piece_id)
        else:
            for entry in others[piece_id]:
                current = step(current, {**asdict(entry), "shift_on": stamp.shift_on})
            _store(session, piece_id, current)
    for piece_id in late:
        refold(session, piece_id)


def _add_sums(
    session: Session, stamp: Stamp, sums: list[tuple[int, int, int, str, int, str]]
) -> list[int]:
    """Add stroke sums where nothing later changed the edge; return the pieces that must refold."""
    late = [
        row[4]
        for row in sums
        if session.value("SELECT changed_on > ? FROM piece WHERE id = ?", (stamp.shift_on, row[4]))
    ]
    out_of_order = set(late)
    session.run_many(
        "UPDATE piece SET wear_milli = wear_milli + ?, strokes_edge = strokes_edge + ?,"
        " strokes_total = strokes_total + ?, latest_on = max(latest_on, ?) WHERE id = ?",
        (row[:5] for row in sums if row[4] not in out_of_order),
    )
    return late


def step(totals: Totals, entry: Mapping[str, Any] | Row) -> Totals:
    """What one effective entry makes of a piece's totals."""
    action, shift_on = entry["action"], entry["shift_on"]
    changes: dict[str, Any] = {
        name: entry[name] for name in STATE_COLUMNS if entry[name] is not None
    }
    changes["latest_on"] = max(totals.latest_on, shift_on)
    if action != "strokes":
        changes["changed_on"] = max(totals.changed_on, shift_on)
    if action in EDGE_ACTIONS:
        changes |= {"wear_milli": 0, "strokes_edge": 0, "acknowledged": "", "deferred": False}
    if action == "grind":
        changes["grinds"] = totals.grinds + 1
        changes["ground_um"] = totals.ground_um + entry["ground_um"]
    if action == "defer":
        changes["deferred"] = True
    if action in ("strokes", "add"):
        since_grind = entry["quantity"] if action == "strokes" else entry["strokes_edge"]
        changes["wear_milli"] = totals.wear_milli + entry["weighted_milli"]
        changes["strokes_edge"] = totals.strokes_edge + since_grind
        changes["strokes_total"] = totals.strokes_total + entry["quantity"]
    if action == "add":
        changes["ground_um"] = totals.ground_um + entry["ground_um"]
    return replace(totals, **changes)


def refold(session: Session, piece_id: int) -> Totals:
    """Take a piece's effective entries again, in order, and store what they amount to."""
    totals = Totals()
    for entry in session.rows(
        f"SELECT entry.* {_EFFECTIVE} AND entry.piece_id = ? ORDER BY entry.shift_on, entry.id",
        (piece_id,),
    ):
        totals = step(totals, entry)
    _store(session, piece_id, totals)
    return totals


def rebuild(session: Session) -> list[Difference]:
    """Fold the whole ledger and list every running total that it does not bear out.

    Reads only.
    """
    found: list[Difference] = []
    folded = dict(_fold_all(session))
    for row in session.connection.execute(f"SELECT id, tag, {', '.join(TOTAL_NAMES)} FROM piece"):
        totals = folded.get(row["id"], Totals())
        for name in TOTAL_NAMES:
            if row[name] != getattr(totals, name):
                found.append(Difference(row["tag"], name, row[name], getattr(totals, name)))
    return found


def _fold_all(session: Session) -> Iterator[tuple[int, Totals]]:
    current: int | None = None
    totals = Totals()
    for entry in session.connection.execute(
        f"SELECT entry.* {_EFFECTIVE} AND entry.piece_id IS NOT NULL"
        " ORDER BY entry.piece_id, entry.shift_on, entry.id"
    ):
        if entry["piece_id"] != current:
            if current is not None:
                yield current, totals
            current, totals = entry["piece_id"], Totals()
        totals = step(totals, entry)
    if current is not None:
        yield current, totals


def reverse(session: Session, stamp: Stamp, entry_ids: Iterable[int], why: str) -> list[int]:
    """Take entries back by counter-entries. Returns the pieces whose totals moved.

    Raises:
        UnknownName: for an entry that is not in the ledger.
        Refused: for an entry that is taken back already, or is itself a counter-entry, or brought
            in a piece that has later entries.
    """
    with session.writing():
        moved: dict[int, None] = {}
        for entry_id in entry_ids:
            entry = _reversible(session, entry_id)
            _insert(
                session,
                stamp,
                [NewEntry("reverse", entry["piece_id"], note=why, reverses_id=entry_id)],
            )
            if entry["piece_id"] is not None:
                moved[entry["piece_id"]] = None
        for piece_id in moved:
            refold(session, piece_id)
    return list(moved)


def _reversible(session: Session, entry_id: int) -> Row:
    entry = session.row("SELECT * FROM entry WHERE id = ?", (entry_id,))
    if entry is None:
        message = f"no entry {entry_id} in the ledger"
        raise UnknownName(message, way_out="`crib history` lists the entries with their numbers")
    if entry["action"] == "reverse":
        message = f"entry {entry_id} is a counter-entry; it cannot be taken back itself"
        raise Refused(message, way_out="make the entry again instead")
    if entry["action"] == "rule":
        message = f"entry {entry_id} changed a shop rule"
        raise Refused(message, way_out="set the rule again: `crib rules KEY VALUE --why ...`")
    if session.value("SELECT 1 FROM entry WHERE reverses_id = ?", (entry_id,)):
        message = f"entry {entry_id} is taken back already"
        raise Refused(message, way_out="nothing to do; `crib history` shows the counter-entry")
    if entry["action"] == "add" and session.value(
        f"SELECT 1 {_EFFECTIVE} AND entry.piece_id = ? AND entry.id <> ?",
        (entry["piece_id"], entry_id),
    ):
        message = f"entry {entry_id} brought in a piece that has later entries"
        raise Refused(message, way_out="take those back first, or `crib retire` the piece")
    return entry


def _running(session: Session, piece_id: int) -> Totals:
    row = session.row(f"SELECT {', '.join(TOTAL_NAMES)} FROM piece WHERE id = ?", (piece_id,))
    if row is None:
        message = f"no piece with number {piece_id}"
        raise UnknownName(message, way_out="`crib stock` lists the pieces")
    return Totals(**{**dict(row), "deferred": bool(row["deferred"])})


def _store(session: Session, piece_id: int, totals: Totals) -> None:
    session.run(_UPDATE, {**asdict(totals), "id": piece_id})
