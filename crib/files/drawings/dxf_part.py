"""The shapes of a drawing to parts: outlines, what lies in them, and what their edges lack."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache

from crib.acts import Fact, fact
from crib.files.common.reading_ledger import ReadingLedger
from crib.files.drawings.chord_fits import FIT_MM, Fit
from crib.files.drawings.contour_sides import Bounds, undusted
from crib.files.drawings.dxf_countersinks import countersunk, ring_in
from crib.files.drawings.dxf_groups import Group, Groups
from crib.files.drawings.dxf_nesting import named
from crib.files.drawings.dxf_shapes import Shape, opening_in, shape_contour
from crib.files.drawings.edge_notches import OPEN_SLOT, UNKNOWN, EdgeNotch, edge_reading
from crib.files.drawings.parts import Part, PartFeature, ReadNote

_SAME_AS_INCH_MM = 1e-4
_TENTH_MM = 0.1


_RING = "read as a disc with a hole in it; a countersunk hole of another part looks the same"


@dataclass(frozen=True, slots=True)
class Stated:
    """What a drawing does not say and somebody did: thickness, material, how many, which unit."""

    mark: str
    thickness_mm: float | None = None
    material: str = ""
    quantity: int = 1
    in_inches: bool = False

    def size(self, size_mm: float, off_mm: float = 0.0) -> float:
        """A size without dust; in a drawing in inches a 64th is exactly that again.

        One that was fitted, and may be off by so much, is also a whole tenth of a millimetre.
        """
        return _clean_size(size_mm, off_mm, self.in_inches)


@lru_cache(maxsize=1_000)
def _clean_size(size_mm: float, off_mm: float, in_inches: bool) -> float:
    """The size that was meant; a drawing has few sizes and very many holes."""
    sixty_fourths = round(size_mm * 640 / 254)
    exact_mm = sixty_fourths * 254 / 640
    if in_inches and abs(exact_mm - size_mm) <= max(_SAME_AS_INCH_MM, off_mm):
        return exact_mm
    tenth_mm = undusted(round(size_mm / _TENTH_MM) * _TENTH_MM)
    if not in_inches and off_mm and abs(tenth_mm - size_mm) <= off_mm:
        return tenth_mm
    return undusted(size_mm)


@dataclass(slots=True)
class Endings:
    """How the keys of the reading ledger end: with how many features, or as told and why."""

    features: dict[int, int] = field(default_factory=dict)
    told: list[tuple[Shape, Fact]] = field(default_factory=list)

    def count(self, shape: Shape, features: int) -> None:
        """A shape is in the parts and gives so many features."""
        if not shape.sources:
            # What drew a circle drew nothing else, and there may be ten thousand of them.
            self.features[shape.source.item] = features
            return
        for number, source in enumerate(shape.drawn_by):
            given = 0 if number else features
            self.features[source.item] = self.features.get(source.item, 0) + given

    def end(self, ledger: ReadingLedger) -> None:
        """Write it down; what draws something that counts is counted."""
        for item, features in self.features.items():
            ledger.count(item, features)
        for shape, why in self.told:
            for source in shape.drawn_by:
                if ledger.is_open(source.item):
                    ledger.tell(source.item, why)


def parts_of(groups: Groups, stated: Stated, notes: list[ReadNote]) -> tuple[list[Part], Endings]:
    """Every group as a part, and what became of the shapes."""
    endings = Endings(told=list(groups.aside))
    parts = []
    for number, group in enumerate(groups.parts, start=1):
        mark = stated.mark if len(groups.parts) == 1 else f"{stated.mark}-{number}"
        parts.append(_part(group, replace(stated, mark=mark), notes, endings))
    if len(parts) > 1:
        line = min(group.outline.source.line for group in groups.parts if group.outline)
        notes.append(ReadNote(line, f"{len(parts)} outlines: read as {len(parts)} parts"))
    return parts, endings


def _part(group: Group, stated: Stated, notes: list[ReadNote], endings: Endings) -> Part:
    box = _frame(group)
    corner = complex(box.left, box.bottom)
    features = _openings(group, corner, stated, notes, endings)
    ring = ring_in(group.outline, group.inner)
    if ring is not None:
        notes.append(ReadNote(ring.source.line, f"{stated.mark}: {_RING}"))
    if group.outline is not None:
        cut = _edge_features(group.outline, corner, stated, notes)
        endings.count(group.outline, len(cut))
        features += cut
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


def _openings(
    group: Group, corner: complex, stated: Stated, notes: list[ReadNote], endings: Endings
) -> list[PartFeature]:
    """What lies in an outline, as features; what no one punch makes is told."""
    features = []
    fits: dict[tuple[str, float], list[Fit]] = {}
    sinks = countersunk(group.inner)
    rings = set(sinks.values())
    told: dict[tuple[float, float], list[int]] = {}
    for number, (shape, said) in enumerate(group.inner):
        line, remark = shape.source.line, "" if number in sinks else said
        if number in rings:
            endings.count(shape, 0)
            continue
        feature = _opening_feature(shape, corner, remark, stated)
        if feature is None:
            corners = len(shape.sides)
            notes.append(ReadNote(line, f"{UNKNOWN}: {named(shape)}, {corners} sides, cut it"))
            endings.told.append((shape, fact("read.opening-unknown")))
            continue
        if number in sinks:
            ring = group.inner[sinks[number]][0]
            across_mm = _clean_size(2 * ring.radius_mm, 0.0, stated.in_inches)
            feature = feature._replace(countersink_mm=across_mm)
            told.setdefault((feature.size_mm, across_mm), []).append(line)
        features.append(feature)
        endings.count(shape, 1)
        if remark:
            notes.append(ReadNote(line, _remarked(feature, remark)))
        if shape.fit:
            fits.setdefault((feature.feature, feature.size_mm), []).append(shape.fit)
    notes += _fit_notes(fits)
    notes += _sink_notes(told)
    return features


def _sink_notes(told: dict[tuple[float, float], list[int]]) -> Iterator[ReadNote]:
    """What two circles round one middle are read as, and what else they may be."""
    for (size_mm, across_mm), lines in told.items():
        text = (
            f"{len(lines)} x hole of {size_mm:g} mm with a circle of {across_mm:g} mm round it:"
            " read as countersunk; a counterbore, or a disc with a hole in it, looks the same"
        )
        yield ReadNote(lines[0], text)


def _fit_notes(fits: dict[tuple[str, float], list[Fit]]) -> Iterator[ReadNote]:
    """How well what was drawn as chords fits what it was read as."""
    for (feature, size_mm), found in fits.items():
        chords = max(fit.chords for fit in found)
        off_mm = max(max(fit.off_mm for fit in found), 0.001)
        inside_mm = max(max(fit.inside_mm for fit in found), 0.001)
        text = (
            f"{len(found)} x {feature} of {size_mm:g} mm drawn as {chords} chords: corners within "
            f"{off_mm:.3f} mm of the arcs, chords up to {inside_mm:.3f} mm inside"
        )
        yield ReadNote(0, text)


def _frame(group: Group) -> Bounds:
    """The outline's box; without one that of the middles of the holes."""
    if group.outline is not None:
        return group.outline.box
    middles = [shape.middle for shape, _ in group.inner]
    xs, ys = [m.real for m in middles], [m.imag for m in middles]
    return Bounds(min(xs), min(ys), max(xs), max(ys))


def _remarked(feature: PartFeature, remark: str) -> str:
    where = f"x {feature.x_mm:g}, y {feature.y_mm:g}"
    return f"{feature.feature} of {feature.size_mm:g} mm at {where} is {remark}"


def _opening_feature(
    shape: Shape, corner: complex, remark: str, stated: Stated
) -> PartFeature | None:
    """A shape as a feature; None when no one punch makes it."""
    off_mm = 2 * FIT_MM if shape.fit else 0.0
    if shape.is_circle:
        # There may be ten thousand of them, so nothing is made in between.
        place = shape.middle - corner
        return PartFeature(
            "hole",
            "round",
            _clean_size(2 * shape.radius_mm, off_mm, stated.in_inches),
            None,
            stated.thickness_mm,
            "v",
            round(place.real, 4),
            round(place.imag, 4),
            note=remark,
        )
    opening = opening_in(shape)
    if opening is None:
        return None
    place = opening.middle - corner
    return PartFeature(
        feature=opening.feature,
        shape=opening.shape,
        size_mm=stated.size(opening.size_mm, off_mm),
        long_mm=None if opening.long_mm is None else stated.size(opening.long_mm, off_mm),
        thickness_mm=stated.thickness_mm,
        face="v",
        x_mm=undusted(place.real),
        y_mm=undusted(place.imag),
        angle_deg=opening.angle_deg,
        note="; ".join(filter(None, (remark, opening.note))),
        corner_radius_mm=stated.size(opening.corner_radius_mm),
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
        long_mm=stated.size(notch.depth_mm) if notch.feature == OPEN_SLOT else None,
        thickness_mm=stated.thickness_mm,
        face="v",
        x_mm=undusted(place.real),
        y_mm=undusted(place.imag),
        angle_deg=notch.angle_deg,
        depth_mm=stated.size(notch.depth_mm),
        corner_radius_mm=stated.size(notch.corner_radius_mm),
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
