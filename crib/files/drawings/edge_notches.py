"""Outer contours compared with their rectangle: notches, corners and vees cut into its edges.

The contour is walked round; whatever leaves the rectangle's edge and comes back to it is one cut.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from math import atan2, degrees

from crib.files.drawings.contour_sides import (
    MOST_POINTS,
    SAME_MM,
    Bounds,
    Side,
    box_of,
    corner_radius_mm,
    counter_clockwise,
    dusted,
    enclosed_mm2,
    full_circle,
    right_angled,
    sharpened,
    sides_of,
    tidy,
    undusted,
)
from crib.files.drawings.parts import Contour

UNKNOWN = "contour not recognised"
OPEN_SLOT = "open slot"
"""What a slot is called that is open at the edge; no phrase asks for one."""
_EDGES = ("left", "bottom", "right", "top")


@dataclass(frozen=True, slots=True)
class EdgeNotch:
    """A cut into the edge: notch, corner, vee or open slot, where it opens, and its angle.

    The angle is the edge's from x for a notch, the included one for a vee.
    """

    feature: str
    shape: str
    size_mm: float
    depth_mm: float
    at: complex
    angle_deg: float = 0.0
    corner_radius_mm: float = 0.0


@dataclass(slots=True)
class EdgeReading:
    """What a contour says of a piece's edges."""

    box: Bounds | None = None
    notches: list[EdgeNotch] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class _Cut:
    """A run of sides away from the edge, from the edge and back to it."""

    sides: tuple[Side, ...]
    box: Bounds

    @property
    def start(self) -> complex:
        return self.sides[0].start

    @property
    def end(self) -> complex:
        return self.sides[-1].end

    @property
    def edge(self) -> str:
        """The edge that it leaves and comes back to; empty when they are two."""
        both = _edges_at(self.start, self.box) & _edges_at(self.end, self.box)
        return next(iter(both), "")

    @property
    def corner(self) -> complex | None:
        """The rectangle's corner that it cuts off, when it goes from one edge to the next."""
        for x, sideways in ((self.box.left, "left"), (self.box.right, "right")):
            for y, upright in ((self.box.bottom, "bottom"), (self.box.top, "top")):
                ends = (_edges_at(self.start, self.box), _edges_at(self.end, self.box))
                if any(sideways in a and upright in b for a, b in (ends, ends[::-1])):
                    return complex(x, y)
        return None

    @property
    def area_mm2(self) -> float:
        """What is gone, if the run is straight."""
        corner = [] if self.edge or self.corner is None else [self.corner]
        return abs(enclosed_mm2([self.start, *(side.end for side in self.sides), *corner]))


def edge_reading(contour: Contour) -> EdgeReading:
    """Compare a contour with the rectangle around it."""
    if not contour.closed:
        return EdgeReading(remarks=[f"{UNKNOWN}: it does not end where it began"])
    if len(contour.points) > MOST_POINTS:
        return EdgeReading(remarks=[f"{UNKNOWN}: it has more than {MOST_POINTS} points"])
    sides = tidy(counter_clockwise(sides_of(contour)))
    if len(sides) < 2:
        return EdgeReading(remarks=[f"{UNKNOWN}: its points or radii make no outline"])
    found = EdgeReading(box_of(sides))
    circle = full_circle(sides)
    if circle:
        found.remarks.append(f"{UNKNOWN}: a disc of {2 * circle[1]:g} mm, with no edge to notch")
        return found
    sharp, rounded = sharpened(sides)
    sharp = tidy(sharp)
    found.box = box_of(sharp)
    if min(found.box.width_mm, found.box.height_mm) <= SAME_MM:
        return EdgeReading(remarks=[f"{UNKNOWN}: its points or radii make no outline"])
    _walk(sharp, rounded, found.box, found)
    return found


def _walk(
    sides: list[Side], rounded: dict[complex, float], box: Bounds, found: EdgeReading
) -> None:
    cuts = _cuts(sides, box)
    if cuts is None:
        found.remarks.append(f"{UNKNOWN}: no side of it lies along the edge")
        return
    used: set[complex] = set()
    for cut in cuts:
        notch = _notch(cut, rounded)
        if notch is None:
            found.remarks.append(f"{UNKNOWN}: {_described(cut)}{_radii(cut, rounded)}")
        else:
            found.notches.append(notch)
        used |= {side.end for side in cut.sides[:-1]}
    for corner in [corner for corner in rounded if corner not in used]:
        text = f"corner at {_place(corner)} rounded {rounded[corner]:g} mm is not a notch"
        found.remarks.append(f"{UNKNOWN}: {text}")
    _check_area(sides, cuts, box, found)


def _check_area(
    sides: Sequence[Side], cuts: Sequence[_Cut], box: Bounds, found: EdgeReading
) -> None:
    """A contour that crosses itself gives cuts whose areas do not add up to what is gone."""
    if any(side.radius_mm for side in sides) or not all(cut.edge or cut.corner for cut in cuts):
        return
    whole_mm2 = box.width_mm * box.height_mm
    gone_mm2 = whole_mm2 - enclosed_mm2([side.start for side in sides])
    cut_mm2 = sum(cut.area_mm2 for cut in cuts)
    if abs(gone_mm2 - cut_mm2) > SAME_MM * (box.width_mm + box.height_mm):
        found.notches.clear()
        found.remarks.append(f"{UNKNOWN}: it crosses itself")


def _edges_at(point: complex, box: Bounds) -> set[str]:
    offs = (
        point.real - box.left,
        point.imag - box.bottom,
        point.real - box.right,
        point.imag - box.top,
    )
    return {edge for edge, off_mm in zip(_EDGES, offs, strict=True) if abs(off_mm) <= SAME_MM}


def _on_edge(side: Side, box: Bounds) -> bool:
    both = _edges_at(side.start, box) & _edges_at(side.end, box)
    return bool(both) and not side.radius_mm


def _cuts(sides: list[Side], box: Bounds) -> list[_Cut] | None:
    """The runs between sides on the edge; also cut in two where a run touches the edge."""
    first = next((at for at, side in enumerate(sides) if _on_edge(side, box)), None)
    if first is None:
        return None
    made: list[_Cut] = []
    run: list[Side] = []
    for side in [*sides[first:], *sides[:first]]:
        if _on_edge(side, box):
            continue
        run.append(side)
        if _edges_at(side.end, box):
            made.append(_Cut(tuple(run), box))
            run = []
    return made


def _notch(cut: _Cut, rounded: dict[complex, float]) -> EdgeNotch | None:
    if cut.edge and len(cut.sides) == 3 and cut.sides[1].half_circle:
        return _open_slot(cut)
    if any(side.radius_mm for side in cut.sides):
        return None
    inner = [side.end for side in cut.sides[:-1]]
    radius_mm = corner_radius_mm((rounded[at] for at in inner if at in rounded), len(inner))
    if radius_mm is None:
        return None
    made = _shaped(cut)
    return made and replace(made, corner_radius_mm=radius_mm)


def _shaped(cut: _Cut) -> EdgeNotch | None:
    if not cut.edge:
        return _corner(cut)
    if len(cut.sides) == 2:
        return _vee(cut)
    return _rectangular(cut) if len(cut.sides) == 3 else None


def _rectangular(cut: _Cut) -> EdgeNotch | None:
    into, along, back = cut.sides
    opening = cut.end - cut.start
    if abs(into.step + back.step) > SAME_MM or not right_angled([into, along]):
        return None
    if abs(along.step - opening) > SAME_MM:
        return None
    sizes = (undusted(abs(opening)), undusted(into.length_mm))
    angle_deg = 90.0 if cut.edge in ("left", "right") else 0.0
    return EdgeNotch("notch", "rectangle", *sizes, _middle(cut), angle_deg)


def _open_slot(cut: _Cut) -> EdgeNotch | None:
    """Two sides alike straight into the edge and between them a half circle that turns inwards."""
    into, arc, back = cut.sides
    opening = cut.end - cut.start
    is_alike = abs(into.step + back.step) <= SAME_MM and abs(arc.step - opening) <= SAME_MM
    if arc.radius_mm > 0 or into.radius_mm or back.radius_mm or not is_alike:
        return None
    if not _upright(into, opening):
        return None
    sizes = (undusted(abs(opening)), undusted(into.length_mm + abs(arc.radius_mm)))
    angle_deg = 90.0 if cut.edge in ("left", "right") else 0.0
    return EdgeNotch(OPEN_SLOT, "obround", *sizes, _middle(cut), angle_deg)


def _upright(side: Side, along: complex) -> bool:
    return abs((side.step.conjugate() * along).real) <= SAME_MM * (side.length_mm + abs(along))


def _vee(cut: _Cut) -> EdgeNotch | None:
    """Two legs alike; a lopsided one is not made by a vee set."""
    into, back = cut.sides
    if abs(into.length_mm - back.length_mm) > SAME_MM:
        return None
    opening_mm = abs(cut.end - cut.start)
    depth_mm = abs(into.end - (cut.start + cut.end) / 2)
    included_deg = round(2 * degrees(atan2(opening_mm / 2, depth_mm)), 2)
    sizes = (undusted(opening_mm), undusted(depth_mm))
    return EdgeNotch("vee", "special", *sizes, _middle(cut), included_deg)


def _corner(cut: _Cut) -> EdgeNotch | None:
    corner = cut.corner
    if corner is None or len(cut.sides) != 2 or not right_angled(_closed(cut, corner)):
        return None
    away = cut.sides[0].end - corner
    sizes = (undusted(abs(away.real)), undusted(abs(away.imag)))
    return EdgeNotch("corner", "rectangle", *sizes, dusted(corner))


def _closed(cut: _Cut, corner: complex) -> list[Side]:
    return [*cut.sides, Side(cut.end, corner), Side(corner, cut.start)]


def _described(cut: _Cut) -> str:
    """What a person would see there."""
    span = cut.end - cut.start
    if cut.edge:
        return f"cut into the {cut.edge} edge, {abs(span):g} mm wide, at {_place(_middle(cut))}"
    if cut.corner is None:
        return f"slanted end, {_place(cut.start)} to {_place(cut.end)}"
    if len(cut.sides) == 1 and not cut.sides[0].radius_mm:
        sizes = f"{abs(span.real):g} x {abs(span.imag):g} mm"
        return f"corner at {_place(cut.corner)} cut off slanting, {sizes}, is not a notch"
    return f"cut round the corner at {_place(cut.corner)}"


def _radii(cut: _Cut, rounded: dict[complex, float]) -> str:
    radii = sorted({undusted(rounded[side.end]) for side in cut.sides if side.end in rounded})
    return f", inner corners rounded {' and '.join(f'{r:g}' for r in radii)} mm" if radii else ""


def _place(point: complex) -> str:
    return f"x {point.real:g}, y {point.imag:g}"


def _middle(cut: _Cut) -> complex:
    return dusted((cut.start + cut.end) / 2)
