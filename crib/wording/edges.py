"""What a sharpening changes around the tool, in words."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from crib.units import System, format_length
from crib.wording.parts import Words


def _die_lower(*, in_all_mm: float, unit: System) -> Words:
    lower = f"the die is {_length(in_all_mm, unit)} lower than new, its punch enters so much less"
    return lower, ": shim it only if the machine's manual allows"


def _stripper_gap(*, off_mm: float | None, unit: System) -> Words:
    by = "as much as came off" if off_mm is None else _length(off_mm, unit)
    return (
        f"the gap under the stripper grew by {by}",
        ": set the stripper again, realign punch and die, inch down once before the first hole",
    )


def _length(length_mm: float, unit: System) -> str:
    return format_length(length_mm, unit, digits=3 if unit == "mm" else 4)


EDGES: Mapping[str, Callable[..., Words]] = {
    "edge.die-lower": _die_lower,
    "edge.stripper-gap": _stripper_gap,
}
