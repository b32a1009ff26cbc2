"""A slot with round ends in several hits: chains, ends first and then the middle.

x runs along the slot from its middle. Every tool is as wide as the slot.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import ceil

from crib.errors import BadValue
from crib.trade.common.guards import require_positive
from crib.trade.common.verdicts import exceeds, falls_short
from crib.trade.metal.hit_areas import Bite, Placed, cusp_mm, strip_bites
from crib.trade.metal.hits import DUST_MM, bridge_order, cover_length, overlap_along_mm


@dataclass(frozen=True, slots=True)
class Layout:
    """Hits in their order with their bites, and what they leave.

    ``web_mm`` is the metal between hits that a later one cuts away, None when there is none;
    ``overlap_mm`` is what neighbours share along the middle; ``cusp_mm`` what stays on the sides.
    """

    hits: tuple[Placed, ...]
    bites: tuple[Bite, ...]
    overlap_mm: float
    web_mm: float | None = None
    cusp_mm: float = 0.0


def obround_chain(length_mm: float, width_mm: float, tool_mm: float) -> Layout:
    """A slot by a shorter slot punch moved along, each hit beside the last.

    Source: common practice; N = ceil((L - p) / (p - W)) + 1, pitch = (L - p) / (N - 1).

    Args:
        length_mm: The slot's overall length, L [mm].
        width_mm: The slot's width, W [mm].
        tool_mm: The punch's overall length, p [mm].

    Returns:
        The hits and their bites [mm].

    Raises:
        BadValue: When the punch is not longer than wide, or longer than the slot.

    Example:
        >>> layout = obround_chain(50.0, 22.0, 40.0)
        >>> [one.x_mm for one in layout.hits], round(layout.bites[1].share, 3)
        ([-5.0, 5.0], 0.283)
    """
    _require_slot_tool(length_mm, width_mm, tool_mm)
    # The straight sides must meet, so the straight parts are what covers the straight length.
    centres = cover_length(length_mm - width_mm, tool_mm - width_mm, 0.0)
    hits = tuple(Placed(x_mm, 0.0, tool_mm, width_mm, True) for x_mm in centres)
    return Layout(hits, strip_bites(hits), overlap_along_mm(centres, tool_mm) or 0.0)


def ends_then_bridges(length_mm: float, width_mm: float, tool_mm: float) -> Layout | None:
    """A slot by one slot punch: whole hits at the ends and between, then a bridge in each gap.

    Source: common practice (ends first; the web between whole hits must hold until its bridge).

    Args:
        length_mm: The slot's overall length [mm].
        width_mm: The slot's width [mm].
        tool_mm: The punch's overall length [mm].

    Returns:
        The hits, or None when the ends leave no gap for a bridge [mm].

    Raises:
        BadValue: When the punch is not longer than wide, or longer than the slot.

    Example:
        >>> layout = ends_then_bridges(140.0, 20.0, 60.0)
        >>> [one.x_mm for one in layout.hits], layout.web_mm, round(layout.bites[2].share, 3)
        ([-40.0, 40.0, 0.0], 20.0, 0.436)
    """
    _require_slot_tool(length_mm, width_mm, tool_mm)
    straight_mm = tool_mm - width_mm
    whole = max(2, ceil((length_mm - width_mm + straight_mm - DUST_MM) / (2 * straight_mm)))
    gap = (length_mm - whole * tool_mm) / (whole - 1)
    if gap <= DUST_MM:
        return None
    rest_mm, steps = length_mm - tool_mm, 2 * (whole - 1)
    centres = [rest_mm * step / steps - rest_mm / 2 for step in range(steps + 1)]
    hits = tuple(
        Placed(centres[index], 0.0, tool_mm, width_mm, True) for index in bridge_order(steps + 1)
    )
    overlap_mm = overlap_along_mm(centres, tool_mm) or 0.0
    return Layout(hits, strip_bites(hits), overlap_mm, gap)


def ends_then_middle(
    length_mm: float,
    width_mm: float,
    end_mm: float,
    middle_mm: float,
    *,
    rounded: bool,
    overlap_mm: float = 1.5,
    alone: bool = False,
) -> Layout | None:
    """A slot by two tools: round or slot punch at both ends, then another between them.

    The middle is one bridge, or flat tools side by side over the straight length. One flat tool
    alone that is shorter leaves cusps, which are dressed.

    Source: common practice (ends first; then best one bridge by a rectangle as wide as the slot).

    Args:
        length_mm: The slot's overall length [mm].
        width_mm: The slot's width [mm].
        end_mm: The overall length of the end tool, the width for a round one [mm].
        middle_mm: The overall length of the middle tool [mm].
        rounded: Whether the middle tool has round ends [-].
        overlap_mm: What flat tools side by side share at least [mm].
        alone: Whether one flat tool shorter than the straight sides is to make the middle [-].

    Returns:
        The hits, or None when the ends meet, the middle tool would cut too far, or one alone is not
        shorter or leaves metal between [mm].

    Raises:
        BadValue: When the end tool is shorter than wide, or longer than the slot.

    Example:
        >>> layout = ends_then_middle(50.0, 22.0, 22.0, 28.0, rounded=False)
        >>> [one.x_mm for one in layout.hits], round(layout.bites[2].share, 3), layout.cusp_mm
        ([-14.0, 14.0, 0.0], 0.383, 0.0)
    """
    _require_slot_tool(length_mm, width_mm, end_mm, least_mm=width_mm)
    web_mm = length_mm - 2 * end_mm
    # Flat ends must stay inside the straight sides, round ones must reach the end hits.
    within_mm = length_mm if rounded else length_mm - width_mm
    too_short = rounded and middle_mm <= web_mm + DUST_MM
    if web_mm <= DUST_MM or middle_mm > within_mm + DUST_MM or too_short:
        return None
    end = (length_mm - end_mm) / 2
    ends = [Placed(x_mm, 0.0, end_mm, width_mm, True) for x_mm in (-end, end)]
    straight_mm = middle_mm - (width_mm if rounded else 0.0)
    centres: tuple[float, ...] = (0.0,)
    short = not rounded and falls_short(straight_mm, web_mm + width_mm)
    if alone and not (short and exceeds(middle_mm, web_mm)):
        return None
    if short and not alone:
        centres = cover_length(web_mm + width_mm, middle_mm, overlap_mm)
    middle = [Placed(x_mm, 0.0, middle_mm, width_mm, rounded, 1) for x_mm in centres]
    hits = (*ends, *_outer_first(middle))
    return Layout(hits, strip_bites(hits), _least_overlap_mm(hits), web_mm, cusp_mm(hits))


def _outer_first(middle: list[Placed]) -> list[Placed]:
    """Hits of a row from both ends towards the middle, so that the last one is a bridge."""
    if len(middle) % 2 == 0:
        return middle
    return sorted(middle, key=lambda one: (-round(abs(one.x_mm), 6), one.x_mm))


def _least_overlap_mm(hits: tuple[Placed, ...]) -> float:
    """What neighbours share along the middle of the strip, at least."""
    along = sorted(hits, key=lambda hit: hit.x_mm)
    return min(
        first.x_mm + first.along_mm / 2 - (second.x_mm - second.along_mm / 2)
        for first, second in pairwise(along)
    )


def _require_slot_tool(
    length_mm: float, width_mm: float, tool_mm: float, least_mm: float | None = None
) -> None:
    require_positive(length_mm=length_mm, width_mm=width_mm, tool_mm=tool_mm)
    if tool_mm > length_mm + DUST_MM:
        message = f"tool_mm={tool_mm:g} must be <= length_mm={length_mm:g}"
        raise BadValue(message, way_out="take a tool that stays inside the slot")
    least = width_mm + DUST_MM if least_mm is None else least_mm - DUST_MM
    if tool_mm < least:
        message = f"tool_mm={tool_mm:g} must be > width_mm={width_mm:g}"
        raise BadValue(message, way_out="a round punch makes ends only")
