"""An older crib on a server, brought up to date after a safe copy."""

from __future__ import annotations

from pathlib import Path

from crib.errors import CribDamaged, CribError, NoRight
from crib.stock.engine.folders import beside
from crib.stock.engine.into_file import copy_into_file
from crib.stock.engine.migrate import require_known, run_on_server
from crib.stock.engine.owner_postgres import owns_tables
from crib.stock.engine.place import ServerPlace
from crib.stock.engine.whole_copy import CopySource


def upgrade_on_server(place: ServerPlace, source: CopySource, revision: str) -> Path:
    """Copy a crib on a server into a file, then bring its tables to the newest revision.

    Both go as in a file, the upgrade in one transaction of the server. Returns
    the copy's path, which is in the user's own folder for cribs.

    Raises:
        NewerCrib: when the crib is of a newer program than this one.
        NoRight: when whoever opened it does not own the tables.
        CribDamaged, DiskFault: as ``upgrade_with_backup``.
    """
    require_known(place, revision)
    if not owns_tables(source.rows):
        message = f"{place} has tables of revision {revision}, older than this program's"
        way_out = "whoever owns the tables opens the crib once with this program: that updates them"
        raise NoRight(message, way_out=way_out)
    copy = beside(place)
    copy = copy.with_name(f"{copy.name}.before-{revision}-upgrade")
    copy_into_file(source, copy, revision)
    try:
        run_on_server(place)
    except CribError:
        raise
    except Exception as error:
        message = f"the upgrade of {place} from revision {revision} failed: {error}"
        way_out = f"nothing was changed; a copy stands at {copy}"
        raise CribDamaged(message, way_out=way_out) from error
    return copy
