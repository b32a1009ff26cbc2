"""A whole crib moved to a server, or back to a file, and proven equal before it is used there."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from crib.acts import Confirmed, act, saying
from crib.desk.book.safe_copy import free_name
from crib.errors import AskBack, CribBusy, CribFault, NoRight, Refused
from crib.stock.book.people import WINDOW, person_called
from crib.stock.engine.moved import MovedNote
from crib.stock.engine.opening import has_moved, open_crib, reopened_to_write
from crib.stock.engine.place import Place, ServerPlace
from crib.stock.engine.session import Session
from crib.stock.engine.whole_copy import Proof, layout_of, proof_of, rows_of
from crib.stock.queries.whole_crib import crib_size
from crib.stock.writers.moved import mark_moved, may_mark, moved_note, take_mark_off


@dataclass(frozen=True, slots=True)
class Rehoused:
    """What was moved from where to where, each table compared by its count and digest."""

    source: str
    target: str
    tables: int
    rows: int
    pieces: int
    entries: int
    was_there: bool
    """Whether every row was there already, from a move that broke off before its last step."""
    set_aside: str = ""
    """What the file is called now that was left behind at the target by the move there."""


@dataclass(frozen=True, slots=True)
class TakenBack:
    """The crib that is in use again, and where it had moved."""

    crib: str
    moved_to: str
    moved_on: str


def rehouse(place: Place, target: Place, *, by: str = "", now: datetime | None = None) -> Rehoused:
    """Move a crib to an empty place; nobody writes in it meanwhile, and from then on not at all.

    The new crib is there, compared to the last row, before the old one gets its mark. A move that
    breaks off between the two is finished by the same request. On its way back to the file that it
    left, that file is set aside.

    Raises:
        UnknownName: for somebody who is not known.
        Refused: when something else is there.
        NoRight: when whoever asks does not own the tables of a server's crib.
        CribBusy: when somebody else is writing.
        CribDamaged, DiskFault: when it cannot be moved; nothing is changed then.
    """
    if place == target:
        message = f"{place} is where the crib is"
        raise Refused(message, way_out="name a place where nothing is yet")
    with closing(open_crib(place)) as session:
        person = person_called(session, by) if by else WINDOW
        moment = (now or datetime.now(UTC)).astimezone(UTC)
        if isinstance(place, ServerPlace) and not may_mark(session):
            message = f"{place}: only whoever owns the tables can move the crib"
            raise NoRight(message, way_out="ask whoever looks after the server")
        with session.writing(), _room_at(target, place, moment) as set_aside:
            was_there = _holds_something(target)
            proof = _same_there(session, target) if was_there else _copied(session, target)
            note = MovedNote(_named(target), moment.isoformat(timespec="seconds"), person)
            mark_moved(session, note)
        size = crib_size(session)
    rows = sum(one.rows for one in proof.values())
    counted = (len(proof), rows, size.pieces, size.entries)
    return Rehoused(str(place), str(target), *counted, was_there, str(set_aside or ""))


@contextmanager
def _room_at(target: Place, place: Place, moment: datetime) -> Iterator[Path | None]:
    """Set aside a file whose crib moved to where it now comes back from; put it back on an error.

    Yields what the file is called meanwhile and later; None where none had to go.
    """
    if not (isinstance(target, Path) and target.exists() and _went_to(target, place)):
        yield None
        return
    if target.with_name(f"{target.name}-wal").exists():
        message = f"somebody has {target} open, from which the crib moved"
        raise CribBusy(message, way_out="stop the page that shows it, then try again")
    aside = free_name(target, "before-rehouse", moment)
    target.rename(aside)
    try:
        yield aside
    except BaseException:
        if not target.exists():
            aside.rename(target)
        raise


def _went_to(target: Path, place: Place) -> bool:
    """Whether a file holds a crib that moved to a place."""
    try:
        with closing(open_crib(target)) as session:
            return has_moved(session) and moved_note(session).place == _named(place)
    except CribFault:
        return False


def _named(place: Place) -> str:
    return str(place.absolute() if isinstance(place, Path) else place)


def take_back(place: Place, *, confirmed: Confirmed = frozenset()) -> TakenBack:
    """Take a crib that had moved into use again, though the one it became may go on too.

    Raises:
        Refused: when it never moved.
        AskBack: when nobody said yes.
    """
    with closing(open_crib(place)) as session:
        if not reopened_to_write(session):
            message = f"{place} did not move anywhere"
            raise Refused(message, way_out="it is in use as it is")
        note = moved_note(session)
        if "goes-on-elsewhere" not in confirmed:
            message = (
                f"{place} {note}, by {note.person}: what was written there since is not here, and"
                " what is written here would not be there"
            )
            yes = act("confirm.goes-on-elsewhere")
            way_out = saying("move that one back instead, or say ", yes)
            raise AskBack(message, confirm="goes-on-elsewhere", way_out=way_out)
        with session.writing():
            take_mark_off(session)
    return TakenBack(str(place), note.place, note.at[:10])


def _copied(session: Session, target: Place) -> Proof:
    if isinstance(target, ServerPlace):
        from crib.stock.engine.into_server import copy_into_server

        return copy_into_server(session, target)
    from crib.stock.engine.into_file import move_into_file

    return move_into_file(session, target)


def _holds_something(target: Place) -> bool:
    """Whether a file, or a crib, is there; a database is looked at again when it is filled."""
    if isinstance(target, Path):
        return target.exists()
    try:
        open_crib(target).close()
    except CribFault:
        return False
    return True


def _same_there(session: Session, target: Place) -> Proof:
    """What both hold, where it is the same to the last row.

    Raises:
        Refused: where it is not.
    """
    layout = layout_of(session)
    mine = proof_of(lambda table, columns: rows_of(session, table, columns), layout)
    with closing(open_crib(target)) as other, other.one_moment():
        if (
            not has_moved(other)
            and layout_of(other).keys() == layout.keys()
            and mine == proof_of(lambda table, columns: rows_of(other, table, columns), layout)
        ):
            return mine
    message = f"{target} holds another crib already"
    raise Refused(message, way_out="name a place where nothing is yet; nothing was changed")
