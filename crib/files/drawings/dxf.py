"""DXF drawings of flat parts: one file to parts, their features, and notes.

Circles, closed polylines and chains of lines and arcs become holes, openings and outlines; the
rest is noted by its type, layer and handle. Thickness and material are hardly ever in a drawing,
and the unit not always: they are asked for.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from crib.acts import act, fact, saying
from crib.errors import AskBack, BadInput
from crib.files.common.reading_ledger import FileAccount, ReadingLedger
from crib.files.drawings.contour_sides import Bounds
from crib.files.drawings.dxf_chains import Chains, Source, chained
from crib.files.drawings.dxf_entities import Collector, Drawn
from crib.files.drawings.dxf_load import (
    drawing_text,
    handle_lines,
    loaded,
    refuse_large_drawing,
    sound,
)
from crib.files.drawings.dxf_part import Stated, parts_of
from crib.files.drawings.dxf_shapes import Shape, circle_shape, loop_shape, without_twins
from crib.files.drawings.parts import PartsRead, ReadNote
from crib.trade.shop.shop_rules import Rules
from crib.units import MM_PER_INCH, System

IGNORED_LAYERS = Rules.defaults().names("read.ignore_layers")
"""Layers that hold no edges of the part, as patterns; capitals do not matter."""

_MM_PER_UNIT: dict[int, tuple[float, str]] = {
    1: (MM_PER_INCH, "inches"),
    2: (12 * MM_PER_INCH, "feet"),
    4: (1.0, "mm"),
    5: (10.0, "cm"),
    6: (1000.0, "m"),
    9: (MM_PER_INCH / 1000, "thousandths of an inch"),
    10: (36 * MM_PER_INCH, "yards"),
    13: (0.001, "micrometres"),
    14: (100.0, "dm"),
}
_OF_INCHES = (1, 2, 9, 10)
_CHOSEN: dict[System, int] = {"in": 1, "mm": 4}
_TWICE = "drawn twice, counted once"
_SMALLEST_MM, _LARGEST_MM = 5.0, 20_000.0


@dataclass(frozen=True, slots=True)
class DrawingFacts:
    """What is said beside a drawing: its unit, the thickness, the material, how many.

    With ``own_unit_first`` the unit is for a drawing that does not say its own: one that was said
    of many drawings at once corrects none of them.
    """

    unit: System | None = None
    thickness_mm: float | None = None
    material: str = ""
    quantity: int = 1
    own_unit_first: bool = False


def read_dxf_file(
    path: Path,
    facts: DrawingFacts | None = None,
    *,
    ignore_layers: Sequence[str] = IGNORED_LAYERS,
) -> PartsRead:
    """Read a drawing; one that is too large is refused before it is opened.

    Raises:
        BadInput: when there is no such file, or as ``read_dxf`` does.
    """
    if not path.is_file():
        message = f"there is no file at {path}"
        raise BadInput(message, way_out="give the DXF file of a part")
    refuse_large_drawing(path.stat().st_size, path.name)
    return read_dxf(path.read_bytes(), path.name, facts, ignore_layers=ignore_layers)


def read_dxf(
    data: bytes | str,
    file: str,
    facts: DrawingFacts | None = None,
    *,
    ignore_layers: Sequence[str] = IGNORED_LAYERS,
) -> PartsRead:
    """Read what a drawing file holds.

    Args:
        data: What the file holds.
        file: Its name, for messages and as the part's mark.
        facts: What is known besides.
        ignore_layers: Patterns of layers to leave out; how much is left out is noted.

    Raises:
        BadInput: for what is no sound drawing: too large, binary, cut short, or with nothing in it.
        AskBack: when the drawing does not say its unit, and ``facts`` do not either.
    """
    facts = facts or DrawingFacts()
    text = drawing_text(data, file)
    drawing = _Drawing(loaded(text, file), file, ignore_layers, handle_lines(text))
    notes: list[ReadNote] = []
    code = drawing.unit_code(facts, notes)
    scale, word = _MM_PER_UNIT[code]
    drawn = drawing.drawn(scale)
    shapes = _shapes(drawn, notes)
    if not shapes:
        raise _nothing(file, drawn)
    _look_at_size(drawn, word, notes)
    in_inches = code in _OF_INCHES
    stated = Stated(Path(file).stem, facts.thickness_mm, facts.material, facts.quantity, in_inches)
    parts = parts_of(shapes, stated, notes)
    notes += [*drawn.leftovers.notes(), *drawing.elsewhere(drawn.ledger)]
    if facts.thickness_mm is None:
        notes.append(ReadNote(0, "the drawing does not say the thickness: say it"))
    account = _account(drawn, sum(len(part.features) for part in parts))
    return PartsRead(tuple(parts), tuple(sorted(notes, key=lambda note: note.line)), (account,))


def _account(drawn: Drawn, features: int) -> FileAccount:
    """What became of each entity: what is not left over is counted, the drawing as a whole."""
    ledger = drawn.ledger
    for (_kind, layer, why), sources in drawn.leftovers.found.items():
        for source in sources:
            if not ledger.is_open(source.item):
                continue
            if why == _TWICE:
                ledger.merge(source.item, fact("read.drawn-twice"))
            else:
                ledger.tell(source.item, fact("read.entity-not-read", layer=layer[:60]))
    ledger.count_rest(features)
    return ledger.closed(features)


@dataclass(frozen=True, slots=True)
class _Drawing:
    document: Any
    file: str
    ignored: Sequence[str]
    lines: dict[str, int]

    def drawn(self, scale: float) -> Drawn:
        """All geometry of the model, by so many mm for each unit."""
        hidden = frozenset(
            str(layer.dxf.name).casefold()
            for layer in self.document.layers
            if layer.is_off() or layer.is_frozen()
        )
        collector = Collector(self.file, scale, self.ignored, hidden, self.lines)
        with sound(self.file):
            collector.take(self.document.modelspace())
        return collector.drawn

    def unit_code(self, facts: DrawingFacts, notes: list[ReadNote]) -> int:
        """The unit of the file, or the one chosen."""
        chosen = facts.unit
        said = self.document.header.get("$INSUNITS", 0)
        known = said if said in _MM_PER_UNIT else None
        if chosen is None:
            if known is None:
                raise self._ask_unit(said)
            return int(known)
        code = _CHOSEN[chosen]
        if known is not None and known != code:
            word = _MM_PER_UNIT[said][1]
            if facts.own_unit_first:
                text = f"read in {word}, as the drawing says: alone it is read in {chosen} if told"
                notes.append(ReadNote(0, text))
                return int(known)
            notes.append(ReadNote(0, f"the drawing says it is in {word}; read in {chosen} as told"))
        return code

    def _ask_unit(self, said: object) -> AskBack:
        box = _box(self.drawn(1.0))
        width, height = (box.width_mm, box.height_mm) if box else (0.0, 0.0)
        why = "does not say its unit" if not said else f"has a unit of its own ({said})"
        inches = f"{width * MM_PER_INCH:.5g} x {height * MM_PER_INCH:.5g} mm"
        message = (
            f"{self.file} {why}: it is {width:.5g} x {height:.5g} over all, "
            f"in inches that would be {inches}"
        )
        inch, metric = act("say.unit", unit="in"), act("say.unit", unit="mm")
        return AskBack(message, choose="unit", way_out=saying("say ", inch, " or ", metric))

    def elsewhere(self, ledger: ReadingLedger) -> Iterator[ReadNote]:
        """What stands on sheets of paper and not in the model."""
        for layout in self.document.layouts:
            count = len(layout) if layout.name != "Model" else 0
            if count:
                ledger.meet(layout.name, "sheet", 0, layout.name[:60])
                ledger.tell(layout.name, fact("read.paper-sheet", count=count))
                text = f"{count} entities on the paper sheet {layout.name[:60]!r} are not read"
                yield ReadNote(0, text)


def _shapes(drawn: Drawn, notes: list[ReadNote]) -> list[Shape]:
    """Every closed shape once; what closes nothing is left over."""
    chains = chained(drawn.strokes)
    _leave(drawn, chains)
    found = [circle_shape(circle) for circle in drawn.circles]
    for loop in (*drawn.outlines, *chains.loops):
        shape = loop_shape(loop)
        if shape is None:
            drawn.leftovers.add(loop[0].source, "not read: it encloses nothing")
        else:
            found.append(shape)
    kept, twins = without_twins(found)
    for twin in twins:
        drawn.leftovers.add(twin.source, _TWICE)
    return kept


def _leave(drawn: Drawn, chains: Chains) -> None:
    reasons = (
        (chains.twice, _TWICE),
        (chains.short, "not read: shorter than 0.05 mm"),
        (chains.loose, "not read: part of no closed outline"),
        (chains.branching, "not read: more than two lines meet at one place"),
    )
    for strokes, why in reasons:
        for source in dict.fromkeys(_each(strokes)):
            drawn.leftovers.add(source, why)


def _each(strokes: Sequence[Any]) -> Iterator[Source]:
    return (stroke.source for stroke in strokes)


def _box(drawn: Drawn) -> Bounds | None:
    points = list(drawn.points())
    if not points:
        return None
    xs, ys = [p.real for p in points], [p.imag for p in points]
    return Bounds(min(xs), min(ys), max(xs), max(ys))


def _look_at_size(drawn: Drawn, word: str, notes: list[ReadNote]) -> None:
    box = _box(drawn)
    largest_mm = max(box.width_mm, box.height_mm) if box else 0.0
    if not _SMALLEST_MM <= largest_mm <= _LARGEST_MM:
        text = f"the drawing is {largest_mm:.5g} mm over all, read in {word}: is that its unit?"
        notes.append(ReadNote(0, text))


def _nothing(file: str, drawn: Drawn) -> BadInput:
    left = [note.text for note in drawn.leftovers.notes()][:3]
    message = f"{file} holds no closed outline and no circle"
    if left:
        message = f"{message}; {'; '.join(left)}"
    return BadInput(message, way_out="draw the outline and the holes closed, in the model")
