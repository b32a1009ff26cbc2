"""Brake bending: the vee for a thickness, the force it takes, and what comes out of it.

Three constants are in use for the same force and they differ by a fifth; a figure is only worth
something when it says which one was taken.
"""

from __future__ import annotations

from math import radians

from crib.errors import BadValue, UnknownName
from crib.trade.common.guards import require_not_negative, require_positive
from crib.trade.common.published_tables import MM_PER_INCH
from crib.trade.common.verdicts import Verdict, exceeds, falls_short
from crib.trade.metal.materials import Family

# F = constant x tensile x length x thickness² / vee.
# Groover, Fundamentals of Modern Manufacturing, 5th ed., Eq. 19.8, V-bending.
V_DIE_TEXTBOOK = 1.33
# Common practice of metric charts, air bending.
AIR_BEND_METRIC = 1.42
# Common practice of inch charts: US tons per foot = 575 t² / V for steel of 60 ksi, which is 1.597.
AIR_BEND_INCH_575 = 575 * 2000 / (12 * 60_000)

# The 60 ksi of the inch charts, which other materials' factors are counted against.
CHART_TENSILE_MPA = 413.685

# Common practice; above the plain ratio of strengths, because stainless hardens as it bends.
_STAINLESS_FACTOR = 1.55

# Common practice: up to and with a thickness, the vee in thicknesses. Metric charts step at 12 mm;
# the half inch is kept in the narrower step, where inch charts have it.
_STEEP_BELOW_MM = 3.0
_VEE_STEPS = ((8.0, 8.0), (MM_PER_INCH / 2, 10.0))
_WIDEST_FACTOR = 12.0


def vee_factor(thickness_mm: float) -> float:
    """How many thicknesses wide the vee is by rule.

    Source: common practice (6 below 3 mm, 8 to 8 mm, 10 to 1/2 in, 12 above).

    Args:
        thickness_mm: Plate thickness [mm].

    Returns:
        The vee's opening over the thickness [-].

    Raises:
        BadValue: When the thickness is not above zero.

    Example:
        >>> vee_factor(2.0), vee_factor(6.0), vee_factor(10.0), vee_factor(16.0)
        (6.0, 8.0, 10.0, 12.0)
    """
    require_positive(thickness_mm=thickness_mm)
    if falls_short(thickness_mm, _STEEP_BELOW_MM):
        return 6.0
    within = (factor for most_mm, factor in _VEE_STEPS if not exceeds(thickness_mm, most_mm))
    return next(within, _WIDEST_FACTOR)


def vee_opening_mm(thickness_mm: float) -> float:
    """The opening of the vee by rule; a narrower one takes more force and may crack the bend.

    Source: common practice (see ``vee_factor``).

    Args:
        thickness_mm: Plate thickness [mm].

    Returns:
        The opening [mm].

    Raises:
        BadValue: When the thickness is not above zero.

    Example:
        >>> vee_opening_mm(6.0)
        48.0
    """
    return thickness_mm * vee_factor(thickness_mm)


def bend_force_n(
    tensile_mpa: float,
    length_mm: float,
    thickness_mm: float,
    vee_mm: float,
    constant: float = AIR_BEND_METRIC,
) -> float:
    """The force to bend a plate over a vee.

    Source: Groover, Fundamentals of Modern Manufacturing, 5th ed., Eq. 19.8 (F = K TS w t² / D);
    the constants of air-bending charts are common practice.

    Args:
        tensile_mpa: Tensile strength of the plate [MPa].
        length_mm: Length of the bend [mm].
        thickness_mm: Plate thickness [mm].
        vee_mm: Opening of the vee [mm].
        constant: ``V_DIE_TEXTBOOK``, ``AIR_BEND_METRIC`` or ``AIR_BEND_INCH_575`` [-].

    Returns:
        The greatest force of the bend [N].

    Raises:
        BadValue: When an argument is not above zero.

    Example:
        >>> round(bend_force_n(430.0, 600.0, 6.0, 40.0))
        329724
    """
    require_positive(tensile_mpa=tensile_mpa, length_mm=length_mm, constant=constant)
    require_positive(thickness_mm=thickness_mm, vee_mm=vee_mm)
    return constant * tensile_mpa * length_mm * thickness_mm**2 / vee_mm


def bend_factor(family: Family, tensile_mpa: float) -> float:
    """What a chart's force for 60 ksi steel is multiplied by for another material.

    Source: common practice (stainless 1.55; aluminium 0.35 to 0.75, which is its tensile strength
    over the chart's). It is for charts: ``bend_force_n`` has the tensile strength in it already.

    Args:
        family: The material's family, such as ``stainless`` [text].
        tensile_mpa: Tensile strength of the plate [MPa].

    Returns:
        The factor [-].

    Raises:
        BadValue: When the tensile strength is not above zero.
        UnknownName: When the family is one that charts say nothing of.

    Example:
        >>> bend_factor("stainless", 515.0), round(bend_factor("aluminium", 228.0), 2)
        (1.55, 0.55)
    """
    require_positive(tensile_mpa=tensile_mpa)
    if family not in ("mild", "hsla", "stainless", "aluminium"):
        message = f"no bend factor for {family}; known: mild, hsla, stainless, aluminium"
        raise UnknownName(message, way_out="reckon the force from its own tensile strength")
    ratio = tensile_mpa / CHART_TENSILE_MPA
    return max(_STAINLESS_FACTOR, ratio) if family == "stainless" else ratio


def inside_radius_mm(vee_mm: float) -> float:
    """The inside radius that air bending leaves in mild steel, whatever the punch's own.

    Source: common practice (V / 6; larger in stainless, smaller in soft aluminium).

    Args:
        vee_mm: Opening of the vee [mm].

    Returns:
        The inside radius [mm].

    Raises:
        BadValue: When the opening is not above zero.

    Example:
        >>> inside_radius_mm(48.0)
        8.0
    """
    require_positive(vee_mm=vee_mm)
    return vee_mm / 6


def least_flange_mm(vee_mm: float) -> float:
    """The shortest flange that still spans the vee; a shorter one drops in.

    Source: common practice (0.7 V).

    Args:
        vee_mm: Opening of the vee [mm].

    Returns:
        The least flange [mm].

    Raises:
        BadValue: When the opening is not above zero.

    Example:
        >>> round(least_flange_mm(50.0), 6)
        35.0
    """
    require_positive(vee_mm=vee_mm)
    return 0.7 * vee_mm


def flange_verdict(flange_mm: float, vee_mm: float) -> Verdict:
    """Whether a vee can bend a flange.

    Source: common practice (see ``least_flange_mm``).

    Args:
        flange_mm: Flange to be bent [mm].
        vee_mm: Opening of the vee [mm].

    Returns:
        The verdict [text].

    Raises:
        BadValue: When an argument is not above zero.

    Example:
        >>> flange_verdict(30.0, 40.0), flange_verdict(30.0, 50.0)
        ('ok', 'refuse')
    """
    require_positive(flange_mm=flange_mm)
    return "refuse" if falls_short(flange_mm, least_flange_mm(vee_mm)) else "ok"


def bend_allowance_mm(angle_deg: float, inside_radius_mm: float, thickness_mm: float) -> float:
    """The length of plate that a bend takes up, along its neutral line.

    Source: Groover, Fundamentals of Modern Manufacturing, 5th ed., Eq. 19.6 (2 pi a/360 (R + K t),
    K = 0.33 when R < 2 t, else 0.50).

    Args:
        angle_deg: Angle the plate is turned by, 180 less the included angle [deg].
        inside_radius_mm: Inside radius of the bend [mm].
        thickness_mm: Plate thickness [mm].

    Returns:
        The allowance, to be added to the flats on both sides [mm].

    Raises:
        BadValue: When the thickness is not above zero, the radius is negative, or the angle is not
            above 0 and up to 180.

    Example:
        >>> round(bend_allowance_mm(60.0, 4.75, 3.2), 2)
        6.08
    """
    require_positive(thickness_mm=thickness_mm)
    require_not_negative(inside_radius_mm=inside_radius_mm)
    if not 0 < angle_deg <= 180:
        message = f"angle_deg={angle_deg:g} must be above 0, to 180"
        raise BadValue(message, way_out="count the angle the plate is turned by, 90 for a corner")
    tight = falls_short(inside_radius_mm, 2 * thickness_mm)
    neutral_share = 0.33 if tight else 0.50
    return radians(angle_deg) * (inside_radius_mm + neutral_share * thickness_mm)
