"""Cribs for laws: as many copies of a small shop as a law asks for."""

from __future__ import annotations

import shutil
from pathlib import Path

from crib.stock.engine.opening import open_crib
from crib.stock.engine.session import Session


class Shops:
    """As many copies of the small shop as a law asks for, one after the other."""

    def __init__(self, blank: Path, folder: Path) -> None:
        self._blank, self._folder = blank, folder
        self._session: Session | None = None

    def fresh(self) -> Session:
        """An unused copy; the one before is closed."""
        self.close()
        path = self._folder / "shop.crib"
        for old in self._folder.glob("shop.crib*"):
            old.unlink()
        shutil.copy(self._blank, path)
        self._session = open_crib(path)
        # Durability is not what the laws are about, and a disk flush per act makes them slow.
        self._session.connection.execute("PRAGMA synchronous = OFF")
        return self._session

    def close(self) -> None:
        """Let the last copy go."""
        if self._session is not None:
            self._session.close()
            self._session = None
