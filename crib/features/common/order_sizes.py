"""Roles counted and sizes written as a supplier needs them."""

from __future__ import annotations

from crib import units
from crib.features.common.sizes import clean_pair, clean_text, natural_system
from crib.trade.common.verdicts import exceeds
from crib.units import System

_WORDS = {"punch": ("punch", "punches"), "other": ("piece", "pieces")}


def counted_tools(role: str, quantity: int) -> str:
    """So many of a role: ``1 die``, ``2 punches``."""
    return f"{quantity} {word_for(role, quantity)}"


def word_for(role: str, quantity: int = 1) -> str:
    """The word for a role, plural where it must be."""
    one, many = _WORDS.get(role, (role.replace("_", " "), f"{role.replace('_', ' ')}s"))
    return one if quantity == 1 else many


def written_size(length_mm: float, system: System, made: System | None = None) -> str:
    """A size as a supplier needs it: ``13/16 in``, or ``25 mm (0.984 in)`` in an inch crib."""
    made = made or natural_system(length_mm, system)
    text = clean_text(length_mm, system, made=made)
    return text if made == system else f"{text} ({_own(length_mm, system)})"


def ordered_size(
    width_mm: float | None,
    long_mm: float | None,
    system: System,
    *,
    made: System | None = None,
) -> str:
    """One or two sizes with the unit once: ``13/16 x 1-7/8 in``, ``25 mm (0.984 in)``.

    ``made`` is the unit the thing is made in, where that does not show in the size itself.
    """
    if width_mm is None:
        return ""
    if long_mm is None or not exceeds(long_mm, width_mm):
        return written_size(width_mm, system, made)
    other = made or natural_system(width_mm, system)
    if other != (made or natural_system(long_mm, system)):
        return f"{written_size(width_mm, system)} x {written_size(long_mm, system)}"
    sizes = clean_pair(width_mm, long_mm, system, made=made)
    if other == system:
        return sizes
    return f"{sizes} ({_own(width_mm, system, with_unit=False)} x {_own(long_mm, system)})"


def _own(length_mm: float, system: System, *, with_unit: bool = True) -> str:
    digits = 2 if system == "mm" else 3
    return units.format_length(length_mm, system, with_unit=with_unit, digits=digits)
