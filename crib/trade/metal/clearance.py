"""Die clearance: what the chart says, what a percentage says, and which gaps are too much.

Clearance is the total one, die opening less punch, unless a name says *per side*.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from crib.errors import UnknownName
from crib.trade.common.guards import require_positive
from crib.trade.common.published_tables import read_table, table_length_mm
from crib.trade.common.verdicts import Verdict, exceeds, falls_short, remains

Policy = Literal["clean_hole", "tool_life"]
System = Literal["inch", "metric"]

# Sizes are compared with 0.05 mm (0.002 in) of tolerance; a chart step is met within the same.
_STEP_TOLERANCE_MM = 0.05


@dataclass(frozen=True, slots=True)
class ClearanceStep:
    """One step of the shop chart: the total clearance, from low to high."""

    low_mm: float
    high_mm: float

    @property
    def middle_mm(self) -> float:
        """The middle of the step."""
        return (self.low_mm + self.high_mm) / 2


@dataclass(frozen=True, slots=True)
class ClearanceBands:
    """Where a clearance becomes tight, wide or too much, in percent of the thickness."""

    refuse_below_pct: float = 5.0
    tight_below_pct: float = 8.0
    wide_above_pct: float = 25.0
    refuse_above_pct: float = 40.0


_DEFAULT_BANDS = ClearanceBands()


def chart_step(thickness_mm: float, system: System) -> ClearanceStep:
    """The clearance that the shop chart gives for a thickness.

    Source: common practice (steps of 1/64, 1/32, 1/16, 3/32 and 1/8 in, and their metric
    counterparts, as public shop charts print them); table clearance_steps.csv.

    Args:
        thickness_mm: Plate thickness [mm].
        system: Which chart, ``inch`` or ``metric`` [text].

    Returns:
        The step, low and high equal where the chart prints one figure [mm].

    Raises:
        BadValue: When the thickness is not above zero.
        UnknownName: When there is no such chart.

    Example:
        >>> chart_step(9.525, "inch").low_mm
        0.79375
    """
    require_positive(thickness_mm=thickness_mm)
    rows = [row for row in read_table("clearance_steps") if row["system"] == system]
    if not rows:
        message = f"unknown clearance chart {system!r}; known: inch, metric"
        raise UnknownName(message)
    reached = [row for row in rows if _reaches(thickness_mm, row)]
    row = reached[-1]
    low, high = (table_length_mm(row[end], row["unit"]) for end in ("low", "high"))
    return ClearanceStep(low, high)


def _reaches(thickness_mm: float, row: dict[str, str]) -> bool:
    start_mm = table_length_mm(row["from"], row["unit"])
    if row["from_included"] == "yes":
        return not falls_short(thickness_mm, start_mm)
    return exceeds(thickness_mm, start_mm)


def total_clearance_mm(punch_mm: float, die_mm: float) -> float:
    """Die opening less punch, in the same direction; zero or less means they cannot run together.

    Source: common practice (shops speak of total clearance).

    Args:
        punch_mm: Size of the punch's point [mm].
        die_mm: Size of the die's opening in the same direction [mm].

    Returns:
        The total clearance, negative when the die is the smaller [mm].

    Raises:
        BadValue: When a size is not above zero.

    Example:
        >>> total_clearance_mm(22.0, 24.0)
        2.0
    """
    require_positive(punch_mm=punch_mm, die_mm=die_mm)
    return die_mm - punch_mm


def percent_of_thickness(clearance_mm: float, thickness_mm: float) -> float:
    """A clearance as a percentage of the plate's thickness.

    Source: common practice.

    Args:
        clearance_mm: Total clearance [mm].
        thickness_mm: Plate thickness [mm].

    Returns:
        The percentage [%].

    Raises:
        BadValue: When the thickness is not above zero.

    Example:
        >>> round(percent_of_thickness(2.0, 12.0), 1)
        16.7
    """
    require_positive(thickness_mm=thickness_mm)
    return 100 * clearance_mm / thickness_mm


def policy_clearance_mm(
    policy: Policy, thickness_mm: float, tool_life_pct: float, system: System
) -> float:
    """The clearance a shop aims at: the middle of the chart's step, or a percentage for tool life.

    Source: shop rule (two policies, because public charts and tool-life guides disagree).

    Args:
        policy: ``clean_hole`` for the chart, ``tool_life`` for the percentage [text].
        thickness_mm: Plate thickness [mm].
        tool_life_pct: The material's percentage of the thickness for long life [%].
        system: Which chart, ``inch`` or ``metric`` [text].

    Returns:
        The total clearance aimed at [mm].

    Raises:
        BadValue: When thickness or percentage is not above zero.
        UnknownName: When the policy or the chart is not known.

    Example:
        >>> round(policy_clearance_mm("tool_life", 10.0, 15.0, "metric"), 2)
        1.5
        >>> policy_clearance_mm("clean_hole", 10.0, 15.0, "metric")
        0.8
    """
    require_positive(thickness_mm=thickness_mm, tool_life_pct=tool_life_pct)
    if policy == "clean_hole":
        return chart_step(thickness_mm, system).middle_mm
    if policy == "tool_life":
        return thickness_mm * tool_life_pct / 100
    message = f"unknown clearance policy {policy!r}; known: clean_hole, tool_life"
    raise UnknownName(message)


def clearance_verdict(
    clearance_mm: float,
    thickness_mm: float,
    step: ClearanceStep,
    bands: ClearanceBands = _DEFAULT_BANDS,
) -> Verdict:
    """What a clearance means; the chart's own step is always ok, whatever percentage it makes.

    Source: shop rule (below 5 % refuse, to 8 % tight, to 25 % ok, to 40 % wide, above refuse); that
    a die not larger than its punch destroys both is common practice.

    Args:
        clearance_mm: Total clearance [mm].
        thickness_mm: Plate thickness [mm].
        step: The chart's step for this thickness [mm].
        bands: The percentages at which the verdict changes [%].

    Returns:
        The verdict [text].

    Raises:
        BadValue: When the thickness is not above zero.

    Example:
        >>> clearance_verdict(0.79375, 12.0, ClearanceStep(0.79375, 0.79375))
        'ok'
        >>> clearance_verdict(0.0, 12.0, ClearanceStep(0.79375, 0.79375))
        'refuse'
    """
    percent = percent_of_thickness(clearance_mm, thickness_mm)
    if not remains(clearance_mm):
        return "refuse"
    if _on_step(clearance_mm, step):
        return "ok"
    if falls_short(percent, bands.refuse_below_pct) or exceeds(percent, bands.refuse_above_pct):
        return "refuse"
    if falls_short(percent, bands.tight_below_pct) or exceeds(percent, bands.wide_above_pct):
        return "caution"
    return "ok"


def _on_step(clearance_mm: float, step: ClearanceStep) -> bool:
    return not (
        falls_short(clearance_mm, step.low_mm - _STEP_TOLERANCE_MM)
        or exceeds(clearance_mm, step.high_mm + _STEP_TOLERANCE_MM)
    )
