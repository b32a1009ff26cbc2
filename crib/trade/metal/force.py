"""What a hole costs in force, and what a station may be loaded to."""

from __future__ import annotations

from math import pi

from crib.errors import BadValue
from crib.trade.common.guards import require_not_negative, require_positive
from crib.trade.common.published_tables import MM_PER_INCH
from crib.trade.common.verdicts import Verdict, exceeds

# 1 lbf by definition: 0.45359237 kg x 9.80665 m/s2.
_NEWTON_PER_POUND_FORCE = 4.4482216152605
_POUNDS_PER_US_TON = 2000

# Common practice: US tons = 80 x diameter x thickness (inches) for mild steel. Spread over the cut
# (pi x diameter x thickness) that is 80 x 2000 / pi psi, the same for every outline.
RULE_80_SHEAR_MPA = 80 * _POUNDS_PER_US_TON * _NEWTON_PER_POUND_FORCE / (pi * MM_PER_INCH**2)

# Press tool calculation, teaching module 2: shear strength = 0.8 of tensile strength.
_SHEAR_SHARE_OF_TENSILE = 0.8


def rule_80_shear_mpa(multiplier: float) -> float:
    """The shear strength that the rule of 80 stands for, in a given material.

    Source: common practice (US tons = 80 d t in inches for mild steel, times the material's
    multiplier).

    Args:
        multiplier: The material's force against hot-rolled mild steel [-].

    Returns:
        The shear strength to reckon with [MPa].

    Raises:
        BadValue: When the multiplier is not above zero.

    Example:
        >>> round(rule_80_shear_mpa(1.0), 2)
        351.15
    """
    require_positive(multiplier=multiplier)
    return RULE_80_SHEAR_MPA * multiplier


def tensile_shear_mpa(tensile_mpa: float) -> float:
    """The shear strength of the stricter convention, which takes it equal to the tensile strength.

    Source: common practice (public charts with 102 for 65 ksi, that is (pi/2) UTS, instead of 80).

    Args:
        tensile_mpa: Tensile strength of the material [MPa].

    Returns:
        The shear strength to reckon with [MPa].

    Raises:
        BadValue: When the tensile strength is not above zero.

    Example:
        >>> tensile_shear_mpa(448.0)
        448.0
    """
    require_positive(tensile_mpa=tensile_mpa)
    return tensile_mpa


def multiplier_from_tensile(tensile_mpa: float) -> float:
    """The multiplier of a material of which only the tensile strength is known.

    Source: Press tool calculation, teaching module 2 (shear strength = 0.8 UTS), over the mild
    steel of the rule of 80.

    Args:
        tensile_mpa: Tensile strength, from the mill's certificate if there is one [MPa].

    Returns:
        The material's force against hot-rolled mild steel [-].

    Raises:
        BadValue: When the tensile strength is not above zero.

    Example:
        >>> round(multiplier_from_tensile(1000.0), 2)
        2.28
    """
    require_positive(tensile_mpa=tensile_mpa)
    return _SHEAR_SHARE_OF_TENSILE * tensile_mpa / RULE_80_SHEAR_MPA


def punching_force_n(perimeter_mm: float, thickness_mm: float, shear_mpa: float) -> float:
    """The force to cut an outline out of a plate with a flat punch.

    Source: Groover, Fundamentals of Modern Manufacturing, 5th ed., Eq. 19.4 (F = S t L).

    Args:
        perimeter_mm: Length of the cut all round [mm].
        thickness_mm: Plate thickness [mm].
        shear_mpa: Shear strength of the plate [MPa].

    Returns:
        The greatest force of the stroke [N].

    Raises:
        BadValue: When an argument is not above zero.

    Example:
        >>> round(punching_force_n(471.2389, 3.2, 310.0))
        467469
    """
    require_positive(perimeter_mm=perimeter_mm, thickness_mm=thickness_mm, shear_mpa=shear_mpa)
    return shear_mpa * thickness_mm * perimeter_mm


def stripping_force_n(force_n: float, fraction: float = 0.20) -> float:
    """The force that pulls the punch out of the plate again.

    Source: Press tool calculation, teaching module 2 (20 % of the cutting force in its example);
    10 to 20 % is common practice, up to 30 % when the clearance is tight.

    Args:
        force_n: Force of the cut [N].
        fraction: Share of the cutting force that stripping takes [-].

    Returns:
        The stripping force [N].

    Raises:
        BadValue: When the force is not above zero or the share is negative.

    Example:
        >>> stripping_force_n(100_800.0)
        20160.0
    """
    require_positive(force_n=force_n)
    require_not_negative(fraction=fraction)
    return force_n * fraction


def station_limit_n(rated_force_n: float, derate: float) -> float:
    """What a station may be loaded to, after the share the shop takes off its rating.

    Source: shop rule (a rated figure can be 10 to 15 % above what a station really makes; 0 unless
    the shop has measured its own).

    Args:
        rated_force_n: Force on the station's plate [N].
        derate: Share taken off, 0 to below 1 [-].

    Returns:
        The force the station may be loaded to [N].

    Raises:
        BadValue: When the rating is not above zero or the share is not 0 to below 1.

    Example:
        >>> station_limit_n(450_000.0, 0.1)
        405000.0
    """
    require_positive(rated_force_n=rated_force_n)
    if not 0 <= derate < 1:
        message = f"derate={derate:g} must be 0 to below 1"
        raise BadValue(message)
    return rated_force_n * (1 - derate)


def load(force_n: float, limit_n: float) -> float:
    """The share of a station's limit that a stroke takes.

    Source: common practice (force over rating).

    Args:
        force_n: Force of the stroke [N].
        limit_n: Force the station may be loaded to [N].

    Returns:
        The share; 1 is the limit [-].

    Raises:
        BadValue: When an argument is not above zero.

    Example:
        >>> load(225_000.0, 450_000.0)
        0.5
    """
    require_positive(force_n=force_n, limit_n=limit_n)
    return force_n / limit_n


def load_verdict(load: float, caution_above: float = 0.80) -> Verdict:
    """What a load means: ok, a caution near the limit, or a refusal beyond it.

    Source: shop rule (ok to 80 % of the rating, a caution to 100 %); planning to 80 % is common
    practice.

    Args:
        load: Force over what the station may be loaded to [-].
        caution_above: Load above which it is a caution [-].

    Returns:
        The verdict [text].

    Raises:
        BadValue: When an argument is not above zero.

    Example:
        >>> load_verdict(0.49), load_verdict(0.98), load_verdict(1.01)
        ('ok', 'caution', 'refuse')
    """
    require_positive(load=load, caution_above=caution_above)
    if exceeds(load, 1.0):
        return "refuse"
    return "caution" if exceeds(load, caution_above) else "ok"
