"""The share of edges still sharp as it was seen."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue
from crib.trade.life.edge_life import Observation
from crib.trade.life.survival import SeenSharp, seen_sharp

_COUNTS = st.integers(min_value=0, max_value=50).map(float)
_EDGES = st.builds(Observation, _COUNTS, st.sampled_from(("dull", "right")))


def test_where_no_edge_was_found_dull_all_are_sharp() -> None:
    assert seen_sharp([]) == ()
    assert seen_sharp([Observation(4000.0, "right")]) == ()


def test_an_edge_found_sharp_at_a_count_was_followed_to_it() -> None:
    edges = [Observation(4000.0, "right"), Observation(4000.0, "dull")]
    assert seen_sharp(edges) == (SeenSharp(4000.0, 0.5),)


@given(st.lists(_COUNTS, min_size=1, max_size=30))
def test_where_all_were_found_dull_the_share_is_of_those_that_lasted_longer(
    counts: list[float],
) -> None:
    for step in seen_sharp([Observation(count, "dull") for count in counts]):
        longer = sum(count > step.strokes for count in counts)
        assert step.share == pytest.approx(longer / len(counts), abs=1e-12)


@given(st.lists(_EDGES, max_size=30))
def test_the_share_only_falls(edges: list[Observation]) -> None:
    steps = seen_sharp(edges)
    assert list(steps) == sorted(steps, key=lambda step: (step.strokes, -step.share))
    shares = [1.0, *(step.share for step in steps)]
    assert all(later < earlier for earlier, later in pairwise(shares))


def test_an_overdue_edge_is_refused() -> None:
    with pytest.raises(BadValue, match="strokes=4000 of an overdue edge is not where it grew dull"):
        seen_sharp([Observation(4000.0, "left")])


def test_strokes_below_zero_are_refused() -> None:
    with pytest.raises(BadValue, match="strokes=-1 must be >= 0"):
        seen_sharp([Observation(-1.0, "right")])
