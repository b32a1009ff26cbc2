"""Several hits along a length: where they lie, in which order, and how much of the tool cuts.

A hit cuts *full* where nothing is open yet, as a *chain* hit where one side is open, and as a
*bridge* hit where both ends are open evenly. The bite is the share of the tool's area that cuts.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil

from crib.errors import BadValue
from crib.trade.common.guards import require_not_negative, require_positive
from crib.trade.common.verdicts import Verdict, exceeds, falls_short
from crib.trade.life.wear import Hit

# What two sizes may differ by and still be the same size after a conversion.
DUST_MM = 1e-7

# A hit open on both ends counts as centred within this share of the tool.
CENTRED_WITHIN = 0.10

Span = tuple[float, float]


@dataclass(frozen=True, slots=True)
class BiteLimits:
    """The shares of the tool that must cut [-]; ``chain_guided_refuse`` is for a heeled punch."""

    chain_ok: float = 0.75
    chain_refuse: float = 0.60
    bridge_ok: float = 0.50
    bridge_refuse: float = 0.35
    chain_guided_refuse: float = 0.50


def cover_length(length_mm: float, tool_mm: float, overlap_mm: float) -> tuple[float, ...]:
    """Where a tool stands to cover a length in the fewest evenly spaced hits, end to end.

    Source: common practice; N = ceil((w - W) / (W - o)) + 1, pitch = (w - W) / (N - 1).

    Args:
        length_mm: The length to cover, w [mm].
        tool_mm: The tool's size along it, W [mm].
        overlap_mm: What neighbouring hits share at least, o [mm].

    Returns:
        The tool's centres from the middle of the length, rising [mm].

    Raises:
        BadValue: When the tool is longer than the length, or not longer than the overlap.

    Example:
        >>> cover_length(177.8, 101.6, 1.5)
        (-38.1, 38.1)
    """
    _require_cover(length_mm, tool_mm, overlap_mm)
    rest_mm = length_mm - tool_mm
    if rest_mm <= DUST_MM:
        return (0.0,)
    steps = ceil((rest_mm - DUST_MM) / (tool_mm - overlap_mm))
    return tuple(rest_mm * step / steps - rest_mm / 2 for step in range(steps + 1))


def cover_with_bridges(length_mm: float, tool_mm: float, overlap_mm: float) -> tuple[float, ...]:
    """Where a tool stands to cover a length with whole hits first and a bridge in each gap.

    The fewest whole hits are spread evenly; empty when two of them at the ends leave no gap.

    Source: common practice (ends first, then the middle; a bridge is centred in its gap).

    Args:
        length_mm: The length to cover [mm].
        tool_mm: The tool's size along it [mm].
        overlap_mm: What neighbouring hits share at least [mm].

    Returns:
        The tool's centres from the middle, rising: whole, bridge, whole and so on [mm].

    Raises:
        BadValue: When the tool is longer than the length, or not longer than two overlaps.

    Example:
        >>> cover_with_bridges(100.0, 40.0, 1.5)
        (-30.0, 0.0, 30.0)
    """
    _require_cover(length_mm, tool_mm, 2 * overlap_mm)
    if length_mm - 2 * tool_mm <= DUST_MM:
        return ()
    least = (length_mm + tool_mm - 2 * overlap_mm - DUST_MM) / (2 * (tool_mm - overlap_mm))
    steps = 2 * (max(2, ceil(least)) - 1)
    rest_mm = length_mm - tool_mm
    return tuple(rest_mm * step / steps - rest_mm / 2 for step in range(steps + 1))


def bridge_order(count: int) -> tuple[int, ...]:
    """The order of hits along a length when every second one is a bridge: whole ones first.

    Source: common practice (a bridge comes after both of its neighbours).

    Args:
        count: How many hits there are, an odd number [-].

    Returns:
        Which hit comes when, counted from 0 along the length [-].

    Example:
        >>> bridge_order(5)
        (0, 2, 4, 1, 3)
    """
    return (*range(0, count, 2), *range(1, count, 2))


def gap_mm(positions: Sequence[float], tool_mm: float) -> float | None:
    """The least metal that stands between whole hits until a bridge cuts it away.

    Source: common practice (the doomed web between end hits must hold while they are cut).

    Args:
        positions: Centres of the whole hits, rising [mm].
        tool_mm: The tool's size along them [mm].

    Returns:
        The least gap, or None when there is only one hit [mm].

    Example:
        >>> gap_mm((-30.0, 30.0), 40.0)
        20.0
    """
    pairs = pairwise(positions)
    return min((second - first - tool_mm for first, second in pairs), default=None)


def overlap_along_mm(positions: Sequence[float], tool_mm: float) -> float | None:
    """The least that neighbouring hits along a length share.

    Source: plane geometry.

    Args:
        positions: Centres of all the hits, rising [mm].
        tool_mm: The tool's size along them [mm].

    Returns:
        The least overlap, or None when there is only one hit [mm].

    Example:
        >>> overlap_along_mm((-38.1, 38.1), 101.6)
        25.4
    """
    pairs = pairwise(positions)
    return min((tool_mm - (second - first) for first, second in pairs), default=None)


def bites_along(
    positions: Sequence[float], tool_mm: float, order: Sequence[int] | None = None
) -> tuple[float, ...]:
    """The share of the tool that each hit along a length newly cuts.

    Source: common practice (bite = area removed by the hit over the punch's area).

    Args:
        positions: The tool's centres [mm].
        tool_mm: The tool's size along the length [mm].
        order: Which position is hit when; as they stand if not given [-].

    Returns:
        The bites in the order of the hits [-].

    Raises:
        BadValue: When the order does not name every position once.

    Example:
        >>> bites_along((-30.0, 0.0, 30.0), 40.0, (0, 2, 1))
        (1.0, 1.0, 0.5)
    """
    left = _left_by_each(positions, tool_mm, order)
    return tuple(sum(high - low for low, high in spans) / tool_mm for _centre, spans in left)


def kinds_along(
    positions: Sequence[float], tool_mm: float, order: Sequence[int] | None = None
) -> tuple[Hit, ...]:
    """Whether each hit along a length is full, a chain or a bridge.

    A hit open on both ends but off the middle counts as a chain hit, which is stricter.

    Source: common practice (a bridge is open evenly on both ends, within 10 % of its length).

    Args:
        positions: The tool's centres [mm].
        tool_mm: The tool's size along the length [mm].
        order: Which position is hit when; as they stand if not given [-].

    Returns:
        The kinds in the order of the hits [text].

    Raises:
        BadValue: When the order does not name every position once.

    Example:
        >>> kinds_along((-30.0, 0.0, 30.0), 40.0, (0, 2, 1))
        ('full', 'full', 'bridge')
    """
    left = _left_by_each(positions, tool_mm, order)
    return tuple(_kind(centre, spans, tool_mm) for centre, spans in left)


def bite_verdict(
    kind: Hit, bite: float, limits: BiteLimits | None = None, *, heel_guided: bool = False
) -> tuple[Verdict, float]:
    """What a bite deserves, and the limit that it meets or misses.

    Source: common practice; chain 0.75 and 0.60 (0.50 with a heeled punch), bridge 0.50 and 0.35.

    Args:
        kind: Whether the hit is full, a chain or a bridge [text].
        bite: Share of the tool that cuts [-].
        limits: The shop's limits; those of common practice if not given [-].
        heel_guided: Whether a heel keeps the punch from being pushed sideways [-].

    Returns:
        The verdict, and the limit it missed or the good one it meets [-].

    Example:
        >>> bite_verdict("chain", 0.28), bite_verdict("bridge", 0.4), bite_verdict("full", 1.0)
        (('refuse', 0.6), ('caution', 0.5), ('ok', 1.0))
    """
    limits = limits or BiteLimits()
    if kind == "full":
        return "ok", 1.0
    ok, refuse = limits.chain_ok, limits.chain_refuse
    if kind == "bridge":
        ok, refuse = limits.bridge_ok, limits.bridge_refuse
    elif heel_guided:
        refuse = min(refuse, limits.chain_guided_refuse)
    if falls_short(bite, refuse):
        return "refuse", refuse
    return ("caution" if falls_short(bite, ok) else "ok"), ok


def _require_cover(length_mm: float, tool_mm: float, overlap_mm: float) -> None:
    require_positive(length_mm=length_mm, tool_mm=tool_mm)
    require_not_negative(overlap_mm=overlap_mm)
    if exceeds(tool_mm, length_mm):
        message = f"tool_mm={tool_mm:g} must be <= length_mm={length_mm:g}"
        raise BadValue(message, way_out="take a tool that stays inside the feature")
    if not exceeds(tool_mm, overlap_mm):
        message = f"tool_mm={tool_mm:g} must be > overlap {overlap_mm:g}"
        raise BadValue(message, way_out="take a larger tool")


def _left_by_each(
    positions: Sequence[float], tool_mm: float, order: Sequence[int] | None
) -> list[tuple[float, list[Span]]]:
    """For each hit in its order its centre, and what the ones before it have left under it."""
    require_positive(tool_mm=tool_mm)
    order = range(len(positions)) if order is None else order
    if sorted(order) != list(range(len(positions))):
        message = f"order {tuple(order)} must name each of {len(positions)} positions once"
        raise BadValue(message)
    found: list[tuple[float, list[Span]]] = []
    cut: list[Span] = []
    for index in order:
        own = (positions[index] - tool_mm / 2, positions[index] + tool_mm / 2)
        found.append((positions[index], spans_left(own, cut)))
        cut.append(own)
    return found


def spans_left(own: Span, cut: Sequence[Span]) -> list[Span]:
    """What is left of a span after others are cut from it.

    Source: plane geometry.

    Args:
        own: Its low and high end [mm].
        cut: The low and high ends of what is cut [mm].

    Returns:
        The spans that are left, rising [mm].

    Example:
        >>> spans_left((0.0, 10.0), [(2.0, 4.0), (3.0, 5.0)])
        [(0.0, 2.0), (5.0, 10.0)]
    """
    left: list[Span] = []
    low, high = own
    for from_mm, to_mm in sorted(cut):
        if from_mm - low > DUST_MM and low < high:
            left.append((low, min(from_mm, high)))
        low = max(low, to_mm)
    if high - low > DUST_MM:
        left.append((low, high))
    return left


def _kind(centre_mm: float, spans: Sequence[Span], tool_mm: float) -> Hit:
    if not spans:
        return "chain"
    low, high = spans[0][0], spans[-1][1]
    if high - low >= tool_mm - DUST_MM and len(spans) == 1:
        return "full"
    open_below = low - (centre_mm - tool_mm / 2) > DUST_MM
    open_above = (centre_mm + tool_mm / 2) - high > DUST_MM
    off_mm = abs((low + high) / 2 - centre_mm)
    centred = off_mm <= CENTRED_WITHIN * tool_mm + DUST_MM
    return "bridge" if open_below and open_above and centred and len(spans) == 1 else "chain"
