"""Sizes as people write them: a value, and every spelling that they may give it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from random import Random

from crib.units import System

VULGAR = {"1/4": "¼", "1/2": "½", "3/4": "¾", "1/8": "⅛", "3/8": "⅜", "5/8": "⅝", "7/8": "⅞"}
RAISED, LOWERED = (
    str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹"),
    str.maketrans("0123456789", "₀₁₂₃₄₅₆₇₈₉"),
)
BARS = ("/", "⁄", "∕", " / ", "/ ", " /", " ⁄ ", "⁄ ", " ∕")
# The last ones are slips that no reading may take for another size.
JOINTS = ("-", " ", "- ", "–", "‑", " - ", " -", "  ", "\u00a0", "_", ".", ",")
SLIPS = ("-", " ", " - ", "\\", "|", "÷", ":", "/ /")
INCHES = ("", "", "", "in", " in", '"', ' "', " inch", "″")
MILLIMETRES = ("mm", " mm", " MM")


@dataclass(frozen=True)
class Written:
    """A size as it was written, and what it is [mm]."""

    text: str
    mm: float


def inch_size(draw: Random) -> Written:
    """A whole number and a fraction, or either, in one of the ways to write it."""
    whole = draw.choice((0, 0, 1, 1, 1, 2, 3, 10))
    below = draw.choice((2, 4, 8, 16, 16, 16, 32, 64, 20, 100))
    above = draw.randrange(0 if whole else 1, below)
    value = Fraction(254, 10) * (whole + Fraction(above, below))
    if not above:
        return Written(f"{whole}{draw.choice(INCHES[3:])}", float(value))
    text = fraction(draw, above, below)
    if whole:
        joints = JOINTS if text[0] in "0123456789" else ("", *JOINTS)
        text = f"{whole}{draw.choice(joints)}{text}"
    return Written(f"{text}{draw.choice(INCHES)}", float(value))


def fraction(draw: Random, above: int, below: int) -> str:
    """A fraction with a bar of some sort, as one sign, in small figures, or with a slip."""
    way = draw.random()
    if way < 0.15 and f"{above}/{below}" in VULGAR:
        return VULGAR[f"{above}/{below}"]
    if way < 0.25:
        return f"{str(above).translate(RAISED)}{draw.choice('/⁄∕')}{str(below).translate(LOWERED)}"
    return f"{above}{draw.choice(SLIPS if way > 0.9 else BARS)}{below}"


def decimal_size(draw: Random, system: System) -> Written:
    """A number with up to four decimals, bare or with its unit, with a point or a comma."""
    digits = draw.randrange(0, 5)
    scaled = draw.randrange(1, 60 * 10**digits if digits else 60)
    whole, part = divmod(scaled, 10**digits)
    figure = f"{whole}{draw.choice('..,')}{part:0{digits}d}" if digits else str(whole)
    if whole == 0 and draw.random() < 0.3:
        figure = figure[1:]
    elif draw.random() < 0.05:
        figure = figure.replace(".", draw.choice((". ", " .", " ")))
    unit = draw.choice((*INCHES, *MILLIMETRES))
    inches = unit in INCHES[3:] or (not unit and system == "in")
    return Written(
        f"{figure}{unit}",
        float(Fraction(scaled, 10**digits) * (Fraction(254, 10) if inches else 1)),
    )


def any_size(draw: Random, system: System) -> Written:
    """A size of either sort."""
    return inch_size(draw) if draw.random() < 0.6 else decimal_size(draw, system)
