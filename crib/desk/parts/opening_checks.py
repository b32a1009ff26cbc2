"""What a part's drawing says of its openings: metal beside them, and whether tooling comes to them.

``check_part`` judges what holds for any tooling, ``reach_findings`` what depends on the station and
the die that are chosen. What a list asks for has no place, and neither says anything of it.
"""

from __future__ import annotations

from cmath import rect
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import radians
from typing import cast

from crib.desk.parts.opening_distances import Beside, beside_findings
from crib.desk.parts.tooling_room import PlacedHits, ToolingOutsides, leg_findings, throat_finding
from crib.errors import CribError
from crib.features.common.findings import Finding
from crib.features.common.speech import Speech
from crib.features.holes.lying import Stands
from crib.files.drawings.part_faces import Face, faces_of, odd_openings, region_of, section_of
from crib.files.drawings.parts import Part, PartFeature
from crib.trade.common.verdicts import falls_short
from crib.trade.metal.nearest_openings import nearest_openings
from crib.trade.metal.opening_gaps import Region, is_inside, metal_to_edges_mm, support_lines
from crib.trade.metal.part_legs import LegFrom, ProfileSection, legs_of, nearest_root
from crib.trade.shop.shop_rules import Rules

PUNCHED = ("hole", "square", "hexagon", "rectangle", "slot")
_DRAWING = "the part's drawing"
_CODE_WITHIN = 2.0
"""Widths of metal to the next hole above which no code asks for more between centres."""


@dataclass(frozen=True)
class PartPlan:
    """A part with its faces worked out once, for many questions about its features."""

    part: Part

    @cached_property
    def faces(self) -> dict[str, Face]:
        """The part's faces by their letters."""
        return faces_of(self.part)

    @cached_property
    def odd(self) -> dict[str, list[Region]]:
        """Openings that are no features."""
        return odd_openings(self.part)

    @cached_property
    def lines(self) -> dict[str, tuple[tuple[complex, float], ...]]:
        """By face the lines that the part can be laid against."""
        outlined = {name: face.corners for name, face in self.faces.items() if face.corners}
        return {name: support_lines(corners) for name, corners in outlined.items()}


def check_part(
    part: Part | PartPlan, rules: Rules, code: str = ""
) -> tuple[tuple[Finding, ...], ...]:
    """What the drawing says of each feature, in their order, whatever tooling is taken.

    Judged is what is punched right through; all openings of a face count as its neighbours. For a
    feature whose thickness is not known only what runs into something is found.

    Args:
        part: The part as it was read, or its geometry.
        rules: The shop's settings.
        code: The job's code, which asks for distances of its own; else the shop's default.
    """
    geometry = part if isinstance(part, PartPlan) else PartPlan(part)
    code = code or rules.text("code.default")
    features = geometry.part.features
    found: list[tuple[Finding, ...]] = [()] * len(features)
    for name, face in geometry.faces.items():
        numbers = [n for n, one in enumerate(features) if one.face == name]
        on_face = [features[n] for n in numbers]
        checked = _check_face(geometry, face, on_face, rules, code)
        for number, findings in zip(numbers, checked, strict=True):
            found[number] = findings
    return tuple(found)


def reach_findings(
    part: Part | PartPlan,
    feature: PartFeature,
    rules: Rules,
    *,
    throat_mm: float | None,
    die_diameter_mm: float | None,
    above_diameter_mm: float | None = None,
    stands: Stands | None = None,
    hits: Sequence[complex] = (0j,),
) -> tuple[Finding, ...]:
    """Whether a station's throat and its tooling come to a feature of a part.

    Args:
        part: The part as it was read, or its geometry when there are many questions.
        feature: One of its features.
        rules: The shop's settings.
        throat_mm: How deep the station reaches; None when nobody said.
        die_diameter_mm: The outside of the die's body; None when nobody said.
        above_diameter_mm: The outside of the nut or stripper that stands round the punch; None
            when nobody said.
        stands: How the keys let the tools stand to the throat; None for any way.
        hits: Where the hits are from the feature's middle, its long side along x [mm].
    """
    geometry = part if isinstance(part, PartPlan) else PartPlan(part)
    face, region = geometry.faces.get(feature.face), region_of(feature)
    if face is None or region is None:
        return ()
    say, at = Speech(rules), complex(feature.x_mm, feature.y_mm)
    turn = rect(1.0, radians(feature.angle_deg))
    placed = PlacedHits(tuple(at + hit * turn for hit in hits), feature.angle_deg, stands)
    around = ToolingOutsides(die_diameter_mm, above_diameter_mm)
    return (
        throat_finding(placed, geometry.lines.get(face.name, ()), face.corners, throat_mm, say),
        *leg_findings(_section(geometry.part, rules), feature, _half_mm(region), around, say),
    )


def _check_face(
    geometry: PartPlan,
    face: Face,
    features: list[PartFeature],
    rules: Rules,
    code: str,
) -> Iterator[tuple[Finding, ...]]:
    """The findings of each feature of a face; openings that are no feature are neighbours too."""
    regions = [region_of(feature) for feature in features]
    places = {n: place for place, n in enumerate(n for n, one in enumerate(regions) if one)}
    others = [one for one in regions if one is not None]
    say = Speech(rules)
    within = [_within_mm(features[n], rules, code) for n in places]
    odd = geometry.odd.get(face.name, [])
    nearest = nearest_openings([*others, *odd], [*within, *([0.0] * len(odd))])
    names = list(places)
    for number, (one, region) in enumerate(zip(features, regions, strict=True)):
        if region is None or one.feature not in PUNCHED or not one.through:
            yield ()
            continue
        near = nearest[places[number]]
        other = None
        if near is not None:
            known = near[1] < len(names)
            other = (near[0], features[names[near[1]]] if known else None)
        beside = Beside(one, region, face, other)
        yield tuple(_each(geometry.part, beside, rules, code, say))


def _within_mm(one: PartFeature, rules: Rules, code: str) -> float:
    by_tooling_mm = rules.number("edge.prefer_t") * (one.thickness_mm or 0.0)
    return max(by_tooling_mm, _CODE_WITHIN * one.size_mm if code else 0.0)


def _each(part: Part, beside: Beside, rules: Rules, code: str, say: Speech) -> Iterator[Finding]:
    one, face = beside.feature, beside.face
    at = complex(one.x_mm, one.y_mm)
    if (
        face.corners
        and not is_inside(at, face.corners)
        and metal_to_edges_mm(Region((at,)), face.free) > 0
    ):
        text = "its middle is outside the part"
        yield Finding("place", "refuse", text, source=_DRAWING, final=True)
        return
    yield from beside_findings(beside, rules, code, say)
    yield from _into_leg(_section(part, rules), beside, say)


def _into_leg(section: ProfileSection, beside: Beside, say: Speech) -> Iterator[Finding]:
    """Whether the opening runs into the root of a leg, where nothing flat is left to punch."""
    half_mm, one = _half_mm(beside.region), beside.feature
    try:
        near = nearest_root(legs_of(section, one.face), one.y_mm, half_mm)
    except CribError:
        return  # What is not known of the section is said once tooling is to come there.
    if near is not None and falls_short(near[1], half_mm):
        text = f"it runs {say.length(half_mm - near[1])} into the {near[0].name} or its rounding"
        yield Finding("root", "refuse", text, near[1], half_mm, "mm", _DRAWING, final=True)


def _section(part: Part, rules: Rules) -> ProfileSection:
    return section_of(part, cast(LegFrom, rules.text("read.leg_from")))


def _half_mm(region: Region) -> float:
    """Half of an opening's size across the face."""
    ys = [point.imag for point in region.core]
    return (max(ys) - min(ys)) / 2 + region.radius_mm
