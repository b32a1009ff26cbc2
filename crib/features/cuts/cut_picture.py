"""A cut as a drawing: the section, and the job under the staircase of what is proven.

Both stand in the same millimetres along x; the staircase's thickness is stretched, so that it can
be read, and its figures are written beside it.
"""

from __future__ import annotations

from crib.features.common.picture import Circle, Dimension, Label, Line, Picture, Shape
from crib.features.common.speech import Speech
from crib.features.common.tooling import ToolingSet
from crib.features.cuts.cut_case import CutCase
from crib.trade.metal.envelopes import EnvelopePoint, scaled_thickness_mm

HEIGHT_SHARE = 0.6
"""Height of the diagram over its width."""


def cut_picture(case: CutCase, tooling: ToolingSet) -> Picture:
    """The section and the diagram, with what they say in words under them."""
    section = case.section
    rows = tooling.station.envelope
    tube_set = tooling.tool("set")
    if tube_set is not None:
        rows = (*rows, *tube_set.envelope)
    points = [point for listed in case.points(rows).values() for point in listed]
    needed_mm = _needed_mm(case)
    shapes = [
        *section_shapes(case),
        *staircase(points, section.size_mm, needed_mm, case.say, 1.4 * section.size_mm),
    ]
    notes = (
        f"{case.say.force(case.force_n)} on the whole area",
        "the diagram: size to the right, thickness upwards, stretched",
        *(() if points else (f"no list for {case.what}: not rated",)),
    )
    title = f"{section.phrase(case.say.system)} {case.plate.material.name}: {case.what}"
    return Picture(f"{tooling.station.label}, {title}", tuple(shapes), notes)


def _needed_mm(case: CutCase) -> float:
    thickness_mm, multiplier = case.section.governing_mm, case.material.multiplier
    return thickness_mm if multiplier is None else scaled_thickness_mm(thickness_mm, multiplier)


def section_shapes(case: CutCase) -> list[Shape]:
    """The section with its lower left corner at the origin, and its governing size."""
    section = case.section
    size_mm = section.size_mm
    below_mm = -0.15 * size_mm
    size = Dimension(size_mm, 0.0, 0.0, 0.0, -below_mm, case.say.length(size_mm))
    return [*_outline(case), size]


def _outline(case: CutCase) -> list[Shape]:
    section = case.section
    size_mm, thick_mm = section.size_mm, section.thickness_mm
    other_mm = section.sizes_mm[-1]
    middle_mm = size_mm / 2
    match section.word:
        case "round":
            return [Circle(middle_mm, middle_mm, middle_mm, "hatch")]
        case "tube" if section.tube == "round":
            inner = Circle(middle_mm, middle_mm, middle_mm - thick_mm)
            return [Circle(middle_mm, middle_mm, middle_mm), inner]
        case "tube":
            inner_box = _box(thick_mm, thick_mm, size_mm - thick_mm, other_mm - thick_mm)
            return [_box(0.0, 0.0, size_mm, other_mm), inner_box]
        case "angle":
            corners = ((0.0, 0.0), (size_mm, 0.0), (size_mm, thick_mm), (thick_mm, thick_mm))
            return [Line((*corners, (thick_mm, other_mm), (0.0, other_mm)), "hatch", closed=True)]
        case "channel":
            return [_channel(size_mm, other_mm, thick_mm, section.flange_thickness_mm or thick_mm)]
        case _:
            return [_box(0.0, 0.0, size_mm, thick_mm, hatch=True)]


def _box(left: float, low: float, right: float, high: float, *, hatch: bool = False) -> Line:
    corners = ((left, low), (right, low), (right, high), (left, high))
    return Line(corners, "hatch" if hatch else "outline", closed=True)


def _channel(depth_mm: float, flange_mm: float, web_mm: float, thick_mm: float) -> Line:
    """A channel lying on its web, flanges up."""
    outer = ((0.0, 0.0), (depth_mm, 0.0), (depth_mm, flange_mm), (depth_mm - thick_mm, flange_mm))
    inner = ((depth_mm - thick_mm, web_mm), (thick_mm, web_mm), (thick_mm, flange_mm))
    return Line((*outer, *inner, (0.0, flange_mm)), "hatch", closed=True)


def staircase(
    points: list[EnvelopePoint], size_mm: float, thickness_mm: float, say: Speech, left_mm: float
) -> list[Shape]:
    """The diagram of sizes and thicknesses from ``left_mm`` on, with the job's point in it."""
    right = max([size_mm, *(point.size_mm for point in points)])
    top = max([thickness_mm, *(point.thickness_mm for point in points)])
    stretch = HEIGHT_SHARE * right / top

    def place(x_mm: float, y_mm: float) -> tuple[float, float]:
        return left_mm + x_mm, y_mm * stretch

    axes = Line((place(0.0, 1.15 * top), place(0.0, 0.0), place(1.15 * right, 0.0)), "thin")
    job_x, job_y = place(size_mm, thickness_mm)
    job = f"job {say.length(size_mm)} x {say.length(thickness_mm)}"
    shapes: list[Shape] = [axes]
    if points:
        shapes.append(Line(tuple(place(*corner) for corner in _steps(points)), "tool"))
    for point in points:
        x, y = place(point.size_mm, point.thickness_mm)
        proven = f"{say.length(point.size_mm)} x {say.length(point.thickness_mm)}"
        shapes.append(Label(x, y + 0.03 * right, proven))
    shapes.append(Circle(job_x, job_y, 0.02 * right, "fill"))
    shapes.append(Label(job_x, job_y - 0.06 * right, job))
    return shapes


def _steps(points: list[EnvelopePoint]) -> list[tuple[float, float]]:
    """The corners of the staircase from thick and narrow to thin and wide."""
    corners: list[tuple[float, float]] = []
    done_mm = 0.0
    for point in sorted(points):
        reach_mm = max(other.thickness_mm for other in points if other.size_mm >= point.size_mm)
        corners += [(done_mm, reach_mm), (point.size_mm, reach_mm)]
        done_mm = point.size_mm
    return [*corners, (done_mm, 0.0)]
