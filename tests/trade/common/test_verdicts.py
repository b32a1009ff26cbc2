"""The verdicts and the two comparisons."""

from __future__ import annotations

from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.trade.common.verdicts import Verdict, exceeds, falls_short, remains, worst

_VERDICTS: list[Verdict] = ["ok", "caution", "refuse"]


@pytest.mark.parametrize(
    ("verdicts", "expected"),
    [
        ([], "ok"),
        (["ok"], "ok"),
        (["ok", "caution"], "caution"),
        (["caution", "ok"], "caution"),
        (["ok", "refuse", "caution"], "refuse"),
    ],
)
def test_the_gravest_verdict_decides(verdicts: list[Verdict], expected: Verdict) -> None:
    assert worst(verdicts) == expected


@given(st.lists(st.sampled_from(_VERDICTS), min_size=1), st.sampled_from(_VERDICTS))
def test_one_more_verdict_never_makes_it_better(seen: list[Verdict], more: Verdict) -> None:
    rank = _VERDICTS.index
    assert rank(worst([*seen, more])) == max(rank(worst(seen)), rank(more))


@pytest.mark.parametrize(
    ("value", "limit", "above", "below"),
    [
        (0.999, 1.0, False, True),
        (1.0, 1.0, False, False),
        (1.001, 1.0, True, False),
        (1.0 + 1e-12, 1.0, False, False),
        (1.0 - 1e-12, 1.0, False, False),
        (0.0, 0.0, False, False),
        (1e-12, 0.0, True, False),
        (-2.0, -1.0, False, True),
    ],
)
def test_exactly_at_the_limit_is_inside_it(
    value: float, limit: float, above: bool, below: bool
) -> None:
    assert exceeds(value, limit) is above
    assert falls_short(value, limit) is below


@given(st.lists(st.floats(0.1, 500.0), min_size=2, max_size=6), st.randoms(use_true_random=False))
def test_nothing_is_left_of_equal_lengths_however_they_are_added(
    lengths_mm: list[float], chances: Random
) -> None:
    """10 + 35.2 is not 45.2 to the last bit, and an entry of that difference is no entry."""
    other = list(lengths_mm)
    chances.shuffle(other)
    whole_mm, inches = sum(lengths_mm), sum(one / 25.4 for one in other)
    for left_mm in (whole_mm - sum(other), whole_mm - inches * 25.4, inches * 25.4 - whole_mm):
        assert not remains(left_mm)
    assert remains(whole_mm + 0.001 - sum(other))
