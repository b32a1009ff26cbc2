"""However many points a list has, the labels of a cut's diagram stand apart and can be read."""

from __future__ import annotations

from itertools import combinations

from hypothesis import given, settings
from hypothesis import strategies as st

from crib.features.common.picture import Dimension, Label, Picture, Shape
from crib.features.common.speech import Speech
from crib.features.cuts.cut_picture import staircase
from crib.files.paper.picture_layout import laid_out
from crib.trade.metal.envelopes import EnvelopePoint
from tests.features.bench import METRIC_RULES

LISTS = st.lists(
    st.builds(EnvelopePoint, st.integers(10, 250), st.integers(2, 30)), min_size=1, max_size=40
)
SCALES = st.sampled_from([0.2, 0.7, 2.8, 14.0])


@settings(max_examples=60)
@given(LISTS, st.integers(10, 250), st.integers(2, 30), SCALES)
def test_the_labels_of_a_cut_keep_apart(
    points: list[EnvelopePoint], size_mm: int, thickness_mm: int, scale: float
) -> None:
    shapes: list[Shape] = list(staircase(points, size_mm, thickness_mm, Speech(METRIC_RULES), 20.0))
    shapes.append(Dimension(size_mm, 0.0, 0.0, 0.0, 3.0, f"{size_mm} mm"))
    keep_apart(shapes, scale)


def test_so_do_a_hundred_labels_at_one_point() -> None:
    keep_apart([Label(5.0, 5.0, f"label {number}") for number in range(100)], 1.0)


def keep_apart(shapes: list[Shape], scale: float) -> None:
    """Hold that no two texts of a picture meet."""
    texts = laid_out(Picture("", tuple(shapes), ()), scale).texts
    assert len(texts) == sum(isinstance(one, Label | Dimension) for one in shapes)
    meeting = [(a.text, b.text) for a, b in combinations(texts, 2) if a.box().meets(b.box())]
    assert meeting == []
