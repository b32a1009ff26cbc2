"""The metal beside an opening of a part, judged as if its distances had been asked for.

The tooling's side takes the metal as it is, at any angle. A code counts from the centre, and takes
a slot as lying along an edge or standing towards it: one at an angle stands, which asks for more.
"""

from __future__ import annotations

from cmath import phase
from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import degrees

from crib.features.common.case import Circumstances, Plate
from crib.features.common.findings import Finding
from crib.features.common.speech import Speech
from crib.features.holes.distance_checks import (
    BESIDE,
    CP,
    WHICH_BOLT,
    DistanceCase,
    distance_findings,
)
from crib.features.holes.distances import Distance, Distances
from crib.files.drawings.part_faces import Face, outline_of
from crib.files.drawings.parts import PartFeature
from crib.trade.common.verdicts import remains
from crib.trade.metal.edge_distances import tooling_edge_verdict
from crib.trade.metal.opening_gaps import (
    Edge,
    Region,
    from_point_mm,
    metal_to_edges_mm,
    towards_deg,
)
from crib.trade.shop.shop_rules import Rules

_ALONG_DEG = 1.0
_DRAWN = "the part's drawing"


@dataclass(frozen=True, slots=True)
class Beside:
    """An opening with its face and the nearest other one: the metal to it, and what it is."""

    feature: PartFeature
    region: Region
    face: Face
    nearest: tuple[float, PartFeature | None] | None = None


def beside_findings(beside: Beside, rules: Rules, code: str, say: Speech) -> Iterator[Finding]:
    """The tooling's findings of the edge and the next opening, and the code's where one rules."""
    yield from _to_edge(beside, rules, say)
    yield from _to_next(beside, rules, say)
    if code:
        yield from _by_code(beside, rules, code)


def _to_edge(beside: Beside, rules: Rules, say: Speech) -> Iterator[Finding]:
    if not beside.face.free:
        return
    metal_mm, thickness_mm = metal_to_edges_mm(beside.region, beside.face.free), _thick(beside)
    if not remains(metal_mm):
        text = "no metal is left to the edge: it breaks through"
        yield Finding("metal to edge", "refuse", text, metal_mm, 0.0, "mm", _DRAWN, final=True)
    elif thickness_mm:
        yield _tooling("edge", metal_mm, thickness_mm, rules, say)


def _to_next(beside: Beside, rules: Rules, say: Speech) -> Iterator[Finding]:
    if beside.nearest is None:
        return
    (metal_mm, other), thickness_mm = beside.nearest, _thick(beside)
    if not remains(metal_mm):
        name = "an opening that no one punch makes"
        if other is not None:
            size = say.length(other.size_mm)
            at = f"x {say.length(other.x_mm)}, y {say.length(other.y_mm)}"
            name = f"the {other.feature} of {size} at {at}"
        text = f"it runs into {name}"
        yield Finding("metal to pitch", "refuse", text, metal_mm, 0.0, "mm", _DRAWN, final=True)
    elif thickness_mm:
        yield _tooling("pitch", metal_mm, thickness_mm, rules, say)


def _tooling(word: str, metal_mm: float, thickness_mm: float, rules: Rules, say: Speech) -> Finding:
    least, better = rules.number("edge.refuse_t"), rules.number("edge.prefer_t")
    verdict = tooling_edge_verdict(metal_mm, thickness_mm, least, better)
    ratio = metal_mm / thickness_mm
    written = say.near(Speech.ratio, ratio, least, better).ratio(ratio)
    text = (
        f"{say.length(metal_mm)} of metal to {BESIDE[word]} = {written} t,"
        f" at least {least:g} t, better {better:g} t"
    )
    text += {"ok": "", "caution": ": it may bulge", "refuse": ": it bulges or tears"}[verdict]
    limit_mm = (least if verdict == "refuse" else better) * thickness_mm
    return Finding(f"metal to {word}", verdict, text, metal_mm, limit_mm, "mm", CP)


def _by_code(beside: Beside, rules: Rules, code: str) -> Iterator[Finding]:
    """What the code says; that it needs to know the bolt, it says once.

    A drawing names no bolts, and not every hole of it is for one: that is a caution here.
    """
    outline, thickness_mm = outline_of(beside.feature), _thick(beside)
    if outline is None or not thickness_mm:
        return
    # The code looks at no material: any will do where the plate's is not known to the shop.
    plate = Plate(thickness_mm, rules.material(rules.text("material.default")))
    case = DistanceCase(plate, rules, Circumstances(code=code), outline, _distances(beside))
    by_code = [
        finding for finding in distance_findings(case) if not finding.rule.startswith("metal to ")
    ]
    yield from (finding for finding in by_code if finding.rule != WHICH_BOLT)
    asked = next((finding for finding in by_code if finding.rule == WHICH_BOLT), None)
    if asked is not None:
        text = f"{asked.text}: if a bolt goes through it, ask for the bolt with its distances"
        yield replace(asked, verdict="caution", text=text, value=None)


def _distances(beside: Beside) -> Distances:
    """From centre to the nearest edge, and of a slot to the nearest that it stands towards."""
    one = beside.feature
    at = complex(one.x_mm, one.y_mm)
    along: list[float] = []
    towards: list[float] = []
    for edge in beside.face.free:
        sideways = one.long_mm is not None and _lies_along(one, at, edge)
        (along if sideways else towards).append(from_point_mm(at, edge))
    pitch = _pitch(beside, at)
    facing = Distance(min(towards)) if towards else None
    if one.long_mm is None:
        return Distances(edge=facing, pitch=pitch)
    beside_it = Distance(min(along), sideways=True) if along else None
    return Distances(edge=beside_it, end=facing, pitch=pitch)


def _lies_along(one: PartFeature, at: complex, edge: Edge) -> bool:
    off_deg = (towards_deg(at, edge) - one.angle_deg + 90) % 180 - 90
    return abs(off_deg) <= _ALONG_DEG


def _pitch(beside: Beside, at: complex) -> Distance | None:
    """From centre to centre; a slot is sideways when the next one lies square beside it."""
    other = beside.nearest[1] if beside.nearest else None
    if other is None:
        return None
    there = complex(other.x_mm, other.y_mm)
    if there == at:
        return None
    one = beside.feature
    off_deg = (degrees(phase(there - at)) - one.angle_deg) % 180 - 90
    return Distance(abs(there - at), one.long_mm is not None and abs(off_deg) <= _ALONG_DEG)


def _thick(beside: Beside) -> float | None:
    return beside.feature.thickness_mm
