"""What each way costs, with the arithmetic by hand, and from how many on one beats another."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue
from crib.trade.money.make_ways import (
    Counts,
    Way,
    cheapest,
    each_cents,
    other_ways,
    pays_for,
    start_cents,
    tool_way,
    way_cents,
    way_minutes,
    wear_cents,
)
from crib.trade.money.money import break_even_holes
from crib.trade.shop.shop_rules import Rules

RATE = 6000
"""60.00 an hour, so that a minute costs 1.00."""
PUNCH = Way("punch", 10.0, 0.25, 0.5)
DRILL = Way("drill", 10.0, 1.5, 15.0)
OUT = Way("farm out", 30.0, 0.0, 500.0, 6000, 5)


@pytest.mark.parametrize(
    ("way", "start", "each", "of_120", "minutes"),
    [
        # 10 min = 10.00; 0.25 min = 0.25 and 0.005 of wear; 10.00 + 120 x 0.255 = 40.60.
        (PUNCH, 1000.0, 25.5, 4060.0, 40.0),
        # 1.5 min = 1.50 and 0.15 of drill; 10.00 + 120 x 1.65 = 208.00; 10 + 120 x 1.5 min.
        (DRILL, 1000.0, 165.0, 20_800.0, 190.0),
        # 30 min = 30.00 and 60.00 of freight; 5.00 each; 90.00 + 600.00.
        (OUT, 9000.0, 500.0, 69_000.0, 30.0),
    ],
)
def test_start_and_each_by_hand(
    way: Way, start: float, each: float, of_120: float, minutes: float
) -> None:
    assert start_cents(way, RATE) == pytest.approx(start)
    assert each_cents(way, RATE) == pytest.approx(each)
    assert way_cents(way, 120, RATE) == pytest.approx(of_120)
    assert way_minutes(way, 120) == pytest.approx(minutes)


def test_a_pair_to_buy_pays_after_its_price_over_the_saving() -> None:
    # (1.5 - 0.25) min x 1.00 + 0.15 of drill - 0.005 of wear = 1.395 a hole; a pair at 180.00
    # pays after 180 / 1.395 = 129.03 holes.
    assert break_even_holes(18_000, 139.5) == 130
    bought = Way("punch", 10.0, 0.25, 0.5, 18_000)
    assert pays_for(bought, DRILL, RATE) == Counts(130)
    assert way_cents(bought, 129, RATE) > way_cents(DRILL, 129, RATE)
    assert way_cents(bought, 130, RATE) < way_cents(DRILL, 130, RATE)


@pytest.mark.parametrize(
    ("way", "other", "counts"),
    [
        # Both 10.00 to start: the cheaper one from the first hole on, the dearer one never.
        (PUNCH, DRILL, Counts(1)),
        (DRILL, PUNCH, None),
        # Drilling starts at 10.00 and not 90.00, and each costs 1.65 and not 5.00.
        (DRILL, OUT, Counts(1)),
        # A drill with nothing to set up against a pair to mount: 1000 / 139.5 = 7.2.
        (PUNCH, Way("drill", 0.0, 1.5, 15.0), Counts(8)),
        (Way("drill", 0.0, 1.5, 15.0), PUNCH, Counts(1, 7)),
        # Alike for each: only the start decides.
        (Way("a", 5.0, 1.0), Way("b", 6.0, 1.0), Counts(1)),
        (Way("a", 6.0, 1.0), Way("b", 5.0, 1.0), None),
        (Way("a", 5.0, 1.0), Way("b", 5.0, 1.0), Counts(1)),
        # 0.50 more to start and 1.00 dearer each: not even for one.
        (Way("a", 1.0, 2.0), Way("b", 1.5, 1.0), None),
    ],
)
def test_from_how_many_on_a_way_pays(way: Way, other: Way, counts: Counts | None) -> None:
    assert pays_for(way, other, RATE) == counts


ANY_WAY = st.builds(
    Way,
    st.just("any"),
    st.floats(0.0, 60.0),
    st.floats(0.0, 15.0),
    st.floats(0.0, 900.0),
    st.integers(0, 30_000),
)


@given(ANY_WAY, ANY_WAY, st.integers(1, 5000))
def test_the_counts_are_those_that_cost_no_more(way: Way, other: Way, count: int) -> None:
    counts = pays_for(way, other, RATE)
    inside = (
        counts is not None
        and counts.least <= count
        and (counts.most is None or count <= counts.most)
    )
    mine, its = way_cents(way, count, RATE), way_cents(other, count, RATE)
    if abs(mine - its) > 1e-4:
        assert inside == (mine < its)


@given(st.floats(0.1, 9.0), st.floats(0.0, 9.0), st.integers(0, 60_000), st.floats(0.0, 90.0))
def test_with_equal_set_ups_it_is_the_break_even_of_a_pair(
    drill: float, punch: float, price: int, consumable: float
) -> None:
    saving = (drill - punch) * RATE / 60 + consumable
    if abs(saving) < 0.01:
        return
    even = break_even_holes(price, saving)
    counts = pays_for(
        Way("punch", 7.0, punch, 0.0, price), Way("drill", 7.0, drill, consumable), RATE
    )
    if even is None:
        assert counts is None or counts.most is not None or price == 0
    else:
        assert counts is not None
        assert counts.most is None
        # Where the count is in the thousands the last digit of a double can move it by one.
        assert abs(counts.least - max(1, even)) <= (1 if even > 1000 else 0)


@given(st.lists(ANY_WAY, min_size=1, max_size=5), st.integers(1, 900))
def test_no_way_costs_less_than_the_cheapest(ways: list[Way], count: int) -> None:
    best = way_cents(cheapest(ways, count, RATE), count, RATE)
    assert all(best <= way_cents(way, count, RATE) for way in ways)


@given(ANY_WAY, st.integers(1, 900))
def test_more_of_them_never_cost_less(way: Way, count: int) -> None:
    assert way_cents(way, count + 1, RATE) >= way_cents(way, count, RATE)


def test_wear_is_price_over_life() -> None:
    # A pair of 38.50 and 45.00, each good for 65,000 weighted strokes, the die at half weight:
    # 3850 / 65000 + 4500 x 0.5 / 65000 = 0.0592 + 0.0346 cents a hole.
    pair = wear_cents(3850, 65_000, 1.0) + wear_cents(4500, 65_000, 0.5)
    assert pair == pytest.approx(0.0938, abs=5e-5)


@pytest.mark.parametrize(
    ("work", "shape", "names"),
    [
        ("punch", "round", ["drill", "thermal", "farm out"]),
        ("punch", "obround", ["drill and mill", "thermal", "farm out"]),
        ("notch", "rectangle", ["thermal", "saw", "farm out"]),
        ("flat_shear", "flat", ["saw", "thermal", "farm out"]),
        ("bar_shear", "round", ["saw", "farm out"]),
        ("saddle", "round", ["hole saw", "thermal", "farm out"]),
        ("brake", "vee die", ["farm out"]),
        ("picket", "square", ["farm out"]),
        ("something new", "", ["farm out"]),
    ],
)
def test_which_other_ways_make_sense(work: str, shape: str, names: list[str]) -> None:
    assert [way.name for way in other_ways(work, shape, Rules.defaults())] == names


@pytest.mark.parametrize(
    ("work", "name"),
    [
        ("punch", "punch"),
        ("vee_notch", "notcher"),
        ("tube_shear", "shear"),
        ("saddle", "saddle set"),
        ("brake", "brake"),
        ("picket", "picket set"),
        ("something new", "tool"),
    ],
)
def test_the_way_with_the_cribs_tools_is_named_by_its_work(work: str, name: str) -> None:
    assert tool_way(work, 1, Rules.defaults()).name == name


def test_hits_changes_and_reaming_cost_time() -> None:
    rules = Rules.defaults()
    plan = tool_way("punch", 3, rules, changes=2, wear_cents_each=1.5)
    assert plan == Way("punch", 20.0, 0.75, 1.5, 0, 0)
    assert tool_way("punch", 1, rules, changes=0).set_up_minutes == 0
    assert tool_way("punch", 1, rules, to_ream=True).minutes_each == 1.25
    assert tool_way("saddle", 2, rules, price_cents=9000, days=7) == Way(
        "saddle set", 10.0, 1.0, 0.0, 9000, 7
    )


def test_the_shops_own_times_count() -> None:
    rules = Rules.defaults().with_changes({"buy.drill_minutes": "2", "make.farm_out_cents": "350"})
    drill, _thermal, out = other_ways("punch", "round", rules)
    assert drill.minutes_each == 2
    assert out.used_up_cents_each == 350


def test_no_features_at_all_are_refused() -> None:
    with pytest.raises(BadValue, match="count=0 must be > 0"):
        way_cents(PUNCH, 0, RATE)


def test_a_negative_rate_is_refused() -> None:
    with pytest.raises(BadValue, match="rate_per_hour_cents=-1 must be >= 0"):
        each_cents(PUNCH, -1)


def test_a_negative_time_is_refused() -> None:
    with pytest.raises(BadValue, match="minutes_each=-1 must be >= 0"):
        start_cents(Way("punch", 10.0, -1.0), RATE)


def test_nothing_to_choose_from_is_refused() -> None:
    with pytest.raises(BadValue, match="ways=0 must be at least one way"):
        cheapest([], 1, RATE)


def test_a_feature_without_a_hit_is_refused() -> None:
    with pytest.raises(BadValue, match="hits=0 must be > 0"):
        tool_way("punch", 0, Rules.defaults())


def test_a_tool_without_a_life_is_refused() -> None:
    with pytest.raises(BadValue, match="life_strokes=0 must be > 0"):
        wear_cents(3850, 0, 1)
