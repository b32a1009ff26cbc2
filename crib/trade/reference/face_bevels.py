"""What a bevel or roof on a punch's face spares: the same work, over more of the stroke."""

from __future__ import annotations

from crib.trade.common.guards import require_not_negative, require_positive


def bevel_face_force_n(
    force_n: float, thickness_mm: float, bevel_depth_mm: float, penetration_ratio: float = 0.35
) -> float:
    """The peak force with a bevel or roof on the punch's face; the work stays the same.

    Source: GATE ME 2010 linked questions and Groover, 5th ed., Section 19.1.2 (F k t / (k t + s));
    k = 0.35 for steel is handbook knowledge, from memory.

    Args:
        force_n: Force with a flat face [N].
        thickness_mm: Plate thickness [mm].
        bevel_depth_mm: Depth of the bevel or roof; 0 is flat [mm].
        penetration_ratio: Share of the thickness the punch sinks in before the slug breaks [-].

    Returns:
        The reduced peak force [N].

    Raises:
        BadValue: When force, thickness or ratio is not above zero, or the depth is negative.

    Example:
        >>> round(bevel_face_force_n(100_000.0, 5.0, 10.0, penetration_ratio=0.2))
        9091
    """
    require_positive(
        force_n=force_n, thickness_mm=thickness_mm, penetration_ratio=penetration_ratio
    )
    require_not_negative(bevel_depth_mm=bevel_depth_mm)
    sinks_in_mm = penetration_ratio * thickness_mm
    return force_n * (sinks_in_mm / (sinks_in_mm + bevel_depth_mm))


def punching_energy_j(force_n: float, thickness_mm: float, penetration_ratio: float) -> float:
    """The work of one stroke, taking the full force over the depth the punch sinks in.

    Source: GATE ME 2010 linked questions (work = F k t, a rectangular force curve).

    Args:
        force_n: Greatest force of the stroke [N].
        thickness_mm: Plate thickness [mm].
        penetration_ratio: Share of the thickness the punch sinks in before the slug breaks [-].

    Returns:
        The work of the stroke [J].

    Raises:
        BadValue: When an argument is not above zero.

    Example:
        >>> punching_energy_j(100_000.0, 5.0, 0.2)
        100.0
    """
    require_positive(
        force_n=force_n, thickness_mm=thickness_mm, penetration_ratio=penetration_ratio
    )
    return force_n * penetration_ratio * thickness_mm / 1000
