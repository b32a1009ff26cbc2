"""What stands round the drawing on each sheet of a template: head, square to measure, foot."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from crib.files.paper.picture_paper import BOLD, FONT, wrapped
from crib.files.paper.wrap_ink import write_centred, write_text
from crib.files.paper.wrap_pages import MARGIN_MM, WrapSheet, WrapSheets

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

TITLE_MM, TEXT_MM, FOOT_TEXT_MM = 4.6, 2.9, 2.7


@dataclass(frozen=True, slots=True)
class WrapTexts:
    """What is written on the sheets; ``figures`` are the cut-backs of the lines as text."""

    title: str
    lines: tuple[str, ...]
    caution: str
    figures: tuple[str, ...]
    square_mm: float
    square_text: str


def draw_frame(canvas: Canvas, texts: WrapTexts, sheets: WrapSheets, sheet: WrapSheet) -> None:
    """Head and foot of one sheet."""
    right, top = sheets.width_mm - MARGIN_MM, sheets.height_mm - MARGIN_MM
    side = texts.square_mm
    _draw_square(canvas, texts, right - side, top - side)
    room_mm = right - MARGIN_MM - side - 5
    y = _draw_title(canvas, texts, sheets, sheet, room_mm) - 5
    for line in (*texts.lines, *_joins(sheets, sheet)):
        for part in wrapped(line, TEXT_MM, room_mm):
            write_text(canvas, MARGIN_MM, y, part, TEXT_MM)
            y -= 3.5
    foot = wrapped(texts.caution, FOOT_TEXT_MM, right - MARGIN_MM, BOLD)
    for number, line in enumerate(reversed(foot)):
        write_text(canvas, MARGIN_MM, MARGIN_MM + 3.3 * number, line, FOOT_TEXT_MM, BOLD)


def _draw_title(
    canvas: Canvas, texts: WrapTexts, sheets: WrapSheets, sheet: WrapSheet, room_mm: float
) -> float:
    """Title and page number; returns the height of the title's last line."""
    y = sheets.height_mm - MARGIN_MM - 4.2
    page = f"page {sheet.number} of {len(sheets.sheets)}"
    canvas.setFillGray(0)
    canvas.setFont(BOLD, 4.0)
    canvas.drawRightString(MARGIN_MM + room_mm, y, page)
    lines = wrapped(texts.title, TITLE_MM, room_mm - 24, BOLD)
    for number, line in enumerate(lines):
        write_text(canvas, MARGIN_MM, y - 5 * number, line, TITLE_MM, BOLD)
    return y - 5 * (len(lines) - 1)


def _draw_square(canvas: Canvas, texts: WrapTexts, x: float, y: float) -> None:
    """A square to measure: where it is not its size, the print was scaled."""
    side = texts.square_mm
    canvas.setStrokeGray(0)
    canvas.setLineWidth(0.25)
    canvas.rect(x, y, side, side)
    write_centred(canvas, x + side / 2, y + side / 2 + 4, texts.square_text, TEXT_MM)
    canvas.setFont(FONT, TEXT_MM)
    for number, line in enumerate(("each side:", "measure it;", "print at 100 %")):
        canvas.drawCentredString(x + side / 2, y + side / 2 - 3.6 * number, line)


def _joins(sheets: WrapSheets, sheet: WrapSheet) -> Iterator[str]:
    """How a sheet joins those before it."""
    for letter, column, row in (
        (sheet.joins_left, sheet.column - 1, sheet.row),
        (sheet.joins_below, sheet.column, sheet.row - 1),
    ):
        other = sheets.find(column, row)
        if letter and other is not None:
            yield (
                f"Cut this page along line {letter} and glue it onto line {letter}"
                f" of page {other.number}; the marks meet."
            )
