"""Reading a cut: the section's word, its sizes, the angle from square, the material."""

from __future__ import annotations

from dataclasses import dataclass

from crib.errors import BadInput
from crib.features.common.bar_phrase import (
    Size,
    read_angle_deg,
    read_sizes,
    read_tail,
    thickness_mm,
)
from crib.features.common.case import Plate
from crib.features.common.phrase import Word, Words
from crib.features.common.plate_phrase import Reading
from crib.features.cuts.cut_sections import BARS, WORK, Section
from crib.trade.common.verdicts import exceeds

EXAMPLE = "cut angle 3 x 3 x 1/4 at 45"
TUBE_GAUGES = "BWG"
"""Tube walls have gauges of their own, whatever the material."""
TUBES = ("square", "rectangle", "round")


@dataclass(frozen=True, slots=True)
class _Grammar:
    """The sizes of a section in their order, how many must be there, and a right example."""

    names: tuple[str, ...]
    least: int
    example: str


_GRAMMAR = {
    "flat": _Grammar(("the width", "the thickness"), 2, "cut flat 4 x 3/8"),
    "plate": _Grammar(("the width", "the thickness"), 2, "cut plate 12 x 1/4"),
    "angle": _Grammar(("one leg", "the other leg", "the thickness"), 3, EXAMPLE),
    "round": _Grammar(("the diameter",), 1, "cut round 3/4"),
    "square": _Grammar(("the side",), 1, "cut square 1"),
    "tube": _Grammar(
        ("one side", "the other side or the wall", "the wall"), 2, "cut tube 1 x 16ga"
    ),
    "channel": _Grammar(
        ("the depth", "the flange", "the thickness", "the flange's thickness"),
        3,
        "cut channel 4 x 1-5/8 x 3/16",
    ),
}
_ROUND_TUBE = _Grammar(("the outside diameter", "the wall"), 2, "cut tube round 1-1/2 x 0.120")


def read_cut(words: Words, reading: Reading) -> tuple[Section, Plate, float]:
    """Read ``SECTION SIZES [at ANGLE] [MATERIAL]``.

    Raises:
        BadPhrase: pointing at the section, size, angle or material that cannot be read.
    """
    name = _section_word(words)
    tube = next((word for word in TUBES if name == "tube" and words.take_if(word)), "")
    grammar = _ROUND_TUBE if tube == "round" else _GRAMMAR[name]
    sizes = read_sizes(words, reading, grammar.names, grammar.example, least=grammar.least)

    def angle() -> float:
        return read_angle_deg(words, "the cut's angle from square", EXAMPLE, 0.0, 90.0)

    tail = read_tail(words, reading, grammar.example, {"at": angle})
    gauges = TUBE_GAUGES if name == "tube" else tail.material.gauge_system
    sizes_mm = [thickness_mm(words, size, gauges, grammar.example) for size in sizes]
    section = _shaped(name, tube, sizes_mm, sizes[-1].gauge)
    _must_be_possible(words, section, sizes, tube, grammar.example)
    plate = Plate(section.governing_mm, tail.material, tail.assumed, section.gauge)
    return section, plate, tail.named.get("at", 0.0)


def _section_word(words: Words) -> str:
    first: Word = words.take()
    if first.plain not in WORK:
        said = f"found {first.text!r}" if first.text else "the phrase ends here"
        message = f"expected what is cut, one of {', '.join(WORK)}; {said}"
        raise words.wrong(first.start, first.end, message, EXAMPLE)
    return first.plain


def _shaped(name: str, tube: str, sizes_mm: list[float], gauge: int | None) -> Section:
    """The section of some sizes; of a flat the smaller is the thickness, unless it is a gauge."""
    match name:
        case "flat" | "plate":
            ordered = sizes_mm if gauge is not None else sorted(sizes_mm, reverse=True)
            return Section(name, (ordered[0],), ordered[1], gauge=gauge)
        case "angle":
            legs = tuple(sorted(sizes_mm[:2], reverse=True))
            return Section(name, legs, sizes_mm[2], gauge=gauge)
        case "channel" if len(sizes_mm) == 4:
            return Section(name, tuple(sizes_mm[:2]), sizes_mm[2], sizes_mm[3])
        case "channel":
            return Section(name, tuple(sizes_mm[:2]), sizes_mm[2], gauge=gauge)
        case "tube":
            return _tube(tube, sizes_mm, gauge)
        case _:
            return Section(name, (sizes_mm[0],), sizes_mm[0], gauge=gauge)


def _tube(tube: str, sizes_mm: list[float], gauge: int | None) -> Section:
    sides = tuple(sorted(sizes_mm[:-1], reverse=True))
    if tube == "round":
        return Section("tube", sides, sizes_mm[-1], tube="round", gauge=gauge)
    both = (sides[0], sides[-1])
    shape = "rectangle" if exceeds(both[0], both[1]) else "square"
    return Section("tube", both, sizes_mm[-1], tube=shape, gauge=gauge)


def _must_be_possible(
    words: Words, section: Section, sizes: list[Size], tube: str, example: str
) -> None:
    """Refuse sizes that no section has, such as a wall that leaves no bore."""
    start, end = sizes[0].start, sizes[-1].end
    if section.word in BARS and section.gauge is not None:
        raise words.wrong(start, end, "a bar has a size, not a gauge", example)
    if tube and section.tube != tube:
        message = f"a {tube} tube has {'two sides alike' if tube == 'square' else 'two sides'}"
        raise words.wrong(start, end, message, "cut tube 1 x 2 x 0.120")
    if section.word in ("flat", "plate") and exceeds(section.thickness_mm, section.size_mm):
        raise words.wrong(start, end, "it is thicker than it is wide", example)
    try:
        _area_mm2 = section.area_mm2
    except BadInput as error:
        raise words.wrong(start, end, error.message, example, way_out=error.way_out) from error
