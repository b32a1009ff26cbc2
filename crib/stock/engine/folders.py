"""Where the migrations and the demo data lie: in the checkout, or inside an installed wheel."""

from __future__ import annotations

from pathlib import Path

from crib.errors import CribFault

PACKAGE = Path(__file__).resolve().parents[2]


def schema_folder() -> Path:
    """The folder of the Alembic migrations."""
    return _first_of(PACKAGE / "_schema", PACKAGE.parent / "schema")


def seed_folder() -> Path:
    """The folder of the demo cribs."""
    return _first_of(PACKAGE / "_seed_data", PACKAGE.parent / "seed_data")


def _first_of(*folders: Path) -> Path:
    for folder in folders:
        if folder.is_dir():
            return folder
    message = f"this installation lacks {folders[0].name.lstrip('_')}"
    raise CribFault(message, way_out="install the program again")
