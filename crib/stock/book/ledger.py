"""The ledger: entries are added, never changed, never erased; running totals move with them.

A piece's totals are what its effective entries amount to when they are taken in the order of
their shift date (then of writing); its place and condition go by the order of writing alone. An
entry is effective unless another entry reverses it. So

* a late shift, typed after the grind that followed it, counts against the edge it was made with;
* a reported break holds whatever day is said with it, until a later entry clears it;
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
from itertools import groupby
from operator import attrgetter, itemgetter
from typing import Any

from crib.acts import act, saying
from crib.errors import Refused, UnknownName
from crib.stock.book.conditions import FOR_GOOD, USABLE, WRITTEN_COLUMNS, State, read_state
from crib.stock.book.kept_factors import require_product
from crib.stock.book.seals import End, ledger_end, sealer, set_end
from crib.stock.book.totals import FOLDED_COLUMNS, TOTAL_NAMES, Totals, fold, step
from crib.stock.engine.engine import Row
from crib.stock.engine.in_lists import asked_tables, in_lists
from crib.stock.engine.session import Session


@dataclass(frozen=True, slots=True)
class Stamp:
    """Who makes an act, when, and for which shift."""

    person_id: int
    made_at: str
    shift_on: str
    act: str


@dataclass(frozen=True, slots=True)
class NewEntry:
    """One line to be written. A column left None leaves that part of the piece as it was.

    ``factors`` is what ``kept_factors`` writes.
    """

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
    found: str | None = None
    note: str = ""
    reverses_id: int | None = None
    factors: str = ""
    subject: str = ""


@dataclass(frozen=True, slots=True)
class Difference:
    """A running total that the ledger does not bear out."""

    tag: str
    total: str
    running: Any
    rebuilt: Any


@dataclass(slots=True)
class _StrokeSum:
    """Strokes of one piece in one write, and the first and last shift they are of."""

    first_on: str
    last_on: str = ""
    quantity: int = 0
    weighted_milli: int = 0

    def add(self, shift_on: str, entry: NewEntry) -> None:
        """Count one more entry."""
        if shift_on < self.first_on:
            self.first_on = shift_on
        if shift_on > self.last_on:
            self.last_on = shift_on
        self.quantity += entry.quantity
        self.weighted_milli += entry.weighted_milli


Batch = tuple[Stamp, Sequence[NewEntry]]
"""Entries that one person makes for one shift."""

_ENTRY_NAMES = tuple(one.name for one in fields(NewEntry))
_STAMP_NAMES = ("act", "person_id", "made_at", "shift_on")
_NAMES = ("id", *_STAMP_NAMES, *_ENTRY_NAMES)
_columns = attrgetter(*_ENTRY_NAMES)
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
    write_all(session, [(stamp, entries)])


def write_all(session: Session, batches: Sequence[Batch]) -> None:
    """Add the entries of several stamps, in one transaction; a piece is taken again but once.

    Raises:
        CribBusy: when the write lock is not to be had; nothing is written then.
        BadValue: for an entry that cannot stand: a column outside its limits, or factors that do
            not make the severity.
        Refused: for an entry that would bring a piece back into use whose damage it does not clear.
    """
    with session.taking_part():
        strokes: dict[int, _StrokeSum] = {}
        others: dict[int, list[tuple[str, NewEntry]]] = defaultdict(list)
        for stamp, entries in batches:
            for entry in entries:
                if entry.piece_id is not None and entry.action != "strokes":
                    others[entry.piece_id].append((stamp.shift_on, entry))
                elif entry.piece_id is not None:
                    found = strokes.get(entry.piece_id)
                    if found is None:
                        found = strokes[entry.piece_id] = _StrokeSum(stamp.shift_on)
                    found.add(stamp.shift_on, entry)
        with session.ahead(lambda: _running(session, others)):
            end, totals = ledger_end(session), _running(session, others)
        for stamp, entries in batches:
            end = _insert(session, stamp, entries, end)
        set_end(session, end)
        _move_totals(session, strokes, others, totals)
        for piece_id, own in others.items():
            _require_cleared(session, piece_id, [entry for _shift_on, entry in own])


def _insert(session: Session, stamp: Stamp, entries: Sequence[NewEntry], end: End) -> End:
    """Add entries behind the ledger's end; returns where it ends then."""
    for factors, severity in {(entry.factors, entry.severity) for entry in entries}:
        require_product(factors, severity)
    head = (stamp.act, stamp.person_id, stamp.made_at, stamp.shift_on)
    newest, last = end
    seal, rows = sealer(_NAMES), []
    for number, entry in enumerate(entries, newest + 1):
        values = (number, *head, *_columns(entry))
        last = seal(last, values)
        rows.append((*values, last))
    session.insert_many("entry", (*_NAMES, "seal"), rows)
    return newest + len(rows), last


def _move_totals(
    session: Session,
    strokes: Mapping[int, _StrokeSum],
    others: Mapping[int, list[tuple[str, NewEntry]]],
    totals: dict[int, Totals],
) -> None:
    """Move plain strokes by their sums; step through the rest; refold what is out of order."""
    plain = {piece_id: found for piece_id, found in strokes.items() if piece_id not in others}
    late = _add_sums(session, plain)
    for piece_id, current in [*totals.items()]:
        entries = others[piece_id]
        if piece_id in strokes or entries[0][0] < current.latest_on or not _in_order(entries):
            late.append(piece_id)
            del totals[piece_id]
        elif any(_brings_back(entry) for _on, entry in entries):
            late.append(piece_id)
            del totals[piece_id]
        else:
            for shift_on, entry in entries:
                current = step(current, {**asdict(entry), "shift_on": shift_on})
                current = replace(current, **_written(entry))
            totals[piece_id] = current
    _store(session, totals)
    refold_each(session, late)


def _written(entry: NewEntry) -> dict[str, Any]:
    """What an entry says of place and condition: the last one written holds."""
    said = {name: getattr(entry, name) for name in WRITTEN_COLUMNS}
    return {name: value for name, value in said.items() if value is not None}


def _brings_back(entry: NewEntry) -> bool:
    return entry.condition in USABLE and entry.action != "add"


def _require_cleared(session: Session, piece_id: int, entries: Sequence[NewEntry]) -> None:
    """Refuse what says that a damaged piece is usable and may not say so."""
    if not any(map(_brings_back, [one for one in entries if one.condition is not None][-1:])):
        return
    state = read_state(session, piece_id)
    if state.condition == "broken":
        tag = session.value("SELECT tag FROM piece WHERE id = ?", (piece_id,))
        raise still_harmed(str(tag), state)


def still_harmed(tag: str, state: State) -> Refused:
    """Why a piece cannot come back into use, and what can be done about it."""
    message = f"{tag} was reported {state.harm}"
    undo = saying("a wrong report is taken back: ", act("history", tag=tag), ", then ", act("undo"))
    if state.harm == "cracked":
        message += ": only somebody who did not report it may find it sound"
        inspected = act("look.inspected-by", tag=tag, by=None)
        return Refused(message, way_out=saying(inspected, "; ", undo))
    if state.harm in FOR_GOOD:
        message += "; a piece that is in parts never comes back into use"
        return Refused(message, way_out=saying(act("retire", tag=tag, why=None), "; ", undo))
    grind = act("grind.length", tag=tag)
    return Refused(message, way_out=saying("ground out? ", grind, "; ", undo))


def _in_order(entries: list[tuple[str, NewEntry]]) -> bool:
    shifts = [shift_on for shift_on, _entry in entries]
    return shifts == sorted(shifts)


def _add_sums(session: Session, sums: Mapping[int, _StrokeSum]) -> list[int]:
    """Add stroke sums where nothing later changed the edge; return the pieces that must refold."""
    late = _changed_after(session, [(key, found.first_on) for key, found in sums.items()])
    out_of_order = set(late)
    session.run_many(
        "UPDATE piece SET wear_milli = wear_milli + ?, strokes_edge = strokes_edge + ?,"
        " strokes_total = strokes_total + ?,"
        " latest_on = CASE WHEN latest_on < ? THEN ? ELSE latest_on END WHERE id = ?",
        (
            (
                *(found.weighted_milli, found.quantity, found.quantity),
                *(found.last_on, found.last_on, piece_id),
            )
            for piece_id, found in sums.items()
            if piece_id not in out_of_order
        ),
    )
    return late


def _changed_after(session: Session, shifts: Sequence[tuple[int, str]]) -> list[int]:
    """The pieces of which something other than strokes is of a later shift than the one given."""
    return [
        row[0]
        for asked, values in asked_tables({"id": "INTEGER", "shift_on": "TEXT"}, shifts)
        for row in session.rows(
            f"{asked} SELECT piece.id FROM asked JOIN piece ON piece.id = asked.id"
            " WHERE piece.changed_on > asked.shift_on",
            values,
        )
    ]


def refold(session: Session, piece_id: int) -> Totals:
    """Take a piece's effective entries again, in order, and store what they amount to."""
    return refold_each(session, [piece_id])[piece_id]


def refold_each(session: Session, piece_ids: Iterable[int]) -> dict[int, Totals]:
    """Take the effective entries of some pieces again, and store what they amount to."""
    totals = dict.fromkeys(piece_ids, Totals())
    for marks, some in in_lists(totals):
        entries = session.each(
            f"SELECT entry.piece_id, {FOLDED_COLUMNS} {_EFFECTIVE} AND entry.piece_id IN {marks}"
            " ORDER BY entry.piece_id, entry.shift_on, entry.id",
            some,
        )
        totals |= dict(_fold_by_piece(entries))
    _store(session, totals)
    return totals


def rebuild(session: Session) -> list[Difference]:
    """Fold the whole ledger and list every running total that it does not bear out.

    Reads only.
    """
    found: list[Difference] = []
    folded = dict(_fold_all(session))
    for row in session.each(f"SELECT id, tag, {', '.join(TOTAL_NAMES)} FROM piece"):
        totals = folded.get(row["id"], Totals())
        for name in TOTAL_NAMES:
            if row[name] != getattr(totals, name):
                found.append(Difference(row["tag"], name, row[name], getattr(totals, name)))
    return found


def _fold_all(session: Session) -> Iterator[tuple[int, Totals]]:
    entries = session.each(
        f"SELECT entry.piece_id, {FOLDED_COLUMNS} {_EFFECTIVE} AND entry.piece_id IS NOT NULL"
        " ORDER BY entry.piece_id, entry.shift_on, entry.id"
    )
    yield from _fold_by_piece(entries)


def _fold_by_piece(entries: Iterable[Row]) -> Iterator[tuple[int, Totals]]:
    """The totals of each piece from entries in its order."""
    for piece_id, own in groupby(entries, key=itemgetter("piece_id")):
        yield piece_id, fold(own)


def reverse(session: Session, stamp: Stamp, entry_ids: Iterable[int], why: str) -> list[int]:
    """Take entries back by counter-entries. Returns the pieces whose totals moved.

    Raises:
        UnknownName: for an entry that is not in the ledger.
        Refused: for an entry that is taken back already, or is itself a counter-entry, or brought
            in a piece that has later entries.
    """
    with session.writing():
        moved: dict[int, None] = {}
        end = ledger_end(session)
        for entry_id in entry_ids:
            entry = _reversible(session, entry_id)
            counter = NewEntry("reverse", entry["piece_id"], note=why, reverses_id=entry_id)
            end = _insert(session, stamp, [counter], end)
            if entry["piece_id"] is not None:
                moved[entry["piece_id"]] = None
        set_end(session, end)
        refold_each(session, moved)
    return list(moved)


def _reversible(session: Session, entry_id: int) -> Row:
    entry = session.row("SELECT * FROM entry WHERE id = ?", (entry_id,))
    if entry is None:
        message = f"no entry {entry_id} in the ledger"
        way_out = saying(act("history"), " lists the entries with their numbers")
        raise UnknownName(message, way_out=way_out)
    if entry["action"] == "reverse":
        message = f"entry {entry_id} is a counter-entry; it cannot be taken back itself"
        raise Refused(message, way_out="make the entry again instead")
    if entry["action"] == "rule":
        message = f"entry {entry_id} changed a shop rule"
        change = act("rules.change", key=None, value=None, why=None)
        raise Refused(message, way_out=saying("set the rule again: ", change))
    if session.value("SELECT 1 FROM entry WHERE reverses_id = ?", (entry_id,)):
        message = f"entry {entry_id} is taken back already"
        way_out = saying("nothing to do; ", act("history"), " shows the counter-entry")
        raise Refused(message, way_out=way_out)
    if entry["action"] == "add" and session.value(
        f"SELECT 1 {_EFFECTIVE} AND entry.piece_id = ? AND entry.id <> ?",
        (entry["piece_id"], entry_id),
    ):
        message = f"entry {entry_id} brought in a piece that has later entries"
        way_out = saying("take those back first, or ", act("retire"), " the piece")
        raise Refused(message, way_out=way_out)
    return entry


def _running(session: Session, piece_ids: Iterable[int]) -> dict[int, Totals]:
    """The running totals of some pieces by their numbers; none of one that is not there."""
    totals = {}
    for marks, some in in_lists(piece_ids):
        for piece_id, *values in session.rows(
            f"SELECT id, {', '.join(TOTAL_NAMES)} FROM piece WHERE id IN {marks}", some
        ):
            named = dict(zip(TOTAL_NAMES, values, strict=True))
            totals[piece_id] = Totals(**{**named, "deferred": bool(named["deferred"])})
    return totals


def _store(session: Session, totals: Mapping[int, Totals]) -> None:
    rows = [{**asdict(one), "id": piece_id} for piece_id, one in totals.items()]
    if rows:
        session.run_many(_UPDATE, rows)
