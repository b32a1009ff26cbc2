"""Saddles: how deep a branch is cut to sit on its header, how long to cut it, and by what force.

Radii are outside radii unless a name says otherwise; the *contact* radius is the branch's outside
radius for a press notcher, and its bore radius where the cut is made radially by hand.
"""

from __future__ import annotations

from collections.abc import Callable
from math import cos, isfinite, pi, radians, sin, sqrt

from crib.errors import BadValue
from crib.trade.common.guards import require_not_negative, require_positive
from crib.trade.common.verdicts import Verdict, exceeds, falls_short
from crib.trade.metal.force import punching_force_n

# Shop rule: beyond these the cut is a sliver that neither a nest nor a template holds.
_LEAST_ANGLE_DEG = 20.0
_MOST_ANGLE_DEG = 160.0

# Half a degree finds the valley of the curve; halving it further finds its floor.
_SEARCH_LINES = 720
_SEARCH_STEPS = 40


def saddle_depth_mm(header_radius_mm: float, branch_radius_mm: float) -> float:
    """How deep the branch is cut at its crown when it meets the header square.

    Source: plane geometry (R - sqrt(R² - r²)), as in public pipe-fitting notes.

    Args:
        header_radius_mm: Outside radius of the pipe that is fitted to [mm].
        branch_radius_mm: Outside radius of the pipe that is fitted [mm].

    Returns:
        The depth of the saddle [mm].

    Raises:
        BadValue: When a radius is not above zero or the branch is the larger.

    Example:
        >>> saddle_depth_mm(24.13, 24.13), round(saddle_depth_mm(50.0, 30.0), 6)
        (24.13, 10.0)
    """
    return header_radius_mm - _reach_mm(header_radius_mm, branch_radius_mm)


def tip_to_tip_mm(
    centre_to_centre_mm: float,
    header_radius_mm: float,
    branch_radius_mm: float,
    gap_mm: float = 0.0,
) -> float:
    """The length from tip to tip of a branch between two equal headers, both met square.

    Source: plane geometry (C/C - 2 sqrt(R² - r²)); it is the length of the square-cut blank.

    Args:
        centre_to_centre_mm: Distance of the headers' axes [mm].
        header_radius_mm: Outside radius of the headers [mm].
        branch_radius_mm: Outside radius of the branch [mm].
        gap_mm: Gap left for the weld at each end [mm].

    Returns:
        The length over the tips [mm].

    Raises:
        BadValue: When a size is not above zero, the gap is negative, the branch is larger than the
            header, or nothing is left between the headers.

    Example:
        >>> tip_to_tip_mm(1219.2, 24.13, 24.13)
        1219.2
    """
    reach_mm = _reach_mm(header_radius_mm, branch_radius_mm)
    return _length_between_mm(centre_to_centre_mm, reach_mm, gap_mm)


def throat_length_mm(
    centre_to_centre_mm: float, header_radius_mm: float, gap_mm: float = 0.0
) -> float:
    """The length from throat to throat of a branch between two equal headers, both met square.

    Source: plane geometry (C/C - 2 R), as in public pipe-fitting notes.

    Args:
        centre_to_centre_mm: Distance of the headers' axes [mm].
        header_radius_mm: Outside radius of the headers [mm].
        gap_mm: Gap left for the weld at each end [mm].

    Returns:
        The length between the bottoms of the two saddles [mm].

    Raises:
        BadValue: When a size is not above zero, the gap is negative, or nothing is left between the
            headers.

    Example:
        >>> round(throat_length_mm(1219.2, 24.13), 2)
        1170.94
    """
    require_positive(header_radius_mm=header_radius_mm)
    return _length_between_mm(centre_to_centre_mm, header_radius_mm, gap_mm)


def nest_verdict(nest_mm: float, branch_outside_mm: float, tolerance_mm: float = 0.8) -> Verdict:
    """Whether a set's nest holds a branch: a loose one crushes it, a tight one will not close.

    Source: common practice (the nest is the branch's measured outside within 1/32 in, 0.8 mm).

    Args:
        nest_mm: Diameter of the set's nest [mm].
        branch_outside_mm: Outside diameter of the branch, measured [mm].
        tolerance_mm: How far the two may differ [mm].

    Returns:
        The verdict [text].

    Raises:
        BadValue: When a diameter is not above zero or the tolerance is negative.

    Example:
        >>> nest_verdict(48.3, 48.26), nest_verdict(48.3, 38.1)
        ('ok', 'refuse')
    """
    require_positive(nest_mm=nest_mm, branch_outside_mm=branch_outside_mm)
    require_not_negative(tolerance_mm=tolerance_mm)
    return "refuse" if exceeds(abs(nest_mm - branch_outside_mm), tolerance_mm) else "ok"


def saddle_force_n(branch_outside_mm: float, wall_mm: float, shear_mpa: float) -> float:
    """The force of one of the two hits that cut a saddle.

    Source: common practice (half the branch's circumference times its wall for each hit).

    Args:
        branch_outside_mm: Outside diameter of the branch [mm].
        wall_mm: Wall of the branch [mm].
        shear_mpa: Shear strength of the branch [MPa].

    Returns:
        The greatest force of one hit [N].

    Raises:
        BadValue: When an argument is not above zero or the wall leaves no bore.

    Example:
        >>> round(saddle_force_n(48.26, 3.68, 351.15))
        97960
    """
    require_positive(branch_outside_mm=branch_outside_mm, wall_mm=wall_mm)
    if not falls_short(wall_mm, branch_outside_mm / 2):
        message = f"wall_mm={wall_mm:g} must be below half of {branch_outside_mm:g} mm outside"
        raise BadValue(message, way_out="a solid bar is not cut in a saddle set")
    return punching_force_n(pi * branch_outside_mm / 2, wall_mm, shear_mpa)


def saddle_ordinate_mm(
    theta_deg: float,
    header_radius_mm: float,
    contact_radius_mm: float,
    branch_angle_deg: float = 90.0,
    offset_mm: float = 0.0,
) -> float:
    """Where one line along the branch meets the header, counted along the branch's axis.

    Source: plane geometry, (sqrt(R² - (r sin theta + e)²) + r cos theta cos b) / sin b; checked
    against a numeric intersection of two cylinders.

    Args:
        theta_deg: The line's place round the branch: 0 on the side of the acute angle, 90 on the
            side of the offset [deg].
        header_radius_mm: Outside radius of the header [mm].
        contact_radius_mm: Radius of the branch where it touches, outside or bore [mm].
        branch_angle_deg: Angle between the two axes, 20 to 160 [deg].
        offset_mm: Distance by which the branch's axis passes the header's [mm].

    Returns:
        The distance from the header's axis along the branch's axis [mm].

    Raises:
        BadValue: When a radius is not above zero, the angle is outside 20 to 160, or the branch
            reaches beside the header.

    Example:
        >>> round(saddle_ordinate_mm(45.0, 30.1625, 30.1625), 4)
        21.3281
    """
    _require_meeting(header_radius_mm, contact_radius_mm, branch_angle_deg, offset_mm)
    if not isfinite(theta_deg):
        message = f"theta_deg={theta_deg:g} must be an angle"
        raise BadValue(message)
    theta, angle = radians(theta_deg), radians(branch_angle_deg)
    beside_mm = contact_radius_mm * sin(theta) + offset_mm
    above_mm = sqrt(max(0.0, header_radius_mm**2 - beside_mm**2))
    return (above_mm + contact_radius_mm * cos(theta) * cos(angle)) / sin(angle)


def saddle_cutback_mm(
    header_radius_mm: float,
    contact_radius_mm: float,
    branch_angle_deg: float = 90.0,
    offset_mm: float = 0.0,
    lines: int = 16,
) -> tuple[float, ...]:
    """How much is taken off a square-cut branch at each of some lines evenly round it.

    Source: plane geometry (ordinate less the least of the whole curve); sixteen lines, 22.5 degrees
    apart, are common practice for a wrap-around.

    Args:
        header_radius_mm: Outside radius of the header [mm].
        contact_radius_mm: Radius of the branch where it touches, outside or bore [mm].
        branch_angle_deg: Angle between the two axes, 20 to 160 [deg].
        offset_mm: Distance by which the branch's axis passes the header's [mm].
        lines: Number of lines, 4 or more; the first is at the acute side [-].

    Returns:
        The cut-back at each line, from 0 degrees round [mm].

    Raises:
        BadValue: When a radius is not above zero, the angle is outside 20 to 160, the branch
            reaches beside the header, or there are fewer than four lines.

    Example:
        >>> [round(cut, 2) for cut in saddle_cutback_mm(30.1625, 30.1625, lines=8)[:3]]
        [30.16, 21.33, 0.0]
    """
    if lines < 4:
        message = f"lines={lines} must be >= 4"
        raise BadValue(message, way_out="sixteen lines are usual")

    def ordinate_mm(theta_deg: float) -> float:
        return saddle_ordinate_mm(
            theta_deg, header_radius_mm, contact_radius_mm, branch_angle_deg, offset_mm
        )

    around = [ordinate_mm(360 * line / lines) for line in range(lines)]
    least_mm = min(_floor_mm(ordinate_mm), *around)
    return tuple(ordinate - least_mm for ordinate in around)


def _floor_mm(ordinate_mm: Callable[[float], float]) -> float:
    """The least ordinate of the whole curve, which may lie between two lines."""
    step_deg = 360 / _SEARCH_LINES
    centre_deg = min((step_deg * line for line in range(_SEARCH_LINES)), key=ordinate_mm)
    for _ in range(_SEARCH_STEPS):
        step_deg /= 2
        near_deg = (centre_deg - step_deg, centre_deg, centre_deg + step_deg)
        centre_deg = min(near_deg, key=ordinate_mm)
    return ordinate_mm(centre_deg)


def _reach_mm(header_radius_mm: float, branch_radius_mm: float) -> float:
    """How far from the header's axis the tips of the branch stand."""
    require_positive(header_radius_mm=header_radius_mm, branch_radius_mm=branch_radius_mm)
    _require_not_beside(header_radius_mm, branch_radius_mm, 0.0)
    return sqrt(max(0.0, header_radius_mm**2 - branch_radius_mm**2))


def _length_between_mm(centre_to_centre_mm: float, reach_mm: float, gap_mm: float) -> float:
    require_positive(centre_to_centre_mm=centre_to_centre_mm)
    require_not_negative(gap_mm=gap_mm)
    taken_mm = 2 * (reach_mm + gap_mm)
    if not exceeds(centre_to_centre_mm, taken_mm):
        message = f"centre_to_centre_mm={centre_to_centre_mm:g} must be > {taken_mm:g}"
        raise BadValue(message, way_out="measure between the axes of the headers")
    return centre_to_centre_mm - taken_mm


def _require_meeting(
    header_radius_mm: float, contact_radius_mm: float, branch_angle_deg: float, offset_mm: float
) -> None:
    require_positive(header_radius_mm=header_radius_mm, contact_radius_mm=contact_radius_mm)
    if not _LEAST_ANGLE_DEG <= branch_angle_deg <= _MOST_ANGLE_DEG:
        message = f"branch_angle_deg={branch_angle_deg:g} must be 20 to 160"
        raise BadValue(message, way_out="lay out a flatter meeting by hand")
    _require_not_beside(header_radius_mm, contact_radius_mm, offset_mm)


def _require_not_beside(header_radius_mm: float, branch_radius_mm: float, offset_mm: float) -> None:
    out_mm = abs(offset_mm) + branch_radius_mm
    if not isfinite(out_mm) or exceeds(out_mm, header_radius_mm):
        message = (
            f"branch radius {branch_radius_mm:g} + offset {abs(offset_mm):g} mm "
            f"must be <= header radius {header_radius_mm:g} mm"
        )
        raise BadValue(message, way_out="the larger pipe is the header; a branch stays within it")
