"""Kinds: a new one with what it is proven for, and what a purchase tells of one.

Each inside ``session.writing()``.
"""

from __future__ import annotations

from dataclasses import asdict

from crib.features.common.tool_spec import ToolSpec
from crib.stock.engine.session import Session
from crib.stock.queries.kind_specs import KIND_COLUMNS
from crib.stock.queries.kinds import seat_numbered

_TWO_SIZED = ("rectangle", "obround")


def add_kind(session: Session, name: str, spec: ToolSpec) -> int:
    """Add a kind of that name as it is specified, checked by its table; returns its number."""
    columns = {
        **{column: getattr(spec, column) for column in KIND_COLUMNS},
        "name": name,
        "long_mm": _long_mm(spec),
        "seat_id": seat_numbered(session, spec.seat_name),
        "presents_seat_id": seat_numbered(session, spec.presents_seat),
        "key_angles": " ".join(str(angle) for angle in spec.key_angles),
        "length_mm": spec.length_mm,
        "bevel_mm": spec.bevel_mm or 0.0,
        "added_height_mm": spec.added_height_mm,
    }
    kind_id = session.insert("kind", columns)
    for point in spec.envelope:
        session.insert("envelope_point", {**asdict(point), "kind_id": kind_id})
    return kind_id


def keep_usual_price(session: Session, kind_id: int | None, price_cents: int) -> None:
    """Remember what a piece of a kind cost the last time [cents]."""
    session.run("UPDATE kind SET price_cents = ? WHERE id = ?", (price_cents, kind_id))


def forget_unsaid_heights(session: Session) -> None:
    """Take an adapter's height of 0 for one that nobody said, as programs before revision 0004 did.

    Until then an empty cell was stored as 0.
    """
    session.run(
        "UPDATE kind SET added_height_mm = NULL WHERE added_height_mm = 0"
        " AND role IN ('punch_adapter', 'die_adapter', 'attachment')"
    )


def _long_mm(spec: ToolSpec) -> float | None:
    """A long side where there is one: that of a rectangle or slot, or one longer than the width."""
    if spec.width_mm is None or spec.long_mm is None:
        return None
    pair = spec.role in ("punch", "die") and spec.shape in _TWO_SIZED
    return spec.long_mm if pair or spec.long_mm > spec.width_mm else None
