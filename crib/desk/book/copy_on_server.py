"""A safe copy of a crib on a server, as a file that opens by itself, and the way back into either.

The copy is a crib: it can be looked at, restored into a file, or into a database again.
"""

from __future__ import annotations

from contextlib import closing
from pathlib import Path
from tempfile import TemporaryDirectory

from crib.errors import NoCrib
from crib.stock.engine.backup import CopyReport, copy_whole
from crib.stock.engine.opening import open_crib
from crib.stock.engine.place import ServerPlace
from crib.stock.queries.whole_crib import crib_size


def copy_from_server(place: ServerPlace, target: Path) -> CopyReport:
    """Copy a crib on a server, as it is at one moment, to a new file that is a crib.

    Raises:
        NoCrib: when there is no crib.
        CribDamaged: when the copy differs from the crib or fails its check.
    """
    from crib.stock.engine.into_file import copy_into_file

    with closing(open_crib(place)) as session:
        return copy_into_file(session, target)


def put_on_server(copy: Path, place: ServerPlace, *, over: bool) -> None:
    """Put a safe copy of any revision into a database, whole or not at all.

    Args:
        copy: The safe copy.
        place: The database.
        over: Whether a crib is there, whose place it takes.

    Raises:
        Refused: when there are other tables.
        CribBusy: when somebody goes on reading the crib that is there.
        CribDamaged, DiskFault: when it cannot be put there; nothing is changed then.
    """
    from crib.stock.engine.into_server import copy_into_server, copy_over_server

    with TemporaryDirectory(prefix="crib-restore-") as folder:
        # An older copy is brought up to date here: the safe copy itself stays as it is.
        fresh = Path(folder) / "copy.crib"
        copy_whole(copy, fresh)
        with closing(open_crib(fresh)) as session:
            (copy_over_server if over else copy_into_server)(session, place)


def held_on_server(place: ServerPlace) -> tuple[int, int] | None:
    """How many pieces and entries the crib in a database holds; None where none is."""
    try:
        with closing(open_crib(place)) as session:
            size = crib_size(session)
            return size.pieces, size.entries
    except NoCrib:
        return None
