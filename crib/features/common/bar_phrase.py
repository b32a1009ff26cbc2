"""Reading what is cut, bent or pointed: sizes with an x between, then angle and material.

These phrases have no ``thru``: the last size is the thickness, and the material stands at the end,
before or after the other words.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from crib.errors import BadInput, BadQuantity
from crib.features.common import sizes
from crib.features.common.phrase import TAIL_WORDS, Words
from crib.features.common.plate_phrase import Reading, take_material
from crib.trade.metal.gauges import gauge_thickness_mm
from crib.trade.metal.materials import Material
from crib.units import System

_ANGLE = re.compile(r"(\d{1,3}(?:\.\d{1,4})?)(?:°|deg)?", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Size:
    """A size as it was written, and where; a gauge is not yet a thickness."""

    mm: float
    gauge: int | None
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Tail:
    """The end of a phrase: the material and the figures that were named."""

    material: Material
    assumed: bool
    named: Mapping[str, float] = field(default_factory=dict)


def read_sizes(
    words: Words, reading: Reading, names: Sequence[str], example: str, *, least: int
) -> list[Size]:
    """Read sizes with an x between them, at least so many; only the last may be a gauge.

    Raises:
        BadPhrase: for a size that cannot be read, is missing, or is one too many.
    """
    sizes = [_read_size(words, reading, names[0], example)]
    while words.take_if("x"):
        if len(sizes) == len(names):
            start, end = words.place()
            most = f"at most {len(names)} sizes: {', '.join(names)}"
            raise words.wrong(start, end, most, example)
        sizes.append(_read_size(words, reading, names[len(sizes)], example))
    for size in sizes[: max(len(sizes), least) - 1]:
        if size.gauge is not None:
            raise words.wrong(size.start, size.end, "only a thickness is a gauge", example)
    if len(sizes) < least:
        words.expect("x", example)
    return sizes


def _read_size(words: Words, reading: Reading, what: str, example: str) -> Size:
    start, _end = words.place()
    size_mm, gauge = words.take_thickness(reading.system, what, example)
    return Size(size_mm, gauge, start, words.taken_to)


def thickness_mm(words: Words, size: Size, system: str, example: str) -> float:
    """The thickness that a size stands for, by a system of gauges when it is one [mm].

    Raises:
        BadPhrase: for a gauge that the system does not have.
    """
    if size.gauge is None:
        return size.mm
    try:
        return gauge_thickness_mm(size.gauge, system)
    except BadInput as error:
        raise words.wrong(
            size.start, size.end, error.message, example, way_out=error.way_out
        ) from error


def read_tail(
    words: Words, reading: Reading, example: str, readers: Mapping[str, Callable[[], float]]
) -> Tail:
    """Read the material and the named figures (``at 45``) in any order, each once.

    Raises:
        BadPhrase: for a figure or a material that cannot be read, or is said twice.
    """
    named: dict[str, float] = {}
    material: Material | None = None
    while not words.done:
        if words.peek() in readers:
            word = words.take()
            if word.plain in named:
                raise words.wrong(word.start, word.end, f"{word.plain!r} is said twice", example)
            named[word.plain] = readers[word.plain]()
        elif material is None and words.peek() not in TAIL_WORDS:
            material = _material(words, reading, example, readers)
        else:
            break
    default = material or reading.rules.material(reading.rules.text("material.default"))
    return Tail(default, material is None, named)


def _material(
    words: Words, reading: Reading, example: str, stops: Mapping[str, Callable[[], float]]
) -> Material:
    return take_material(words, reading, example, *stops)


def read_angle_deg(words: Words, what: str, example: str, least: float, below: float) -> float:
    """Read an angle in degrees, from ``least`` to below ``below`` [deg].

    Raises:
        BadPhrase: for what is not an angle, or is outside these.
    """

    def read(text: str) -> float:
        written = _ANGLE.fullmatch(text)
        if written is None:
            message = f"angle {text!r} is not a number of degrees"
            raise BadQuantity(message, way_out="write it like 45 or 22.5")
        angle_deg = float(written[1])
        if not least <= angle_deg < below:
            message = f"angle {angle_deg:g} must be {least:g} to below {below:g} degrees"
            raise BadQuantity(message, way_out=example)
        return angle_deg

    angle_deg = words.take_quantity(read, what, example)
    words.take_if("°", "deg", "degree", "degrees")
    return angle_deg


def size_or_gauge(size_mm: float, system: System, gauge: int | None = None) -> str:
    """A size as a phrase has it, which reads back equal in a crib of that system."""
    return sizes.size_word(size_mm, system) if gauge is None else f"{gauge}ga"
