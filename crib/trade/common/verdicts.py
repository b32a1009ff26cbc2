"""The three verdicts, and how two figures are compared when one of them was converted.

A verdict is one of ``ok``, ``caution`` and ``refuse``; several together are as bad as the worst.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

Verdict = Literal["ok", "caution", "refuse"]

_RANK: dict[Verdict, int] = {"ok": 0, "caution": 1, "refuse": 2}

# 50 US tons turned into newtons and back is not 50 to the last bit: a limit is only passed by more
# than this share of itself, so that "exactly at the limit" stays inside it.
SAME_WITHIN = 1e-9
# Of two lengths that are alike the difference is dust as well, but beside nothing no share of it is
# small: a millionth of a millimetre is less than anybody measures.
_DUST_MM = 1e-6


def worst(verdicts: Iterable[Verdict]) -> Verdict:
    """The gravest of some verdicts; ``ok`` when there are none.

    Source: shop rule (every warning is collected, the gravest one decides).

    Args:
        verdicts: What the rules said, in any order [text].

    Returns:
        The gravest verdict [text].

    Example:
        >>> worst(["ok", "caution", "ok"])
        'caution'
    """
    return max(verdicts, key=_RANK.__getitem__, default="ok")


def exceeds(value: float, limit: float) -> bool:
    """Whether a value is above a limit by more than the dust of a conversion.

    Source: shop rule (a figure exactly at its limit is inside the limit).

    Args:
        value: The figure, in the unit of the limit [-].
        limit: What it may reach, in the same unit [-].

    Returns:
        True when the value is above the limit [-].

    Example:
        >>> exceeds(1.0 + 1e-12, 1.0), exceeds(1.001, 1.0)
        (False, True)
    """
    return value - limit > SAME_WITHIN * max(abs(value), abs(limit))


def falls_short(value: float, least: float) -> bool:
    """Whether a value is below a least figure by more than the dust of a conversion.

    Source: shop rule (a figure exactly at its limit is inside the limit).

    Args:
        value: The figure, in the unit of the limit [-].
        least: What it must reach, in the same unit [-].

    Returns:
        True when the value is below the least figure [-].

    Example:
        >>> falls_short(1.0 - 1e-12, 1.0), falls_short(0.999, 1.0)
        (False, True)
    """
    return exceeds(least, value)


def remains(left_mm: float) -> bool:
    """Whether something is left where one length was taken from another: more than dust.

    ``exceeds`` cannot say it: whatever rounding leaves of two equal lengths is above zero.

    Source: shop rule (nothing left is nothing, however the two lengths were reckoned).

    Args:
        left_mm: The one length less the other [mm].

    Returns:
        True when it is above zero by more than a millionth of a millimetre [-].

    Example:
        >>> remains(10.0 + 35.2 - 45.2), remains(0.01), remains(-0.01)
        (False, True, False)
    """
    return left_mm > _DUST_MM
