"""The order line that a supplier can ship from without phoning, worded from its specification."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from crib.errors import BadValue
from crib.features.common.key_words import key_ways, keyed_words
from crib.features.common.order_sizes import counted_tools, ordered_size, written_size
from crib.features.common.sizes import natural_system
from crib.features.common.speech import Speech
from crib.features.common.tool_spec import ToolSpec
from crib.features.common.tool_words import (
    PAIR,
    corner_words,
    name_of,
    sizes_in_short,
    thing_words,
    work_words,
)
from crib.trade.common.verdicts import remains
from crib.units import System

LONG_SHAPES = ("rectangle", "obround")
_SAME_MM = 0.05
_FACES = {"flat": "flat face", "bevel": "bevelled face", "roof": "roof-shaped face"}


def order_text(spec: ToolSpec, say: Speech) -> str:
    """The complete order line, sizes in the crib's own unit.

    A size that is clean only in the other unit is written in that, the crib's own in brackets.

    Raises:
        BadValue: for a quantity below one, or a die that is not bigger than its punch.
    """
    if spec.quantity < 1:
        message = f"quantity={spec.quantity} must be >= 1"
        raise BadValue(message)
    return ", ".join(part for part in _parts(spec, say) if part)


def short_text(spec: ToolSpec, say: Speech) -> str:
    """The thing in a few words: role, outline, size, seat, how it is keyed."""
    if spec.role in PAIR or not spec.profile:
        sizes = ordered_size(spec.width_mm, spec.long_mm, say.system, made=_made(spec, say.system))
        parts = [name_of(spec), spec.shape, sizes, corner_words(spec, say.system, short=True)]
    else:
        parts = [name_of(spec), sizes_in_short(spec, say)]
    seat = f", seat {spec.seat_name}" if spec.seat_name else ""
    keys = key_ways(spec.shape, spec.key_angles) if spec.role in PAIR else ""
    return " ".join(part for part in parts if part) + seat + (f", {keys}" if keys else "")


def bold_text(spec: ToolSpec, say: Speech) -> str:
    """What is ordered, as it is found at a glance: outline, role, size."""
    if spec.role not in PAIR:
        return next(iter(thing_words(replace(spec, quantity=1), say)), name_of(spec))
    size = ordered_size(spec.width_mm, spec.long_mm, say.system, made=_made(spec, say.system))
    opening = "opening" if spec.role == "die" and size else ""
    overall = "overall" if spec.shape in LONG_SHAPES else ""
    return " ".join(part for part in (spec.shape, spec.role, size, opening, overall) if part)


def particulars(spec: ToolSpec, say: Speech) -> str:
    """All that a supplier needs beside what ``bold_text`` says, without whom and when it is for."""
    if spec.role in PAIR:
        clearance = _clearance(spec, say.system) if spec.role == "die" and spec.width_mm else ""
        head: list[str] = [clearance, corner_words(spec, say.system)]
    else:
        head = list(thing_words(spec, say))[1:]
    parts = [
        *head,
        *_fit_and_work(spec, say),
        *_ends(replace(spec, for_station="", needed_by="", job="")),
    ]
    return ", ".join(part for part in parts if part)


def _parts(spec: ToolSpec, say: Speech) -> Iterator[str]:
    if spec.role in PAIR:
        yield counted_tools(spec.role, spec.quantity)
        yield _pair_size(spec, say.system)
    else:
        yield from thing_words(spec, say)
    yield from _fit_and_work(spec, say)
    yield from _ends(spec)


def _fit_and_work(spec: ToolSpec, say: Speech) -> Iterator[str]:
    """How it is seated, its face and key, and what it has to do."""
    yield _seat(spec, say.system)
    yield _length(spec, say.system)
    if spec.role == "punch":
        yield _FACES.get(spec.face, spec.face)
    if spec.role in PAIR:
        yield _key(spec)
    yield from work_words(spec, say)


def _ends(spec: ToolSpec) -> Iterator[str]:
    """Whom and what it is for, and by when."""
    yield f"for {spec.for_station}" if spec.for_station else ""
    yield f"kept for {spec.dedicated_to} only" if spec.dedicated_to else ""
    yield f"needed by {spec.needed_by}" if spec.needed_by else ""
    yield f"our job{'s' if ',' in spec.job else ''} {spec.job}" if spec.job else ""
    yield spec.note
    yield f"{spec.edges} edges" if spec.edges > 1 else ""


def _pair_size(spec: ToolSpec, system: System) -> str:
    size = ordered_size(spec.width_mm, spec.long_mm, system, made=_made(spec, system))
    if not size:
        return spec.shape
    overall = " overall" if spec.shape in LONG_SHAPES else ""
    corners = f", {corner_words(spec, system)}" if spec.corner_radius_mm else ""
    if spec.role != "die":
        return f"{spec.shape} {size}{overall}".strip() + corners
    return f"{spec.shape} {size} opening{overall} ({_clearance(spec, system)}){corners}"


def _clearance(spec: ToolSpec, system: System) -> str:
    """The opening always says what it is, so that nobody adds a clearance to it again."""
    if spec.punch_width_mm is None or spec.width_mm is None:
        return "the opening itself, add no clearance"
    across_mm = spec.width_mm - spec.punch_width_mm
    along_mm = (spec.long_mm or spec.width_mm) - (spec.punch_long_mm or spec.punch_width_mm)
    if not (remains(across_mm) and remains(along_mm)):
        message = f"die {_sizes(spec.width_mm, spec.long_mm)} must be bigger than its punch"
        message += f" {_sizes(spec.punch_width_mm, spec.punch_long_mm)} on every side"
        raise BadValue(message, way_out="measure both again; never order or run such a pair")
    made = _made(spec, system)
    total = f"total clearance {written_size(across_mm, system, made)}"
    if spec.shape in LONG_SHAPES and abs(along_mm - across_mm) > _SAME_MM:
        total += f" across and {written_size(along_mm, system, made)} along"
    punch = ordered_size(spec.punch_width_mm, spec.punch_long_mm, system)
    return f"{total} over a {punch} punch"


def _sizes(width_mm: float, long_mm: float | None) -> str:
    return f"{width_mm:g} mm" if long_mm is None else f"{width_mm:g} x {long_mm:g} mm"


def _seat(spec: ToolSpec, system: System) -> str:
    if not spec.seat_name:
        return ""
    own_height = spec.role == "die" and spec.length_mm is not None
    numbers = ", ".join(
        f"{name} {written_size(number, system)}"
        for name, number in spec.seat_numbers
        if not (own_height and name == "height")
    )
    presents = f", presents seat {spec.presents_seat}" if spec.presents_seat else ""
    return f"seat {spec.seat_name}" + (f": {numbers}" if numbers else "") + presents


def _length(spec: ToolSpec, system: System) -> str:
    if spec.length_mm is None:
        return ""
    what = "height" if spec.role == "die" else "length"
    return f"{what} {written_size(spec.length_mm, system)}"


def _key(spec: ToolSpec) -> str:
    if not spec.key_angles:
        return "unkeyed" if spec.shape == "round" else ""
    axis = "long axis " if spec.shape in LONG_SHAPES else ""
    return f"{axis}{keyed_words(spec.shape, spec.key_angles, ' and ')}"


def _made(spec: ToolSpec, system: System) -> System | None:
    """A die goes by its punch: 26.6 mm over a 25 mm punch, though alone it shows no unit."""
    if spec.role != "die" or spec.punch_width_mm is None:
        return None
    made = natural_system(spec.punch_width_mm, system)
    return None if made == system else made
