"""Whether a station and its die come to a hole of a part: the throat, and legs that stand up.

Where the drawing or the crib does not say a size that counts, it is named, and nothing is guessed.
"""

from __future__ import annotations

from cmath import rect
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import radians

from crib.errors import CribError
from crib.features.common.findings import Finding
from crib.features.common.speech import Speech
from crib.features.holes.lying import Stands
from crib.features.holes.throat_checks import THROAT, reach_finding
from crib.files.drawings.parts import PartFeature
from crib.trade.common.verdicts import exceeds
from crib.trade.metal.opening_gaps import reach_mm
from crib.trade.metal.part_legs import CLOSED_PROFILES, Leg, ProfileSection, legs_of, nearest_root

LEG = "upright leg"
_CP = "common practice, no source"
_ELSE = "use an offset die or a narrow stripper, punch before the other leg is there, or drill"
_NEARER = "at the edge that is nearer, as the file does not say which"
_MAYBE = {
    "other leg": f"{_NEARER} (rule read.leg_from says it of angles)",
    "web": f"{_NEARER} (rule read.leg_from says it)",
}


@dataclass(frozen=True, slots=True)
class ToolingOutsides:
    """Outside diameters of what stands round a hole: the die below, nut or stripper above."""

    die_mm: float | None = None
    above_mm: float | None = None


@dataclass(frozen=True, slots=True)
class PlacedHits:
    """Where the hits of an opening are, the angle of its long side, and how its keys stand."""

    hits: tuple[complex, ...]
    angle_deg: float = 0.0
    stands: Stands | None = None

    def into_throat(self) -> list[complex]:
        """The directions on the part that may point into the throat; none for any."""
        if self.stands is None:
            return []
        every = self.stands.alike_every_deg
        return [
            rect(1.0, radians(self.angle_deg + sign * angle + turn))
            for angle in sorted(self.stands.angles)
            for sign in ((1,) if angle % 90 == 0 else (1, -1))
            for turn in range(0, 360, every)
        ]


def throat_finding(
    placed: PlacedHits,
    lines: Sequence[tuple[complex, float]],
    corners: Sequence[complex],
    throat_mm: float | None,
    say: Speech,
) -> Finding:
    """Whether the station reaches some hits in a way that their keys let the part lie.

    ``lines`` are those that the part can be laid against, ``corners`` those of its outline.
    """
    if not lines:
        text = "the drawing has no outline: whether the throat reaches is not known"
        return Finding(THROAT, "caution", text, source="the part's drawing")
    directions = placed.into_throat() or [outwards for outwards, _ in lines]
    reach, side = min(
        (reach_mm(placed.hits, corners, outwards), _side(outwards)) for outwards in directions
    )
    return reach_finding(reach, f"{side} of the part", throat_mm, say)


def _side(outwards: complex) -> str:
    """The side of the part, as one looks at the face."""
    if abs(outwards.real) > abs(outwards.imag):
        return "the right end" if outwards.real > 0 else "the left end"
    return "the upper edge" if outwards.imag > 0 else "the lower edge"


def leg_findings(
    section: ProfileSection,
    feature: PartFeature,
    half_mm: float,
    around: ToolingOutsides,
    say: Speech,
) -> Iterator[Finding]:
    """Whether die and punch side have room beside the nearest leg; nothing where none stands up."""
    if section.profile in CLOSED_PROFILES:
        text = "no die goes inside a closed section: drill it"
        yield Finding(LEG, "refuse", text, source=_CP)
        return
    try:
        near = nearest_root(legs_of(section, feature.face), feature.y_mm, half_mm)
    except CribError as error:
        text = f"{error.message}: {error.way_out}"
        yield Finding(LEG, "refuse", text, source="the part's drawing")
        return
    if near is not None:
        yield _beside_leg(*near, around, say)


def _beside_leg(leg: Leg, away_mm: float, around: ToolingOutsides, say: Speech) -> Finding:
    """With the leg hanging down the die needs the room, with the leg up what is round the punch.

    A leg that stands both ways leaves no choice: both need it.
    """
    maybe = "" if leg.certain else f", {_MAYBE[leg.name]}"
    place = f"{say.length(away_mm)} to the root of the {leg.name}{maybe}"
    needs = (("the die", around.die_mm), ("what holds the punch", around.above_mm))
    fits = [mm is not None and not exceeds(mm / 2, away_mm) for _, mm in needs]
    if all(fits) if leg.both_ways else any(fits):
        ways = " and ".join(
            f"{what} needs {say.length(mm / 2)}"
            for (what, mm), fit in zip(needs, fits, strict=True)
            if fit and mm is not None
        )
        how = "" if leg.both_ways else ", leg down" if fits[0] else ", leg up"
        least_mm = max(mm / 2 for (_, mm), fit in zip(needs, fits, strict=True) if fit and mm)
        return Finding(LEG, "ok", f"{place}; {ways}{how}", away_mm, least_mm, "mm", _CP)
    return _no_room(place, away_mm, needs, say)


def _no_room(
    place: str, away_mm: float, needs: tuple[tuple[str, float | None], ...], say: Speech
) -> Finding:
    """What is too wide, and what nobody said."""
    short = [
        f"{what} needs {say.length(mm / 2)}"
        for what, mm in needs
        if mm is not None and exceeds(mm / 2, away_mm)
    ]
    unknown = [f"how wide {what} is, is not entered" for what, mm in needs if mm is None]
    known = [mm / 2 for _, mm in needs if mm is not None]
    text = f"{place}; {'; '.join((*short, *unknown))}: {_ELSE}"
    return Finding(LEG, "refuse", text, away_mm, max(known, default=None), "mm", _CP)
