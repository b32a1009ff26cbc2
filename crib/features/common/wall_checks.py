"""A wall against the walls that a set is stated for: too thin dimples in, too thick overloads it.

A set's walls are stated in mild steel; one of a stronger material counts as thicker. The same for
tubes to be sheared and for pipes and tubes to be saddled.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

from crib.features.common.findings import Finding
from crib.features.common.speech import Speech, Writer
from crib.trade.common.verdicts import Verdict, exceeds, falls_short
from crib.trade.metal.envelopes import scaled_thickness_mm
from crib.trade.metal.materials import Material

PLATE = "the set's own plate"
SCALED = f"{PLATE}; shop rule (a stronger material counts as thicker)"


@dataclass(frozen=True, slots=True)
class Wall:
    """A wall, what it is of, and a name that it goes by beside its figure."""

    thickness_mm: float
    material: Material
    named: str = ""


def counted_wall_mm(wall_mm: float, material: Material) -> float:
    """The wall of mild steel that loads a set no less; without a multiplier none is known."""
    if material.multiplier is None:
        return inf
    return scaled_thickness_mm(wall_mm, material.multiplier)


def wall_finding(
    wall: Wall, least_mm: float | None, most_mm: float, say: Speech, write: Writer
) -> Finding:
    """A wall against a set's least, where that is stated, and its most."""
    wall_mm = wall.thickness_mm
    outside = exceeds(wall_mm, most_mm)
    limit_mm = most_mm
    if least_mm is not None and falls_short(wall_mm, least_mm):
        outside, limit_mm = True, least_mm
    counted_mm = wall_mm if outside else counted_wall_mm(wall_mm, wall.material)
    if counted_mm == inf:
        text = f"{wall.material.name} has no multiplier: enter it before a wall is judged"
        return Finding("wall", "refuse", text, wall_mm, most_mm, "mm", wall.material.source)
    say = say.near(write, counted_mm, limit_mm)
    takes = f"up to {write(say, most_mm)}"
    if least_mm is not None:
        takes = f"{write(say, least_mm)} to {write(say, most_mm)}"
    text = f"wall {write(say, wall_mm)}{wall.named}, the set takes {takes}"
    if exceeds(counted_mm, wall_mm):
        name = wall.material.name
        text += f"; in {name} it counts as {write(say, counted_mm)} of mild steel"
    refused = outside or exceeds(counted_mm, most_mm)
    verdict: Verdict = "refuse" if refused else "ok"
    return Finding("wall", verdict, text, counted_mm, limit_mm, "mm", PLATE if outside else SCALED)
