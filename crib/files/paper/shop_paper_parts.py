"""What shop paper is put together from: texts, boxes to tick, ruled tables, lines to sign on."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, cast

from crib.files.paper.picture_paper import BOLD, FONT, POINTS_PER_MM, printable

if TYPE_CHECKING:
    from reportlab.graphics.shapes import Drawing
    from reportlab.platypus import Flowable, Paragraph, Table

BODY, SMALL, LARGE = 10.0, 8.5, 13.0
TICK = 13.0
HEADING_GREY = 0.88
MOST_KEPT = 380.0
"""A table row, or parts to keep together, that are taller than this may be broken, in points."""
_THIN, _PAD = 0.7, 3.0


def points(length_mm: float) -> float:
    """Points of a length on paper, to a thousandth so that 215.9 mm is 612."""
    return round(length_mm * POINTS_PER_MM, 3)


def text(
    words: str, size: float = BODY, *, bold: bool = False, white: bool = False, right: bool = False
) -> Paragraph:
    """A text that breaks between words, and inside a word that is longer than a line."""
    from html import escape

    from reportlab.lib.colors import black
    from reportlab.lib.colors import white as white_ink
    from reportlab.lib.styles import ParagraphStyle
    from reportlab.platypus import Paragraph

    style = ParagraphStyle(
        *("shop",),
        fontName=BOLD if bold else FONT,
        fontSize=size,
        leading=size * 1.18,
        textColor=white_ink if white else black,
        splitLongWords=1,
        alignment=2 if right else 0,
    )
    return Paragraph(escape(printable(words), quote=False), style)


def tick(size: float = TICK) -> Drawing:
    """An empty box to tick."""
    from reportlab.graphics.shapes import Drawing, Rect
    from reportlab.lib.colors import black

    drawing = Drawing(size, size)
    look: Any = {"fillColor": None, "strokeColor": black}
    drawing.add(Rect(0.5, 0.5, size - 1, size - 1, **look))
    return drawing


def gap(height: float = 6.0) -> Flowable:
    """Some white."""
    from reportlab.platypus import Spacer

    return Spacer(1, height)


def kept(parts: Sequence[Flowable], width: float, more: float = 0.0) -> Flowable:
    """A new page when some parts, with so many points after them, do not fit on this one."""
    from reportlab.platypus import CondPageBreak

    needed = sum(part.wrap(width, MOST_KEPT)[1] for part in parts) + more
    return CondPageBreak(min(needed, MOST_KEPT))


def bar(words: str, width: float) -> Table:
    """A heading, white on black over the whole width."""
    from reportlab.lib.colors import black

    look = [("BACKGROUND", (0, 0), (-1, -1), black)]
    return _table([[text(words, LARGE, bold=True, white=True)]], [width], look)


def ruled(
    heading: Sequence[str],
    rows: Sequence[Sequence[Any]],
    widths: Sequence[float],
    *,
    least: float | None = None,
    more: Sequence[tuple[Any, ...]] = (),
) -> Table:
    """A table with lines all round; its heading stands again on each page that it goes on to.

    ``least`` is how tall a row is at least, in points.
    """
    from reportlab.lib.colors import Color, black

    grey = Color(HEADING_GREY, HEADING_GREY, HEADING_GREY)
    look = [("GRID", (0, 0), (-1, -1), _THIN, black), *more]
    if heading:
        look.append(("BACKGROUND", (0, 0), (-1, 0), grey))
    top = [[text(one, SMALL, bold=True) for one in heading]] if heading else []
    table = _table([*top, *rows], widths, look, repeat=len(top))
    if least is None:
        return table
    # A row that needs more than the least is left to find its own height.
    needed = cast("Any", table)._rowHeights
    heights = [None if one >= least else least for one in needed]
    heights[: len(top)] = [None] * len(top)
    return _table([*top, *rows], widths, look, repeat=len(top), heights=heights)


def tick_list(lines: Sequence[str], width: float, *, size: float = BODY) -> Table:
    """Lines with a box before each."""
    return _table([[tick(), text(line, size)] for line in lines], [TICK + 8, width - TICK - 8], [])


def to_sign(labels: Sequence[str], width: float) -> Table:
    """One row to write on: a line behind each label."""
    from reportlab.lib.colors import black

    each = width / len(labels)
    row: list[Any] = []
    look = []
    for number, label in enumerate(labels):
        row += [text(label, BODY, bold=True), ""]
        cell = (2 * number + 1, 0)
        look.append(("LINEBELOW", cell, cell, _THIN, black))
    widths = [part for _label in labels for part in (each * 0.3, each * 0.7)]
    return _table([row], widths, look, heights=[26.0], low=True)


def _table(
    rows: Sequence[Sequence[Any]],
    widths: Sequence[float],
    look: Sequence[tuple[Any, ...]],
    *,
    repeat: int = 0,
    heights: Sequence[float | None] | None = None,
    low: bool = False,
) -> Table:
    from reportlab.platypus import Table

    usual = [
        ("VALIGN", (0, 0), (-1, -1), "BOTTOM" if low else "MIDDLE"),
        ("LEFTPADDING", (0, 0), (-1, -1), 4),
        ("RIGHTPADDING", (0, 0), (-1, -1), 3),
        ("TOPPADDING", (0, 0), (-1, -1), _PAD),
        ("BOTTOMPADDING", (0, 0), (-1, -1), _PAD + 1),
    ]
    table: Any = Table(
        [list(row) for row in rows],
        colWidths=list(widths),
        rowHeights=list(heights) if heights else None,
        repeatRows=repeat,
        style=[*usual, *look],
    )
    _width, height = table.wrap(sum(widths), MOST_KEPT)
    if height > MOST_KEPT:
        table.splitInRow = int(max(table._rowHeights) > MOST_KEPT)
    return cast("Table", table)


def side_by_side(columns: Sequence[Sequence[Flowable]], width: float) -> Table:
    """Columns of parts beside each other, of equal width and without lines."""
    return _table([[list(column) for column in columns]], [width / len(columns)] * len(columns), [])
