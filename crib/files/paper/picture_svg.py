"""A picture as a small SVG for a screen: the drawing of the sheet without the sheet around it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from html import escape

from crib.features.common.picture import Picture
from crib.files.paper.picture_ink import FAMILY, PENS, in_layers
from crib.files.paper.picture_paper import BOLD, Box, Paper, Point, Text
from crib.files.paper.pictures import fitted

ROOM = Box(0.0, 0.0, 420.0, 300.0)
"""What a screen of a hand's breadth shows; texts stay as large as on the sheet [points]."""
_AIR = 6.0


def picture_svg(picture: Picture, room: Box = ROOM) -> bytes:
    """A picture to scale on white ground, as large as it needs; the same always gives the same.

    It names no font file and no style sheet, so that a page that allows none can hold it.
    """
    paper, _scale = fitted(picture, room)
    box = paper.box().with_room(_AIR)
    size = f"{box.width:.0f} {box.height:.0f}"
    head = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {size}" font-family="{FAMILY}">'
    ground = '<rect width="100%" height="100%" fill="#fff"/>'
    title = f"<title>{escape(picture.title)}</title>"
    return "".join((head, title, ground, *_drawn(paper, box), "</svg>")).encode()


def _drawn(paper: Paper, box: Box) -> Iterator[str]:
    for stroke in in_layers(paper.strokes):
        pen = PENS[stroke.style]
        fill = _grey(pen.fill) if stroke.closed and pen.fill is not None else "none"
        dashes = f' stroke-dasharray="{" ".join(map(str, pen.dashes))}"' if pen.dashes else ""
        ink = f'fill="{fill}" stroke="{_grey(pen.grey)}" stroke-width="{pen.width}"{dashes}'
        yield f'<path d="{_path(stroke.points, box, stroke.closed)}" {ink}/>'
    for arrow in paper.arrows:
        yield f'<path d="{_path(arrow.points, box, True)}"/>'
    for text in paper.texts:
        yield from _written(text, box)


def _written(text: Text, box: Box) -> Iterator[str]:
    if text.clear:
        yield f'<path d="{_path(text.corners(), box, True)}" fill="#fff"/>'
    x, y = text.x - box.left, box.top - text.y
    bold = ' font-weight="bold"' if text.font == BOLD else ""
    turn = f' transform="rotate({-text.angle:.1f} {x:.1f} {y:.1f})"' if text.angle else ""
    look = f'font-size="{text.size:.1f}" text-anchor="{text.anchor}"{bold}{turn}'
    yield f'<text x="{x:.1f}" y="{y + 0.35 * text.size:.1f}" {look}>{escape(text.text)}</text>'


def _path(points: Iterable[Point], box: Box, closed: bool) -> str:
    steps = " ".join(f"{x - box.left:.1f} {box.top - y:.1f}" for x, y in points)
    return f"M{steps}{'Z' if closed else ''}"


def _grey(level: float) -> str:
    return f"#{f'{round(255 * level):02x}' * 3}"
