"""Whether punch, die and what holds them close at a station: entry at the bottom, room at the top.

All heights are along the stroke, from where the die sits up to where the punch's head sits.
"""

from __future__ import annotations

from crib.errors import BadValue
from crib.trade.common.guards import require_not_negative, require_positive


def stack_height_mm(punch_mm: float, die_mm: float, added_mm: float = 0.0) -> float:
    """How high a punch, its die and the adapters of both stand, one on the other.

    Source: plane geometry (the sum of the lengths along the stroke).

    Args:
        punch_mm: Length of the punch as it is now [mm].
        die_mm: Height of the die as it is now [mm].
        added_mm: What the adapters of both add [mm].

    Returns:
        The stack's height [mm].

    Raises:
        BadValue: When a length is not above zero or an added height is negative.

    Example:
        >>> stack_height_mm(70.0, 28.0, 12.0)
        110.0
    """
    require_positive(punch_mm=punch_mm, die_mm=die_mm)
    require_not_negative(added_mm=added_mm)
    return punch_mm + die_mm + added_mm


def shut_height_mm(daylight_mm: float, stroke_mm: float) -> float:
    """What is left between the two seats when the ram is down.

    Source: plane geometry (the free height with the ram up, less what the ram travels).

    Args:
        daylight_mm: Free height between the seats with the ram up, without tools [mm].
        stroke_mm: What the ram travels, as its stops are set [mm].

    Returns:
        The height that is left [mm].

    Raises:
        BadValue: When a figure is not above zero, or the ram would travel the whole height.

    Example:
        >>> shut_height_mm(200.0, 106.5)
        93.5
    """
    require_positive(daylight_mm=daylight_mm, stroke_mm=stroke_mm)
    if stroke_mm >= daylight_mm:
        message = f"stroke_mm={stroke_mm:g} must be < daylight_mm={daylight_mm:g}"
        raise BadValue(message, way_out="measure both again, without tools in the station")
    return daylight_mm - stroke_mm


def shut_height_of_seat_mm(punch_mm: float, die_mm: float, entry_new_mm: float) -> float:
    """What is left with the ram down where a station is set for the new tools of one seat.

    Source: common practice (a new punch of the seat enters a new die of it by a known amount).

    Args:
        punch_mm: Length of a new punch of the seat [mm].
        die_mm: Height of a new die of the seat [mm].
        entry_new_mm: How far the one enters the other [mm].

    Returns:
        The height that is left [mm].

    Raises:
        BadValue: When a figure is not above zero.

    Example:
        >>> shut_height_of_seat_mm(70.0, 28.0, 4.5)
        93.5
    """
    require_positive(entry_new_mm=entry_new_mm)
    return stack_height_mm(punch_mm, die_mm) - entry_new_mm


def entry_mm(stack_mm: float, shut_mm: float) -> float:
    """How far a punch enters its die at the bottom of the stroke.

    Source: plane geometry (what stands higher than the height that is left goes into the die).

    Args:
        stack_mm: Height of punch, die and adapters [mm].
        shut_mm: Height that is left with the ram down [mm].

    Returns:
        The entry, zero or less where the punch does not reach the die [mm].

    Raises:
        BadValue: When a figure is not above zero.

    Example:
        >>> entry_mm(98.0, 93.5)
        4.5
    """
    require_positive(stack_mm=stack_mm, shut_mm=shut_mm)
    return stack_mm - shut_mm


def opening_mm(daylight_mm: float, stack_mm: float) -> float:
    """The gap between punch and die with the ram up: what a plate must go into.

    Source: plane geometry (the free height less what stands in it).

    Args:
        daylight_mm: Free height between the seats with the ram up, without tools [mm].
        stack_mm: Height of punch, die and adapters [mm].

    Returns:
        The gap, zero or less where the stack does not go in [mm].

    Raises:
        BadValue: When a figure is not above zero.

    Example:
        >>> opening_mm(200.0, 98.0)
        102.0
    """
    require_positive(daylight_mm=daylight_mm, stack_mm=stack_mm)
    return daylight_mm - stack_mm
