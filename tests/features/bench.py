"""A bench for the rules: tools, seats, stations and plates made in a line each, without a crib."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from crib.features.common.case import Circumstances, Plate
from crib.features.common.findings import Finding
from crib.features.common.plate_phrase import Reading
from crib.features.common.tooling import Adapter, Seat, Station, Tool, ToolingSet
from crib.features.holes.hole import Hole
from crib.features.holes.pair_case import PairCase
from crib.features.holes.pair_checks import judge_pair
from crib.trade.metal.shapes import Outline, Shape
from crib.trade.shop.shop_rules import Rules
from crib.units import N_PER_US_TON, read_length_mm

INCH = 25.4
FACTS = Circumstances()
INCH_RULES = Rules.defaults()
METRIC_RULES = INCH_RULES.with_changes(
    {
        "crib.unit": "mm",
        "crib.force_unit": "kN",
        "material.default": "S275",
        "clearance.policy": "tool_life",
    }
)
IN, MM = Reading(INCH_RULES), Reading(METRIC_RULES)
SEAT_A = Seat("A", 40.0, 6.0, 32.0, 33.0, 70.0, 54.0, 29.0, keyed=True)


def mm(text: str) -> float:
    """A size in shop spelling."""
    return read_length_mm(text, "in")


def plate(thickness_mm: float, material: str = "A36", rules: Rules = INCH_RULES) -> Plate:
    """A plate of a material."""
    return Plate(thickness_mm, rules.material(material))


def hole(width_mm: float, thickness_mm: float, material: str = "A36") -> Hole:
    """A round hole."""
    return Hole(Outline("round", width_mm, width_mm), plate(thickness_mm, material))


def case(
    width_mm: float,
    thickness_mm: float,
    material: str = "A36",
    *,
    shape: Shape = "round",
    long_mm: float | None = None,
    rules: Rules = INCH_RULES,
    facts: Circumstances = FACTS,
    bolt_mm: float | None = None,
    to_ream: bool = False,
) -> PairCase:
    """A hole as the pair rules look at it."""
    outline = Outline(shape, width_mm, long_mm or width_mm)
    plated = plate(thickness_mm, material, rules)
    return PairCase(plated, rules, facts, outline, bolt_mm, to_ream)


def tool(role: str, width_mm: float, long_mm: float | None = None, **changes: Any) -> Tool:
    """A tool, round and in seat A unless said otherwise."""
    columns: dict[str, Any] = {
        "role": role,
        "shape": "round",
        "width_mm": width_mm,
        "long_mm": long_mm or width_mm,
        "seat": SEAT_A,
        "tag": f"{role[0].upper()}-1",
        "place": "A1",
    }
    return Tool(**(columns | changes))


def station(rated_force_n: float | None = 50 * N_PER_US_TON, **changes: Any) -> Station:
    """A station that accepts seat A."""
    columns: dict[str, Any] = {
        "id": 1,
        "machine": "Ironworker 1",
        "name": "punch",
        "rated_force_n": rated_force_n,
        "seats": frozenset({"A"}),
    }
    return Station(**(columns | changes))


def mounted(
    *tools: Tool, at: Station | None = None, adapters: dict[str, Adapter] | None = None
) -> ToolingSet:
    """Tools in a station."""
    return ToolingSet({one.role: one for one in tools}, at or station(), adapters or {})


def judged(asked: PairCase, *tools: Tool, **where: Any) -> list[Finding]:
    """Everything the pair rules say."""
    return list(judge_pair(asked, mounted(*tools, **where)))


def only(findings: Iterable[Finding], rule: str) -> Finding:
    """The one finding of a rule."""
    (found,) = [one for one in findings if one.rule == rule]
    return found


def shaped(role: str, width_mm: float, long_mm: float, **changes: Any) -> Tool:
    """A rectangular tool, keyed at 0 and 90 degrees."""
    return tool(
        role, width_mm, long_mm, **({"shape": "rectangle", "key_angles": (0, 90)} | changes)
    )
