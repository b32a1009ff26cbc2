"""The marks on labels: a picture of the tool's shape, and a code that a phone reads.

The code holds the tag as plain text, which stays right wherever the crib is kept; or, where the
page has an address, the page of the piece there, of which the tag is still read.
"""

from __future__ import annotations

from math import cos, radians, sin
from typing import TYPE_CHECKING, Literal

from crib.acts import act, saying
from crib.errors import BadValue

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

QUIET = 4
"""White modules round a code, by its standard (ISO/IEC 18004)."""
LEAST_MODULE_MM = 0.33
"""*Common practice* for phones at arm's length and a greasy label."""
MOST_MODULE_MM = 0.8

Ground = Literal["", "disc", "block"]
"""What a shape is an opening in: nothing (a punch), a disc (a die), a block (a blade)."""

Outline = tuple[tuple[float, float], ...]

_BAR = ((0.0, 0.36), (1.0, 0.36), (1.0, 0.64), (0.0, 0.64))
_MOUTH = tuple(
    (0.5 + 0.35 * cos(radians(turn)), 1 - 0.35 * sin(radians(turn))) for turn in range(15, 180, 15)
)
OUTLINES: dict[str, Outline] = {
    "square": ((0.08, 0.08), (0.92, 0.08), (0.92, 0.92), (0.08, 0.92)),
    "rectangle": ((0.0, 0.22), (1.0, 0.22), (1.0, 0.78), (0.0, 0.78)),
    "hexagon": tuple(
        (0.5 + 0.5 * cos(radians(60 * corner)), 0.5 + 0.5 * sin(radians(60 * corner)))
        for corner in range(6)
    ),
    "notch": (
        *((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.7, 1.0)),
        *((0.7, 0.45), (0.3, 0.45), (0.3, 1.0), (0.0, 1.0)),
    ),
    "vee": ((0, 0), (1, 0), (1, 1), (0.85, 1), (0.5, 0.4), (0.15, 1), (0, 1)),
    "corner": ((0, 0), (1, 0), (1, 0.5), (0.5, 0.5), (0.5, 1), (0, 1)),
    "angle": ((0, 0), (1, 0), (1, 0.2), (0.2, 0.2), (0.2, 1), (0, 1)),
    "channel": (
        *((0, 0), (1, 0), (1, 0.9), (0.8, 0.9)),
        *((0.8, 0.2), (0.2, 0.2), (0.2, 0.9), (0, 0.9)),
    ),
    "flat": _BAR,
    "plate": tuple((x, 0.5 + (y - 0.5) / 2) for x, y in _BAR),
    "vee die": ((0, 0), (1, 0), (1, 0.8), (0.85, 0.8), (0.5, 0.2), (0.15, 0.8), (0, 0.8)),
    "picket": ((0.32, 0), (0.68, 0), (0.68, 0.55), (0.5, 1), (0.32, 0.55)),
    "saddle": ((0.15, 0), (0.85, 0), (0.85, 1), *_MOUTH, (0.15, 1)),
}
"""Corners in a square of one by one, from below."""
DRAWN = (*OUTLINES, "round", "obround", "tube")
"""What there is a picture of."""


def draw_shape(
    canvas: Canvas, shape: str, x: float, y: float, side: float, ground: Ground = ""
) -> None:
    """A shape in a square: black, or as a white opening in a black disc or block."""
    if not ground:
        _fill(canvas, shape, x, y, side, grey=0)
        return
    canvas.setFillGray(0)
    if ground == "disc":
        canvas.circle(x + side / 2, y + side / 2, side / 2, stroke=0, fill=1)
    else:
        canvas.rect(x, y, side, side, stroke=0, fill=1)
    inner = side * 0.56
    _fill(canvas, shape, x + (side - inner) / 2, y + (side - inner) / 2, inner, grey=1)


def _fill(canvas: Canvas, shape: str, x: float, y: float, side: float, grey: int) -> None:
    canvas.setFillGray(grey)
    if shape == "round":
        canvas.circle(x + side / 2, y + side / 2, side / 2, stroke=0, fill=1)
    elif shape == "obround":
        canvas.roundRect(x, y + side * 0.25, side, side * 0.5, side * 0.25, stroke=0, fill=1)
    elif shape == "tube":
        canvas.rect(x, y, side, side, stroke=0, fill=1)
        canvas.setFillGray(1 - grey)
        canvas.rect(x + side * 0.18, y + side * 0.18, side * 0.64, side * 0.64, stroke=0, fill=1)
    else:
        path = canvas.beginPath()
        first, *others = OUTLINES[shape]
        path.moveTo(x + first[0] * side, y + first[1] * side)
        for across, up in others:
            path.lineTo(x + across * side, y + up * side)
        path.close()
        canvas.drawPath(path, stroke=0, fill=1)


def code_matrix(text: str) -> tuple[tuple[int, ...], ...]:
    """The modules of a code, row by row from above, 1 is black, without the quiet zone.

    The best error correction that the code's size holds: a label gets scratched and oiled.
    """
    from segno import make

    code = make(text, micro=False, error="m", boost_error=True)
    return tuple(tuple(int(bool(one)) for one in row) for row in code.matrix)


def draw_code(
    canvas: Canvas, matrix: tuple[tuple[int, ...], ...], x: float, top: float, module: float
) -> None:
    """A code as one filled path, each run of black modules a rectangle: sharp at any size."""
    path = canvas.beginPath()
    for row, modules in enumerate(matrix):
        start = 0
        for column in range(len(modules) + 1):
            black = column < len(modules) and modules[column]
            if not black:
                if column > start:
                    y = top - (row + 1) * module
                    path.rect(x + start * module, y, (column - start) * module, module)
                start = column + 1
    canvas.setFillGray(0)
    canvas.drawPath(path, stroke=0, fill=1)


def module_mm(modules: int, room_mm: float, tag: str) -> float:
    """How large a code's modules are in a room that has to hold its quiet zone too.

    Raises:
        BadValue: when they would be too small for a phone.
    """
    size_mm = room_mm / (modules + 2 * QUIET)
    if size_mm < LEAST_MODULE_MM:
        needed_mm = LEAST_MODULE_MM * (modules + 2 * QUIET)
        message = f"the code of {tag!r} needs {needed_mm:.1f} mm, the label has {room_mm:.1f} mm"
        way_out = saying("take a sheet with higher labels (", act("say.sheet"), ")")
        raise BadValue(message, way_out=way_out)
    return min(size_mm, MOST_MODULE_MM)
