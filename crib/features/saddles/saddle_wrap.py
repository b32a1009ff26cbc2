"""The wrap-around template of a saddle: the cut unrolled to paper, in mm at full size. Pure.

x runs round the branch's outside, y along the branch away from the header, 0 at the square-cut end.
Wrapped printed side out and cut end down, x runs to the right as the angle of
``saddle_ordinate_mm`` rises; wrapped printed side in, it serves the other hand.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, pi
from typing import Literal

from crib.errors import BadValue
from crib.features.saddles.saddle import Saddle
from crib.trade.metal.saddles import saddle_cutback_mm

Contact = Literal["bore", "outside"]
CONTACTS: tuple[Contact, ...] = ("bore", "outside")
USUAL_LINES, LEAST_LINES, MOST_LINES = 16, 4, 72
LEAST_STEPS = 360
"""Pieces of the drawn curve; a chord of a degree is off by hundredths of a millimetre."""

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class WrapLine:
    """One line along the branch: its number, its place round it, and what is cut off there."""

    number: int
    theta_deg: float
    x_mm: float
    cutback_mm: float


@dataclass(frozen=True, slots=True)
class CentreLine:
    """A line that finds its place on the branch by name: throat, heel, side."""

    x_mm: float
    name: str


@dataclass(frozen=True, slots=True)
class WrapTemplate:
    """The unrolled cut. The curve has one more point than steps: the seam stands at both ends."""

    saddle: Saddle
    contact: Contact
    circumference_mm: float
    curve: tuple[Point, ...]
    lines: tuple[WrapLine, ...]
    centre_lines: tuple[CentreLine, ...]

    @property
    def deepest_mm(self) -> float:
        """The most that is cut off anywhere."""
        return max(y for _x, y in self.curve)

    @property
    def handed(self) -> bool:
        """Whether the mirror image is another cut."""
        return self.saddle.angle_deg != 90.0 and bool(self.saddle.offset_mm)


def wrap_template(
    saddle: Saddle, contact: Contact = "bore", lines: int = USUAL_LINES
) -> WrapTemplate:
    """Unroll the cut of a branch onto paper that goes once round its outside.

    The bore is what touches the header where the cut is made radially, as with a torch; the outside
    where a cutter or a saw goes straight through. Handbook charts use the bore.

    Raises:
        BadValue: for fewer than 4 or more than 72 lines, or a contact that is not known.
    """
    if not LEAST_LINES <= lines <= MOST_LINES:
        message = f"lines={lines} must be {LEAST_LINES} to {MOST_LINES}"
        raise BadValue(message, way_out=f"{USUAL_LINES} lines are usual")
    if contact not in CONTACTS:
        message = f"contact={contact!r} must be {' or '.join(CONTACTS)}"
        raise BadValue(message, way_out="bore for a torch, outside for a cutter or saw")
    around_mm = pi * saddle.branch.outside_mm
    between = ceil(LEAST_STEPS / lines)
    cuts = _cutback(saddle, contact, lines * between)
    curve = [(around_mm * step / len(cuts), cut) for step, cut in enumerate(cuts)]
    return WrapTemplate(
        saddle,
        contact,
        around_mm,
        (*curve, (around_mm, cuts[0])),
        tuple(
            WrapLine(number, 360 * number / lines, *curve[number * between])
            for number in range(lines)
        ),
        tuple(_centre_lines(saddle, around_mm)),
    )


def contact_radius_mm(saddle: Saddle, contact: Contact) -> float:
    """The radius of the branch where it touches the header."""
    bore_mm = saddle.branch_radius_mm - saddle.plate.thickness_mm
    return bore_mm if contact == "bore" else saddle.branch_radius_mm


def _cutback(saddle: Saddle, contact: Contact, steps: int) -> tuple[float, ...]:
    return saddle_cutback_mm(
        saddle.header_radius_mm,
        contact_radius_mm(saddle, contact),
        saddle.angle_deg,
        saddle.offset_mm,
        steps,
    )


def _centre_lines(saddle: Saddle, around_mm: float) -> list[CentreLine]:
    """The seam twice, the line opposite it, and both sides."""
    first, opposite = "throat", "throat"
    if saddle.angle_deg < 90.0:
        first, opposite = "throat, acute side", "heel, obtuse side"
    elif saddle.angle_deg > 90.0:
        first, opposite = "heel, obtuse side", "throat, acute side"
    side = "side, offset this way" if saddle.offset_mm else "side"
    names = (first, side, opposite, "side", first)
    return [CentreLine(around_mm * quarter / 4, name) for quarter, name in enumerate(names)]
