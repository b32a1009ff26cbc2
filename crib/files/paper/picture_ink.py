"""The ink: how each style of line looks on the sheet, in greys only, as shapes to print."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from crib.features.common.picture import Style
from crib.files.paper.picture_paper import BOLD, FONT, Arrow, InkStroke, Paper, Text, letters_width

if TYPE_CHECKING:
    from reportlab.graphics.shapes import Drawing

BLACK, DARK, LIGHT, WHITE = 0.0, 0.25, 0.88, 1.0
"""Greys from black to white; everything that is read stands in the first two."""


@dataclass(frozen=True, slots=True)
class Pen:
    """A line's width and dashes in points, its grey, and the grey of the area inside it."""

    width: float
    grey: float = BLACK
    dashes: tuple[float, ...] = ()
    fill: float | None = None


PENS: dict[Style, Pen] = {
    "outline": Pen(1.6),
    "tool": Pen(0.9),
    "cut": Pen(1.3, dashes=(8, 2, 2, 2, 2, 2)),
    "hidden": Pen(0.8, DARK, (3.5, 2.5)),
    "centre": Pen(0.5, DARK, (10, 2, 2, 2)),
    "thin": Pen(0.45, DARK),
    "fill": Pen(0.45, DARK, fill=LIGHT),
    "hatch": Pen(0.45, DARK),
}
MEANINGS: dict[Style, str] = {
    "outline": "the part",
    "tool": "tool or machine",
    "cut": "what is cut away",
    "hidden": "hidden, or beneath",
    "centre": "centre",
}
FAMILY = "Helvetica, Arial, Liberation Sans, Nimbus Sans, sans-serif"
SVG_FONTS = {FONT: {"family": FAMILY}, BOLD: {"family": FAMILY, "weight": "bold"}}
"""What an SVG names for each font, since it carries no letters itself."""
_ORDER: dict[Style, int] = {"fill": 0, "hatch": 1}


def ink(drawing: Drawing, paper: Paper, dx: float, dy: float) -> None:
    """Draw what was laid out, moved to its place: areas first, texts last."""
    for stroke in in_layers(paper.strokes):
        drawing.add(_line(stroke, dx, dy))
    for arrow in paper.arrows:
        drawing.add(_head(arrow, dx, dy))
    for text in paper.texts:
        for shape in written(text.moved(dx, dy)):
            drawing.add(shape)


def in_layers(strokes: Iterable[InkStroke]) -> list[InkStroke]:
    """The strokes in the order in which they are drawn: areas under lines."""
    return sorted(strokes, key=lambda one: _ORDER.get(one.style, 2))


def _line(stroke: InkStroke, dx: float, dy: float) -> Any:
    from reportlab.graphics.shapes import Polygon, PolyLine

    pen = PENS[stroke.style]
    points = [number for x, y in stroke.points for number in (x + dx, y + dy)]
    look: dict[str, Any] = {
        "strokeColor": grey(pen.grey),
        "strokeWidth": pen.width,
        "strokeLineJoin": 1,
        "strokeDashArray": list(pen.dashes) or None,
    }
    if stroke.closed:
        fill = grey(pen.fill) if pen.fill is not None else None
        return Polygon(points, fillColor=fill, **look)
    return PolyLine(points, **look)


def _head(arrow: Arrow, dx: float, dy: float) -> Any:
    from reportlab.graphics.shapes import Polygon

    points = [number for x, y in arrow.points for number in (x + dx, y + dy)]
    return Polygon(points, fillColor=grey(BLACK), strokeColor=None)


def written(text: Text) -> list[Any]:
    """A text, on white ground where it may stand over lines."""
    from reportlab.graphics.shapes import Group, Polygon, String

    made: list[Any] = []
    if text.clear:
        ground = [number for corner in text.corners() for number in corner]
        made.append(Polygon(ground, fillColor=grey(WHITE), strokeColor=None))
    letters: Any = String(
        0, -0.35 * text.size, text.text, fontName=text.font, fontSize=text.size, fillColor=grey(0)
    )
    letters.textAnchor = text.anchor
    # A viewer without this font stretches another one to the width that was laid out.
    width = letters_width(text.text, text.size, text.font)
    letters._svgAttrs = {
        "text-anchor": text.anchor,
        "textLength": f"{width:.2f}",
        "lengthAdjust": "spacingAndGlyphs",
    }
    group = Group(letters)
    group.translate(text.x, text.y)
    group.rotate(text.angle)
    return [*made, group]


def grey(level: float) -> Any:
    """A grey as the printer's library wants it."""
    from reportlab.lib.colors import Color

    return Color(level, level, level)
