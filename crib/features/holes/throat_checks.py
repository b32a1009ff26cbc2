"""Whether a station's throat comes to a hole, in a way that the keys of the pair let the piece lie.

What a phrase says of an edge and an end, and what a drawing shows, are judged by one rule.
"""

from __future__ import annotations

from collections.abc import Iterator

from crib.features.common.findings import Finding
from crib.features.common.speech import Speech
from crib.features.common.tooling import ToolingSet
from crib.features.holes.lying import (
    AXIS_DEG,
    Placing,
    tools_stand,
)
from crib.trade.common.verdicts import exceeds

THROAT, DIRECTION = "throat", "direction"
CP = "common practice, no source"


def judge_placing(placing: Placing, tooling: ToolingSet, say: Speech) -> Iterator[Finding]:
    """What keys and throat have to say of how the piece is to lie."""
    stands = tools_stand(tooling, turned=placing.turned)
    if placing.lying and stands is not None:
        can = stands.at(AXIS_DEG[placing.lying])
        verdict = "is keyed to lie" if can else "is not keyed to lie"
        text = f"the pair {verdict} {placing.lying} the throat"
        yield Finding(DIRECTION, "ok" if can else "refuse", text, source=CP)
        if not can:
            return
    if not placing.ways:
        return
    ways = placing.can(stands)
    if not ways:
        sides = " or ".join(way.side for way in placing.ways)
        text = (
            f"keyed so, the piece does not lie with {sides} to the throat: say the other distance"
        )
        yield Finding(THROAT, "caution", text, source=CP)
        return
    nearest = min(ways, key=lambda way: way.reach_mm)
    yield reach_finding(nearest.reach_mm, nearest.side, tooling.station.throat_mm, say)


def reach_finding(reach_mm: float, side: str, throat_mm: float | None, say: Speech) -> Finding:
    """A distance from the nearest side that may face the throat, against the throat's depth."""
    if throat_mm is None:
        text = (
            f"the station must reach {say.length(reach_mm)}, and its throat is not entered: check"
        )
        return Finding(THROAT, "caution", text, reach_mm, None, "mm", "measured by the shop")
    say = say.near(Speech.length, reach_mm, throat_mm)
    needs = f"{say.length(reach_mm)} from {side}"
    if exceeds(reach_mm, throat_mm):
        text = f"{needs}, the nearest; the throat is {say.length(throat_mm)}: it cannot reach"
        return Finding(THROAT, "refuse", text, reach_mm, throat_mm, "mm", CP)
    text = f"{needs}, within the throat of {say.length(throat_mm)}"
    return Finding(THROAT, "ok", text, reach_mm, throat_mm, "mm", CP)
