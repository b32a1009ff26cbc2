"""What does instead of a set with rounded corners: the corners drilled, then cut in two."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from crib.features.common.ask import Workaround
from crib.features.edges.set_case import SetCase
from crib.features.edges.set_features import SetFeature, SquareSetFeature
from crib.trade.common.verdicts import exceeds


def rounded_ways(ask: SetFeature, case: SetCase) -> Iterator[Workaround]:
    """Drill the inner corners, then two cuts of sharp sets that leave the drilled rounds whole.

    One is as wide and less deep by the radius, the other as deep and narrower.
    """
    radius_mm, say = case.corner_radius_mm, case.say
    if not isinstance(ask, SquareSetFeature):
        yield Workaround(
            f"drill its point {say.size(2 * radius_mm)} first, then saw both legs", None
        )
        return
    sides = 2 if ask.feature == "notch" else 1
    narrow_mm, low_mm = ask.width_mm - sides * radius_mm, ask.depth_mm - radius_mm
    if not (exceeds(narrow_mm, 0.0) and exceeds(low_mm, 0.0)):
        return
    wide = replace(ask, depth_mm=low_mm, corner_radius_mm=0.0)
    deep = replace(ask, width_mm=narrow_mm, corner_radius_mm=0.0)
    two = " and ".join(one.sizes_phrase(say.system) for one in (wide, deep))
    corners = "both inner corners" if sides == 2 else "the inner corner"
    text = f"drill {corners} {say.size(2 * radius_mm)} first, then cut {two}: no sharp one is left"
    yield Workaround(text, wide.phrase(say.system), 30)
