"""The areas of the bars and sections that a shear cuts through at once."""

from __future__ import annotations

from math import pi

from crib.errors import BadValue
from crib.trade.common.guards import require_positive
from crib.trade.common.verdicts import falls_short


def flat_area_mm2(width_mm: float, thickness_mm: float) -> float:
    """The section of a flat.

    Source: plane geometry.

    Args:
        width_mm: Width of the flat, along the cut [mm].
        thickness_mm: Thickness of the flat [mm].

    Returns:
        The area [mm²].

    Raises:
        BadValue: When an argument is not above zero.

    Example:
        >>> flat_area_mm2(100.0, 10.0)
        1000.0
    """
    require_positive(width_mm=width_mm, thickness_mm=thickness_mm)
    return width_mm * thickness_mm


def angle_area_mm2(leg_a_mm: float, leg_b_mm: float, thickness_mm: float) -> float:
    """The section of an angle, without its fillet and rounded toes.

    Source: plane geometry, (a + b - t) t.

    Args:
        leg_a_mm: One leg, over the heel [mm].
        leg_b_mm: The other leg, over the heel [mm].
        thickness_mm: Thickness of the legs [mm].

    Returns:
        The area [mm²].

    Raises:
        BadValue: When an argument is not above zero or a leg is no longer than the thickness.

    Example:
        >>> angle_area_mm2(75.0, 75.0, 6.0)
        864.0
    """
    require_positive(leg_a_mm=leg_a_mm, leg_b_mm=leg_b_mm, thickness_mm=thickness_mm)
    _require_below("thickness_mm", thickness_mm, "the shorter leg", min(leg_a_mm, leg_b_mm))
    return (leg_a_mm + leg_b_mm - thickness_mm) * thickness_mm


def round_bar_area_mm2(diameter_mm: float) -> float:
    """The section of a round bar.

    Source: plane geometry.

    Args:
        diameter_mm: Diameter of the bar [mm].

    Returns:
        The area [mm²].

    Raises:
        BadValue: When the diameter is not above zero.

    Example:
        >>> round(round_bar_area_mm2(20.0), 2)
        314.16
    """
    require_positive(diameter_mm=diameter_mm)
    return pi * diameter_mm**2 / 4


def square_bar_area_mm2(side_mm: float) -> float:
    """The section of a square bar with sharp corners.

    Source: plane geometry.

    Args:
        side_mm: Side of the bar [mm].

    Returns:
        The area [mm²].

    Raises:
        BadValue: When the side is not above zero.

    Example:
        >>> square_bar_area_mm2(20.0)
        400.0
    """
    require_positive(side_mm=side_mm)
    return side_mm**2


def round_tube_area_mm2(outside_mm: float, wall_mm: float) -> float:
    """The section of a round tube or pipe.

    Source: plane geometry.

    Args:
        outside_mm: Outside diameter [mm].
        wall_mm: Wall [mm].

    Returns:
        The area [mm²].

    Raises:
        BadValue: When an argument is not above zero or the wall leaves no bore.

    Example:
        >>> round(round_tube_area_mm2(48.3, 3.68), 1)
        515.9
    """
    _require_bore(outside_mm, wall_mm)
    return pi * wall_mm * (outside_mm - wall_mm)


def rectangular_tube_area_mm2(width_mm: float, height_mm: float, wall_mm: float) -> float:
    """The section of a square or rectangular tube, its corners taken as sharp.

    Source: plane geometry; sharp corners make it a few percent too large, on the safe side.

    Args:
        width_mm: Outside width [mm].
        height_mm: Outside height; the width again for a square [mm].
        wall_mm: Wall [mm].

    Returns:
        The area [mm²].

    Raises:
        BadValue: When an argument is not above zero or the wall leaves no bore.

    Example:
        >>> rectangular_tube_area_mm2(25.0, 25.0, 2.0)
        184.0
    """
    require_positive(width_mm=width_mm, height_mm=height_mm)
    _require_bore(min(width_mm, height_mm), wall_mm)
    return 2 * wall_mm * (width_mm + height_mm - 2 * wall_mm)


def channel_area_mm2(
    depth_mm: float, flange_mm: float, web_thickness_mm: float, flange_thickness_mm: float
) -> float:
    """The section of a channel: two flanges and the web between them.

    Source: plane geometry, without fillets; a tapered flange is given by its mean thickness.

    Args:
        depth_mm: Depth of the channel, outside to outside of the flanges [mm].
        flange_mm: Width of a flange, from the back of the web [mm].
        web_thickness_mm: Thickness of the web [mm].
        flange_thickness_mm: Thickness of a flange [mm].

    Returns:
        The area [mm²].

    Raises:
        BadValue: When an argument is not above zero, the flanges fill the depth, or the web is as
            thick as the flange is wide.

    Example:
        >>> channel_area_mm2(100.0, 50.0, 6.0, 8.0)
        1304.0
    """
    require_positive(
        depth_mm=depth_mm,
        flange_mm=flange_mm,
        web_thickness_mm=web_thickness_mm,
        flange_thickness_mm=flange_thickness_mm,
    )
    _require_below("flange_thickness_mm", flange_thickness_mm, "half the depth", depth_mm / 2)
    _require_below("web_thickness_mm", web_thickness_mm, "the flange", flange_mm)
    web_mm2 = (depth_mm - 2 * flange_thickness_mm) * web_thickness_mm
    return 2 * flange_mm * flange_thickness_mm + web_mm2


def _require_bore(outside_mm: float, wall_mm: float) -> None:
    require_positive(outside_mm=outside_mm, wall_mm=wall_mm)
    _require_below("wall_mm", wall_mm, "half the outside", outside_mm / 2)


def _require_below(name: str, value_mm: float, what: str, limit_mm: float) -> None:
    if not falls_short(value_mm, limit_mm):
        message = f"{name}={value_mm:g} must be below {what}, {limit_mm:g} mm"
        raise BadValue(message, way_out="check the sizes, or give it as a solid bar")
