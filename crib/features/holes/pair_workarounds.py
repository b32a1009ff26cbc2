"""What to do about a hole when the crib does not serve it, cheapest first."""

from __future__ import annotations

from math import floor

from crib import units
from crib.features.common.ask import Workaround
from crib.features.common.sizes import size_word
from crib.features.holes.pair_case import PairCase
from crib.trade.common.verdicts import falls_short
from crib.trade.metal import shapes
from crib.units import System

NO_SMALLER = frozenset({"hole to thickness", "punch stress", "material", "force"})
"""Where one of these refuses, a hole a little smaller would be refused as well."""


def pair_workarounds(
    case: PairCase, refused: frozenset[str], smaller_phrase: str | None
) -> list[Workaround]:
    """Drill, ream, cut or ask: what a hole of this size allows, given the rules that refused."""
    ways: list[Workaround] = []
    width = case.say.size(shapes.narrowest_mm(case.outline))
    round_hole = case.outline.shape == "round"
    if smaller_phrase and not refused & NO_SMALLER:
        ways.append(
            Workaround(
                f"punch it smaller and ream to {width}, where the code allows", smaller_phrase, 30
            )
        )
    if round_hole:
        ways.append(Workaround(f"drill {width}, or cut it with an annular cutter", None, 40))
    else:
        ways.append(Workaround("drill the ends or corners and saw or file between", None, 45))
        ways.append(
            Workaround(
                "cut it thermally and grind, where the code and the engineer allow", None, 50
            )
        )
    if refused & {"hole to thickness", "punch stress"}:
        ways.append(
            Workaround("ask the engineer whether a larger hole or thinner plate serves", None, 55)
        )
    ways.append(Workaround("have the holes made outside: ask price, freight and days", None, 70))
    return ways


def phrase_to_ream(case: PairCase, after_plate: str) -> str | None:
    """A round hole as far under size as the code says (1/8 in or 3 mm without one), to ream.

    The next usual punch size below: whole sixteenths of an inch, or half millimetres.
    None where the code does not allow that either, or the smaller punch would be too thin.
    """
    system, plate = case.say.system, case.plate
    under_mm: float | None = 3.0 if system == "mm" else units.mm_from_inches(0.125)
    if case.ruling is not None and not case.ruling.allowed:
        under_mm = case.ruling.subpunch_under_mm
    least = plate.material.min_hole_ratio
    if case.outline.shape != "round" or case.facts.to_ream or under_mm is None or least is None:
        return None
    smaller_mm = _usual_size_mm(case.outline.width_mm - under_mm, system)
    if falls_short(smaller_mm, least * plate.thickness_mm):
        return None
    return f"hole {size_word(smaller_mm, system)} {plate.phrase(system)}{after_plate} ream"


def _usual_size_mm(most_mm: float, system: System) -> float:
    """The greatest half millimetre or sixteenth of an inch that is not above a size."""
    if system == "mm":
        return floor(2 * most_mm + 1e-6) / 2
    return units.mm_from_inches(floor(16 * units.inches_from_mm(most_mm) + 1e-6) / 16)
