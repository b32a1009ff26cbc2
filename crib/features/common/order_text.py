"""The order line that a supplier can ship from without phoning, and what is missing from one."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from crib import units
from crib.errors import BadValue
from crib.features.common.sizes import clean_pair, clean_text, natural_system
from crib.trade.common.verdicts import exceeds
from crib.units import System

_LONG_SHAPES = ("rectangle", "obround")
_SAME_MM = 0.05
_FACES = {"flat": "flat face", "bevel": "bevelled face", "roof": "roof-shaped face"}
_WORDS = {"punch": ("punch", "punches"), "other": ("piece", "pieces")}


@dataclass(frozen=True, slots=True)
class OrderSpec:
    """What is to be ordered. Lengths are mm; a text left empty is not said.

    ``punch_width_mm`` and ``punch_long_mm`` are of the punch that a die serves. ``seat_numbers``
    are names with figures, such as ``("die OD", 54.0)``. Key angles are degrees to the throat.
    """

    role: str
    quantity: int
    shape: str
    width_mm: float | None
    long_mm: float | None = None
    punch_width_mm: float | None = None
    punch_long_mm: float | None = None
    seat_name: str = ""
    seat_numbers: tuple[tuple[str, float], ...] = ()
    key_angles: tuple[int, ...] = ()
    face: str = "flat"
    length_mm: float | None = None
    for_thickness_mm: float | None = None
    for_material: str = ""
    for_station: str = ""
    dedicated_to: str = ""
    needed_by: str = ""
    job: str = ""
    note: str = ""


def order_text(spec: OrderSpec, system: System) -> str:
    """The complete order line, sizes in the crib's own unit.

    A size that is clean only in the other unit is written in that, the crib's own in brackets.

    Raises:
        BadValue: for a quantity below one, or a die that is not bigger than its punch.
    """
    if spec.quantity < 1:
        message = f"quantity={spec.quantity} must be >= 1"
        raise BadValue(message)
    parts = [
        counted(spec.role, spec.quantity),
        _size(spec, system),
        _seat(spec, system),
        _length(spec, system),
        _FACES.get(spec.face, spec.face) if spec.role == "punch" else "",
        _key(spec),
        _work(spec, system),
        f"for {spec.for_station}" if spec.for_station else "",
        f"kept for {spec.dedicated_to} only" if spec.dedicated_to else "",
        f"needed by {spec.needed_by}" if spec.needed_by else "",
        f"our job{'s' if ',' in spec.job else ''} {spec.job}" if spec.job else "",
        spec.note,
    ]
    return ", ".join(part for part in parts if part)


def short_text(spec: OrderSpec, system: System) -> str:
    """The thing in a few words: role, outline, size, seat."""
    size = size_text(spec.width_mm, spec.long_mm, system, made=_made(spec, system))
    parts = [word_for(spec.role), spec.shape, size]
    seat = f", seat {spec.seat_name}" if spec.seat_name else ""
    return " ".join(part for part in parts if part) + seat


def order_gaps(spec: OrderSpec) -> tuple[str, ...]:
    """What the supplier would phone about: each thing that the line cannot say."""
    return tuple(_gaps(spec))


def counted(role: str, quantity: int) -> str:
    """So many of a role: ``1 die``, ``2 punches``."""
    return f"{quantity} {word_for(role, quantity)}"


def word_for(role: str, quantity: int = 1) -> str:
    """The word for a role, plural where it must be."""
    one, many = _WORDS.get(role, (role.replace("_", " "), f"{role.replace('_', ' ')}s"))
    return one if quantity == 1 else many


def written_size(length_mm: float, system: System, made: System | None = None) -> str:
    """A size as a supplier needs it: ``13/16 in``, or ``25 mm (0.984 in)`` in an inch crib."""
    made = made or natural_system(length_mm, system)
    text = clean_text(length_mm, system, made=made)
    return text if made == system else f"{text} ({_own(length_mm, system)})"


def size_text(
    width_mm: float | None,
    long_mm: float | None,
    system: System,
    *,
    made: System | None = None,
) -> str:
    """One or two sizes with the unit once: ``13/16 x 1-7/8 in``, ``25 mm (0.984 in)``.

    ``made`` is the unit the thing is made in, where that does not show in the size itself.
    """
    if width_mm is None:
        return ""
    if long_mm is None or not exceeds(long_mm, width_mm):
        return written_size(width_mm, system, made)
    other = made or natural_system(width_mm, system)
    if other != (made or natural_system(long_mm, system)):
        return f"{written_size(width_mm, system)} x {written_size(long_mm, system)}"
    sizes = clean_pair(width_mm, long_mm, system, made=made)
    if other == system:
        return sizes
    return f"{sizes} ({_own(width_mm, system, with_unit=False)} x {_own(long_mm, system)})"


def _gaps(spec: OrderSpec) -> Iterator[str]:
    pair = spec.role in ("punch", "die")
    if not spec.seat_name:
        yield "which seat it fits"
    elif not spec.seat_numbers:
        yield f"the numbers of seat {spec.seat_name} on the {word_for(spec.role)} side"
    if spec.shape == "special":
        yield "a dimensioned drawing: corners, tolerance, face, key"
    elif pair and spec.shape != "round" and not spec.key_angles:
        yield "the key angle to the throat"
    if spec.role == "punch" and spec.length_mm is None:
        yield "the length"
    if spec.role == "die" and _height_mm(spec) is None:
        yield "the height"
    if pair and not spec.for_station:
        yield "the machine and station"


def _size(spec: OrderSpec, system: System) -> str:
    size = size_text(spec.width_mm, spec.long_mm, system, made=_made(spec, system))
    if not size:
        return spec.shape
    overall = " overall" if spec.shape in _LONG_SHAPES else ""
    if spec.role != "die":
        return f"{spec.shape} {size}{overall}".strip()
    return f"{spec.shape} {size} opening{overall} ({_clearance(spec, system)})"


def _clearance(spec: OrderSpec, system: System) -> str:
    """The opening always says what it is, so that nobody adds a clearance to it again."""
    if spec.punch_width_mm is None or spec.width_mm is None:
        return "the opening itself, add no clearance"
    across_mm = spec.width_mm - spec.punch_width_mm
    along_mm = (spec.long_mm or spec.width_mm) - (spec.punch_long_mm or spec.punch_width_mm)
    if not (exceeds(across_mm, 0.0) and exceeds(along_mm, 0.0)):
        message = f"die {_sizes(spec.width_mm, spec.long_mm)} must be bigger than its punch"
        message += f" {_sizes(spec.punch_width_mm, spec.punch_long_mm)} on every side"
        raise BadValue(message, way_out="measure both again; never order or run such a pair")
    made = _made(spec, system)
    total = f"total clearance {written_size(across_mm, system, made)}"
    if spec.shape in _LONG_SHAPES and abs(along_mm - across_mm) > _SAME_MM:
        total += f" across and {written_size(along_mm, system, made)} along"
    punch = size_text(spec.punch_width_mm, spec.punch_long_mm, system)
    return f"{total} over a {punch} punch"


def _sizes(width_mm: float, long_mm: float | None) -> str:
    return f"{width_mm:g} mm" if long_mm is None else f"{width_mm:g} x {long_mm:g} mm"


def _seat(spec: OrderSpec, system: System) -> str:
    if not spec.seat_name:
        return ""
    own_height = spec.role == "die" and spec.length_mm is not None
    numbers = ", ".join(
        f"{name} {written_size(number, system)}"
        for name, number in spec.seat_numbers
        if not (own_height and name == "height")
    )
    return f"seat {spec.seat_name}" + (f": {numbers}" if numbers else "")


def _length(spec: OrderSpec, system: System) -> str:
    if spec.length_mm is None:
        return ""
    what = "height" if spec.role == "die" else "length"
    return f"{what} {written_size(spec.length_mm, system)}"


def _height_mm(spec: OrderSpec) -> float | None:
    return spec.length_mm or dict(spec.seat_numbers).get("height")


def _key(spec: OrderSpec) -> str:
    if spec.role not in ("punch", "die"):
        return ""
    if not spec.key_angles:
        return "unkeyed" if spec.shape == "round" else ""
    angles = " and ".join(f"{angle}°" for angle in spec.key_angles)
    if spec.shape in _LONG_SHAPES:
        return f"keyed for {angles} between long axis and throat"
    return f"keyed for {angles} to the throat"


def _work(spec: OrderSpec, system: System) -> str:
    if spec.for_thickness_mm is None:
        return f"for {spec.for_material}" if spec.for_material else ""
    thickness = written_size(spec.for_thickness_mm, system)
    verb = "to punch" if spec.role in ("punch", "die") else "for"
    return f"{verb} {thickness} {spec.for_material}".rstrip()


def _made(spec: OrderSpec, system: System) -> System | None:
    """A die goes by its punch: 26.6 mm over a 25 mm punch, though alone it shows no unit."""
    if spec.role != "die" or spec.punch_width_mm is None:
        return None
    made = natural_system(spec.punch_width_mm, system)
    return None if made == system else made


def _own(length_mm: float, system: System, *, with_unit: bool = True) -> str:
    digits = 2 if system == "mm" else 3
    return units.format_length(length_mm, system, with_unit=with_unit, digits=digits)
