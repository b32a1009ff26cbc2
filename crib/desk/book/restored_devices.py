"""Who is let in after a safe copy came back: nobody who was shut out since it was made."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from crib.errors import CribError
from crib.stock.book.devices import KeptDevice, all_devices, shut_out
from crib.stock.engine.backup import copy_whole
from crib.stock.engine.engine import StoreError
from crib.stock.engine.opening import open_crib, open_to_read
from crib.stock.engine.place import Place


@dataclass(frozen=True, slots=True)
class RestoredDevices:
    """Names of devices: which the copy let in and are shut out of it, which must be paired anew."""

    shut_out: tuple[str, ...] = ()
    pair_anew: tuple[str, ...] = ()


def live_devices(place: Place) -> list[KeptDevice] | None:
    """The devices that a crib lets in; None where nobody can say, as of none or a torn one."""
    if isinstance(place, Path) and not place.exists():
        return None
    try:
        opened = open_to_read(place) if isinstance(place, Path) else open_crib(place)
        with closing(opened) as session:
            return [one for one in all_devices(session) if one.token_hash and not one.revoked_at]
    except (CribError, StoreError):
        return None


def devices_after(copy: Path, present: list[KeptDevice] | None) -> RestoredDevices:
    """What becomes of the devices of a copy and of those that are let in now.

    Where nobody can say who is let in now, all of the copy's are shut out: a lost tablet may be
    among them, and to pair one again takes a minute.
    """
    of_copy, now = live_devices(copy) or [], present or []
    same = {_who(one) for one in of_copy} & {_who(one) for one in now}
    return RestoredDevices(
        tuple(one.name for one in of_copy if _who(one) not in same),
        tuple(one.name for one in now if _who(one) not in same),
    )


@contextmanager
def without_devices(copy: Path, names: tuple[str, ...], at: datetime) -> Iterator[Path]:
    """The copy with these devices shut out, for as long as the block runs; itself for none."""
    if not names:
        yield copy
        return
    moment = at.isoformat(timespec="milliseconds").replace("+00:00", "Z")
    with TemporaryDirectory(prefix="crib-restore-") as folder:
        fresh = Path(folder) / "copy.crib"
        copy_whole(copy, fresh)
        with closing(open_crib(fresh)) as session, session.writing():
            for one in all_devices(session):
                if one.name in names and not one.revoked_at:
                    shut_out(session, one.number, moment)
        yield fresh


def _who(device: KeptDevice) -> tuple[int, str]:
    return device.number, device.token_hash
