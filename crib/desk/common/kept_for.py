"""Which materials a piece is kept for: the family by its own name, or by one of its materials."""

from __future__ import annotations

from crib.errors import UnknownName, UnsureName
from crib.trade.metal.materials import known_materials
from crib.trade.shop.shop_rules import Rules


def families() -> tuple[str, ...]:
    """The families of materials that a piece may be kept for."""
    return tuple(sorted({material.family for material in known_materials()}))


def family_of(text: str, rules: Rules) -> str:
    """The family of materials that a piece is kept for; empty for none.

    Raises:
        UnknownName: for a word that is neither a family nor a material of one.
    """
    plain = "_".join(text.casefold().split())
    if not plain or plain in families():
        return plain
    try:
        return rules.material(text).family
    except UnsureName as error:
        meant = {rules.material(name).family for name in error.readings}
        if len(meant) == 1:
            return meant.pop()
    except UnknownName:
        pass
    message = f"{text.strip()[:40]!r} is no family of materials"
    raise UnknownName(message, way_out=f"known: {', '.join(families())}")
