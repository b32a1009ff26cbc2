"""What a bare number means in this crib."""

from __future__ import annotations

from typing import Any

from crib.files.tables.cells import Units
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session


def units_of(session: Session) -> Units:
    """The units and the currency that files of this crib are in."""
    rules = shop_rules(session)
    force: Any = rules.text("crib.force_unit")
    return Units(rules.system, force, rules.text("crib.currency"))
