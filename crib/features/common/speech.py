"""How the rules speak: sizes, forces and stresses in the crib's own units."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeAlias, cast

from crib import units
from crib.features.common.sizes import clean_pair, clean_text, decimal_text
from crib.trade.common.verdicts import exceeds, falls_short
from crib.trade.metal.clearance import System as ChartSystem
from crib.trade.shop.shop_rules import Rules
from crib.units import ForceUnit, System

Writer: TypeAlias = "Callable[[Speech, float], str]"
"""One of the ways to write a figure below, such as ``Speech.length``."""

_MOST_MORE = 9
"""Decimals beyond the usual ones that are ever written: what is finer is dust."""


@dataclass(frozen=True, slots=True)
class Speech:
    """The crib's units, ready to write with; ``more`` decimals than usual."""

    rules: Rules
    more: int = 0

    @property
    def system(self) -> System:
        """Inches or millimetres."""
        return self.rules.system

    @property
    def chart(self) -> ChartSystem:
        """Which clearance chart the crib goes by."""
        return "metric" if self.system == "mm" else "inch"

    def near(self, write: Writer, value: float, *limits: float) -> Speech:
        """The same with as many more decimals as show on which side of its limits a figure lies.

        What is just above a limit must not be written equal to it: it would read as allowed.
        """
        say = self
        for limit in limits:
            while say.more < _MOST_MORE and not _tells(say, write, value, limit):
                say = Speech(self.rules, say.more + 1)
        return say

    def length(self, length_mm: float) -> str:
        """A length as people write it, a worked-out one rounded."""
        digits = (3 if self.system == "mm" else 4) + self.more
        return units.format_length(length_mm, self.system, digits=digits)

    def size(self, length_mm: float) -> str:
        """The size of a tool or a hole, in the other unit where it is clean only in that.

        With more decimals than usual it is a length like its limit.
        """
        return self.length(length_mm) if self.more else clean_text(length_mm, self.system)

    def caliper(self, length_mm: float) -> str:
        """A length as a caliper reads it, always in decimals."""
        return decimal_text(length_mm, self.system, more=self.more)

    def wall(self, wall_mm: float) -> str:
        """A wall as a caliper reads it."""
        return decimal_text(wall_mm, self.system, fine=True, more=self.more)

    def force(self, force_n: float) -> str:
        """A force in the crib's own unit, always named."""
        unit = cast(ForceUnit, self.rules.text("crib.force_unit"))
        return units.format_force(force_n, unit, 1 + self.more)

    def line_force(self, line_n_mm: float) -> str:
        """A force along a tool, by the foot or by the metre."""
        metric = self.system == "mm"
        each_mm = 1000.0 if metric else units.mm_from_inches(12)
        return f"{self.force(line_n_mm * each_mm)} a {'metre' if metric else 'foot'}"

    def stress(self, stress_mpa: float) -> str:
        """A stress in ksi or MPa."""
        return units.format_stress(stress_mpa, self.system, self.more)

    def share(self, share: float) -> str:
        """A share of one, in percent."""
        return f"{100 * share:.{self.more}f} %"

    def percent(self, percent: float) -> str:
        """A percentage to a tenth."""
        return f"{percent:.{1 + self.more}f} %"

    def ratio(self, ratio: float) -> str:
        """One figure over another."""
        return f"{ratio:.{2 + self.more}f}"

    def degrees(self, angle_deg: float) -> str:
        """An angle, whole where it is."""
        return f"{angle_deg:.{4 + self.more}f}".rstrip("0").rstrip(".") + "°"


_STEPS: dict[Writer, float] = {Speech.share: 0.01, Speech.percent: 0.1, Speech.ratio: 0.01}
"""The steps of ways that write every figure in the same: what lies further apart shows."""


def _tells(say: Speech, write: Writer, value: float, limit: float) -> bool:
    """Whether two figures as they are written stand to each other as they are."""
    step = _STEPS.get(write)
    if step and abs(value - limit) * 10**say.more > step:
        return True
    over = exceeds(value, limit)
    if not over and not falls_short(value, limit):
        return True
    written, at = _figure(write(say, value)), _figure(write(say, limit))
    return written > at if over else written < at


def _figure(text: str) -> float:
    """The first figure of a text: ``1-3/16 in`` is 1.1875."""
    first = text.split(maxsplit=1)[0].rstrip("°")
    if "/" not in first:
        return float(first)
    whole, _, part = first.removeprefix("-").partition("-")
    size = sum(_quotient(piece) for piece in (whole, part) if piece)
    return -size if first.startswith("-") else size


def _quotient(text: str) -> float:
    above, _, below = text.partition("/")
    return float(above) / float(below or 1)


def shape_and_size(say: Speech, shape: str, width_mm: float, long_mm: float) -> str:
    """A size with its shape: ``round 13/16 in``, ``obround 13/16 x 1-7/8 in``."""
    if exceeds(long_mm, width_mm):
        return f"{shape} {clean_pair(width_mm, long_mm, say.system)}"
    return f"{shape} {say.size(width_mm)}"
