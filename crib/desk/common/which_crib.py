"""Which crib an answer is from, so that nobody takes the demo for the shop's own."""

from __future__ import annotations

from dataclasses import dataclass

from crib.stock.book.settings import kept_rule
from crib.stock.engine.engine import StoreError
from crib.stock.engine.place import Place
from crib.stock.engine.session import Session
from crib.units import System

DEMO_SHOPS: dict[System, str] = {
    "in": "Nowhere Bay Steelwork (demo)",
    "mm": "Nowhere Quay Steelwork (demo)",
}
"""What the invented shops are called; a crib of another name is somebody's own."""


@dataclass(frozen=True, slots=True)
class WhichCrib:
    """The crib that was asked: its name and file, and why nothing can be written, if so."""

    name: str
    file: Place
    demo: bool
    cannot_write: str = ""
    site: str = ""
    """The asker's site, or every one; empty in a crib without several."""


def which_crib(session: Session) -> WhichCrib:
    """The crib behind a session; a name that cannot be read is left out."""
    try:
        name = kept_rule(session, "crib.name") or ""
    except StoreError:
        name = ""
    cannot = session.cannot_write
    return WhichCrib(
        *(name, session.place, name in DEMO_SHOPS.values()),
        cannot.message if cannot else "",
        session.at.told if session.at else "",
    )
