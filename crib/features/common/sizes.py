"""Which unit a size is written in: the crib's own, or the one that the size is plainly made in."""

from __future__ import annotations

from crib import units
from crib.units import System

CLEAN_MM = 0.005
"""A size this near to a half millimetre or a 64th of an inch is meant to be it."""

_HALF_MM = 0.5
_TENTH_MM = 0.1
_THOUSANDTH_MM = units.mm_from_inches(0.001)
_SIXTY_FOURTH_MM = units.mm_from_inches(1 / 64)
_EXACT_MM = 1e-6
_MOST_DECIMALS, _LEAST_MM = 4, 0.0001


def natural_system(length_mm: float, system: System) -> System:
    """The crib's own system, unless a size is clean only in the other: 25 mm, or 13/16 in.

    Where it is near to both, such as 25 mm to 63/64 in, the nearer has it. What is exactly a tenth
    of a millimetre in a metric crib, or a thousandth in an inch crib, was meant so and stays.
    """
    off_mm = {"mm": _off(length_mm, _HALF_MM), "in": _off(length_mm, _SIXTY_FOURTH_MM)}
    other: System = "in" if system == "mm" else "mm"
    if off_mm[other] > CLEAN_MM or off_mm[system] <= off_mm[other]:
        return system
    fine_mm = _TENTH_MM if system == "mm" else _THOUSANDTH_MM
    if off_mm[other] > _EXACT_MM and _off(length_mm, fine_mm) <= _EXACT_MM:
        return system
    return other


def size_word(size_mm: float, system: System) -> str:
    """A size as a phrase has it, with four decimals at most: ``13/16``, ``0.8200in``, ``20.64mm``.

    It reads back equal where either unit has it so, which a size that a person or a file wrote has;
    a finer one is rounded to a tenth of a thousandth of a millimetre.
    """
    other: System = "in" if system == "mm" else "mm"
    for written in (system, other):
        word = _word(size_mm, written, system)
        if _decimals(word) <= _MOST_DECIMALS:
            return word
    # Dust of reckoning is no figure: 0.1345 in is that again.
    sixty_fourth_mm = round(size_mm / _SIXTY_FOURTH_MM) * 254 / 640
    thin_mm = round(units.inches_from_mm(size_mm) * 10_000) * 254 / 100_000
    plain_mm = round(size_mm, _MOST_DECIMALS)
    is_metric = system == "mm" and abs(plain_mm - size_mm) <= _EXACT_MM
    for clean_mm in () if is_metric else (sixty_fourth_mm, thin_mm):
        if clean_mm and abs(clean_mm - size_mm) <= _EXACT_MM:
            return _word(clean_mm, "in", system)
    return _word(max(plain_mm, _LEAST_MM), "mm", system)


def clean_text(
    length_mm: float, system: System, *, made: System | None = None, with_unit: bool = True
) -> str:
    """A size rounded for people, in the unit it is made in: ``25 mm`` in an inch crib.

    Args:
        length_mm: The size [mm].
        system: The crib's own unit.
        made: The unit it is made in, where that does not show in the size itself.
        with_unit: Put the unit behind the figure.
    """
    made = made or natural_system(length_mm, system)
    if made == "mm":
        digits = 3 if system == "mm" else 2
        return units.format_length(length_mm, "mm", with_unit=with_unit, digits=digits)
    if system == "mm" and _off(length_mm, _SIXTY_FOURTH_MM) <= CLEAN_MM:
        length_mm = round(length_mm / _SIXTY_FOURTH_MM) * _SIXTY_FOURTH_MM
    return units.format_length(length_mm, "in", with_unit=with_unit, digits=4)


def clean_pair(
    width_mm: float, long_mm: float, system: System, *, made: System | None = None
) -> str:
    """Two sizes for people, with the unit once where both are made in the same."""
    apart = made is None and (natural_system(width_mm, system) != natural_system(long_mm, system))
    short = clean_text(width_mm, system, made=made, with_unit=apart)
    return f"{short} x {clean_text(long_mm, system, made=made)}"


def decimal_text(length_mm: float, system: System, *, fine: bool = False, more: int = 0) -> str:
    """A length as a caliper or a tape reads it: ``1.900 in``, ``48.3 mm``, a wall ``3.68 mm``."""
    if system == "in":
        return f"{units.inches_from_mm(length_mm):.{3 + more}f} in"
    return f"{length_mm:.{(2 if fine else 1) + more}f} mm"


def _off(length_mm: float, pitch_mm: float) -> float:
    """How far a length is from a whole number of pitches, of which there is at least one."""
    off_mm = abs(length_mm - max(1, round(length_mm / pitch_mm)) * pitch_mm)
    return round(off_mm, 9)


def _decimals(word: str) -> int:
    return sum(letter.isdigit() for letter in word.partition(".")[2])


def _word(size_mm: float, written: System, system: System) -> str:
    text = units.format_length(size_mm, written).replace(" ", "")
    bare = written == "in" and "." not in text and (system == "in" or "/" in text)
    return text.removesuffix("in") if bare else text
