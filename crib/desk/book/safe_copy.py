"""A safe copy of the crib, verified, and the way back over the present crib."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass, field
from datetime import UTC, datetime
from glob import escape
from pathlib import Path

from crib.acts import Confirmed, act, saying
from crib.desk.book.copy_on_server import copy_from_server, held_on_server, put_on_server
from crib.desk.book.restored_devices import (
    RestoredDevices,
    devices_after,
    live_devices,
    without_devices,
)
from crib.errors import AskBack, CribDamaged, DiskFault, NoCrib, Refused
from crib.stock.book.seals import broken_seals
from crib.stock.engine.backup import CopyReport, copy_whole, verify
from crib.stock.engine.folders import beside
from crib.stock.engine.opening import head_revision, open_crib, open_to_read
from crib.stock.engine.place import Place, ServerPlace
from crib.stock.engine.restoring import fit_to_restore, put_back, set_aside
from crib.stock.queries.whole_crib import table_revision
from crib.stock.writers.moved import why_moved

MOST_COPIES = 12
_COPIES = ("backup", "before")


@dataclass(frozen=True, slots=True)
class Restoration:
    """What was brought back, and where the crib that stood there before lies now."""

    path: Place
    source: Path
    pieces: int
    entries: int
    strokes: int
    set_aside: Path | None
    devices: RestoredDevices = field(default_factory=RestoredDevices)


def back_up(path: Place, target: Path | None = None, *, now: datetime | None = None) -> CopyReport:
    """Copy a crib to a new file and verify the copy; beside the crib when no file is named.

    That of a crib on a server is a crib in a file too.

    Raises:
        NoCrib: when there is no crib.
        Refused: when the target is there already.
        CribDamaged: when the copy fails its check.
    """
    if isinstance(path, Path) and not path.is_file():
        message = f"there is no crib at {path}"
        raise NoCrib(message, way_out=saying("say which with ", act("say.crib")))
    chosen = target or free_name(path, "backup", now or datetime.now(UTC))
    if chosen.exists():
        message = f"{chosen} is there already"
        raise Refused(message, way_out="choose another file; a safe copy is never overwritten")
    return copy_whole(path, chosen) if isinstance(path, Path) else copy_from_server(path, chosen)


def torn_copies(path: Path) -> Iterator[tuple[Path, str]]:
    """The newest safe copies beside a crib that would not bring it back, and why."""
    every = [one for word in _COPIES for one in path.parent.glob(f"{escape(path.name)}.{word}-*")]
    whole = (one for one in every if one.suffix not in (".torn", ".partial"))
    for copy in sorted(whole, key=lambda one: one.stat().st_mtime)[-MOST_COPIES:]:
        try:
            verify(copy)
            if _is_tampered(copy):
                yield copy, "holds entries that were changed past the program"
        except (CribDamaged, DiskFault) as error:
            yield copy, error.message


def _is_tampered(copy: Path) -> bool:
    """Whether the ledger of a copy is not as it was written; one from before seals says nothing."""
    with closing(open_to_read(copy)) as session:
        newest = table_revision(session) == head_revision()
        return newest and next(broken_seals(session), None) is not None


def free_name(place: Place, word: str, now: datetime) -> Path:
    """A free name beside a crib, with the local time in it."""
    path = beside(place)
    stem = f"{path.name}.{word}-{now.astimezone().strftime('%Y%m%d-%H%M%S')}"
    chosen, number = path.with_name(stem), 1
    while chosen.exists():
        number += 1
        chosen = path.with_name(f"{stem}-{number}")
    return chosen


def restore(
    path: Place,
    backup: Path,
    *,
    confirmed: Confirmed = frozenset(),
    now: datetime | None = None,
) -> Restoration:
    """Bring a safe copy back to where the crib is, after setting the present crib aside.

    Devices that the crib before did not let in any more are not let in again by its copy.

    Raises:
        NoCrib: when there is no such copy.
        CribDamaged: when the copy fails its check, or another database stands in the crib's place.
        AskBack: when nobody said yes.
        CribBusy: when somebody else is writing.
        CribMoved: when the crib that is there moved elsewhere.
    """
    found = fit_to_restore(path if isinstance(path, Path) else None, backup)
    _require_in_use(path)
    if "replace-crib" not in confirmed:
        holds = f"{found.pieces:,} pieces, {found.entries:,} entries"
        message = f"{backup} ({holds}) would take the place of {path}{_present(path)}"
        way_out = saying(
            "say ", act("confirm.replace-crib"), "; the present crib is set aside first"
        )
        raise AskBack(message, confirm="replace-crib", way_out=way_out)
    at = (now or datetime.now(UTC)).astimezone(UTC)
    devices = devices_after(backup, live_devices(path))
    with without_devices(backup, devices.shut_out, at) as copy:
        kept = _put_in_place(copy, path, free_name(path, "before-restore", at))
    return Restoration(path, backup, found.pieces, found.entries, found.strokes, kept, devices)


def _require_in_use(place: Place) -> None:
    """Nothing, unless the crib that is there moved elsewhere: it would go on in two places.

    Raises:
        CribMoved: where it did.
    """
    try:
        with closing(open_to_read(place) if isinstance(place, Path) else open_crib(place)) as there:
            moved = why_moved(there)
    except (NoCrib, CribDamaged):
        return
    if moved is not None:
        raise moved


def _put_in_place(copy: Path, path: Place, aside: Path) -> Path | None:
    """Put a copy where the crib is; gives where the crib before it lies now."""
    if isinstance(path, Path):
        kept = set_aside(path, aside)
        put_back(copy, path)
        verify(path)
        return kept
    there = held_on_server(path)
    kept = copy_from_server(path, aside).path if there is not None else None
    put_on_server(copy, path, over=there is not None)
    return kept


def _present(path: Place) -> str:
    """What stands in a crib's place, in brackets; or why that cannot be said."""
    if isinstance(path, ServerPlace):
        held = held_on_server(path)
    elif not path.exists():
        held = None
    else:
        try:
            there = verify(path)
        except CribDamaged:
            return ", which is damaged"
        held = there.pieces, there.entries
    if held is None:
        return ", where nothing is now"
    return f" ({held[0]:,} pieces, {held[1]:,} entries)"
