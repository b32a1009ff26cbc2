"""How often a device may ask: far above what hands can do, far below what a guesser needs."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field
from math import ceil
from time import monotonic

MOST_REMEMBERED = 2000


@dataclass(frozen=True)
class Rate:
    """So many at once, and so many more each second."""

    at_once: float
    a_second: float


DEVICE = Rate(300, 30)
STRANGER = Rate(60, 2)
PAIRING = Rate(10, 1 / 30)
PIN = Rate(40, 1 / 5)


@dataclass
class Rates:
    """Who has asked how much lately; the longest silent is forgotten when there are too many."""

    clock: Callable[[], float] = monotonic
    _left: OrderedDict[tuple[str, Rate], tuple[float, float]] = field(default_factory=OrderedDict)

    def wait_s(self, who: str, rate: Rate) -> int:
        """Whole seconds until somebody may ask again; 0 when now, and then it is counted."""
        now = self.clock()
        left, before = self._left.pop((who, rate), (rate.at_once, now))
        left = min(rate.at_once, left + (now - before) * rate.a_second)
        is_free = left >= 1
        self._left[who, rate] = (left - 1 if is_free else left, now)
        if len(self._left) > MOST_REMEMBERED:
            self._left.popitem(last=False)
        return 0 if is_free else max(1, ceil((1 - left) / rate.a_second))
