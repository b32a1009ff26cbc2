"""How a shaped tool's outline repeats as it turns, and so which key angles line up."""

from __future__ import annotations

from collections.abc import Iterable

_REPEATS_DEG = {"rectangle": 180, "obround": 180, "square": 90, "hexagon": 60}
_WHOLE_TURN_DEG = 360


def repeats_every_deg(shape: str) -> int:
    """The least turn after which an outline covers itself; a round one does after any.

    Source: plane geometry (a rectangle and an obround look the same twice in a turn, a square four
    times, a hexagon six times); an outline that is none of these is taken to repeat but once.

    Args:
        shape: The outline's shape [text].

    Returns:
        The turn in whole degrees [deg].

    Example:
        >>> [repeats_every_deg(shape) for shape in ("round", "square", "obround", "special")]
        [1, 90, 180, 360]
    """
    return 1 if shape == "round" else _REPEATS_DEG.get(shape, _WHOLE_TURN_DEG)


def keys_that_line_up(
    shape: str, punch_deg: Iterable[int], die_deg: Iterable[int]
) -> list[tuple[int, int]]:
    """The key angles of a punch and of its die at which one outline lies over the other.

    Source: plane geometry (they do where they differ by whole turns that the outline repeats in).

    Args:
        shape: The shape of both [text].
        punch_deg: Angles at which the punch's key can stand, to the throat [deg].
        die_deg: Angles at which the die's key can stand, to the throat [deg].

    Returns:
        Pairs of an angle of the punch and the die's first angle that fits it [deg].

    Example:
        >>> keys_that_line_up("square", [0], [90]), keys_that_line_up("obround", [0], [90])
        ([(0, 90)], [])
    """
    every_deg, angles = repeats_every_deg(shape), sorted(set(die_deg))
    fitting = {
        one: [other for other in angles if (one - other) % every_deg == 0]
        for one in sorted(set(punch_deg))
    }
    return [(one, one if one in others else others[0]) for one, others in fitting.items() if others]
