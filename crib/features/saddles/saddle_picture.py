"""The picture of a saddle: end view, side view, and the branch between two headers."""

from __future__ import annotations

from math import cos, radians, sin, sqrt

from crib.features.common.picture import Circle, Dimension, Label, Line, Picture, Shape
from crib.features.common.tooling import ToolingSet
from crib.features.saddles.saddle_case import STROKES, SaddleCase
from crib.trade.metal.saddles import saddle_ordinate_mm

_STEP_DEG = 5
Point = tuple[float, float]


def draw_saddle(case: SaddleCase, tooling: ToolingSet) -> Picture:
    """End view on the left, side view on the right, the lengths below when they are known."""
    saddle, system = case.saddle, case.say.system
    reach_mm = 2.2 * saddle.header_radius_mm
    shapes = [*_end_view(case), *_side_view(case, 4.2 * saddle.header_radius_mm, reach_mm)]
    if case.tip_to_tip_mm is not None:
        shapes += _between(case, -4.2 * saddle.header_radius_mm)
    onto = f"{saddle.branch.phrase(system)} onto {saddle.header.phrase(system)}"
    chosen = tooling.tool("set")
    notes = (
        f"wall {case.wall(saddle.plate.thickness_mm)}, {saddle.plate.material.name}",
        f"{STROKES} strokes, the work turned 180° between against the same stop",
        *((f"set {chosen.tag} in {tooling.station.label}",) if chosen and chosen.tag else ()),
    )
    return Picture(f"Saddle, {onto}, {saddle.angle_deg:g}°", tuple(shapes), notes)


def _end_view(case: SaddleCase) -> list[Shape]:
    """Along the header's axis: the header is a circle, the depth is seen."""
    saddle = case.saddle
    header, branch, aside = saddle.header_radius_mm, saddle.branch_radius_mm, saddle.offset_mm
    top = 2.8 * header
    left, right = aside - branch, aside + branch
    bore = branch - saddle.plate.thickness_mm
    tip = sqrt(max(0.0, header**2 - right**2))
    other_tip = sqrt(max(0.0, header**2 - left**2))
    rim = [_rim(case, theta)[1:] for theta in range(-90, 91, _STEP_DEG)]
    body = ((left, top), (left, other_tip), *rim, (right, tip), (right, top))
    walls = [
        Line(((x, top), (x, sqrt(max(0.0, header**2 - x**2)))), "hidden")
        for x in (aside - bore, aside + bore)
    ]
    return [
        Circle(0.0, 0.0, header, "thin"),
        Line(body, closed=True),
        Line(
            (
                (left, other_tip),
                *rim,
                (right, tip),
                (right, min(tip, other_tip)),
                (left, min(tip, other_tip)),
            ),
            "cut",
            closed=True,
        ),
        *walls,
        Line(((aside, -1.2 * header), (aside, 1.1 * top)), "centre"),
        Line(((-1.2 * header, 0.0), (1.2 * header, 0.0)), "centre"),
        Dimension(right, header, right, tip, 0.5 * header, f"depth {case.size(header - tip)}"),
        Label(0.0, -1.5 * header, "end view"),
        Label(0.0, -0.5 * header, f"header {case.size(saddle.header.outside_mm)}"),
        Label(aside, 0.9 * top, f"branch {case.size(saddle.branch.outside_mm)}"),
    ]


def _side_view(case: SaddleCase, x_mm: float, half_mm: float) -> list[Shape]:
    """Across the header's axis: the header is a band, the curve of the saddle is seen."""
    saddle = case.saddle
    header, branch = saddle.header_radius_mm, saddle.branch_radius_mm
    angle = radians(saddle.angle_deg)
    ahead, across = (cos(angle), sin(angle)), (sin(angle), -cos(angle))

    def at(theta_deg: float) -> Point:
        along, _y, up = _rim(case, theta_deg)
        return (x_mm + along, up)

    def far(side: float) -> Point:
        end = 2.8 * header
        return (
            x_mm + end * ahead[0] + side * branch * across[0],
            end * ahead[1] + side * branch * across[1],
        )

    near = tuple(at(theta) for theta in range(0, 181, _STEP_DEG))
    behind = tuple(at(-theta) for theta in range(0, 181, _STEP_DEG))
    left, right = x_mm - half_mm, x_mm + half_mm
    band = ((left, -header), (right, -header), (right, header), (left, header))
    axis = ((x_mm, 0.0), (x_mm + 3.1 * header * ahead[0], 3.1 * header * ahead[1]))
    return [
        Line(band, "thin", closed=True),
        Line((far(1.0), *near, far(-1.0)), closed=True),
        Line(behind, "hidden"),
        Line(axis, "centre"),
        Line(((1.05 * left - 0.05 * right, 0.0), (1.05 * right - 0.05 * left, 0.0)), "centre"),
        Label(x_mm, -1.5 * header, f"side view, {saddle.angle_deg:g}° between the axes"),
    ]


def _between(case: SaddleCase, y_mm: float) -> list[Shape]:
    """The branch between its two headers, shortened, with the three lengths."""
    saddle = case.saddle
    header, branch = saddle.header_radius_mm, saddle.branch_radius_mm
    tips_mm, throat_mm = case.tip_to_tip_mm or 0.0, case.throat_mm or 0.0
    span = min(saddle.centres_mm or 0.0, 6.0 * header)
    tip = sqrt(max(0.0, header**2 - branch**2))
    shapes: list[Shape] = [
        Circle(0.0, y_mm, header, "thin"),
        Circle(span, y_mm, header, "thin"),
    ]
    for side in (-1.0, 1.0):
        edge = y_mm + side * branch
        shapes.append(Line(((tip, edge), (span - tip, edge))))
    top, low = y_mm + 1.3 * header, y_mm - branch
    return [
        *shapes,
        Line(((-1.2 * header, y_mm), (span + 1.2 * header, y_mm)), "centre"),
        Dimension(0.0, top, span, top, 0.0, f"centres {case.size(saddle.centres_mm or 0.0)}"),
        Dimension(span - tip, low, tip, low, 0.6 * header, f"tip to tip {case.size(tips_mm)}"),
        Dimension(
            span - header, y_mm, header, y_mm, 0.4 * branch, f"throat {case.size(throat_mm)}"
        ),
        Label(span / 2, y_mm - 2.6 * header, "between two headers, not to scale"),
    ]


def _rim(case: SaddleCase, theta_deg: float) -> tuple[float, float, float]:
    """A point of the saddle: along the header, across it, and up."""
    saddle = case.saddle
    radius, angle, theta = saddle.branch_radius_mm, radians(saddle.angle_deg), radians(theta_deg)
    ordinate = saddle_ordinate_mm(
        theta_deg, saddle.header_radius_mm, radius, saddle.angle_deg, saddle.offset_mm
    )
    along = ordinate * cos(angle) + radius * cos(theta) * sin(angle)
    across = radius * sin(theta) + saddle.offset_mm
    return along, across, ordinate * sin(angle) - radius * cos(theta) * cos(angle)
