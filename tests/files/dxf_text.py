"""Draws small parts as DXF for the tests, each feature in any of the ways that it may be drawn."""

from __future__ import annotations

from cmath import phase, rect
from collections.abc import Sequence
from dataclasses import dataclass
from io import StringIO
from math import degrees, pi, radians
from typing import Any

from ezdxf.document import Drawing
from ezdxf.filemanagement import new

from crib.files.drawings.dxf import DrawingFacts, read_dxf
from crib.files.drawings.parts import Part, PartsRead

THICK = DrawingFacts(thickness_mm=10.0)
Corner = tuple[complex, float]
"""A corner and the bulge of the side that starts there."""


@dataclass(frozen=True)
class Wanted:
    """An opening to be drawn, and how."""

    feature: str
    size: float
    long: float | None
    at: complex
    turned_deg: float
    way: str
    mirrored: bool = False
    scale: float = 1.0
    columns: int = 1


def corners(one: Wanted) -> list[Corner]:
    """The outline of an opening around 0, its long side along x."""
    half, reach = one.size / 2, (one.long or one.size) / 2
    if one.feature == "hole":
        return [(complex(half), 1.0), (complex(-half), 1.0)]
    if one.feature == "hexagon":
        radius = one.size / 3**0.5
        return [(rect(radius, pi / 3 * n), 0.0) for n in range(6)]
    if one.feature == "slot":
        flat = reach - half
        ends = ((-flat, -half, 0.0), (flat, -half, 1.0), (flat, half, 0.0), (-flat, half, 1.0))
        return [(complex(x, y), bulge) for x, y, bulge in ends]
    box = ((-reach, -half), (reach, -half), (reach, half), (-reach, half))
    return [(complex(x, y), 0.0) for x, y in box]


def draw(document: Drawing, one: Wanted) -> None:
    """Draw an opening where and how it is wanted."""
    model = document.modelspace()
    if not one.way.startswith("block"):
        turn = rect(1.0, radians(one.turned_deg))
        placed = [(one.at + point * turn, bulge) for point, bulge in corners(one)]
        draw_outline(model, placed, one.way)
        return
    name = f"B{len(document.blocks)}"
    block = document.blocks.new(name)
    small = [(point / one.scale, bulge) for point, bulge in corners(one)]
    draw_outline(block, small, one.way.removeprefix("block "))
    sizes = {"xscale": -one.scale if one.mirrored else one.scale, "yscale": one.scale}
    place = (one.at.real, one.at.imag)
    model.add_blockref(name, place, dxfattribs={**sizes, "rotation": one.turned_deg})


def draw_outline(layout: Any, outline: Sequence[Corner], way: str) -> None:
    """Draw a closed outline: circle, polyline, old polyline, or loose lines and arcs."""
    points = [(point.real, point.imag, bulge) for point, bulge in outline]
    if way == "circle":
        (first, _), (second, _) = outline
        middle = (first + second) / 2
        layout.add_circle((middle.real, middle.imag), abs(first - middle))
    elif way == "polyline":
        layout.add_lwpolyline(points, format="xyb", close=True)
    elif way == "old polyline":
        layout.add_polyline2d(points, format="xyb", close=True)
    else:
        sides = list(zip(outline, [*outline[1:], *outline[:1]], strict=True))
        for (start, bulge), (end, _) in [*sides[::2], *sides[1::2]]:
            draw_side(layout, start, end, bulge)


def draw_side(layout: Any, start: complex, end: complex, bulge: float) -> None:
    """A line, or the half circle that a bulge of 1 is."""
    if not bulge:
        layout.add_line((end.real, end.imag), (start.real, start.imag))
        return
    middle = (start + end) / 2
    angles = [degrees(phase(point - middle)) for point in (start, end)]
    layout.add_arc((middle.real, middle.imag), abs(start - middle), *angles)


def plate(width: float, height: float, *, unit: int = 4, version: str = "R2010") -> Drawing:
    """A drawing with a rectangular outline away from its origin."""
    document = new(version, units=unit)
    if unit == 0:
        document.header["$INSUNITS"] = 0
    box = [(7.0, 3.0), (7.0 + width, 3.0), (7.0 + width, 3.0 + height), (7.0, 3.0 + height)]
    way = "old polyline" if version == "R12" else "polyline"
    draw_outline(document.modelspace(), [(complex(*p), 0.0) for p in box], way)
    return document


def text_of(document: Drawing) -> str:
    """What the file would hold."""
    stream = StringIO()
    document.write(stream)
    return stream.getvalue()


def read(document: Drawing, facts: DrawingFacts = THICK, **options: Any) -> PartsRead:
    return read_dxf(text_of(document), "P-7.dxf", facts, **options)


def only(document: Drawing, facts: DrawingFacts = THICK) -> Part:
    (part,) = read(document, facts).parts
    return part


def notes(document: Drawing, **options: Any) -> str:
    return "\n".join(note.text for note in read(document, **options).notes)
