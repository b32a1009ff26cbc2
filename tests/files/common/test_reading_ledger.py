"""The reading ledger: every item ends once, and an account is given only when the sums agree."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.acts import fact
from crib.errors import ReadingFault
from crib.files.common.reading_ledger import ENDINGS, Ending, ReadingLedger

WHY = fact("read.punch-mark")


def end(ledger: ReadingLedger, key: int, ending: Ending, features: int) -> None:
    if ending == "counted":
        ledger.count(key, features)
    elif ending == "blank":
        ledger.blank(key)
    else:
        (ledger.merge if ending == "merged" else ledger.tell)(key, WHY)


@given(st.lists(st.tuples(st.sampled_from(ENDINGS), st.integers(0, 4)), max_size=30))
def test_the_sums_of_an_account_are_those_of_the_endings(ends: list[tuple[Ending, int]]) -> None:
    ledger = ReadingLedger("P-7.nc1")
    for key, (ending, features) in enumerate(ends):
        ledger.meet(key, "line", key + 1)
        end(ledger, key, ending, features)
    given_features = sum(features for ending, features in ends if ending == "counted")
    sums = ledger.closed(given_features).sums()
    assert sums["met"] == len(ends) == sum(sums[ending] for ending in ENDINGS)
    assert all(sums[ending] == sum(e == ending for e, _ in ends) for ending in ENDINGS)
    assert not ledger.balanced(given_features + 1)


def test_an_item_that_never_ended_is_named() -> None:
    ledger = ReadingLedger("P-7.nc1")
    ledger.meet("a", "line", 24, "v 10 20 22")
    assert not ledger.balanced(0)
    with pytest.raises(
        ReadingFault, match=r"P-7\.nc1: line v 10 20 22 of line 24 was met and neit"
    ):
        ledger.closed(0)


@pytest.mark.parametrize("first", ENDINGS)
@pytest.mark.parametrize("second", ENDINGS)
def test_an_item_that_ends_twice_is_refused(first: Ending, second: Ending) -> None:
    ledger = ReadingLedger("P-7.nc1")
    ledger.meet(1, "entity", 8, "CIRCLE")
    end(ledger, 1, first, 0)
    with pytest.raises(ReadingFault, match=f"CIRCLE of line 8 was {first} and then {second}"):
        end(ledger, 1, second, 0)


def test_an_item_that_is_met_twice_is_refused() -> None:
    ledger = ReadingLedger("P-7.nc1")
    ledger.meet(1, "entity", 8, "CIRCLE")
    with pytest.raises(ReadingFault, match="entity CIRCLE of line 8 was met twice"):
        ledger.meet(1, "entity", 9, "LINE")


def test_features_that_no_item_gives_are_refused() -> None:
    ledger = ReadingLedger("P-7.nc1")
    ledger.meet(1, "line", 1)
    ledger.count(1, features=1)
    with pytest.raises(ReadingFault, match="its items give 1 features, its parts have 2"):
        ledger.closed(2)


def test_an_account_is_plain_data() -> None:
    ledger = ReadingLedger("P-7.nc1")
    ledger.meet(1, "line", 3, "v 10 20 22 m")
    ledger.tell(1, fact("read.same-opening", line=2))
    made = ledger.closed(0).as_json()
    assert made["file"] == "P-7.nc1"
    assert (made["met"], made["told"]) == (1, 1)
    assert made["items"][0]["why"] == {"code": "read.same-opening", "line": 2}
