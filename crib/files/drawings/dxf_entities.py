"""The entities of a drawing to circles, closed outlines and loose strokes in mm.

Blocks are taken apart where they are inserted. What is drawn but not cut is kept apart by the
reason; what is not geometry of a flat part is counted with its type, layer and handle.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from crib.errors import BadInput
from crib.files.common.reading_ledger import ReadingLedger
from crib.files.drawings.contour_sides import Bounds
from crib.files.drawings.dxf_chains import DrawnStroke, Source
from crib.files.drawings.dxf_curves import (
    MOST_COORDINATE_MM,
    POLYLINES,
    READERS,
    TOO_FAR,
    Strokes,
    WholeCircle,
    is_within,
    wide_mm,
)
from crib.files.drawings.dxf_leftovers import Leftovers
from crib.files.drawings.dxf_load import broken_by
from crib.files.drawings.dxf_looks import Aside, Looks
from crib.files.drawings.dxf_shapes import Shape, circle_shape
from crib.files.drawings.dxf_words import WORDED, DrawnText, words_of
from crib.files.drawings.parts import ReadNote

MOST_ENTITIES = 100_000
_DEEPEST_BLOCK = 16
_TOO_SMALL_MM = 1e-4
_XREF_FLAGS = 4 | 8


@dataclass(slots=True)
class Geometry:
    """Circles, outlines that are closed by themselves, and strokes that may close with others."""

    circles: list[Shape] = field(default_factory=list)
    outlines: list[list[DrawnStroke]] = field(default_factory=list)
    strokes: list[DrawnStroke] = field(default_factory=list)

    @property
    def box(self) -> Bounds | None:
        """The box around all of it; None where there is nothing."""
        points = list(self._points())
        if not points:
            return None
        xs, ys = [p.real for p in points], [p.imag for p in points]
        return Bounds(min(xs), min(ys), max(xs), max(ys))

    def _points(self) -> Iterator[complex]:
        for circle in self.circles:
            away = complex(circle.radius_mm, circle.radius_mm)
            yield from (circle.middle - away, circle.middle + away)
        for stroke in (*self.strokes, *(one for outline in self.outlines for one in outline)):
            yield from (stroke.side.start, stroke.side.end)


@dataclass(slots=True)
class Drawn:
    """All that is in a drawing; in the ledger an entity goes by its ``Source.item``."""

    ledger: ReadingLedger
    model: Geometry = field(default_factory=Geometry)
    aside: dict[Aside, Geometry] = field(default_factory=dict)
    texts: list[DrawnText] = field(default_factory=list)
    blocks: list[Source] = field(default_factory=list)
    leftovers: Leftovers = field(default_factory=Leftovers)
    wide: list[tuple[Source, float]] = field(default_factory=list)

    def wide_notes(self) -> Iterator[ReadNote]:
        """What is drawn as a wide line, of which only the middle is read."""
        alike: dict[tuple[str, str, str], list[int]] = {}
        for source, across_mm in self.wide:
            key = (source.kind, source.layer, f"{across_mm:.4g}")
            alike.setdefault(key, []).append(source.line)
        for (kind, layer, wide), lines in alike.items():
            text = f"{len(lines)} x {kind} on layer {layer[:60]!r} drawn {wide} mm wide: read by "
            text += "the middle of the line; the edge of a donut is half of that further in or out"
            yield ReadNote(min(lines), text)


@dataclass(slots=True)
class Collector:
    """Takes entities one by one; the scale is mm for each unit of the drawing."""

    file: str
    scale: float
    looks: Looks
    lines: Mapping[str, int]
    drawn: Drawn = field(init=False)
    _count: int = 0

    def __post_init__(self) -> None:
        self.drawn = Drawn(ReadingLedger(self.file))

    def take(self, entities: Iterable[Any], inside: Source | None = None, depth: int = 0) -> None:
        """Take entities; those of a block count as where the block is inserted."""
        broken = broken_by()
        for entity in entities:
            self._count += 1
            if self._count > MOST_ENTITIES:
                message = f"{self.file} has more than {MOST_ENTITIES} lines, arcs and circles"
                raise BadInput(message, way_out="give the drawing of one part")
            source = self._source(entity, inside)
            try:
                self._entity(entity, source, depth)
            except broken as error:
                said = " ".join(str(error).split())[:80] or type(error).__name__
                self.drawn.leftovers.add(source, f"broken, not read: {said}")

    def _source(self, entity: Any, inside: Source | None) -> Source:
        kind, handle, layer, linetype, invisible = _drawn_as(entity)
        item = len(self.drawn.ledger)
        block_line, aside = "", None
        if inside is None:
            line = self.lines.get(handle, 0)
        else:
            layer = inside.layer if layer == "0" else layer
            handle, line = inside.handle, inside.line
            block_line, aside = inside.linetype, inside.aside
        linetype, own_aside = self.looks.seen(layer, linetype, block_line, invisible)
        self.drawn.ledger.meet(item, "entity", line, kind)
        return Source(kind, layer, handle, line, item, linetype, aside or own_aside)

    def _entity(self, entity: Any, source: Source, depth: int) -> None:
        kind, aside = source.kind, source.aside
        # Words are shown though their layer is left out: it is where drawings have them.
        if kind in WORDED and (aside is None or aside.code == "layer"):
            self._words(entity, source)
        elif kind == "INSERT":
            self._insert(entity, source, depth)
        else:
            into = self.drawn.model
            if aside is not None:
                into = self.drawn.aside.setdefault(aside, Geometry())
            why = self._geometry(entity, source, into)
            if why:
                self.drawn.leftovers.add(source, why if aside is None else aside)

    def _words(self, entity: Any, source: Source) -> None:
        words, at = words_of(entity)
        if words:
            self.drawn.texts.append(DrawnText(words, at * self.scale, source))
        else:
            self.drawn.leftovers.add(source, "not read")

    def _insert(self, entity: Any, source: Source, depth: int) -> None:
        leftovers, block = self.drawn.leftovers, entity.block()
        copies = max(entity.mcount, 1)
        name = str(entity.dxf.get("name", ""))[:40]
        if depth >= _DEEPEST_BLOCK or self._count + copies > MOST_ENTITIES:
            leftovers.add(source, "not read: blocks in blocks without end")
        elif block is None:
            leftovers.add(source, f"not read: block {name!r} is not there")
        elif block.block.dxf.get("flags", 0) & _XREF_FLAGS:
            path = str(block.block.dxf.get("xref_path", "") or name)[:80]
            leftovers.add(source, f"not read: it refers to another file, {path!r}")
        else:
            for attribute in entity.attribs:
                self._entity(attribute, self._source(attribute, source), depth)

            def skipped(one: Any, why: str) -> None:
                leftovers.add(self._source(one, source), f"not read: {why}")

            for insert in entity.multi_insert() if copies > 1 else (entity,):
                parts = insert.virtual_entities(skipped_entity_callback=skipped)
                self.take(parts, source, depth + 1)
            # Only now: one that breaks off on the way is told, not blank as one taken apart is.
            self.drawn.blocks.append(source)

    def _geometry(self, entity: Any, source: Source, into: Geometry) -> str:
        """Put an entity where it belongs; why not, where it cannot be read."""
        reader: Callable[[Any, float], WholeCircle | Strokes | str] | None = READERS.get(
            source.kind
        )
        found = reader(entity, self.scale) if reader else "not read"
        if isinstance(found, WholeCircle):
            middle, radius_mm = found
            if not abs(middle) + radius_mm <= MOST_COORDINATE_MM:
                return TOO_FAR
            if radius_mm <= _TOO_SMALL_MM:
                return "not read: it has no size"
            into.circles.append(circle_shape(middle, radius_mm, source))
            return ""
        why = found if isinstance(found, str) else self._strokes(found, source, into)
        if not why and source.aside is None and source.kind in POLYLINES:
            across_mm = wide_mm(entity, self.scale)
            if across_mm > 0:
                self.drawn.wide.append((source, across_mm))
        return why

    def _strokes(self, found: Strokes, source: Source, into: Geometry) -> str:
        sides = found.sides
        self._count += len(sides) - 1 if sides else 0
        if not all(is_within(s.start, s.end, complex(s.radius_mm)) for s in sides):
            return TOO_FAR
        if not sides:
            return "not read: it has no length"
        strokes = [DrawnStroke(side, source) for side in sides]
        if found.closed:
            into.outlines.append(strokes)
        else:
            into.strokes += strokes
        return ""


def _drawn_as(entity: Any) -> tuple[str, str, str, str, bool]:
    """Type, handle, layer and linetype of an entity, and whether it is invisible."""
    # Asking the library for each attribute by name takes ten times as long.
    own: dict[str, Any] = vars(entity.dxf)
    handle = own.get("handle") or ""
    # What the library does not know it keeps as it stands, and so without named attributes.
    if "layer" not in own and hasattr(entity, "xtags"):
        own = entity.graphic_properties()
    look = own.get("layer", "0"), own.get("linetype", ""), own.get("invisible") == 1
    return entity.dxftype(), handle, *look
