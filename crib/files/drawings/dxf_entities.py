"""The entities of a drawing to circles, closed outlines and loose strokes in mm.

Blocks are taken apart where they are inserted. What is not geometry of a flat part is counted with
its type, layer and handle, and becomes notes.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fnmatch import fnmatch
from itertools import pairwise
from typing import Any

from crib.errors import BadInput
from crib.files.common.reading_ledger import ReadingLedger
from crib.files.drawings.contour_sides import Side
from crib.files.drawings.dxf_chains import DrawnStroke, Source
from crib.files.drawings.parts import ReadNote

MOST_ENTITIES = 100_000
MOST_COORDINATE_MM = 1_000_000.0
_DEEPEST_BLOCK = 16
_FLAT = 1e-6
_STRAIGHT_MM = 1e-4
_SHOWN_HANDLES = 5
_FULL_TURN_DEG = 360.0


@dataclass(slots=True)
class DrawnCircle:
    """A whole circle and what drew it."""

    middle: complex
    radius_mm: float
    source: Source


@dataclass(slots=True)
class Leftovers:
    """What is not read, by type, layer and reason."""

    found: dict[tuple[str, str, str], list[Source]] = field(default_factory=dict)

    def add(self, source: Source, why: str) -> None:
        """Keep one."""
        self.found.setdefault((source.kind, source.layer, why), []).append(source)

    def notes(self) -> Iterator[ReadNote]:
        """One note for each type, layer and reason."""
        for (kind, layer, why), sources in self.found.items():
            named = list(dict.fromkeys(source.handle for source in sources if source.handle))
            handles = ", ".join(named[:_SHOWN_HANDLES])
            more = ", ..." if len(named) > _SHOWN_HANDLES else ""
            at = f" (handle {handles}{more})" if named else ""
            text = f"{len(sources)} x {kind[:40]} on layer {layer[:60]!r}{at}: {why}"
            yield ReadNote(min(source.line for source in sources), text)


@dataclass(slots=True)
class Drawn:
    """All geometry of a drawing; in the ledger an entity goes by its ``Source.item``."""

    ledger: ReadingLedger

    circles: list[DrawnCircle] = field(default_factory=list)
    outlines: list[list[DrawnStroke]] = field(default_factory=list)
    strokes: list[DrawnStroke] = field(default_factory=list)
    leftovers: Leftovers = field(default_factory=Leftovers)

    def points(self) -> Iterator[complex]:
        """Points that span it."""
        for circle in self.circles:
            away = complex(circle.radius_mm, circle.radius_mm)
            yield from (circle.middle - away, circle.middle + away)
        for stroke in (*self.strokes, *(one for outline in self.outlines for one in outline)):
            yield from (stroke.side.start, stroke.side.end)


@dataclass(slots=True)
class Collector:
    """Takes entities one by one; the scale is mm for each unit of the drawing."""

    file: str
    scale: float
    ignored: Sequence[str]
    hidden: frozenset[str]
    lines: Mapping[str, int]
    drawn: Drawn = field(init=False)
    _count: int = 0
    _layers: dict[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.drawn = Drawn(ReadingLedger(self.file))

    def take(self, entities: Iterable[Any], inside: Source | None = None, depth: int = 0) -> None:
        """Take entities; those of a block count as where the block is inserted."""
        for entity in entities:
            self._count += 1
            if self._count > MOST_ENTITIES:
                message = f"{self.file} has more than {MOST_ENTITIES} lines, arcs and circles"
                raise BadInput(message, way_out="give the drawing of one part")
            source = self._source(entity, inside)
            why = self._left_out(source.layer)
            if why:
                self.drawn.leftovers.add(source, why)
            elif source.kind == "INSERT":
                self._insert(entity, source, depth)
            else:
                self._geometry(entity, source)

    def _source(self, entity: Any, inside: Source | None) -> Source:
        kind, layer = entity.dxftype(), str(entity.dxf.get("layer", "0"))
        item = len(self.drawn.ledger)
        if inside is not None:
            layer = inside.layer if layer == "0" else layer
            handle, line = inside.handle, inside.line
        else:
            handle = str(entity.dxf.get("handle", "") or "")
            line = self.lines.get(handle.upper(), 0)
        self.drawn.ledger.meet(item, "entity", line, kind)
        return Source(kind, layer, handle, line, item)

    def _left_out(self, layer: str) -> str:
        """Why a layer is left out; a drawing has few layers and very many entities on them."""
        if layer not in self._layers:
            self._layers[layer] = self._why_left_out(layer)
        return self._layers[layer]

    def _why_left_out(self, layer: str) -> str:
        name = layer.casefold()
        if any(fnmatch(name, pattern.casefold()) for pattern in self.ignored):
            return "left out, as all of this layer"
        return "left out: its layer is off or frozen" if name in self.hidden else ""

    def _insert(self, entity: Any, source: Source, depth: int) -> None:
        leftovers = self.drawn.leftovers
        copies = max(entity.mcount, 1)
        if depth >= _DEEPEST_BLOCK or self._count + copies > MOST_ENTITIES:
            leftovers.add(source, "not read: blocks in blocks without end")
        elif entity.block() is None:
            leftovers.add(source, f"not read: block {str(entity.dxf.name)[:40]!r} is not there")
        else:
            for attribute in entity.attribs:
                leftovers.add(self._source(attribute, source), "not read")

            def skipped(one: Any, why: str) -> None:
                leftovers.add(self._source(one, source), f"not read: {why}")

            for insert in entity.multi_insert() if copies > 1 else (entity,):
                parts = insert.virtual_entities(skipped_entity_callback=skipped)
                self.take(parts, source, depth + 1)

    def _geometry(self, entity: Any, source: Source) -> None:
        reader = _READERS.get(source.kind)
        why = reader(self, entity, source) if reader else "not read"
        if why:
            self.drawn.leftovers.add(source, why)

    def _circle(self, entity: Any, source: Source) -> str:
        upwards, centre = entity.dxf.extrusion.z, entity.dxf.center
        if abs(abs(upwards) - 1) > _FLAT:
            return _TILTED
        middle = self._point(centre if upwards > 0 else entity.ocs().to_wcs(centre))
        return self._keep_circle(middle, abs(entity.dxf.radius) * self.scale, source)

    def _keep_circle(self, middle: complex, radius_mm: float, source: Source) -> str:
        if not _within(middle, complex(radius_mm)):
            return _TOO_FAR
        if radius_mm <= _STRAIGHT_MM:
            return "not read: it has no size"
        self.drawn.circles.append(DrawnCircle(middle, radius_mm, source))
        return ""

    def _ellipse(self, entity: Any, source: Source) -> str:
        span = abs(entity.dxf.end_param - entity.dxf.start_param)
        round_one = abs(abs(entity.dxf.ratio) - 1) <= _FLAT and span >= 6.283185
        if not round_one or not _is_flat(entity):
            return "not read: an ellipse"
        radius_mm = entity.dxf.major_axis.magnitude * self.scale
        return self._keep_circle(self._point(entity.dxf.center), radius_mm, source)

    def _arc(self, entity: Any, source: Source) -> str:
        from ezdxf.math import Vec3

        if not _is_flat(entity):
            return _TILTED
        start_deg, radius = entity.dxf.start_angle, abs(entity.dxf.radius)
        sweep_deg = (entity.dxf.end_angle - start_deg) % _FULL_TURN_DEG or _FULL_TURN_DEG
        if sweep_deg > _FULL_TURN_DEG - _FLAT:
            return self._circle(entity, source)
        pieces = 2 if sweep_deg > _FULL_TURN_DEG / 2 + _FLAT else 1
        ocs, points = entity.ocs(), []
        for number in range(pieces + 1):
            away = Vec3.from_deg_angle(start_deg + sweep_deg * number / pieces, radius)
            points.append(self._point(ocs.to_wcs(Vec3(entity.dxf.center) + away)))
        turn_mm = radius * self.scale * _sense(entity)
        if not _within(*points, complex(turn_mm)):
            return _TOO_FAR
        sides = [Side(start, end, turn_mm) for start, end in pairwise(points)]
        self.drawn.strokes += [DrawnStroke(side, source) for side in sides]
        return ""

    def _line(self, entity: Any, source: Source) -> str:
        start, end = entity.dxf.start, entity.dxf.end
        if abs(start.z - end.z) > _FLAT * max(1.0, (end - start).magnitude):
            return _TILTED
        side = Side(self._point(start), self._point(end))
        if not _within(side.start, side.end):
            return _TOO_FAR
        self.drawn.strokes.append(DrawnStroke(side, source))
        return ""

    def _polyline(self, entity: Any, source: Source) -> str:
        if not _is_flat(entity):
            return _TILTED
        if source.kind == "LWPOLYLINE":
            raw = [((x, y), bulge) for x, y, bulge in entity.get_points("xyb")]
            closed = bool(entity.closed)
        elif entity.is_2d_polyline and not entity.dxf.flags & _CURVE_FITTED:
            raw = [(v.dxf.location.vec2, v.dxf.get("bulge", 0.0)) for v in entity.vertices]
            closed = bool(entity.is_closed)
        else:
            return "not read: a polyline in space, or with curves fitted to it"
        return self._keep_polyline(entity, raw, closed, source)

    def _keep_polyline(
        self, entity: Any, raw: Sequence[tuple[Any, float]], closed: bool, source: Source
    ) -> str:
        ocs, sense = entity.ocs(), _sense(entity)
        points = [self._point(ocs.to_wcs((*place, 0.0))) for place, _ in raw]
        bulges = [bulge * sense for _, bulge in raw]
        if not _within(*points, *map(complex, bulges)):
            return _TOO_FAR
        self._count += len(points)
        ends = [*points[1:], *points[:1]] if closed else points[1:]
        sides = [
            s for a, b, bulge in zip(points, ends, bulges, strict=False) for s in bowed(a, b, bulge)
        ]
        if not sides:
            return "not read: it has no length"
        strokes = [DrawnStroke(side, source) for side in sides]
        if closed:
            self.drawn.outlines.append(strokes)
        else:
            self.drawn.strokes += strokes
        return ""

    def _point(self, place: Any) -> complex:
        return complex(place.x * self.scale, place.y * self.scale)


_READERS: dict[str, Callable[[Collector, Any, Source], str]] = {
    "CIRCLE": Collector._circle,
    "ARC": Collector._arc,
    "ELLIPSE": Collector._ellipse,
    "LINE": Collector._line,
    "LWPOLYLINE": Collector._polyline,
    "POLYLINE": Collector._polyline,
}
_TILTED = "not read: it does not lie flat in the drawing"
_TOO_FAR = f"not read: a coordinate beyond {MOST_COORDINATE_MM / 1000:g} m"
_CURVE_FITTED = 2 | 4


def bowed(start: complex, end: complex, bulge: float) -> list[Side]:
    """A side by its bulge, the tangent of a quarter of its angle; in two above 180 degrees."""
    chord_mm = abs(end - start)
    if chord_mm <= _STRAIGHT_MM:
        return []
    if abs(bulge) * chord_mm / 2 <= _STRAIGHT_MM:
        return [Side(start, end)]
    radius_mm = chord_mm * (1 + bulge**2) / (4 * bulge)
    if abs(bulge) <= 1 + _FLAT:
        return [Side(start, end, radius_mm)]
    top = (start + end) / 2 - 1j * (end - start) / 2 * bulge
    return [Side(start, top, radius_mm), Side(top, end, radius_mm)]


def _is_flat(entity: Any) -> bool:
    return bool(abs(abs(entity.dxf.extrusion.z) - 1) <= _FLAT)


def _sense(entity: Any) -> int:
    """-1 for what is seen from behind, as in a mirrored block."""
    return -1 if entity.dxf.extrusion.z < 0 else 1


def _within(*values: complex) -> bool:
    """Whether all are numbers of a size that a part can have."""
    # What is no number compares as false, and what has no end is beyond the limit.
    return all(abs(value) <= MOST_COORDINATE_MM for value in values)
