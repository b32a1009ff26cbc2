"""The AK and IK blocks of an NC part: points, radii and bevels to closed contours."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from crib.acts import fact
from crib.files.drawings.nc1_blocks import (
    Block,
    Field,
    FileLine,
    Remarks,
    leave_numbers,
    letter_unknown,
    read_fields,
    view_and_rest,
)
from crib.files.drawings.nc1_header import FACES
from crib.files.drawings.parts import Contour, ContourPoint

_KINDS: dict[str, Literal["outer", "inner"]] = {"AK": "outer", "IK": "inner"}
_REFERENCES = ("", "o", "s", "u")
_MARKS = ("", "t", "w")
_MOST_NUMBERS = 7


def read_contours(block: Block, remarks: Remarks) -> list[Contour]:
    """The contours of a block: one ends where it closes, or where the view changes."""
    made: list[Contour] = []
    face, first_line = "", block.line
    points: list[ContourPoint] = []
    lines: list[int] = []
    for line, view, point in _points(block, remarks):
        if points and view not in ("", face):
            remarks.note(line.number, f"the contour of view {face!r} before this is not closed")
            made.append(Contour(_KINDS[block.name], face, tuple(points), first_line, tuple(lines)))
            points, lines = [], []
        if not points:
            face, first_line = view or face or _assumed(line, remarks), line.number
        points.append(point)
        lines.append(line.number)
        contour = Contour(_KINDS[block.name], face, tuple(points[:1] + points[-1:]), first_line)
        if len(points) > 2 and _meets(contour):
            made.append(Contour(contour.kind, face, tuple(points), first_line, tuple(lines)))
            points, lines = [], []
    if points:
        remarks.note(first_line, "the contour does not end at its first point")
        made.append(Contour(_KINDS[block.name], face, tuple(points), first_line, tuple(lines)))
    return made


def _meets(ends: Contour) -> bool:
    first, last = ends.points
    return (first.x_mm, first.y_mm) == (last.x_mm, last.y_mm)


def _assumed(line: FileLine, remarks: Remarks) -> str:
    remarks.note(line.number, "the contour names no view: read as v, the front")
    return "v"


def _points(block: Block, remarks: Remarks) -> Iterator[tuple[FileLine, str, ContourPoint]]:
    for line in block.lines:
        view, rest = view_and_rest(line.text)
        fields = read_fields(line, rest, remarks)
        if view and view not in FACES:
            text = f"view {view[:20]!r} is not known: this point is not read"
            remarks.leave(line.number, fact("read.view-unknown", view=view[:20]), text)
        elif fields is not None and len(fields) < 2:
            remarks.fault(line.number, "", "a contour's point needs x and y")
        elif fields is not None:
            yield line, view, _point(line, fields, remarks)


def _point(line: FileLine, fields: list[Field], remarks: Remarks) -> ContourPoint:
    allowed = (_REFERENCES, _MARKS)
    for number, one in enumerate(fields):
        if one.letters not in (allowed[number] if number < len(allowed) else ("",)):
            text = f"letter {one.letters[:20]!r} is not known and not used"
            remarks.leave_word(line.number, letter_unknown(one), text)
    leave_numbers(line, fields, _MOST_NUMBERS, remarks)
    values = [field.value for field in fields[:_MOST_NUMBERS]]
    bevels = tuple(values[3:]) if any(values[3:]) else ()
    if bevels:
        remarks.note(line.number, "the edge from here has a bevel: it is not cut by a punch")
    radius_mm = values[2] if len(values) > 2 else 0.0
    mark = fields[1].letters
    if mark == "w" and radius_mm:
        remarks.note(line.number, f"relief hole of radius {abs(radius_mm):g} mm in the corner")
    return ContourPoint(values[0], values[1], radius_mm, mark, bevels)
