"""The BO lines of an NC part: round holes, slots, threads and punch marks."""

from __future__ import annotations

from cmath import rect
from collections.abc import Iterator
from dataclasses import dataclass
from math import radians
from typing import Literal

from crib.acts import fact
from crib.files.drawings.contour_sides import SAME_MM
from crib.files.drawings.dxf_looks import Takeable
from crib.files.drawings.nc1_blocks import (
    Block,
    Field,
    FileLine,
    Remarks,
    leave_numbers,
    letter_unknown,
    read_fields,
    view_and_rest,
)
from crib.files.drawings.nc1_header import FACES, Header
from crib.files.drawings.parts import PartFeature

SlotCentre = Literal["first_end", "middle"]
YFrom = Literal["lower_edge", "letter"]

_REFERENCES = ("", "o", "s", "u")
_TYPES = {"g": "right-hand thread", "l": "left-hand thread", "m": "mark", "s": "countersunk"}
_MOST_NUMBERS = 7
_LEAST_NUMBERS = 3
_TYPE_FIELDS = (1, 3)


@dataclass(frozen=True, slots=True)
class Conventions:
    """What writers of files do not agree on, and what was said of what a file leaves open."""

    slot_centre: SlotCentre = "first_end"
    y_from: YFrom = "lower_edge"
    taken: frozenset[Takeable] = frozenset()


@dataclass(frozen=True, slots=True)
class HoleLine:
    """One BO line: its numbers in their order, its letters sorted out."""

    line: int
    face: str
    x_mm: float
    y_mm: float
    reference: str
    diameter_mm: float
    depth_mm: float
    kind: str
    along_x_mm: float
    along_y_mm: float
    turned_deg: float

    @property
    def is_slot(self) -> bool:
        """Whether it is longer than wide."""
        return bool(self.along_x_mm or self.along_y_mm)


def read_holes(block: Block, remarks: Remarks) -> list[HoleLine]:
    """Every line of a block that can be read; a line without a view has that of the one above."""
    made: list[HoleLine] = []
    for line, face, fields in _lines(block, remarks):
        hole = _hole(line, face, fields, remarks)
        if hole is not None:
            made.append(hole)
    return made


def _lines(block: Block, remarks: Remarks) -> Iterator[tuple[FileLine, str, list[Field]]]:
    face = ""
    for line in block.lines:
        view, rest = view_and_rest(line.text)
        fields = read_fields(line, rest, remarks)
        if view and view not in FACES:
            size = f" of {fields[2].value:g} mm" if fields and len(fields) > 2 else ""
            text = f"view {view[:20]!r} is not known: the hole{size} is not read"
            remarks.leave(line.number, fact("read.view-unknown", view=view[:20]), text)
            continue
        if not view and not face:
            remarks.note(line.number, "the hole names no view: read as v, the front")
        face = view or face or "v"
        if fields is not None:
            yield line, face, fields


def _hole(line: FileLine, face: str, fields: list[Field], remarks: Remarks) -> HoleLine | None:
    if len(fields) < _LEAST_NUMBERS:
        text = f"a hole needs x, y and a diameter; {len(fields)} numbers stand there"
        remarks.fault(line.number, "", text)
        return None
    leave_numbers(line, fields, _MOST_NUMBERS, remarks)
    values = [field.value for field in fields[:_MOST_NUMBERS]]
    x_mm, y_mm, diameter_mm, depth_mm, *slot = values + [0.0] * (_MOST_NUMBERS - len(values))
    if diameter_mm <= 0 or depth_mm < 0:
        text = f"diameter {diameter_mm:g} must be > 0 and depth {depth_mm:g} >= 0"
        remarks.fault(line.number, "", text)
        return None
    reference, kind = _letters(line, fields, any(slot[:2]), remarks)
    return HoleLine(line.number, face, x_mm, y_mm, reference, diameter_mm, depth_mm, kind, *slot)


def _letters(
    line: FileLine, fields: list[Field], is_slot: bool, remarks: Remarks
) -> tuple[str, str]:
    """The reference and the kind of hole; a letter that is not known is named and left."""
    reference, kinds = "", set()
    for number, one in enumerate(fields):
        if number == 0 and one.letters in _REFERENCES:
            reference = one.letters
        elif number in _TYPE_FIELDS and one.letters in _TYPES:
            kinds.add(one.letters)
        elif one.letters:
            text = f"letter {one.letters[:20]!r} is not known; the hole is read without it"
            remarks.leave_word(line.number, letter_unknown(one), text)
    # With three numbers behind it the letter l is a slot, or a round hole where they are 0.
    if "l" in kinds and (is_slot or len(fields) == _MOST_NUMBERS):
        kinds.remove("l")
    elif is_slot:
        remarks.note(line.number, "read as a slot, though the letter l is not there")
    if len(kinds) > 1:
        text = f"{' and '.join(_TYPES[kind] for kind in sorted(kinds))} at once: read as the first"
        remarks.note(line.number, text)
    return reference, min(kinds, default="")


def hole_feature(
    hole: HoleLine, header: Header, conventions: Conventions, remarks: Remarks
) -> PartFeature | None:
    """The feature that a hole is in a piece; None for a punch mark, which is noted."""
    place = _middle(hole, header, conventions)
    if hole.kind == "m":
        text = f"punch mark at x {place.real:g}, y {place.imag:g} is not a hole"
        remarks.leave(hole.line, fact("read.punch-mark"), text)
        return None
    feature, shape, size_mm, long_mm, angle_deg = _shape(hole)
    note = _TYPES.get(hole.kind, "")
    if hole.kind in ("g", "l"):
        feature = "tapped"
    thickness_mm = header.thickness_mm(hole.face)
    through = hole.depth_mm == 0 or (thickness_mm or hole.depth_mm + 1) <= hole.depth_mm
    return PartFeature(
        feature=feature,
        shape=shape,
        size_mm=size_mm,
        long_mm=long_mm,
        thickness_mm=thickness_mm,
        face=hole.face,
        x_mm=place.real,
        y_mm=place.imag,
        angle_deg=angle_deg,
        depth_mm=None if through else hole.depth_mm,
        through=through,
        note=note,
        countersink_mm=0.0 if hole.kind == "s" else None,
        corner_radius_mm=hole.diameter_mm / 2 if hole.along_x_mm and hole.along_y_mm else 0.0,
    )


def _shape(hole: HoleLine) -> tuple[str, str, float, float | None, float]:
    """Feature, shape, the two sizes, and the angle of the long one.

    What reaches along both x and y is a rectangle whose corners the diameter rounds.
    """
    along_x_mm, along_y_mm = abs(hole.along_x_mm), abs(hole.along_y_mm)
    if not hole.is_slot:
        return "hole", "round", hole.diameter_mm, None, 0.0
    turned_deg = hole.turned_deg % 180
    if along_x_mm and along_y_mm:
        short_mm, long_mm = sorted((along_x_mm, along_y_mm))
        upright_deg = turned_deg if along_x_mm >= along_y_mm else (turned_deg + 90) % 180
        if long_mm - short_mm <= SAME_MM:
            return "square", "square", hole.diameter_mm + long_mm, None, upright_deg % 90
        sizes = (hole.diameter_mm + short_mm, hole.diameter_mm + long_mm)
        return "rectangle", "rectangle", *sizes, upright_deg
    angle_deg = turned_deg if along_x_mm else (turned_deg + 90) % 180
    return (
        "slot",
        "obround",
        hole.diameter_mm,
        hole.diameter_mm + along_x_mm + along_y_mm,
        angle_deg,
    )


def _middle(hole: HoleLine, header: Header, conventions: Conventions) -> complex:
    place = complex(hole.x_mm, _height(hole, header, conventions.y_from))
    if conventions.slot_centre == "first_end" and hole.is_slot:
        turn = rect(1.0, radians(hole.turned_deg)) if hole.turned_deg else 1
        place += complex(hole.along_x_mm, hole.along_y_mm) / 2 * turn
    return complex(round(place.real, 6), round(place.imag, 6))


def _height(hole: HoleLine, header: Header, y_from: YFrom) -> float:
    """How far over the lower edge the hole is."""
    across_mm = header.across_mm(hole.face)
    if y_from == "letter" and hole.reference == "o":
        return across_mm - hole.y_mm
    if y_from == "letter" and hole.reference == "s":
        return across_mm / 2 + hole.y_mm
    return hole.y_mm
