"""How much of a piece is left to grind, and which measured lengths can be true."""

from __future__ import annotations

from math import floor

from crib.errors import BadValue
from crib.trade.common.guards import require_not_negative, require_positive
from crib.trade.common.verdicts import falls_short


def least_length_mm(
    new_length_mm: float, most_total_mm: float = 3.0, stated_least_mm: float | None = None
) -> float:
    """The length below which a piece is spent.

    Source: shop rule (at most 1/8 in or 3 mm off in all, unless the piece's kind states a length).

    Args:
        new_length_mm: Length, or height of a die, when new [mm].
        most_total_mm: Most that may be ground off in its life [mm].
        stated_least_mm: Least length that the kind itself states, or ``None`` [mm].

    Returns:
        The least length [mm].

    Raises:
        BadValue: When a length is not above zero, or nothing would be left of the piece.

    Example:
        >>> least_length_mm(50.0), least_length_mm(50.0, stated_least_mm=48.5)
        (47.0, 48.5)
    """
    require_positive(new_length_mm=new_length_mm, most_total_mm=most_total_mm)
    if stated_least_mm is not None:
        require_positive(stated_least_mm=stated_least_mm)
        return stated_least_mm
    if most_total_mm >= new_length_mm:
        message = f"most_total_mm={most_total_mm:g} must be < new_length_mm={new_length_mm:g}"
        raise BadValue(message)
    return new_length_mm - most_total_mm


def came_back_early(wear: float, interval: float, within: float = 0.2) -> bool:
    """Whether what a grind took away is back so soon that grinding does not cure it.

    Source: shop rule (pick-up or chips that return within a fifth of an interval: retire the
    piece).

    Args:
        wear: What the edge did since the grind [strokes].
        interval: What an edge lasts [strokes].
        within: Share of the interval [-].

    Returns:
        Whether it came back sooner than that share [bool].

    Raises:
        BadValue: When the wear is negative, or another figure is not above zero.

    Example:
        >>> came_back_early(999.0, 5000.0), came_back_early(1000.0, 5000.0)
        (True, False)
    """
    require_not_negative(wear=wear)
    require_positive(interval=interval, within=within)
    return falls_short(wear, within * interval)


def left_to_grind_mm(length_mm: float, least_length_mm: float) -> float:
    """What may still be ground off a piece.

    Source: plane geometry (length now less the least length).

    Args:
        length_mm: Length as measured now [mm].
        least_length_mm: Length below which the piece is spent [mm].

    Returns:
        What is left, never below zero [mm].

    Raises:
        BadValue: When a length is not above zero.

    Example:
        >>> left_to_grind_mm(48.0, 47.0)
        1.0
    """
    require_positive(length_mm=length_mm, least_length_mm=least_length_mm)
    return max(0.0, length_mm - least_length_mm)


def grinds_left(length_mm: float, least_length_mm: float, per_grind_mm: float) -> int:
    """Whole grinds that a piece has left in it.

    Source: common practice (0.1 to 0.4 mm a grind; take only what makes the edge sharp).

    Args:
        length_mm: Length as measured now [mm].
        least_length_mm: Length below which the piece is spent [mm].
        per_grind_mm: What a usual grind takes off [mm].

    Returns:
        Whole grinds, never below zero [-].

    Raises:
        BadValue: When an argument is not above zero.

    Example:
        >>> grinds_left(50.0, 47.0, 0.25)
        12
    """
    require_positive(per_grind_mm=per_grind_mm)
    # 2.9999999999 grinds are 3 that went through a subtraction.
    return floor(left_to_grind_mm(length_mm, least_length_mm) / per_grind_mm + 1e-6)


def entry_after_grinding_mm(entry_mm: float, ground_mm: float) -> float:
    """How far the punch still enters the die at the bottom of the stroke, without shims.

    Source: common practice (entry falls one for one with what is ground off punch and die).

    Args:
        entry_mm: Entry when both were new [mm].
        ground_mm: Total taken off punch and die [mm].

    Returns:
        The entry, zero or less when the punch no longer reaches the die [mm].

    Raises:
        BadValue: When what was ground off is negative or the entry is not above zero.

    Example:
        >>> entry_after_grinding_mm(3.0, 1.0)
        2.0
    """
    require_positive(entry_mm=entry_mm)
    require_not_negative(ground_mm=ground_mm)
    return entry_mm - ground_mm
