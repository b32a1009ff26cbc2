"""A picture as a sheet to print: one drawing code for SVG and PDF, chosen by the file's ending.

The sheet is landscape; the picture is drawn at the largest usual scale at which everything fits,
and the sheet says which. It is read in grey: lines differ by width and dashes.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from crib.errors import BadInput, Missing, Refused
from crib.features.common.picture import Circle, Label, Line, Picture
from crib.files.common.paper_sizes import paper_size_mm
from crib.files.common.whole_file import whole_file
from crib.files.paper.picture_frame import SMALL, TitleBlock, framed
from crib.files.paper.picture_ink import BLACK, SVG_FONTS, WHITE, grey, ink
from crib.files.paper.picture_layout import laid_out
from crib.files.paper.picture_paper import POINTS_PER_MM, Box, Paper, Text, box_around, printable

if TYPE_CHECKING:
    from reportlab.graphics.shapes import Drawing

ENDINGS = (".svg", ".pdf")
MARGIN = 28.0
SCALES = ("50:1", "20:1", "10:1", "5:1", "4:1", "3:1", "2:1", "1:1", "1:2", "1:3", "1:4", "1:5")
SMALLER = ("1:8", "1:10", "1:15", "1:20", "1:30", "1:50", "1:100", "1:200")
MOST_TRIES = 24


def render(picture: Picture, path: Path, block: TitleBlock | None = None) -> None:
    """Write a picture as an SVG or PDF file, whole or not at all.

    Raises:
        BadInput: for another ending.
        Refused: when something is there already.
        Missing: when there is no such folder.
    """
    check_place(path)
    write_drawing(drawn(picture, block or TitleBlock()), picture.title, path)


def write_drawing(drawing: Drawing, title: str, path: Path) -> None:
    """Write a drawing as an SVG or PDF file, whole or not at all.

    Raises:
        BadInput: for another ending.
        Refused: when something is there already.
        Missing: when there is no such folder.
    """
    check_place(path)
    _write(drawing_file(drawing, title, path.suffix.lower()), path)


def render_pages(pages: Iterable[tuple[Picture, TitleBlock]], title: str, path: Path) -> int:
    """Write pictures as the pages of one PDF file, whole or not at all. Returns how many.

    Raises:
        BadInput: for another ending, or without a picture.
        Refused: when something is there already.
        Missing: when there is no such folder.
    """
    check_place(path)
    if path.suffix.lower() != ".pdf":
        message = f"several pictures are the pages of a PDF file, found {path.name!r}"
        raise BadInput(message, way_out=f"name it {path.stem}.pdf")
    drawings = [drawn(picture, block) for picture, block in pages]
    if not drawings:
        message = f"{path.name}: there is no picture to write"
        raise BadInput(message)
    _write(_pdf(drawings, title), path)
    return len(drawings)


def _write(data: bytes, path: Path) -> None:
    with whole_file(path) as partial:
        partial.write_bytes(data)
        check_place(path)


def check_place(path: Path) -> None:
    """Refuse a place where no drawing can be written, before anything is done.

    Raises:
        BadInput: for an ending that is not known.
        Refused: when something is there already.
        Missing: when there is no such folder.
    """
    if path.suffix.lower() not in ENDINGS:
        message = f"a drawing ends in {' or '.join(ENDINGS)}, found {path.name!r}"
        raise BadInput(message, way_out=f"name it {path.stem or 'drawing'}.pdf")
    if path.exists() or path.is_symlink():
        message = f"{path} is there already"
        raise Refused(message, way_out="choose another name; nothing was written")
    if not path.parent.is_dir():
        message = f"there is no folder {path.parent}"
        raise Missing(message, way_out="make it first, or choose another place")


def drawn(picture: Picture, block: TitleBlock) -> Drawing:
    """The whole sheet as one drawing."""
    from reportlab.graphics.shapes import Drawing

    wide, high = (round(side * POINTS_PER_MM) for side in paper_size_mm(block.sheet, lying=True))
    sheet = Box(MARGIN, MARGIN, wide - MARGIN, high - MARGIN)
    drawing = Drawing(wide, high)
    drawing.add(_area(Box(0, 0, wide, high), fillColor=grey(WHITE), strokeColor=None))
    drawing.add(_area(sheet, fillColor=None, strokeColor=grey(BLACK), strokeWidth=0.8))
    frame = framed(picture, block, sheet)
    paper, scale = fitted(picture, frame.room)
    told = f"Scale {scale} on {block.sheet} at 100 %" if scale else "Not to scale"
    frame.paper.texts.append(Text(*frame.scale_at, told, SMALL, "start"))
    ink(drawing, paper, *_to_middle(paper.box(), frame.room))
    ink(drawing, frame.paper, 0.0, 0.0)
    return drawing


def _area(box: Box, **look: Any) -> Any:
    from reportlab.graphics.shapes import Rect

    return Rect(box.left, box.bottom, box.width, box.height, **look)


def fitted(picture: Picture, room: Box) -> tuple[Paper, str]:
    """The picture at the largest usual scale that fits, or as large as it can be, not to scale."""
    bare = _bare(picture)
    for scale in (*SCALES, *SMALLER) if picture.to_scale else ():
        paper_mm, part_mm = (int(number) for number in scale.split(":"))
        points_per_mm = paper_mm / part_mm * POINTS_PER_MM
        if max(bare.width / room.width, bare.height / room.height) * points_per_mm > 1:
            continue
        paper = laid_out(picture, points_per_mm)
        if _fits(paper.box(), room):
            return paper, scale
    return _as_large_as_it_fits(picture, bare, room), ""


def _as_large_as_it_fits(picture: Picture, bare: Box, room: Box) -> Paper:
    points_per_mm = min(room.width / max(bare.width, 1e-6), room.height / max(bare.height, 1e-6))
    paper = laid_out(picture, points_per_mm)
    for _try in range(MOST_TRIES):
        if _fits(paper.box(), room):
            return paper
        points_per_mm *= 0.85
        paper = laid_out(picture, points_per_mm)
    return _squeezed(paper, room)


def _squeezed(paper: Paper, room: Box) -> Paper:
    """A paper whose texts are wider than the sheet: they are made as small as they must be."""
    widest = max((text.box().width for text in paper.texts), default=1.0)
    share = min(1.0, room.width / widest)
    return Paper(
        paper.strokes, paper.arrows, [replace(one, size=one.size * share) for one in paper.texts]
    )


def _bare(picture: Picture) -> Box:
    """The box around the shapes in mm, without their texts."""
    points: list[tuple[float, float]] = []
    for shape in picture.shapes:
        if isinstance(shape, Line):
            points += shape.points
        elif isinstance(shape, Circle):
            x, y, radius = shape.x_mm, shape.y_mm, shape.radius_mm
            points += [(x - radius, y - radius), (x + radius, y + radius)]
        elif isinstance(shape, Label):
            points.append((shape.x_mm, shape.y_mm))
        else:
            points += [(shape.x1_mm, shape.y1_mm), (shape.x2_mm, shape.y2_mm)]
    return box_around(points or [(0.0, 0.0)])


def _fits(box: Box, room: Box) -> bool:
    return box.width <= room.width and box.height <= room.height


def _to_middle(box: Box, room: Box) -> tuple[float, float]:
    return (
        (room.left + room.right - box.left - box.right) / 2,
        (room.bottom + room.top - box.bottom - box.top) / 2,
    )


def drawing_file(drawing: Drawing, title: str, ending: str) -> bytes:
    """A drawing as an SVG or PDF file; the same drawing always gives the same bytes."""
    return _svg(drawing, title) if ending == ".svg" else _pdf([drawing], title)


def _svg(drawing: Drawing, title: str) -> bytes:
    from html import escape

    from reportlab.graphics import renderSVG

    text = str(renderSVG.drawToString(drawing, fontHacks=SVG_FONTS))
    size = f'width="{drawing.width}" height="{drawing.height}"'
    # Without a unit a viewer takes pixels, and the scale that the sheet names would be wrong.
    in_points = f'width="{drawing.width}pt" height="{drawing.height}pt"'
    told = f"<title>{escape(printable(title))}</title>"
    # The library moves a text by its own measure of it; the viewer knows its fonts better.
    text = re.sub(r'<text x="[^"]*"', '<text x="0"', text)
    for old, new in ((size, in_points), ("<title>...</title>", told), ("<desc>...</desc>", "")):
        text = text.replace(old, new, 1)
    return text.encode("utf-8")


def _pdf(drawings: Sequence[Drawing], title: str) -> bytes:
    from io import BytesIO

    from reportlab.graphics import renderPDF
    from reportlab.pdfgen.canvas import Canvas

    held = BytesIO()
    canvas = Canvas(held, invariant=1)
    canvas.setTitle(printable(title))
    for drawing in drawings:
        canvas.setPageSize((drawing.width, drawing.height))
        renderPDF.draw(drawing, canvas, 0, 0)
        canvas.showPage()
    canvas.save()
    return held.getvalue()
