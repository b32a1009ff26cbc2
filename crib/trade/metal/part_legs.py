"""Legs, webs and flanges that stand up beside a hole: where they begin across a face of a profile.

A hole near a root, where a leg or its rounding begins, leaves no room for the die below or for what
holds the punch above. y is counted across the face, from one edge to the other.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import inf
from typing import Literal

from crib.errors import Missing, UnknownName
from crib.trade.common.guards import require_positive

WEB_FACES, FLANGE_FACES = ("v", "h"), ("o", "u")
OPEN_PROFILES = ("I", "U", "C", "L", "T")
CLOSED_PROFILES = ("M", "RO")
FLAT_PROFILES = ("B",)
LegFrom = Literal["unknown", "heel", "toe"]


@dataclass(frozen=True, slots=True)
class ProfileSection:
    """A profile's section in mm, under the one or two letters of its kind.

    ``leg_from`` is where y = 0 lies on an angle's leg and a channel's flange: at the ``heel``,
    where the other leg or the web is, at the ``toe``, or ``unknown``.
    """

    profile: str
    height_mm: float
    flange_width_mm: float
    flange_thickness_mm: float
    web_thickness_mm: float
    radius_mm: float = 0.0
    leg_from: LegFrom = "unknown"

    def across_mm(self, face: str) -> float:
        """How wide a face is."""
        return self.flange_width_mm if face in FLANGE_FACES else self.height_mm


@dataclass(frozen=True, slots=True)
class Leg:
    """What stands up along a face: from ``low_mm`` to ``high_mm`` across it, rounding included.

    ``certain`` is false for one of two places where it may be: the profile's letter does not tell.
    ``both_ways`` says that it stands up on both sides of the face.
    """

    name: str
    low_mm: float
    high_mm: float
    certain: bool = True
    both_ways: bool = False

    def away_mm(self, y_mm: float) -> float:
        """How far a place across the face is from it; less than 0 inside it."""
        return max(self.low_mm - y_mm, y_mm - self.high_mm)


def legs_of(section: ProfileSection, face: str) -> tuple[Leg, ...]:
    """What stands up along a face of a rolled or bent profile.

    Source: plane geometry of the section (I: two flanges on the web, and the web under a flange; U
    and C: two flanges, and the web or a lip at either edge of a flange; L and T: the file does not
    say at which edge). Of an L's legs and a U's flanges the shop may know it.

    Args:
        section: The profile's section [mm].
        face: One of v, h (web or leg) and o, u (flange or leg) [text].

    Returns:
        What stands up, none on a plate [mm].

    Raises:
        Missing: When a size of the section that counts is not known.
        UnknownName: For a profile whose section its letter does not describe.

    Example:
        >>> channel = ProfileSection("U", 200.0, 80.0, 11.0, 6.0, 13.0)
        >>> [(leg.name, leg.high_mm) for leg in legs_of(channel, "v")][0]
        ('lower flange', 24.0)
    """
    profile = section.profile
    if profile in FLAT_PROFILES:
        return ()
    if profile not in OPEN_PROFILES:
        message = f"the section of a profile {profile or '?'} is not described by its letter"
        raise UnknownName(message, way_out="look at the drawing for what stands up beside the hole")
    if face in FLANGE_FACES:
        return _beside_flange(section)
    return _beside_web(section)


def _beside_web(section: ProfileSection) -> tuple[Leg, ...]:
    """Along the web, or along the upright leg of an angle or the stem of a tee."""
    thick_mm = _known("flange thickness", section.flange_thickness_mm or _leg_mm(section))
    height_mm = _known("height", section.height_mm)
    from_mm = thick_mm + section.radius_mm
    both_ways = section.profile in ("I", "T")
    certain = section.profile in ("I", "U", "C")
    names = ("lower flange", "upper flange") if certain else ("other leg", "other leg")
    legs = (
        Leg(names[0], -inf, from_mm, certain, both_ways),
        Leg(names[1], height_mm - from_mm, inf, certain, both_ways),
    )
    return _known_heel(section, legs) if section.profile == "L" else legs


def _beside_flange(section: ProfileSection) -> tuple[Leg, ...]:
    """Along a flange, or along the lying leg of an angle."""
    thick_mm = _known("web thickness", section.web_thickness_mm or _leg_mm(section))
    width_mm = _known("flange width", section.flange_width_mm)
    if section.profile in ("I", "T"):
        half_mm = thick_mm / 2 + section.radius_mm
        return (Leg("web", width_mm / 2 - half_mm, width_mm / 2 + half_mm),)
    from_mm = thick_mm + section.radius_mm
    # A bent channel may have a lip where a rolled one has nothing: something stands at both edges.
    certain = section.profile == "C"
    name = "other leg" if section.profile == "L" else "web or lip" if certain else "web"
    legs = (
        Leg(name, -inf, from_mm, certain),
        Leg(name, width_mm - from_mm, inf, certain),
    )
    return legs if certain else _known_heel(section, legs)


def _known_heel(section: ProfileSection, legs: tuple[Leg, Leg]) -> tuple[Leg, ...]:
    """The one leg of two where it may be, once the shop has said from where y counts."""
    if section.leg_from == "unknown":
        return legs
    return (replace(legs[section.leg_from == "toe"], certain=True),)


def _leg_mm(section: ProfileSection) -> float:
    """An angle has one thickness, and a header may give it in either place."""
    if section.profile != "L":
        return 0.0
    return section.flange_thickness_mm or section.web_thickness_mm


def _known(name: str, size_mm: float) -> float:
    if size_mm <= 0:
        message = f"the section's {name} is not known"
        raise Missing(message, way_out="take it from the drawing or measure it")
    return size_mm


def nearest_root(legs: tuple[Leg, ...], y_mm: float, half_mm: float) -> tuple[Leg, float] | None:
    """The leg that is nearest to a hole, and how far its root is from the hole's centre.

    Of two places where a leg may be, one that the hole would cut into is not the leg's: the hole
    is in the drawing. Where both could be, the nearer one counts.

    Source: shop rule (where the file does not say which edge is the heel, the nearer one is taken).

    Args:
        legs: What stands up along the face [mm].
        y_mm: The hole's centre across the face [mm].
        half_mm: Half of the hole's size across the face [mm].

    Returns:
        The leg and the distance [mm]; None where nothing stands up.

    Raises:
        BadValue: When the hole has no size.

    Example:
        >>> legs = legs_of(ProfileSection("L", 80.0, 80.0, 8.0, 8.0, 10.0), "v")
        >>> leg, away_mm = nearest_root(legs, 60.0, 11.0)
        >>> away_mm
        42.0
    """
    require_positive(half_mm=half_mm)
    away = [(leg.away_mm(y_mm), leg) for leg in legs]
    possible = [one for one in away if one[1].certain or one[0] >= half_mm]
    if not possible and away:
        possible = [max(away, key=lambda one: one[0])]
    if not possible:
        return None
    away_mm, leg = min(possible, key=lambda one: one[0])
    return leg, away_mm
