"""What is believed of dulling: laws of the chances, the hierarchy, and what one edge can do."""

from __future__ import annotations

from math import log

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crib.errors import BadValue, UnknownName
from crib.trade.life.dulling import chance_dull_by, count_at_risk, count_range
from crib.trade.life.dulling_learned import learned_dulling
from crib.trade.life.edge_life import Observation, Prior
from crib.trade.life.surer import edges_to_halve

_PRIOR = Prior(5000.0)
_STROKES = st.floats(min_value=1.0, max_value=1e6)
_EDGES = st.lists(
    st.builds(Observation, _STROKES, st.sampled_from(("dull", "right", "left"))), max_size=8
)
_few = settings(max_examples=15, deadline=None)


def _at_10(*pools: list[list[Observation]]) -> float:
    return count_at_risk(learned_dulling(_PRIOR, pools), 0.0, 0.1)


@given(
    st.floats(min_value=50.0, max_value=1e6),
    st.floats(min_value=1.0, max_value=6.0),
    st.floats(min_value=1.0, max_value=100.0),
)
@_few
def test_with_nothing_seen_the_stated_share_is_dull_by_the_interval(
    interval: float, shape: float, weight: float
) -> None:
    prior = Prior(interval, shape, weight)
    belief = learned_dulling(prior, [[[]]])
    assert count_at_risk(belief, 0.0, 0.1) == pytest.approx(interval, rel=1e-3)


@given(_EDGES, st.floats(min_value=0.0, max_value=2e4), st.floats(min_value=0.01, max_value=0.95))
@_few
def test_the_chance_within_the_strokes_at_a_risk_is_the_risk(
    edges: list[Observation], wear: float, risk: float
) -> None:
    belief = learned_dulling(_PRIOR, [[edges]])
    more = count_at_risk(belief, wear, risk)
    assert chance_dull_by(belief, wear, more) == pytest.approx(risk, rel=1e-6)
    assert chance_dull_by(belief, wear, more) <= chance_dull_by(belief, wear, more * 1.5)


@given(_EDGES)
@_few
def test_a_range_holds_its_count_and_widens_with_sureness(edges: list[Observation]) -> None:
    belief = learned_dulling(_PRIOR, [[edges]])
    wide, narrow = count_range(belief, 0.1, 0.99), count_range(belief, 0.1, 0.5)
    assert wide[0] < narrow[0] < narrow[1] < wide[1]
    assert wide[0] < count_at_risk(belief, 0.0, 0.1) < wide[1]


@given(_EDGES, _STROKES)
@_few
def test_sharp_edges_never_shorten_a_life_and_overdue_ones_never_lengthen_it(
    edges: list[Observation], strokes: float
) -> None:
    before = _at_10([edges])
    assert _at_10([[*edges, Observation(strokes, "right")]]) >= before * 0.97
    assert _at_10([[*edges, Observation(strokes, "left")]]) <= before * 1.03


@given(_EDGES, st.floats(min_value=1.2, max_value=20.0))
@_few
def test_all_counts_go_with_the_interval(edges: list[Observation], times: float) -> None:
    more = [Observation(one.strokes * times, one.kind) for one in edges]
    other = learned_dulling(Prior(5000.0 * times), [[more]])
    assert count_at_risk(other, 0.0, 0.1) == pytest.approx(_at_10([edges]) * times, rel=1e-6)


def test_one_count_typed_wrong_counts_no_more_than_a_far_one() -> None:
    edges = [Observation(strokes, "dull") for strokes in (6000.0, 8000.0, 9000.0, 11000.0)] * 3
    for far, near, kind in ((1.0, 900.0, "left"), (9e6, 21000.0, "right")):
        typed = [[*edges, Observation(far, kind)]]  # type: ignore[arg-type]
        meant = [[*edges, Observation(near, kind)]]  # type: ignore[arg-type]
        assert _at_10(typed) == pytest.approx(_at_10(meant), rel=1e-6)


def test_edges_of_its_own_outweigh_any_number_of_others() -> None:
    like = [[Observation(2500.0, "left"), Observation(2400.0, "dull")] * 30] * 4
    own = [Observation(5000.0 * more, "dull") for more in (1.2, 1.8, 2.2, 2.6, 3.2)] * 12
    assert _at_10(like, [own]) == pytest.approx(_at_10([own]), rel=0.1)


def test_kinds_that_are_alike_tell_more_of_another_than_kinds_that_differ() -> None:
    def like(*counts: float) -> list[list[Observation]]:
        shares = (0.1, 0.3, 0.5, 0.7, 0.9)
        return [
            [Observation(count * (log(1 - one) / log(0.9)) ** 0.4, "dull") for one in shares] * 4
            for count in counts
        ]

    alike, unlike = (
        learned_dulling(_PRIOR, [like(*counts), [[]]])
        for counts in ((3000.0, 3100.0, 2900.0, 3000.0), (1600.0, 2300.0, 4000.0, 5600.0))
    )
    assert alike.spread < 0.9 * unlike.spread
    assert unlike.spread < learned_dulling(_PRIOR, []).spread * 1.1


def test_edges_used_until_dull_tell_more_than_edges_ground_at_the_reminder() -> None:
    more = edges_to_halve(_PRIOR, [], 5000.0)
    assert more.told is not None
    assert more.run is not None
    assert 5 < more.run < more.told / 2


def test_nobody_waits_for_hundreds_of_edges() -> None:
    own = [Observation(5000.0, "right")] * 270 + [Observation(5000.0, "left")] * 30
    assert edges_to_halve(_PRIOR, [[own]], 5000.0).told is None


@pytest.mark.parametrize(
    ("prior", "message"),
    [
        (Prior(0.0), "interval_strokes=0 must be > 0"),
        (Prior(5000.0, shape=0.0), "shape=0 must be > 0"),
        (Prior(5000.0, weight=0.0), "weight=0 must be > 0"),
        (Prior(5000.0, dull_at_share=1.0), "dull_at_share=1 must be > 0 and < 1"),
    ],
)
def test_settings_that_cannot_be_are_refused(prior: Prior, message: str) -> None:
    with pytest.raises(BadValue, match=message):
        learned_dulling(prior, [])


def test_what_cannot_be_is_refused() -> None:
    belief = learned_dulling(_PRIOR, [])
    with pytest.raises(BadValue, match="risk=1 must be"):
        count_at_risk(belief, 0.0, 1.0)
    with pytest.raises(BadValue, match="wear=-1 must be"):
        chance_dull_by(belief, -1.0, 1.0)
    with pytest.raises(BadValue, match="strokes=0 must be > 0"):
        learned_dulling(_PRIOR, [[[Observation(0.0, "left")]]])
    bad = Observation(1.0, "chipped")  # type: ignore[arg-type]
    with pytest.raises(UnknownName, match="unknown kind 'chipped'"):
        learned_dulling(_PRIOR, [[[bad]]])
