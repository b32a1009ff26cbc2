"""The picture of a plan: every hit in its order over the feature, with pitches and bites."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import cast

from crib.features.common.ask import Ask, Hit, HitPlan
from crib.features.common.picture import Dimension, Label, Picture, Shape
from crib.features.common.tooling import ToolingSet
from crib.features.holes.pair_case import PairCase
from crib.features.holes.pair_picture import drawn, size_dimensions
from crib.trade.metal.shapes import Outline
from crib.trade.metal.shapes import Shape as OutlineShape


def hit_picture(case: PairCase, plan: HitPlan, tooling: ToolingSet) -> Picture:
    """The feature with its hits numbered in their order, in mm from its middle."""
    outlines = [hit_outline(ask) for ask in plan.asks]
    shapes: list[Shape] = [drawn(case.outline, "outline"), *size_dimensions(case, case.outline)]
    for hit in plan.hits:
        shapes.append(
            drawn(outlines[hit.pair], "tool", hit.x_mm, hit.y_mm, turned=_turned(hit, outlines))
        )
    shapes += [Label(hit.x_mm, hit.y_mm, str(hit.number)) for hit in plan.hits]
    shapes += _pitches(case, plan)
    title = f"{len(plan.hits)} hits in {tooling.station.label}"
    return Picture(title, tuple(shapes), (*hit_lines(case, plan), plan.text))


def hit_outline(ask: Ask) -> Outline:
    """The outline of what one hit of a plan cuts."""
    figures = ask.as_json()
    width_mm = float(figures["size_mm"])
    shape = cast(OutlineShape, figures["shape"])
    return Outline(shape, width_mm, float(figures.get("length_mm", width_mm)))


def _turned(hit: Hit, outlines: list[Outline]) -> bool:
    return hit.turned and outlines[hit.pair].shape == "rectangle"


def _pitches(case: PairCase, plan: HitPlan) -> Iterator[Dimension]:
    """From centre to centre above the feature, and beside it where there are rows."""
    top_mm, side_mm = case.outline.width_mm / 2, case.outline.length_mm / 2
    off_mm = 0.35 * case.outline.width_mm
    columns = sorted({round(hit.x_mm, 3) for hit in plan.hits})
    rows = sorted({round(hit.y_mm, 3) for hit in plan.hits})
    for left, right in pairwise(columns):
        yield Dimension(left, top_mm, right, top_mm, off_mm, case.say.length(right - left))
    for low, high in pairwise(rows):
        yield Dimension(side_mm, high, side_mm, low, off_mm, case.say.length(high - low))


def hit_lines(case: PairCase, plan: HitPlan) -> list[str]:
    """Every hit in words: where from the middle, of which kind, how deep it bites."""
    flat = all(abs(hit.y_mm) < 1e-6 for hit in plan.hits)
    return [
        f"{hit.number}: {_where(case, hit, flat=flat)}, {hit.kind}, bites {100 * hit.bite:.0f} %"
        for hit in plan.hits
    ]


def _where(case: PairCase, hit: Hit, *, flat: bool) -> str:
    along = _signed(case, hit.x_mm)
    return along if flat else f"{along} along, {_signed(case, hit.y_mm)} across"


def _signed(case: PairCase, length_mm: float) -> str:
    if abs(length_mm) < 1e-6:
        return "0"
    return f"{'+' if length_mm > 0 else '-'}{case.say.length(abs(length_mm))}"
