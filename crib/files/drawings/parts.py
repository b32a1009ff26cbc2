"""What every reader of part files gives: parts, what is cut into them, and notes by line.

Positions are in mm from the piece's left end and lower edge, as one looks at the face.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import Any, Literal, NamedTuple

from crib.acts import Said, saying
from crib.errors import BadValue, Missing
from crib.features.common.sizes import size_word
from crib.files.common.reading_ledger import FileAccount
from crib.units import System

OUTSIDE = "outside the profile"
"""What the note of a feature says when its centre is not on the piece."""

_ASKED = {
    "hole": "hole",
    "square": "square",
    "hexagon": "hexagon",
    "rectangle": "rectangle",
    "slot": "slot",
    "notch": "notch",
    "corner": "corner",
    "vee": "vee",
}
"""The features that a phrase can ask for; ``tapped`` and ``opening`` are made otherwise."""


_PLAIN: dict[str, float | None] = {"corner_radius_mm": 0.0, "countersink_mm": None}
"""What most features have not; their JSON says nothing of it."""


class PartFeature(NamedTuple):
    """One hole, opening or notch of a part.

    ``size_mm`` is the diameter, the side, the width of a slot, the short side, or what a notch, vee
    or corner takes along the edge (a corner: along x). ``long_mm`` is a slot's overall length or
    the long side. ``depth_mm`` is how deep a hole is that does not go through, or how far a notch,
    vee or corner goes in. ``angle_deg`` is the long side's angle from x, a notch's edge's angle
    from x, or a vee's included angle. ``x_mm`` and ``y_mm`` are the middle of it; of a notch or vee
    the middle of its opening at the edge, of a corner the corner that is gone. ``asked`` is the
    phrase of a list as it was written: it may name a bolt, a standard or distances.
    ``corner_radius_mm`` is of all its corners, or the inner ones of a cut into an edge; 0 is sharp.
    ``countersink_mm`` is how wide a hole is countersunk, 0 where its file only says that it is.
    """

    # A drawing has ten thousand of them, and a frozen dataclass takes five times as long to make.

    feature: str
    shape: str
    size_mm: float
    long_mm: float | None
    thickness_mm: float | None
    face: str
    x_mm: float
    y_mm: float
    angle_deg: float = 0.0
    depth_mm: float | None = None
    through: bool = True
    note: str = ""
    asked: str = ""
    corner_radius_mm: float = 0.0
    countersink_mm: float | None = None

    @property
    def can_be_asked(self) -> bool:
        """Whether ``phrase_of`` has a phrase for it."""
        return self.feature in _ASKED and self.through and self.thickness_mm is not None

    def as_json(self) -> dict[str, Any]:
        """The feature for programs, SI."""
        said = {name: getattr(self, name) for name in self._fields}
        plain = {name: value for name, value in _PLAIN.items() if said[name] == value}
        return {name: value for name, value in said.items() if name not in plain}


@dataclass(frozen=True, slots=True)
class ReadNote:
    """Something a person should know, the line it comes from, and what to do when it is wrong."""

    line: int
    text: str
    way_out: Said = ""

    def said(self) -> Said:
        """What is to be known, and what to do."""
        return saying(self.text, "; ", self.way_out) if self.way_out else self.text

    def as_json(self) -> dict[str, Any]:
        """The note for programs."""
        return {"line": self.line, "text": self.said()}


@dataclass(frozen=True, slots=True)
class ContourPoint:
    """A corner of a contour; the radius is of the arc that starts here, counter-clockwise > 0."""

    x_mm: float
    y_mm: float
    radius_mm: float = 0.0
    mark: str = ""
    bevels: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Contour:
    """An outline on a face; a closed one ends with the point it began with.

    ``lines`` are the lines of the file that its points stand on, where each has its own.
    """

    kind: Literal["outer", "inner"]
    face: str
    points: tuple[ContourPoint, ...]
    line: int = 0
    lines: tuple[int, ...] = ()

    @property
    def closed(self) -> bool:
        """Whether it ends where it began."""
        first, last = self.points[0], self.points[-1]
        return len(self.points) > 2 and (first.x_mm, first.y_mm) == (last.x_mm, last.y_mm)


class Part(NamedTuple):
    """One part: what it is cut from, how many are wanted, and what is cut into each."""

    mark: str
    quantity: int
    profile: str
    profile_text: str
    material: str
    length_mm: float
    height_mm: float
    flange_width_mm: float
    flange_thickness_mm: float
    web_thickness_mm: float
    radius_mm: float
    features: tuple[PartFeature, ...]
    contours: tuple[Contour, ...]
    text_lines: tuple[str, ...]
    stamps: tuple[str, ...] = ()
    marking: tuple[str, ...] = ()

    @property
    def has_places(self) -> bool:
        """Whether it says where on it anything is; what a list asks for has no place."""
        return bool(self.contours) or not all(one.asked for one in self.features)

    def as_json(self) -> dict[str, Any]:
        """The part for programs: one entry for each feature of one piece."""
        return {
            "mark": self.mark,
            "quantity": self.quantity,
            "profile": self.profile,
            "material": self.material,
            "length_mm": self.length_mm,
            "features": [feature.as_json() for feature in self.features],
        }


@dataclass(frozen=True, slots=True)
class SizeCount:
    """How many of one feature and size all the pieces have together."""

    feature: str
    shape: str
    size_mm: float
    long_mm: float | None
    depth_mm: float | None
    thickness_mm: float | None
    corner_radius_mm: float = 0.0
    countersink_mm: float | None = None
    count: int = 0


@dataclass(frozen=True, slots=True)
class PartsRead:
    """The parts of a file, what was noticed while reading it, and what became of all in it.

    A reader gives one account, of its file; parts of several files have one for each.
    """

    parts: tuple[Part, ...]
    notes: tuple[ReadNote, ...] = ()
    accounts: tuple[FileAccount, ...] = ()

    def as_json(self) -> dict[str, Any]:
        """All of it for programs."""
        return {
            "parts": [part.as_json() for part in self.parts],
            "notes": [note.as_json() for note in self.notes],
        }

    def counts_by_size(self) -> tuple[SizeCount, ...]:
        """Every feature and size with its count over all pieces, for a person to accept."""
        found: Counter[_Size] = Counter()
        for part in self.parts:
            for size, count in Counter(map(_size_of, part.features)).items():
                found[size] += count * part.quantity
        counts = (SizeCount(*size, count=count) for size, count in found.items())
        return tuple(sorted(counts, key=_in_order))


def phrase_of(feature: PartFeature, material: str, system: System) -> str:
    """The phrase that asks for the feature: ``slot 22mm x 50mm thru 12mm S275``.

    One that came with a phrase keeps it as it was written.

    Args:
        feature: What the part has.
        material: The material as the crib calls it; empty leaves it to the crib.
        system: Write sizes in inches or in millimetres.

    Raises:
        BadValue: for what no phrase asks for: a blind hole, a tapped one, an odd opening.
        Missing: when its thickness is not known.
    """
    if feature.asked:
        return feature.asked
    if feature.feature not in _ASKED or not feature.through:
        blind = "" if feature.through else ", not through"
        message = f"no phrase asks for this: {feature.feature}, {feature.size_mm:g} mm{blind}"
        raise BadValue(message, way_out="make it another way: drill, tap or cut it")
    if feature.thickness_mm is None:
        message = f"the thickness at the {feature.feature} of {feature.size_mm:g} mm is not known"
        raise Missing(message, way_out="say the thickness")
    second_mm = feature.long_mm
    if feature.feature in ("notch", "corner"):
        second_mm = feature.depth_mm
    sizes = [feature.size_mm, *([second_mm] if second_mm is not None else [])]
    asked = " x ".join(_size(size_mm, system) for size_mm in sizes)
    if feature.corner_radius_mm:
        asked = f"{asked} radius {_size(feature.corner_radius_mm, system)}"
    if feature.countersink_mm is not None:
        across = _size(feature.countersink_mm, system) if feature.countersink_mm else ""
        asked = f"{asked} countersunk {across}".rstrip()
    angle = f" at {feature.angle_deg:g}" if feature.feature == "vee" else ""
    plate = " ".join(f"thru {_size(feature.thickness_mm, system)} {material}".split())
    return f"{_ASKED[feature.feature]} {asked} {plate}{angle}"


def _size(size_mm: float, system: System) -> str:
    """A size as phrases write it: ``22mm``, ``13/16``, ``0.45in``."""
    text = size_word(size_mm, system)
    return f"{text.removesuffix('in').rstrip('0')}in" if "." in text and "in" in text else text


_Size = tuple[str, str, float, float | None, float | None, float | None, float, float | None]


def _size_of(one: PartFeature) -> _Size:
    sizes = (one.size_mm, one.long_mm, one.depth_mm, one.thickness_mm)
    return (one.feature, one.shape, *sizes, one.corner_radius_mm, one.countersink_mm)


def _in_order(size: SizeCount) -> tuple[Any, ...]:
    sizes = (size.size_mm, size.long_mm, size.depth_mm, size.thickness_mm, size.corner_radius_mm)
    finished = (*sizes, size.countersink_mm)
    return (size.feature, size.shape, *(-1.0 if mm is None else mm for mm in finished))
