"""The seconds of a plan, shared out to the orders that it looks for, by what each needs."""

from __future__ import annotations

from collections.abc import Callable
from time import perf_counter

MOST_SECONDS = 60.0
"""What a plan takes at the longest for the order of its work, unless it is told otherwise."""
_FEW, _MANY, _MOST_EASY = 10, 16, 25

Progress = Callable[[float, float], None]
"""Is told again and again the seconds gone and the most there will be; both alike at the end."""


def nobody(gone_s: float, most_s: float) -> None:
    """Nobody is told how far it is."""


def seconds_needed(tasks: int) -> float:
    """How long it takes to prove an order of so many tasks or to come near the best.

    Half a minute for sixty. Found by trials with 10 to 70 jobs in plain code.
    """
    if tasks <= _FEW:
        return 0.5
    if tasks <= _MOST_EASY:
        return 4.0 if tasks <= _MANY else 10.0
    return max(25.0, tasks * tasks / 120)


class SearchTime:
    """What is left of the time; what one order did not use up is there for the next."""

    def __init__(self, needed_s: float, seconds: float | None, told: Progress = nobody) -> None:
        self._needed_s, self._began = needed_s, perf_counter()
        self._is_said = seconds is not None
        self._most_s = min(needed_s, MOST_SECONDS) if seconds is None else seconds
        self._told = told

    def share(self, needed_s: float) -> float:
        """The seconds for one order that needs so many; more only where more were asked for."""
        left_s = max(0.0, self._began + self._most_s - perf_counter())
        part_s = left_s * needed_s / self._needed_s if self._needed_s > 0 else left_s
        self._needed_s -= needed_s
        return part_s if self._is_said else min(needed_s, part_s)

    def tell(self, _share: float) -> None:
        """Tell how far it is."""
        self._told(min(perf_counter() - self._began, self._most_s * 0.999), self._most_s)

    def over(self) -> None:
        """Tell that nothing more is looked for."""
        self._told(self._most_s, self._most_s)
