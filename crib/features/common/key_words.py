"""How a shaped tool is keyed, in words: along the throat, across it, or at an angle to it."""

from __future__ import annotations

from collections.abc import Iterable

from crib.trade.metal.key_angles import repeats_every_deg

_WAYS = {0: "along", 90: "across"}


def key_ways(shape: str, angles: Iterable[int]) -> str:
    """The ways a key lets the long side lie to the throat, short: ``along``, ``0°`` for a square.

    Each way is named once: what looks the same after half a turn is the same way. Empty for a
    round tool and for one without a key.
    """
    if shape == "round":
        return ""
    every_deg = repeats_every_deg(shape)
    ways = [_way(shape, turn_deg) for turn_deg in sorted({one % every_deg for one in angles})]
    return " or ".join(ways)


def keyed_words(shape: str, angles: Iterable[int], between: str = " or ") -> str:
    """The same as part of a sentence: ``keyed along (0°) or across (90°) the throat``."""
    ways = [_told(shape, one) for one in sorted(angles)]
    if not ways:
        return "unkeyed"
    to_it = " to" if ways[-1].startswith("at ") else ""
    return f"keyed {between.join(ways)}{to_it} the throat"


def key_way(shape: str, angle_deg: float) -> str:
    """How a key is set: ``along (0°)``, ``across (90°)``, ``45°``."""
    way = _WAYS.get(round(angle_deg) % 180) if _is_long(shape) else None
    return f"{way} ({angle_deg:g}°)" if way else f"{angle_deg:g}°"


def _is_long(shape: str) -> bool:
    return repeats_every_deg(shape) == 180


def _way(shape: str, angle_deg: int) -> str:
    return _WAYS.get(angle_deg, f"{angle_deg}°") if _is_long(shape) else f"{angle_deg}°"


def _told(shape: str, angle_deg: int) -> str:
    way = key_way(shape, angle_deg)
    return way if "(" in way else f"at {way}"
