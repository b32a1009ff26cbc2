"""DXF drawings of flat parts: one file to parts, their features, and notes.

Circles, closed polylines and chains of lines and arcs become holes, openings and outlines; the
rest is noted by its type, layer and handle. Thickness and material are hardly ever in a drawing,
and the unit not always: they are asked for.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from crib.acts import fact
from crib.errors import BadInput
from crib.files.common.reading_ledger import FileAccount, ReadingLedger
from crib.files.common.resting_collector import collector_resting
from crib.files.drawings.dxf_callouts import callout_notes
from crib.files.drawings.dxf_closing import closed_shapes, set_aside
from crib.files.drawings.dxf_entities import Collector, Drawn
from crib.files.drawings.dxf_groups import groups_of
from crib.files.drawings.dxf_load import LoadedDrawing, loaded, refuse_large_drawing, sound
from crib.files.drawings.dxf_looks import Takeable, looks_of
from crib.files.drawings.dxf_part import Stated, parts_of
from crib.files.drawings.dxf_shapes import Shape
from crib.files.drawings.dxf_units import (
    MM_PER_UNIT,
    OF_INCHES,
    ask_unit,
    doubt_unit,
    size_note,
    unit_code,
)
from crib.files.drawings.dxf_words import word_notes
from crib.files.drawings.parts import PartsRead, ReadNote
from crib.trade.shop.shop_rules import Rules
from crib.units import System

IGNORED_LAYERS = Rules.defaults().names("read.ignore_layers")
"""Layers that hold no edges of the part, as patterns; capitals do not matter."""


@dataclass(frozen=True, slots=True)
class DrawingFacts:
    """What is said beside a drawing: its unit, the thickness, the material, how many.

    ``take`` names what is taken though it would be set aside (``dxf_looks.Takeable``).

    With ``own_unit_first`` the unit is for a drawing that does not say its own: one that was said
    of many drawings at once corrects none of them.
    """

    unit: System | None = None
    thickness_mm: float | None = None
    material: str = ""
    quantity: int = 1
    own_unit_first: bool = False
    take: frozenset[Takeable] = frozenset()


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
    with collector_resting():
        return _read(data, file, facts or DrawingFacts(), ignore_layers)


def _read(
    data: bytes | str, file: str, facts: DrawingFacts, ignore_layers: Sequence[str]
) -> PartsRead:
    drawing = _Drawing(loaded(data, file), file, ignore_layers, facts)
    notes = list(drawing.loaded.notes)
    code = drawing.unit_code(notes)
    scale, word = MM_PER_UNIT[code]
    drawn = drawing.drawn(scale)
    shapes = closed_shapes(drawn, facts.take)
    set_aside(drawn)
    with sound(file):
        elsewhere = list(drawing.elsewhere(drawn.ledger))
    if not shapes:
        raise _nothing(file, [*elsewhere, *drawn.leftovers.notes()])
    doubt = doubt_unit(file, code, _hole_sizes(shapes))
    if doubt and drawing.says(code):
        raise doubt
    in_inches = code in OF_INCHES
    system: System = "in" if in_inches else "mm"
    stated = Stated(Path(file).stem, facts.thickness_mm, facts.material, facts.quantity, in_inches)
    groups = groups_of(shapes, file, [text.at for text in drawn.texts], facts.take)
    parts, endings = parts_of(groups, stated, notes)
    endings.end(drawn.ledger)
    notes += [
        *filter(None, [size_note(drawn.model.box, word)]),
        *groups.notes,
        *drawn.leftovers.notes(),
        *drawn.wide_notes(),
        *word_notes(drawn.texts, system, facts.thickness_mm),
        *callout_notes(drawn.texts, groups, system),
        *elsewhere,
    ]
    if facts.thickness_mm is None:
        notes.append(ReadNote(0, "the drawing does not say the thickness: say it"))
    account = _account(drawn, sum(len(part.features) for part in parts))
    return PartsRead(tuple(parts), tuple(sorted(notes, key=lambda note: note.line)), (account,))


def _account(drawn: Drawn, features: int) -> FileAccount:
    """What became of each entity; the shapes have ended theirs."""
    drawn.leftovers.end(drawn.ledger)
    for text in drawn.texts:
        words = text.words[:60]
        drawn.ledger.tell(text.source.item, fact("read.words", words=words))
    for block in drawn.blocks:
        drawn.ledger.blank(block.item)
    return drawn.ledger.closed(features)


@dataclass(frozen=True, slots=True)
class _Drawing:
    loaded: LoadedDrawing
    file: str
    ignored: Sequence[str]
    facts: DrawingFacts

    def drawn(self, scale: float) -> Drawn:
        """All geometry of the model, by so many mm for each unit."""
        looks = looks_of(self.loaded.document, self.ignored, self.facts.take)
        collector = Collector(self.file, scale, looks, self.loaded.lines)
        with sound(self.file):
            collector.take(self.loaded.document.modelspace())
        return collector.drawn

    def unit_code(self, notes: list[ReadNote]) -> int:
        """The code of the unit to read in.

        Raises:
            AskBack: when neither the drawing nor anybody says one.
        """
        said = self.loaded.document.header.get("$INSUNITS", 0)
        code = unit_code(said, self.facts.unit, notes, own_first=self.facts.own_unit_first)
        if not code:
            drawn = self.drawn(1.0)
            sizes = _hole_sizes(closed_shapes(drawn, self.facts.take))
            raise ask_unit(self.file, said, drawn.model.box, sizes)
        return code

    def says(self, code: int) -> bool:
        """Whether the drawing itself says this unit, and nobody else settled it."""
        is_own = self.loaded.document.header.get("$INSUNITS", 0) == code
        return is_own and (self.facts.unit is None or self.facts.own_unit_first)

    def elsewhere(self, ledger: ReadingLedger) -> Iterator[ReadNote]:
        """What stands on sheets of paper and not in the model, and what could not be read."""
        for layout in self.loaded.document.layouts:
            count = len(layout) if layout.name != "Model" else 0
            if count:
                ledger.meet(layout.name, "sheet", 0, layout.name[:60])
                ledger.tell(layout.name, fact("read.paper-sheet", count=count))
                text = f"{count} entities on the paper sheet {layout.name[:60]!r} are not read"
                yield ReadNote(0, text)
        for number, record in enumerate(self.loaded.broken):
            ledger.meet(("broken", number), "entity", record.line, record.kind)
            ledger.tell(("broken", number), fact("read.entity-broken"))
            handle = f" (handle {record.handle})" if record.handle else ""
            text = f"1 x {record.kind}{handle}: broken, not read: {record.value.strip()[:40]!r}"
            yield ReadNote(record.line, f"{text} is no number")
        for kind, count in self.loaded.lost().items():
            for number in range(count):
                ledger.meet((kind, number), "entity", 0, kind)
                ledger.tell((kind, number), fact("read.entity-broken"))
            yield ReadNote(0, f"{count} x {kind[:40]}: broken, not read")


def _hole_sizes(shapes: Sequence[Shape]) -> list[float]:
    """The diameters of the circles that are not the largest shape, as that may be a disc."""
    most_mm2 = max((shape.area_mm2 for shape in shapes), default=0.0)
    return [
        2 * shape.radius_mm
        for shape in shapes
        if shape.is_circle and (shape.area_mm2 < most_mm2 or len(shapes) == 1)
    ]


def _nothing(file: str, notes: Sequence[ReadNote]) -> BadInput:
    left = [note.text for note in notes][:3]
    message = f"{file} holds no closed outline and no circle"
    if left:
        message = f"{message}; {'; '.join(left)}"
    return BadInput(message, way_out="draw the outline and the holes closed, in the model")
