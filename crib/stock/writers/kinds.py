"""Kinds: a new one, and what a purchase tells of one. Each inside ``session.writing()``."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from crib.stock.engine.session import Session


def add_kind(session: Session, values: Mapping[str, Any]) -> int:
    """Add a kind, checked by its table; returns its number."""
    return session.insert("kind", values)


def set_face_and_length(session: Session, kind_id: int, face: str, length_mm: float | None) -> None:
    """Say of a kind which face it has, and how long it is when new [mm]."""
    session.run("UPDATE kind SET face = ?, length_mm = ? WHERE id = ?", (face, length_mm, kind_id))


def keep_usual_price(session: Session, kind_id: int | None, price_cents: int) -> None:
    """Remember what a piece of a kind cost the last time [cents]."""
    session.run("UPDATE kind SET price_cents = ? WHERE id = ?", (price_cents, kind_id))
