"""An order annealed stretch by stretch while the heat goes down, for as long as there is time."""

from __future__ import annotations

from collections.abc import Callable

from crib.trade.changes.order_search import annealed as plain_annealed

# Found by trials on forty to sixty jobs.
_HOT, _COLD = 0.5, 0.2
_STRETCH = 256
_LONG_ORDER, _ROUNDS = 24, 3
_MODULUS = 2147483647

Annealed = Callable[
    [list[int], int, int, int, int, float, int, int], tuple[list[int], list[int], int, int]
]
"""``order_search.annealed``, or what does the very same in less time."""


def first_chance(seed: int) -> int:
    """Where the chances of a seed begin, far from those of the next seed.

    Source: common practice (Knuth's multiplicative hash), from memory.

    Args:
        seed: Which chances are taken [-].

    Returns:
        A number for ``order_search.annealed``, 1 to 2147483646 [-].

    Example:
        >>> first_chance(0), first_chance(1)
        (1, 506952124)
    """
    return 1 + seed * 2654435769 % (_MODULUS - 1)


def cooled(
    row: list[int],
    slots: int,
    first: int,
    chance: int,
    progress: Callable[[int], float],
    enough: int,
    annealed: Annealed = plain_annealed,
) -> tuple[list[int], int]:
    """The best order met while the taste for worse ones cools down, and where chances go on.

    Source: common practice (simulated annealing).

    Args:
        row: The jobs in the order to begin with [masks].
        slots: Tools that the magazine holds [-].
        first: The first position that may change [-].
        chance: Where the chances begin [-].
        progress: From the changes thought of to the share of the work done; 1 ends it [-].
        enough: Kept uses that cannot be bettered [-].
        annealed: What anneals for one stretch [-].

    Returns:
        The jobs in the best order [masks], and where chances go on [-].

    Example:
        >>> cooled([0b011, 0b100, 0b011], 2, 0, 1, lambda steps: steps / 999, 2)[0]
        [3, 3, 4]
    """
    best, most, steps = row, -1, 0
    if len(row) - first < 2:
        return best, chance
    while (share := progress(steps)) < 1 and most < enough:
        heat = _HOT * (_COLD / _HOT) ** share
        row, met, kept, chance = annealed(row, slots, first, 0, chance, heat, _STRETCH, enough)
        steps += _STRETCH
        if kept > most:
            best, most = met, kept
    return best, chance


def cooled_again(
    row: list[int],
    slots: int,
    first: int,
    chance: int,
    done: Callable[[], float],
    enough: int,
    annealed: Annealed = plain_annealed,
) -> list[int]:
    """The best order met until time is over; a short one is cooled several times from the best.

    Source: common practice (simulated annealing, restarted).

    Args:
        row: The jobs in the order to begin with [masks].
        slots: Tools that the magazine holds [-].
        first: The first position that may change [-].
        chance: Where the chances begin [-].
        done: The share of the time that is over; 1 ends it [-].
        enough: Kept uses that cannot be bettered [-].
        annealed: What anneals for one stretch [-].

    Returns:
        The jobs in the best order [masks].

    Example:
        >>> cooled_again([0b011, 0b100, 0b011], 2, 0, 1, lambda: 0.0, 2)
        [3, 3, 4]
    """
    for rounds in range(1 if len(row) > _LONG_ORDER else _ROUNDS, 0, -1):
        began = done()
        if began >= 1:
            break
        part = (1 - began) / rounds
        since = _since(done, began, part)
        row, chance = cooled(row, slots, first, chance, since, enough, annealed)
    return row


def _since(done: Callable[[], float], began: float, part: float) -> Callable[[int], float]:
    return lambda _steps: (done() - began) / part
