"""How far reminders follow what was learned: a step for each edge, and a stretch in all."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue
from crib.trade.life.reminder_follow import followed_interval

SETTING = 5000.0
STROKES = st.floats(1.0, 1e6)


@pytest.mark.parametrize(
    ("learned", "own_edges", "followed"),
    [
        (2500.0, 0, 5000),
        (2500.0, 1, 4695),
        (1000.0, 1, 4695),
        (2500.0, 5, 3649),
        (2500.0, 11, 2500),
        (1000.0, 100_000, 2500),
        (4000.0, 11, 4000),
        (9000.0, 0, 5000),
        (10_000.0, 1, 5106),
        (90_000.0, 1, 5106),
        (9000.0, 15, 6531),
        (9000.0, 33, 9000),
        (12_000.0, 100_000, 10_000),
    ],
)
def test_each_edge_opens_the_way_a_little(learned: float, own_edges: int, followed: int) -> None:
    assert round(followed_interval(learned, SETTING, own_edges)) == followed


@pytest.mark.parametrize(("most_stretch", "followed"), [(1.0, 5000), (1.2, 6000), (3.0, 9000)])
def test_the_stretch_is_the_shops(most_stretch: float, followed: float) -> None:
    assert followed_interval(9000.0, SETTING, 50, most_stretch) == pytest.approx(followed)


@pytest.mark.parametrize(("whole_way", "followed"), [(1, 2500), (2, 3536), (10, 4665)])
def test_how_many_edges_open_the_whole_way_is_the_shops(whole_way: int, followed: int) -> None:
    assert round(followed_interval(2500.0, SETTING, 1, 2.0, whole_way)) == followed


@given(learned=STROKES, own_edges=st.integers(0, 30), most_stretch=st.floats(1.0, 10.0))
def test_a_further_edge_opens_one_even_part_of_the_way_at_most(
    learned: float, own_edges: int, most_stretch: float
) -> None:
    before = followed_interval(learned, SETTING, own_edges, most_stretch)
    after = followed_interval(learned, SETTING, own_edges + 1, most_stretch)
    down, up = most_stretch ** (-1 / 11), most_stretch ** (1 / 33)
    assert down - 1e-9 <= after / before <= up + 1e-9


@given(first=STROKES, second=STROKES, own_edges=st.integers(0, 30))
def test_more_learned_never_brings_the_reminder_nearer(
    first: float, second: float, own_edges: int
) -> None:
    low, high = (followed_interval(one, SETTING, own_edges) for one in sorted((first, second)))
    assert low <= high


@pytest.mark.parametrize(
    ("learned", "own_edges", "most_stretch", "message"),
    [
        (0.0, 1, 2.0, "learned=0 must be > 0"),
        (5000.0, -1, 2.0, "own_edges=-1 must be >= 0"),
        (5000.0, 1, 0.99, r"most_stretch=0.99 must be >= 1"),
    ],
)
def test_what_cannot_be_is_refused(
    learned: float, own_edges: int, most_stretch: float, message: str
) -> None:
    with pytest.raises(BadValue, match=message):
        followed_interval(learned, SETTING, own_edges, most_stretch)
