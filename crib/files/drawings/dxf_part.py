"""The shapes of a drawing to parts: outlines, what lies in them, and what their edges lack."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

from crib.files.drawings.contour_sides import Bounds, undusted
from crib.files.drawings.dxf_shapes import Shape, containers, opening_in, shape_contour
from crib.files.drawings.edge_notches import UNKNOWN, EdgeNotch, edge_reading
from crib.files.drawings.openings import Opening
from crib.files.drawings.parts import OUTSIDE, Part, PartFeature, ReadNote

_SAME_AS_INCH_MM = 1e-4
_INSIDE = "inside another opening"


@dataclass(frozen=True, slots=True)
class Stated:
    """What a drawing does not say and somebody did: thickness, material, how many, which unit."""

    mark: str
    thickness_mm: float | None = None
    material: str = ""
    quantity: int = 1
    in_inches: bool = False

    def size(self, size_mm: float) -> float:
        """A size without dust; in a drawing in inches a 64th is exactly that again."""
        sixty_fourths = round(size_mm * 640 / 254)
        exact_mm = sixty_fourths * 254 / 640
        if self.in_inches and abs(exact_mm - size_mm) <= _SAME_AS_INCH_MM:
            return exact_mm
        return undusted(size_mm)


@dataclass(slots=True)
class _Group:
    """A part being made: its outline, if it has one, and the shapes that belong to it."""

    outline: Shape | None
    inner: list[tuple[Shape, str]]


def parts_of(shapes: Sequence[Shape], stated: Stated, notes: list[ReadNote]) -> list[Part]:
    """Every outline with what lies in it; what lies in none belongs to the first."""
    groups = _groups(shapes, stated.mark, notes)
    parts = []
    for number, group in enumerate(groups, start=1):
        mark = stated.mark if len(groups) == 1 else f"{stated.mark}-{number}"
        parts.append(_part(group, replace(stated, mark=mark), notes))
    if len(groups) > 1:
        line = min(group.outline.source.line for group in groups if group.outline)
        notes.append(ReadNote(line, f"{len(groups)} outlines: read as {len(groups)} parts"))
    return parts


def _groups(shapes: Sequence[Shape], file: str, notes: list[ReadNote]) -> list[_Group]:
    within = containers(shapes, file)
    holding = {outers[0] for outers in within if outers}
    groups: dict[int, _Group] = {}
    for n, shape in enumerate(shapes):
        # A circle with nothing in it is a hole, wherever it is; with something in it, a disc.
        if not within[n] and (not shape.radius_mm or n in holding):
            groups[n] = _Group(shape, [])
    strays = [n for n in range(len(shapes)) if not within[n] and n not in groups]
    if not groups and strays:
        groups[strays[0]] = _Group(None, [])
        text = "no outline: the places are counted from the leftmost and lowest hole"
        notes.append(ReadNote(shapes[strays[0]].source.line, text))
    for n in strays:
        first = next(iter(groups.values()))
        first.inner.append((shapes[n], OUTSIDE if first.outline else ""))
    for n, outers in enumerate(within):
        if outers:
            note = _INSIDE if len(outers) > 1 else ""
            groups[outers[0]].inner.append((shapes[n], note))
    return list(groups.values())


def _part(group: _Group, stated: Stated, notes: list[ReadNote]) -> Part:
    box = _frame(group)
    corner = complex(box.left, box.bottom)
    features = []
    for shape, remark in group.inner:
        opening = opening_in(shape)
        if opening is None:
            corners = len(shape.sides)
            text = f"{UNKNOWN}: {_where(shape)}, {corners} sides, cut it"
            notes.append(ReadNote(shape.source.line, text))
            continue
        feature = _opening_feature(opening, corner, remark, stated)
        features.append(feature)
        if remark:
            notes.append(ReadNote(shape.source.line, _remarked(feature, remark)))
    if group.outline is not None:
        features += _edge_features(group.outline, corner, stated, notes)
    notes += _small_holes(features, stated)
    # A round hole is a feature and needs no contour; there may be ten thousand of them.
    odd = [shape for shape, _ in group.inner if not shape.radius_mm]
    contours = [shape_contour(shape, "inner", corner) for shape in odd]
    if group.outline is not None:
        contours.insert(0, shape_contour(group.outline, "outer", corner))
    bare = group.outline is None
    return Part(
        mark=stated.mark,
        quantity=stated.quantity,
        profile="B",
        profile_text="",
        material=stated.material,
        length_mm=0.0 if bare else stated.size(box.width_mm),
        height_mm=0.0 if bare else stated.size(box.height_mm),
        flange_width_mm=0.0,
        flange_thickness_mm=0.0,
        web_thickness_mm=stated.thickness_mm or 0.0,
        radius_mm=0.0,
        features=tuple(features),
        contours=tuple(contours),
        text_lines=(),
    )


def _frame(group: _Group) -> Bounds:
    """The outline's box; without one that of the middles of the holes."""
    if group.outline is not None:
        return group.outline.box
    middles = [shape.middle for shape, _ in group.inner]
    xs, ys = [m.real for m in middles], [m.imag for m in middles]
    return Bounds(min(xs), min(ys), max(xs), max(ys))


def _where(shape: Shape) -> str:
    source = shape.source
    handle = f", handle {source.handle}" if source.handle else ""
    size = f"{shape.box.width_mm:.5g} x {shape.box.height_mm:.5g} mm"
    return f"{source.kind} on layer {source.layer[:60]!r}{handle}, {size}"


def _remarked(feature: PartFeature, remark: str) -> str:
    where = f"x {feature.x_mm:g}, y {feature.y_mm:g}"
    return f"{feature.feature} of {feature.size_mm:g} mm at {where} is {remark}"


def _opening_feature(opening: Opening, corner: complex, remark: str, stated: Stated) -> PartFeature:
    place = opening.middle - corner
    return PartFeature(
        feature=opening.feature,
        shape=opening.shape,
        size_mm=stated.size(opening.size_mm),
        long_mm=None if opening.long_mm is None else stated.size(opening.long_mm),
        thickness_mm=stated.thickness_mm,
        face="v",
        x_mm=undusted(place.real),
        y_mm=undusted(place.imag),
        angle_deg=opening.angle_deg,
        note="; ".join(filter(None, (remark, opening.note))),
    )


def _edge_features(
    outline: Shape, corner: complex, stated: Stated, notes: list[ReadNote]
) -> list[PartFeature]:
    found = edge_reading(shape_contour(outline, "outer"))
    notes += [ReadNote(outline.source.line, text) for text in found.remarks]
    return [_notch_feature(notch, corner, stated) for notch in found.notches]


def _notch_feature(notch: EdgeNotch, corner: complex, stated: Stated) -> PartFeature:
    place = notch.at - corner
    return PartFeature(
        feature=notch.feature,
        shape=notch.shape,
        size_mm=stated.size(notch.size_mm),
        long_mm=None,
        thickness_mm=stated.thickness_mm,
        face="v",
        x_mm=undusted(place.real),
        y_mm=undusted(place.imag),
        angle_deg=notch.angle_deg,
        depth_mm=stated.size(notch.depth_mm),
        note=notch.note,
    )


def _small_holes(features: Sequence[PartFeature], stated: Stated) -> list[ReadNote]:
    """A hole smaller than the plate is thick is often a mark or drilled for a thread."""
    small = Counter(
        feature.size_mm
        for feature in features
        if feature.feature == "hole" and feature.size_mm < (stated.thickness_mm or 0.0)
    )
    return [
        ReadNote(0, f"{count} x hole of {size_mm:g} mm, smaller than the thickness: mark or tap?")
        for size_mm, count in sorted(small.items())
    ]
