"""A wrap-around template as a PDF at 1:1, in greys, over as many sheets as it takes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from io import BytesIO
from math import ceil
from typing import TYPE_CHECKING

from crib.features.saddles.saddle_wrap import WrapLine, WrapTemplate
from crib.files.paper.picture_paper import BOLD, POINTS_PER_MM, Box
from crib.files.paper.wrap_frame import TEXT_MM, WrapTexts, draw_frame
from crib.files.paper.wrap_ink import write_centred, write_upright
from crib.files.paper.wrap_pages import OVERLAP_MM, WrapSheet, WrapSheets, spread

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

COLLAR_MM, TAB_MM, LABELS_MM = 38.0, 15.0, 24.0
"""Paper that is left above the deepest cut, at the seam, and below the end for the figures."""
CLIP_MM = 4.0
FIGURE_MM, SIDE_MM = 2.6, 3.2
LEAST_PITCH_MM = 3.4
"""Lines closer than this are not each labelled."""
WASTE_GREY = 0.9
_CENTRE_DASHES, _TAB_DASHES, _JOIN_DASHES = (6, 1.2, 1, 1.2), (2, 1.2), (3, 1.5)


def wrap_sheets(template: WrapTemplate, paper: str) -> WrapSheets:
    """How a template is spread over sheets.

    Raises:
        BadValue: for a paper that is not known.
    """
    top = template.deepest_mm + COLLAR_MM + 3
    right = template.circumference_mm + TAB_MM + 3
    return spread(Box(-5, -LABELS_MM, right, top), paper)


def wrap_pdf(template: WrapTemplate, texts: WrapTexts, paper: str) -> bytes:
    """The whole PDF; the same template always gives the same bytes.

    Raises:
        BadValue: for a paper that is not known.
    """
    from reportlab.pdfgen.canvas import Canvas

    sheets = wrap_sheets(template, paper)
    size = (sheets.width_mm * POINTS_PER_MM, sheets.height_mm * POINTS_PER_MM)
    file = BytesIO()
    canvas = Canvas(file, pagesize=size, pageCompression=0, invariant=1)
    canvas.setTitle(texts.title)
    for sheet in sheets.sheets:
        canvas.saveState()
        canvas.scale(POINTS_PER_MM, POINTS_PER_MM)
        draw_frame(canvas, texts, sheets, sheet)
        _draw_part(canvas, template, texts, sheets, sheet)
        canvas.restoreState()
        canvas.showPage()
    canvas.save()
    return file.getvalue()


def _draw_part(
    canvas: Canvas, template: WrapTemplate, texts: WrapTexts, sheets: WrapSheets, sheet: WrapSheet
) -> None:
    """The part of the template that a sheet holds; what is beyond it is clipped away."""
    room, part = sheets.room, sheet.part
    canvas.translate(
        room.left + (room.width - part.width) / 2 - part.left,
        room.bottom + (room.height - part.height) / 2 - part.bottom,
    )
    clip = canvas.beginPath()
    clip.rect(
        part.left - CLIP_MM,
        part.bottom - CLIP_MM,
        part.width + 2 * CLIP_MM,
        part.height + 2 * CLIP_MM,
    )
    canvas.clipPath(clip, stroke=0, fill=0)
    joins = list(_joins(sheets, sheet))
    _draw_waste(canvas, template, part)
    for line, _marks, _letter in joins:
        _dashed(canvas, [line], _JOIN_DASHES, 0.2)
    _draw_outline(canvas, template)
    _draw_lines(canvas, template, texts)
    _draw_centre_lines(canvas, template)
    _draw_curve(canvas, template, part)
    _draw_sides(canvas, template, part)
    for _line, marks, letter in joins:
        _draw_marks(canvas, marks, letter)


def _seen(template: WrapTemplate, part: Box, beyond_mm: float) -> list[tuple[float, float]]:
    """The points of the curve on a sheet, with some beyond its edges or inside of them."""
    left, right = part.left - beyond_mm, part.right + beyond_mm
    return [(x, y) for x, y in template.curve if left <= x <= right]


def _draw_waste(canvas: Canvas, template: WrapTemplate, part: Box) -> None:
    seen = _seen(template, part, 2 * CLIP_MM)
    path = canvas.beginPath()
    path.moveTo(seen[0][0], 0)
    for x, y in seen:
        path.lineTo(x, y)
    path.lineTo(seen[-1][0], 0)
    path.close()
    canvas.setFillGray(WASTE_GREY)
    canvas.drawPath(path, stroke=0, fill=1)


def _draw_curve(canvas: Canvas, template: WrapTemplate, part: Box) -> None:
    seen = _seen(template, part, 2 * CLIP_MM)
    path = canvas.beginPath()
    path.moveTo(*seen[0])
    for point in seen[1:]:
        path.lineTo(*point)
    canvas.setStrokeGray(0)
    canvas.setLineWidth(0.5)
    canvas.setLineJoin(1)
    canvas.drawPath(path)


def _draw_outline(canvas: Canvas, template: WrapTemplate) -> None:
    """Ends and seams, to cut along, and the tab that goes under."""
    around, top = template.circumference_mm, template.deepest_mm + COLLAR_MM
    tab = around + TAB_MM
    canvas.setStrokeGray(0)
    canvas.setLineWidth(0.3)
    canvas.lines([(0, top, around, top), (0, 0, 0, top), (around, 0, around, top), (0, 0, tab, 0)])
    _dashed(canvas, [(around, top, tab, top), (tab, 0, tab, top)], _TAB_DASHES, 0.3)
    write_upright(canvas, around + TAB_MM / 2 + 1, top - 8, "tab: goes under", TEXT_MM)


def _draw_lines(canvas: Canvas, template: WrapTemplate, texts: WrapTexts) -> None:
    """Each line from the end to the curve, with its number and its cut-back below."""
    pitch_mm = template.circumference_mm / len(template.lines)
    every = ceil(LEAST_PITCH_MM / pitch_mm)
    seam = WrapLine(0, 360.0, template.circumference_mm, template.lines[0].cutback_mm)
    for line in (*template.lines, seam):
        canvas.setStrokeGray(0.35)
        canvas.setLineWidth(0.15)
        canvas.line(line.x_mm, -1.5, line.x_mm, line.cutback_mm)
        if line.number % every == 0:
            write_centred(canvas, line.x_mm, -4.6, str(line.number), FIGURE_MM, ground=1.0)
            write_upright(canvas, line.x_mm + 0.9, -6.0, texts.figures[line.number], FIGURE_MM)


def _draw_centre_lines(canvas: Canvas, template: WrapTemplate) -> None:
    top = template.deepest_mm + COLLAR_MM
    for line in template.centre_lines:
        _dashed(canvas, [(line.x_mm, -1.5, line.x_mm, top)], _CENTRE_DASHES, 0.2)
        at_end = line is template.centre_lines[-1]
        write_upright(canvas, line.x_mm + (-1.2 if at_end else 3.4), top - 1.5, line.name, TEXT_MM)


def _draw_sides(canvas: Canvas, template: WrapTemplate, part: Box) -> None:
    """Which side of the curve stays and which comes off, and where the square end is."""
    left = max(part.left, 0.0)
    right = min(part.right - OVERLAP_MM, template.circumference_mm)
    middle, above = (left + right) / 2, template.deepest_mm + 4
    if part.bottom < above < part.top - OVERLAP_MM:
        write_centred(canvas, middle, above, "BRANCH STAYS", SIDE_MM, ground=1.0)
    if part.bottom < 0:
        write_centred(canvas, middle, -LABELS_MM + 2, "END LINE: the square-cut end", FIGURE_MM)
    inner = _seen(template, Box(left, 0, right, 0), -12.0)
    x, y = max(inner, key=lambda point: point[1], default=(0.0, 0.0))
    if y > 6 and part.bottom < y / 2 < part.top:
        write_centred(canvas, x, y / 2 - 1, "CUT OFF", SIDE_MM, ground=WASTE_GREY)


Join = tuple[tuple[float, float, float, float], list[tuple[float, float]], str]


def _joins(sheets: WrapSheets, sheet: WrapSheet) -> Iterator[Join]:
    """The lines that a sheet shares with its neighbours, each with two marks and its letter."""
    right = sheets.find(sheet.column + 1, sheet.row)
    above = sheets.find(sheet.column, sheet.row + 1)
    part = sheet.part
    rise, run = part.height - OVERLAP_MM, part.width - OVERLAP_MM
    for letter, x in (
        (sheet.joins_left, part.left),
        (right.joins_left if right else "", part.right - OVERLAP_MM),
    ):
        if letter:
            marks = [(x, part.bottom + rise * share) for share in (0.3, 0.8)]
            yield (x, part.bottom, x, part.top), marks, letter
    for letter, y in (
        (sheet.joins_below, part.bottom),
        (above.joins_below if above else "", part.top - OVERLAP_MM),
    ):
        if letter:
            marks = [(part.left + run * share, y) for share in (0.3, 0.8)]
            yield (part.left, y, part.right, y), marks, letter


def _draw_marks(canvas: Canvas, marks: Sequence[tuple[float, float]], letter: str) -> None:
    canvas.setStrokeGray(0)
    canvas.setLineWidth(0.3)
    for x, y in marks:
        canvas.setFillGray(1)
        canvas.circle(x, y, 2.4, fill=1)
        canvas.lines([(x - 3.6, y, x + 3.6, y), (x, y - 3.6, x, y + 3.6)])
        canvas.setFillGray(0)
        canvas.setFont(BOLD, 3.4)
        canvas.drawString(x + 4.0, y + 1.2, letter)


def _dashed(
    canvas: Canvas,
    lines: list[tuple[float, float, float, float]],
    dashes: tuple[float, ...],
    width_mm: float,
) -> None:
    canvas.setStrokeGray(0)
    canvas.setLineWidth(width_mm)
    canvas.setDash(list(dashes))
    canvas.lines(lines)
    canvas.setDash([])
