"""The edge, the end and the next hole beside a hole, where the phrase named them."""

from __future__ import annotations

from collections.abc import Iterator

from crib.features.common.picture import Dimension, Line, Shape
from crib.features.common.speech import Speech
from crib.features.holes.distances import Distances
from crib.features.holes.pair_picture import drawn
from crib.trade.metal.shapes import Outline

BESIDE = 0.9
"""How far from the hole's middle a dimension stands, in widths of the hole."""


def distance_shapes(outline: Outline, distances: Distances, say: Speech) -> tuple[Shape, ...]:
    """The edge below, the end at the left and the next hole at the right, with their distances.

    A hole that is longer than wide has none: its long side may face the edge and the end at once
    in the figures, and no picture could show that.
    """
    if outline.length_mm > outline.width_mm:
        return ()
    return tuple(_shapes(outline, distances, say))


def _shapes(outline: Outline, distances: Distances, say: Speech) -> Iterator[Shape]:
    width_mm = outline.width_mm
    left_mm = distances.end.mm if distances.end else 1.5 * width_mm
    right_mm = (distances.pitch.mm if distances.pitch else 0.0) + 1.5 * width_mm
    low_mm = distances.edge.mm if distances.edge else 1.5 * width_mm
    off_mm = BESIDE * width_mm
    if distances.edge:
        yield Line(((-left_mm, -low_mm), (right_mm, -low_mm)))
        yield Dimension(0.0, 0.0, 0.0, -low_mm, off_mm, f"edge {say.length(low_mm)}")
    if distances.end:
        yield Line(((-left_mm, -low_mm), (-left_mm, width_mm)))
        yield Dimension(-left_mm, 0.0, 0.0, 0.0, off_mm, f"end {say.length(left_mm)}")
    if distances.pitch:
        pitch_mm = distances.pitch.mm
        yield drawn(outline, "outline", pitch_mm)
        yield Line(((pitch_mm, -0.7 * width_mm), (pitch_mm, 0.7 * width_mm)), "centre")
        yield Dimension(0.0, 0.0, pitch_mm, 0.0, off_mm, f"pitch {say.length(pitch_mm)}")
    if distances.named():
        yield Line(((-0.7 * width_mm, 0.0), (right_mm - width_mm * 0.5, 0.0)), "centre")
        yield Line(((0.0, -0.7 * width_mm), (0.0, 0.7 * width_mm)), "centre")
