"""Writing on a sheet that is measured in mm: upright, and on a plain ground."""

from __future__ import annotations

from typing import TYPE_CHECKING

from crib.files.paper.picture_paper import BOLD, FONT

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas


def write_text(
    canvas: Canvas, x: float, y: float, text: str, size_mm: float, font: str = FONT
) -> None:
    """A text from a point to the right."""
    canvas.setFillGray(0)
    canvas.setFont(font, size_mm)
    canvas.drawString(x, y, text)


def write_centred(
    canvas: Canvas, x: float, y: float, text: str, size_mm: float, *, ground: float | None = None
) -> None:
    """A bold text centred on a point; with a ``ground`` it covers what is behind it with a grey."""
    if ground is not None:
        width_mm = canvas.stringWidth(text, BOLD, size_mm) + 1.6
        canvas.setFillGray(ground)
        canvas.rect(x - width_mm / 2, y - 1, width_mm, size_mm + 1, stroke=0, fill=1)
    canvas.setFillGray(0)
    canvas.setFont(BOLD, size_mm)
    canvas.drawCentredString(x, y, text)


def write_upright(canvas: Canvas, x: float, top: float, text: str, size_mm: float) -> None:
    """A text that reads from below and ends at a height, on white."""
    canvas.saveState()
    canvas.translate(x, top)
    canvas.rotate(90)
    width_mm = canvas.stringWidth(text, FONT, size_mm)
    canvas.setFillGray(1)
    canvas.rect(-width_mm, -0.3 * size_mm, width_mm, size_mm, stroke=0, fill=1)
    canvas.setFillGray(0)
    canvas.setFont(FONT, size_mm)
    canvas.drawRightString(0, 0, text)
    canvas.restoreState()
