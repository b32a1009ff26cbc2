"""What the words of several sorts of facts are made of."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeAlias

from crib.units import format_money

Words: TypeAlias = "tuple[str, str]"
"""The few words that say what it is, and what follows them where there is room."""

_MOST_LISTED = 4


def money(cents: float, currency: str) -> str:
    """A sum to the cent."""
    return format_money(round(cents), currency)


def listed(tags: Sequence[str]) -> str:
    """The first of some tags, and how many more there are."""
    shown = ", ".join(tags[:_MOST_LISTED])
    return shown if len(tags) <= _MOST_LISTED else f"{shown} and {len(tags) - _MOST_LISTED} more"


def ways(lines: Sequence[Sequence[str]]) -> str:
    """Sets of lines, any one of which will do."""
    return " or ".join(" and ".join(line) for line in lines)
