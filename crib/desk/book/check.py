"""Is everything in the crib sound? Each check by itself, with its faults."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

from crib.acts import Said, act, saying
from crib.desk.book.reach import Unreached, unreached
from crib.desk.book.safe_copy import back_up, torn_copies
from crib.desk.common.mounting import UNFIT, mounting_faults, mounts_at
from crib.desk.kit.handing import hold_remarks
from crib.desk.life.relearn import kinds_to_relearn, learned_faults, relearn_all
from crib.stock.book.conditions import USABLE
from crib.stock.book.ledger import rebuild, refold
from crib.stock.book.seals import broken_seals
from crib.stock.book.settings import shop_rules
from crib.stock.book.sites import has_sites, places_amiss
from crib.stock.engine.engine import StoreError
from crib.stock.engine.folders import beside
from crib.stock.engine.opening import head_revision
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
from crib.stock.queries.places import mounted_at_stations, occupied_stations
from crib.stock.queries.stations import all_adapters
from crib.stock.queries.whole_crib import (
    columns_amiss,
    damaged_parts,
    entries_ahead,
    miscounted_lines,
    misfit_counter_entries,
    rows_without_owner,
    strange_tables,
    table_revision,
    tags_with_impossible_totals,
    unread_specifications,
)

MOST_FAULTS = 50
_MOST_NAMED = 5
CLOCKS_DIFFER = timedelta(minutes=5)
FIRST_ZONE = timedelta(hours=14)
"""How far the first time zone is ahead of universal time."""


@dataclass(frozen=True, slots=True)
class Check:
    """One check; ``count`` faults, of which the first are told."""

    name: str
    ok: bool
    count: int
    faults: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CheckReport:
    """Every check, what is no fault of the record but should be seen to, what no question finds."""

    checks: tuple[Check, ...]
    remarks: tuple[Said, ...]
    sound: bool
    unreached: tuple[Unreached, ...] = ()
    mended: int = 0
    relearned: int = 0
    copy: str = ""


def check_crib(session: Session, *, now: datetime | None = None) -> CheckReport:
    """Run every check, of the whole company. Reads only."""
    session = session.everywhere()
    asked: tuple[tuple[str, Callable[[Session], Iterator[str]]], ...] = (
        ("what is stored is whole", _file_faults),
        ("no row has lost its owner", _orphans),
        ("the tables are this program's", _revision_faults),
        ("each entry is as it was written", _seal_faults),
        ("the ledger bears out every total", _ledger_faults),
        ("no entry is of a day to come", lambda session: _ahead_faults(session, now)),
        ("each counter-entry fits its entry", _counter_faults),
        ("each learned interval rests on edges of its kind", learned_faults),
        ("no wear or count is below zero", _negative_totals),
        ("each order has as many as its deliveries make", _order_faults),
        ("what is ordered can be read in figures", _unread_faults),
        ("each safe copy beside it is whole", _copy_faults),
        (
            "stations: one punch, one die, right seat, die bigger, stack and keys hold",
            _station_faults,
        ),
    )
    if has_sites(session):
        asked = (*asked, ("each place and machine is at its site", _site_faults))
    checks = tuple(_run(session, name, faults) for name, faults in asked)
    remarks = tuple(_remarks(session)) if checks[0].ok else ()
    lost = unreached(session) if checks[0].ok else ()
    return CheckReport(checks, remarks, all(check.ok for check in checks), lost)


def mend_crib(session: Session, *, now: datetime | None = None) -> CheckReport:
    """Take the totals that the ledger does not bear out from the ledger, after a safe copy.

    What edges taught and is not in use yet, or should not be, is learned anew.

    Raises:
        CribDamaged: when the file itself is not whole; a safe copy is the way back then.
    """
    wrong = {one.tag for one in rebuild(session)}
    kinds = {*kinds_to_relearn(session), *learned_faults(session)}
    if not wrong and not kinds:
        return check_crib(session, now=now)
    copy = back_up(session.place, now=now or datetime.now(UTC))
    with session.writing():
        wrong = {one.tag for one in rebuild(session)}
        for tag in sorted(wrong):
            refold(session, piece_by_tag(session, tag).id)
        relearn_all(session)
    report = check_crib(session, now=now)
    return replace(report, mended=len(wrong), relearned=len(kinds), copy=str(copy.path))


def _run(session: Session, name: str, faults: Callable[[Session], Iterator[str]]) -> Check:
    """One check; a file that cannot be read any further is a fault, not an end."""
    told: list[str] = []
    count = 0
    try:
        # One state of the crib for each check, so that what is written meanwhile is no fault.
        with session.one_moment():
            for fault in faults(session):
                count += 1
                if len(told) < MOST_FAULTS:
                    told.append(fault)
    except StoreError as error:
        count += 1
        told.append(f"cannot be read: {error}")
    return Check(name, not count, count, tuple(told))


def _site_faults(session: Session) -> Iterator[str]:
    for name in places_amiss(session):
        yield f"{name} is at no site, or not where its machine is"


def _file_faults(session: Session) -> Iterator[str]:
    yield from damaged_parts(session)


def _orphans(session: Session) -> Iterator[str]:
    for table, number, owner in rows_without_owner(session):
        yield f"{table} row {number} points at a {owner} that is not there"


def _revision_faults(session: Session) -> Iterator[str]:
    found = table_revision(session)
    if found != head_revision():
        yield f"revision {found}, this program knows {head_revision()}"
    for table, column, is_there in columns_amiss(session):
        yield f"{table} has {'an unknown' if is_there else 'no'} column {column}"
    for table in strange_tables(session):
        yield f"the table {table} is none of this program's"


def _copy_faults(session: Session) -> Iterator[str]:
    for copy, why in torn_copies(beside(session.place)):
        yield why if str(copy) in why else f"{copy} {why}"


def _seal_faults(session: Session) -> Iterator[str]:
    """Entries that another hand than the program's changed, put in, took out or swapped."""
    for broken in broken_seals(session):
        if broken.entry is None:
            yield "the newest entries were taken away or added past the program"
        else:
            yield f"entry {broken.entry} was changed past the program, or what stood before it"


def _ledger_faults(session: Session) -> Iterator[str]:
    for one in rebuild(session):
        told = f"{one.tag} {one.total}: running {one.running}, by the ledger {one.rebuilt}"
        unfit = one.total == "condition" and one.rebuilt not in USABLE
        yield f"{told}: do not use it, mending takes it from the ledger" if unfit else told


def _ahead_faults(session: Session, now: datetime | None) -> Iterator[str]:
    """Entries that some clock dated ahead; a day may be tomorrow's where the sun rises earlier."""
    moment = (now or datetime.now(UTC)).astimezone(UTC)
    latest = (moment + CLOCKS_DIFFER).isoformat(timespec="milliseconds").replace("+00:00", "Z")
    day = (moment + FIRST_ZONE).date().isoformat()
    for number, tag, made_at, shift_on in entries_ahead(session, latest, day):
        piece = f" of {tag}" if tag else ""
        yield (
            f"entry {number}{piece} is of {shift_on}, written {made_at}: set the clock right;"
            " until that day its wear may count for the wrong edge"
        )


def _counter_faults(session: Session) -> Iterator[str]:
    for counter, taken_back in misfit_counter_entries(session):
        yield f"entry {counter} takes back {taken_back}, which it cannot"


def _negative_totals(session: Session) -> Iterator[str]:
    for tag in tags_with_impossible_totals(session):
        yield f"{tag} has a total below zero, or more strokes since grind than since new"


def _order_faults(session: Session) -> Iterator[str]:
    """Lines of orders that deliveries were counted for; older lines have none."""
    for line in miscounted_lines(session):
        yield (
            f"order {line.number}: {line.received} of {line.text[:40]!r} are counted,"
            f" its deliveries make {line.came}"
        )


def _unread_faults(session: Session) -> Iterator[str]:
    for number, text in unread_specifications(session):
        order = f"order {number}" if number else "a line without an order"
        yield f"{order}: the specification of {text[:40]!r} cannot be read"


def _station_faults(session: Session) -> Iterator[str]:
    for mount in mounts_at(session, occupied_stations(session), shop_rules(session)):
        for fault in mounting_faults(mount):
            yield f"{mount.station.place}: {fault.what}"


def _unknown_heights(session: Session) -> Iterator[Said]:
    tags = [
        one.tag
        for one in all_adapters(session)
        if one.role != "attachment" and one.condition == "sound" and one.added_height_mm is None
    ]
    if tags:
        some = ", ".join(tags[:_MOST_NAMED]) + (" and others" if len(tags) > _MOST_NAMED else "")
        how = act("import.change", file="kinds.csv")
        yield saying(f"no pair in {some} is taken till the height it adds is on record: ", how)


def _remarks(session: Session) -> Iterator[Said]:
    for cards in mounted_at_stations(session, occupied_stations(session)).values():
        for one in cards:
            if one.condition in (*UNFIT, "inspect"):
                yield f"{one.tag} is {one.condition} and stands at {one.place}: take it out"
    yield from hold_remarks(session)
    yield from _unknown_heights(session)
    names = kinds_to_relearn(session)
    if names:
        some = f"{len(names):,} kinds" if len(names) > 1 else names[0]
        yield saying(f"what edges of {some} taught is not in use yet: ", act("check.mend"))
