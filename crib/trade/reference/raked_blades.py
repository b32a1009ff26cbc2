"""What a cut costs with a raked blade, and what a pivoting one has left farther out."""

from __future__ import annotations

from math import radians, tan

from crib.errors import BadValue
from crib.trade.common.guards import require_not_negative, require_positive
from crib.trade.metal.force import punching_force_n
from crib.trade.reference.face_bevels import bevel_face_force_n


def raked_blade_force_n(
    shear_mpa: float, thickness_mm: float, rake_deg: float, penetration: float = 0.5
) -> float:
    """The force of a raked blade in the middle of a long cut, whatever the plate's width.

    Source: from memory (about 0.5 S t² / tan(rake), finer forms 0.3 to 0.6). The factor is read as
    the share the blade sinks in, which makes it the wide end of ``raked_cut_force_n``.

    Args:
        shear_mpa: Shear strength of the plate [MPa].
        thickness_mm: Plate thickness [mm].
        rake_deg: Angle between the blades, above 0 and below 45 [deg].
        penetration: Share of the thickness the blade sinks in before the plate parts [-].

    Returns:
        The steady force of the cut [N].

    Raises:
        BadValue: When strength or thickness is not above zero, or rake or share is outside its
            range.

    Example:
        >>> round(raked_blade_force_n(350.0, 6.0, 2.0))
        180408
    """
    require_positive(shear_mpa=shear_mpa, thickness_mm=thickness_mm, rake_deg=rake_deg)
    _require_rake(rake_deg, penetration)
    return penetration * shear_mpa * thickness_mm**2 / tan(radians(rake_deg))


def raked_cut_force_n(
    shear_mpa: float,
    width_mm: float,
    thickness_mm: float,
    rake_deg: float,
    penetration: float = 0.5,
) -> float:
    """The peak force of a raked blade on a cut of a given width.

    Source: GATE ME 2010 linked questions (F k t / (k t + s), s the blade's rise over the cut); for
    a wide cut it nears ``raked_blade_force_n``, for no rake the flat blade's force.

    Args:
        shear_mpa: Shear strength of the plate [MPa].
        width_mm: Length of the cut [mm].
        thickness_mm: Plate thickness [mm].
        rake_deg: Angle between the blades, 0 to below 45 [deg].
        penetration: Share of the thickness the blade sinks in before the plate parts [-].

    Returns:
        The peak force [N].

    Raises:
        BadValue: When a strength or size is not above zero, or rake or share is outside its range.

    Example:
        >>> round(raked_cut_force_n(100.0, 200.0, 5.0, 2.8624, penetration=0.2))
        9091
    """
    require_not_negative(rake_deg=rake_deg)
    _require_rake(rake_deg, penetration)
    flat_n = punching_force_n(width_mm, thickness_mm, shear_mpa)
    rise_mm = width_mm * tan(radians(rake_deg))
    return bevel_face_force_n(flat_n, thickness_mm, rise_mm, penetration)


def lever_force_n(
    reference_force_n: float, reference_distance_mm: float, distance_mm: float
) -> float:
    """What a pivoting blade can give at a distance from its pivot.

    Source: common practice (lever: F x_ref / x); stay between the marks of the machine's manual.

    Args:
        reference_force_n: Force at the point the rating is stated for [N].
        reference_distance_mm: That point's distance from the pivot [mm].
        distance_mm: The stock's distance from the pivot, its far edge when it is wide [mm].

    Returns:
        The force there [N].

    Raises:
        BadValue: When an argument is not above zero.

    Example:
        >>> lever_force_n(400_000.0, 150.0, 300.0)
        200000.0
    """
    require_positive(
        reference_force_n=reference_force_n,
        reference_distance_mm=reference_distance_mm,
        distance_mm=distance_mm,
    )
    return reference_force_n * (reference_distance_mm / distance_mm)


def _require_rake(rake_deg: float, penetration: float) -> None:
    if not rake_deg < 45:
        message = f"rake_deg={rake_deg:g} must be below 45"
        raise BadValue(message, way_out="blades are raked by 0.5 to 10 degrees")
    if not 0 < penetration <= 1:
        message = f"penetration={penetration:g} must be above 0, to 1"
        raise BadValue(message)
