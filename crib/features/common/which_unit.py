"""Inches or millimetres? A bare number that nobody means in the crib's own unit is asked back."""

from __future__ import annotations

from crib.errors import UnsureQuantity
from crib.features.common.ask import Ask
from crib.features.common.phrase import SizeRead, Words
from crib.features.common.plate_phrase import Reading
from crib.spellings import is_bare
from crib.trade.shop.shop_rules import Rules
from crib.units import System


def ask_which_unit(words: Words, ask: Ask, reading: Reading) -> None:
    """Ask back where a bare thickness, hole or bar is absurd: ``hole 20.6 thru 12`` in inches.

    Raises:
        UnsurePhrase: with the phrase in both units.
    """
    bare = [size for size in words.sizes if is_bare(size.text)]
    doubtful = next((size for size in bare if _is_absurd(size.value, ask, reading)), None)
    if doubtful is not None:
        readings = [_with_unit(words.text, bare, unit) for unit in _units(reading.system)]
        message = _which(doubtful.text, reading.system)
        raise words.unsure(doubtful.start, doubtful.end, message, readings)


def plain_thickness_mm(text: str, thickness_mm: float, rules: Rules) -> float:
    """A thickness by itself as it was read, asked back where it is bare and absurd [mm].

    Raises:
        UnsureQuantity: with the thickness in both units.
    """
    system: System = "mm" if rules.text("crib.unit") == "mm" else "in"
    if is_bare(text) and absurd_thickness(thickness_mm, rules):
        readings = [f"{text.strip()}{unit}" for unit in _units(system)]
        message = f"thickness {_which(text.strip(), system)}"
        raise UnsureQuantity(message, readings=readings)
    return thickness_mm


def absurd_thickness(thickness_mm: float, rules: Rules) -> bool:
    """Whether nobody means a thickness that was written without its unit [mm].

    Source: shop rules read.thickest_mm, read.thinnest_mm.
    """
    return _outside(thickness_mm, "thinnest", "thickest", rules)


def _is_absurd(size_mm: float, ask: Ask, reading: Reading) -> bool:
    """Whether it is the thickness of the ask, or the size of its hole or bar, and out of reason."""
    width_mm, thickness_mm = ask.as_json().get("size_mm"), ask.plate.thickness_mm
    punched = ask.work == "punch"
    of_plate = size_mm == thickness_mm and (punched or width_mm != thickness_mm)
    of_hole = size_mm == width_mm and (punched or width_mm == thickness_mm)
    return (of_plate and absurd_thickness(size_mm, reading.rules)) or (
        of_hole and _outside(size_mm, "narrowest", "widest", reading.rules)
    )


def _units(own: System) -> tuple[System, System]:
    """Both units, the one that was meant more likely first."""
    return ("mm", "in") if own == "in" else ("in", "mm")


def _which(text: str, own: System) -> str:
    first, second = _units(own)
    return f"{text} has no unit: {text} {first}, or {text} {second}?"


def _outside(size_mm: float, least: str, most: str, rules: Rules) -> bool:
    if rules.text("crib.unit") == "mm":
        return size_mm < rules.number(f"read.{least}_mm")
    return size_mm > rules.number(f"read.{most}_mm")


def _with_unit(text: str, sizes: list[SizeRead], unit: System) -> str:
    """A phrase with a unit behind each of its bare sizes."""
    for size in sorted(sizes, key=lambda size: -size.start):
        text = f"{text[: size.end]}{unit}{text[size.end :]}"
    return text
