"""Tool changes found in a few seconds, against the best that long runs have met."""

from __future__ import annotations

from statistics import mean

import pytest

from crib.trade.changes.tool_changes import fewest_changes
from tests.bench.switching_instances import SIZES, Known, best_known, made

pytestmark = pytest.mark.bench

_FEW = [known for known in best_known() if SIZES[known.size].jobs <= 15]
_MANY = [known for known in best_known() if SIZES[known.size].jobs > 15 and known.number == 0]


def found(known: Known, seconds: float) -> int:
    """The changes found in so many seconds."""
    jobs = made(SIZES[known.size], known.number)
    return fewest_changes(jobs, known.slots, seconds=seconds).changes


@pytest.mark.parametrize("known", _FEW, ids=str)
def test_two_seconds_give_the_best_known_for_up_to_fifteen_jobs(known: Known) -> None:
    assert found(known, 2.0) == known.changes


def test_ten_seconds_come_near_the_best_known_for_up_to_forty_jobs() -> None:
    assert {known.slots for known in _MANY} == {15, 17, 20, 22, 25, 30}
    over = [found(known, 10.0) / known.changes - 1 for known in _MANY]
    print(*(f"{share:.1%}" for share in over), f"mean {mean(over):.2%}")
    assert mean(over) <= 0.01
