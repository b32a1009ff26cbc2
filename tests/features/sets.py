"""Matched sets and stations for notch, vee and corner, in a line each; unions of hits."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from shapely import box, union_all
from shapely.geometry.base import BaseGeometry

from crib.features.common.ask import Ask, Hit
from crib.features.common.findings import Finding, refusals
from crib.features.common.tooling import EnvelopeRow, Station, Tool, ToolingSet
from crib.features.registry import read_phrase
from tests.features.bench import FACTS, IN, INCH_RULES, mounted, station, tool

Listed = tuple[float, float]
"""A size and a thickness, in inches."""


def rows(operation: str, *points: Listed, material: str = "A36") -> tuple[EnvelopeRow, ...]:
    """A list of proven sizes and thicknesses."""
    return tuple(EnvelopeRow(operation, 0.0, s * 25.4, t * 25.4, material) for s, t in points)


def set_of(profile: str, width: float, depth: float | None = None, **changes: Any) -> Tool:
    """A set by its sizes in inches."""
    columns: dict[str, Any] = {
        "shape": "special" if profile == "vee" else "rectangle",
        "profile": profile,
        "depth_mm": None if depth is None else depth * 25.4,
        "tag": "S-1",
    }
    if profile == "vee":
        columns["angle_deg"] = 90.0
    return tool("set", width * 25.4, **(columns | changes))


def notcher(rated_force_n: float | None = None, *points: Listed, **changes: Any) -> Station:
    """A station for sets, with a list of its own for notches when points are given."""
    columns: dict[str, Any] = {"name": "notch", "envelope": rows("notch", *points)}
    return station(rated_force_n, **(columns | changes))


def at(one: Tool, where: Station) -> ToolingSet:
    """A set in a station."""
    return mounted(one, at=where)


def says(ask: Ask, one: Tool, where: Station, **changes: Any) -> list[Finding]:
    """Everything the rules say, in inches unless other rules are given."""
    rules, facts = changes.get("rules", INCH_RULES), changes.get("facts", FACTS)
    return ask.answers(rules, facts).judge(at(one, where))


def stops(ask: Ask, one: Tool, where: Station, **changes: Any) -> set[str]:
    """The rules that refuse."""
    return {finding.rule for finding in refusals(says(ask, one, where, **changes))}


def asked(text: str) -> Ask:
    """A phrase in inches."""
    return read_phrase(text, IN)


def covered(
    hits: Iterable[Hit], width_mm: float, depth_mm: float, *, middle_y_mm: float
) -> BaseGeometry:
    """The union of the hits, each a box of one size, from the middle of the feature."""
    half_x, half_y = width_mm / 2, depth_mm / 2
    return union_all(
        [
            box(
                hit.x_mm - half_x,
                hit.y_mm - middle_y_mm - half_y,
                hit.x_mm + half_x,
                hit.y_mm - middle_y_mm + half_y,
            )
            for hit in hits
        ]
    )
