"""Better orders by annealing: small changes of an order, a worse one taken ever more rarely."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from math import log

from crib.trade.changes.magazine import KeptTools

# Found by trials on thirty and forty jobs.
_HOT, _COLD = 0.35, 0.15
_NEARNESS = 2.5
_LOST_OVERLAP = 3
_WIDEST = 8

Move = tuple[int, list[int], int]


class Draws:
    """Numbers from 0 to below 1 that look random and are the same for the same seed."""

    __slots__ = ("_state",)

    def __init__(self, seed: int) -> None:
        self._state = (seed * 0x9E3779B97F4A7C15 + 0x2545F4914F6CDD1D) & 0xFFFFFFFFFFFFFFFF

    def draw(self) -> float:
        """The next number; a linear congruence of 64 bits, its upper 53 used."""
        self._state = (self._state * 6364136223846793005 + 1442695040888963407) & (2**64 - 1)
        return (self._state >> 11) * 2.0**-53


def annealed(
    row: list[int],
    slots: int,
    first: int,
    draws: Draws,
    progress: Callable[[int], float],
    enough: int,
) -> list[int]:
    """The best order met while the taste for worse ones cools down.

    Source: common practice (simulated annealing).

    Args:
        row: The jobs in the order to begin with [masks].
        slots: Tools that the magazine holds [-].
        first: The first position that may change [-].
        draws: Where the chances come from [-].
        progress: From the steps made to the share of the work done; 1 ends it [-].
        enough: Kept uses that cannot be bettered [-].

    Returns:
        The jobs in the best order [masks].

    Example:
        >>> row = annealed([0b011, 0b100, 0b011], 2, 0, Draws(1), lambda steps: steps / 999, 2)
        >>> row in ([3, 3, 4], [4, 3, 3])
        True
    """
    kept, step, heat, draw = KeptTools(row, slots), 0, _HOT, draws.draw
    most, best = kept.total, row
    if len(row) - first < 2:
        return best
    for start, part, lost in _moves(kept, first, draw):
        if not step & 127:
            share = progress(step)
            if share >= 1 or most >= enough:
                break
            heat = _HOT * (_COLD / _HOT) ** share
        step += 1
        if not part:
            continue
        end = start + len(part) - 1
        row = kept.row
        if lost + _lost_outside(row, start, end, part) > _LOST_OVERLAP:
            continue
        changed = row[:start] + part + row[end + 1 :]
        least = kept.total - int(-heat * log(1 - draw()))
        total = kept.tried(changed, start, end, least)
        if total >= least:
            kept.take(changed, start)
            if total > most:
                most, best = total, changed
    return best


def _lost_outside(row: list[int], start: int, end: int, part: list[int]) -> int:
    """Tools that neighbours at the rims no longer share; a cheap sign of a change for the worse."""
    lost = 0
    if start:
        before = row[start - 1]
        lost += (before & row[start]).bit_count() - (before & part[0]).bit_count()
    if end + 1 < len(row):
        after = row[end + 1]
        lost += (after & row[end]).bit_count() - (after & part[-1]).bit_count()
    return lost


def _moves(kept: KeptTools, first: int, draw: Callable[[], float]) -> Iterator[Move]:
    """Changes by chance of the order as it is then: the start, the jobs from there, overlap lost.

    Most move one job or a few, most not far; some swap two jobs, some turn a stretch round. An
    empty one is a change that did not fit.
    """
    size = len(kept.row) - first
    while True:
        kind = draw()
        distance = 1 + int((size - 1) * draw() ** _NEARNESS)
        start = first + int(draw() * (size - distance))
        row = kept.row
        if kind < 0.65:
            width = 1 if kind < 0.4 else 2 if kind < 0.5 else 3 + int(draw() * (_WIDEST - 2))
            end = start + distance + width
            if end > len(row):
                yield start, [], 0
                continue
            split = start + (width if draw() < 0.5 else distance)
            left, right = row[start:split], row[split:end]
            lost = (left[-1] & right[0]).bit_count()
            if width > 1 and draw() < 0.5:
                (left if len(left) == width else right).reverse()
            yield start, right + left, lost - (right[-1] & left[0]).bit_count()
            continue
        part = row[start : start + distance + 1]
        if kind < 0.75:
            yield start, part, _swapped(part)
        else:
            part.reverse()
            yield start, part, 0


def _swapped(part: list[int]) -> int:
    """Swap the ends of a stretch; how many tools they share less with their neighbours inside."""
    left, right = part[0], part[-1]
    part[0], part[-1] = right, left
    if len(part) < 3:
        return 0
    after, before = part[1], part[-2]
    lost = (left & after).bit_count() + (right & before).bit_count()
    return lost - (right & after).bit_count() - (left & before).bit_count()
