"""Where things lie: migrations and demo data with the program, what is a user's in a folder."""

from __future__ import annotations

from pathlib import Path

from crib.errors import CribFault
from crib.stock.engine.place import Place, ServerPlace

PACKAGE = Path(__file__).resolve().parents[2]


def schema_folder() -> Path:
    """The folder of the Alembic migrations."""
    return _first_of(PACKAGE / "_schema", PACKAGE.parent / "schema")


def seed_folder() -> Path:
    """The folder of the demo cribs."""
    return _first_of(PACKAGE / "_seed_data", PACKAGE.parent / "seed_data")


def home_folder() -> Path:
    """The user's own folder for cribs."""
    from platformdirs import user_data_path

    return user_data_path("crib", appauthor=False)


def beside(place: Place) -> Path:
    """What the names begin with of all that lies beside a crib: safe copies, the page's secret.

    Of a crib on a server that lies in the user's own folder for cribs.
    """
    return home_folder() / place.file_name if isinstance(place, ServerPlace) else place


def _first_of(*folders: Path) -> Path:
    for folder in folders:
        if folder.is_dir():
            return folder
    message = f"this installation lacks {folders[0].name.lstrip('_')}"
    raise CribFault(message, way_out="install the program again")
