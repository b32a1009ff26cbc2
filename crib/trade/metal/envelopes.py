"""What a station is proven for: points of size and thickness, read as a staircase.

Between two points nothing is known, so nothing is read off between them: a job fits when one point
covers both its size and its thickness.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from crib.trade.common.guards import require_positive
from crib.trade.common.verdicts import falls_short


@dataclass(frozen=True, slots=True, order=True)
class EnvelopePoint:
    """One proven point, in the station's reference steel: this size in this thickness."""

    size_mm: float
    thickness_mm: float

    def __post_init__(self) -> None:
        """Refuse what is not a point."""
        require_positive(size_mm=self.size_mm, thickness_mm=self.thickness_mm)

    def covers(self, size_mm: float, thickness_mm: float) -> bool:
        """Whether a job stays inside this point in both directions; at the limit is inside."""
        within_size = not falls_short(self.size_mm, size_mm)
        return within_size and not falls_short(self.thickness_mm, thickness_mm)


def fits(
    points: Iterable[EnvelopePoint], size_mm: float, thickness_mm: float
) -> EnvelopePoint | None:
    """The point of an envelope that covers a job, the smallest of them when there are several.

    Source: common practice (staircase: one point has size and thickness at least the job's).

    Args:
        points: The proven points of one operation at one angle [mm].
        size_mm: Width, leg, diameter or length of the job; the longer leg of an angle [mm].
        thickness_mm: Thickness in the reference steel, see ``scaled_thickness_mm`` [mm].

    Returns:
        The covering point, or ``None`` when no single one covers it [mm].

    Raises:
        BadValue: When size or thickness is not above zero.

    Example:
        >>> straight = [EnvelopePoint(100.0, 10.0), EnvelopePoint(150.0, 6.0)]
        >>> fits(straight, 90.0, 8.0), fits(straight, 120.0, 8.0)
        (EnvelopePoint(size_mm=100.0, thickness_mm=10.0), None)
    """
    require_positive(size_mm=size_mm, thickness_mm=thickness_mm)
    return min((point for point in points if point.covers(size_mm, thickness_mm)), default=None)


def scaled_thickness_mm(
    thickness_mm: float, multiplier_job: float, multiplier_reference: float = 1.0
) -> float:
    """The thickness of reference steel that loads a station no less than the job does.

    Source: shop rule (thickness times the multiplier at the same size; a raked blade goes with the
    root of it, so this is on the safe side). A softer material is given no credit, because there
    the root is the greater of the two, and because a blade gap and a hold-down know only thickness.

    Args:
        thickness_mm: Thickness of the job [mm].
        multiplier_job: The job's force against hot-rolled mild steel [-].
        multiplier_reference: The same of the steel that the envelope is stated in [-].

    Returns:
        The thickness to look for in the envelope, never less than the job's own [mm].

    Raises:
        BadValue: When an argument is not above zero.

    Example:
        >>> scaled_thickness_mm(10.0, 1.5), scaled_thickness_mm(10.0, 0.6)
        (15.0, 10.0)
    """
    require_positive(
        thickness_mm=thickness_mm,
        multiplier_job=multiplier_job,
        multiplier_reference=multiplier_reference,
    )
    return thickness_mm * max(1.0, multiplier_job / multiplier_reference)


def nearest_limit(points: Iterable[EnvelopePoint], size_mm: float) -> float | None:
    """The greatest thickness that an envelope is proven for at a size.

    Source: common practice (staircase, no figure between two points).

    Args:
        points: The proven points of one operation at one angle [mm].
        size_mm: Width, leg, diameter or length of the job [mm].

    Returns:
        The greatest thickness, or ``None`` when the size itself is beyond every point [mm].

    Raises:
        BadValue: When the size is not above zero.

    Example:
        >>> straight = [EnvelopePoint(100.0, 10.0), EnvelopePoint(150.0, 6.0)]
        >>> nearest_limit(straight, 100.0), nearest_limit(straight, 101.0)
        (10.0, 6.0)
    """
    require_positive(size_mm=size_mm)
    reaching = (point for point in points if not falls_short(point.size_mm, size_mm))
    return max((point.thickness_mm for point in reaching), default=None)
