"""What a shop's edges teach: the closed form, its bounds, and the intervals."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue, UnknownName
from crib.trade.life.edge_life import (
    Belief,
    Observation,
    Outcome,
    Prior,
    as_breakage,
    breakage_belief,
    learn,
    lent,
)
from crib.trade.life.risks import chance_within
from crib.trade.reference.held_shape import (
    at_most_moved,
    dulling_belief,
    range_at_risk,
    strokes_at_risk,
)
from crib.trade.shop.shop_rules import Rules
from tests.house import ROOT

_PRIOR = Prior(5000.0, weight=4.0)
_START = dulling_belief(_PRIOR)
_STROKES = st.floats(min_value=0.001, max_value=1e7)
_RISKS = st.floats(min_value=0.01, max_value=0.95)
_OUTCOMES = st.sampled_from(("dull", "right", "left"))
_EDGES = st.builds(Observation, _STROKES, _OUTCOMES, st.booleans())
_PRIORS = st.builds(
    Prior,
    st.floats(min_value=50.0, max_value=1e6),
    st.floats(min_value=1.0, max_value=6.0),
    st.floats(min_value=1.0, max_value=100.0),
    st.floats(min_value=0.01, max_value=0.9),
)


def _count(belief: Belief, risk: float = 0.1) -> float:
    return strokes_at_risk(belief, 0.0, risk)


@given(_PRIORS)
def test_with_nothing_seen_the_stated_share_is_dull_by_the_interval(prior: Prior) -> None:
    belief = learn(dulling_belief(prior), [])
    count = _count(belief, prior.dull_at_share)
    assert count == pytest.approx(prior.interval_strokes, rel=1e-9)
    dull = chance_within(belief, 0.0, prior.interval_strokes)
    assert dull == pytest.approx(prior.dull_at_share, rel=1e-9)


def test_dull_and_sharp_edges_add_to_events_and_exposure() -> None:
    after = learn(_START, [Observation(3000.0, "dull"), Observation(4000.0, "right")])
    assert after.events == 5.0
    assert after.exposure == pytest.approx(_START.exposure + 3000**2.5 + 4000**2.5)


def test_an_edge_broken_by_accident_is_one_that_was_sharp_so_far() -> None:
    broken = learn(_START, [Observation(4000.0, "right", broken=True)])
    assert broken == learn(_START, [Observation(4000.0, "right")])


def test_no_edge_is_followed_beyond_one_life() -> None:
    one_life = (_START.exposure / _START.events) ** (1 / 2.5)
    beyond = [learn(_START, [Observation(one_life * 3, kind)]) for kind in ("dull", "right")]
    assert beyond[0] == beyond[1]
    assert beyond[0].events == _START.events
    assert beyond[0].exposure == pytest.approx(_START.exposure * 1.25)


def test_an_edge_overdue_at_once_is_an_event_and_one_overdue_late_says_nothing() -> None:
    early = learn(_START, [Observation(1.0, "left")])
    late = learn(_START, [Observation(1e6, "left")])
    assert early.events == pytest.approx(5.0, abs=1e-6)
    assert early.exposure == pytest.approx(_START.exposure, rel=1e-6)
    assert late.events == pytest.approx(_START.events, rel=1e-6)
    assert late.exposure == pytest.approx(_START.exposure, rel=1e-6)


@given(st.lists(_EDGES, max_size=30), _EDGES, _PRIORS, _RISKS)
def test_the_next_edge_never_moves_a_count_beyond_the_stated_factors(
    seen: list[Observation], following: Observation, prior: Prior, risk: float
) -> None:
    before = learn(dulling_belief(prior), seen)
    moved = _count(learn(before, [following]), risk) / _count(before, risk)
    low, high = at_most_moved(before, risk)
    assert low * (1 - 1e-9) <= moved <= high * (1 + 1e-9)


@pytest.mark.parametrize("kind", ["dull", "right", "left"])
@pytest.mark.parametrize("strokes", [0.001, 50.0, 5000.0, 12000.0, 1e7])
def test_at_four_events_one_edge_moves_the_10_percent_count_by_at_most_a_tenth(
    kind: Outcome, strokes: float
) -> None:
    moved = _count(learn(_START, [Observation(strokes, kind)])) / 5000.0
    assert 0.91 <= moved <= 1.10


@given(st.lists(_EDGES, max_size=12), st.floats(min_value=0.0, max_value=3e4), _RISKS)
def test_the_chance_within_the_strokes_at_a_risk_is_the_risk(
    seen: list[Observation], wear: float, risk: float
) -> None:
    belief = learn(_START, seen)
    more = strokes_at_risk(belief, wear, risk)
    assert chance_within(belief, wear, more) == pytest.approx(risk, rel=1e-5)


@given(st.floats(min_value=0.0, max_value=3e4), st.floats(min_value=0.0, max_value=3e4))
def test_the_chance_rises_with_the_strokes_and_with_the_wear(wear: float, more: float) -> None:
    here = chance_within(_START, wear, more)
    assert 0 <= here <= chance_within(_START, wear, more + 100) <= 1
    assert here <= chance_within(_START, wear + 100, more) + 1e-12


@given(st.floats(min_value=1.0, max_value=12000.0), st.floats(min_value=0.0, max_value=3e4))
def test_an_edge_that_was_learnt_from_has_the_chance_given_that_it_is_sharp(
    wear: float, more: float
) -> None:
    learned = learn(_START, [Observation(wear, "right")])
    b, k, s = _START.exposure, _START.events, _START.shape
    given_sharp = 1 - ((b + wear**s) / (b + (wear + more) ** s)) ** k
    assert chance_within(learned, wear, more) == pytest.approx(given_sharp, abs=1e-9)


@given(st.lists(_EDGES, max_size=12), _RISKS)
def test_the_interval_holds_the_count_and_widens_with_sureness(
    seen: list[Observation], risk: float
) -> None:
    belief = learn(_START, seen)
    wide, narrow = range_at_risk(belief, risk, 0.95), range_at_risk(belief, risk, 0.5)
    assert wide[0] < narrow[0] < narrow[1] < wide[1]
    assert wide[0] < _count(belief, risk) < wide[1]


def test_the_interval_narrows_as_edges_are_seen() -> None:
    few, many = (learn(_START, [Observation(9000.0, "dull")] * n) for n in (3, 60))
    spans = [high / low for low, high in (range_at_risk(one, 0.1) for one in (few, many))]
    assert spans[1] < spans[0] < range_at_risk(_START, 0.1)[1] / range_at_risk(_START, 0.1)[0]


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"interval_strokes": 0.0}, "interval_strokes=0 must be > 0"),
        ({"shape": -1.0}, "shape=-1 must be > 0"),
        ({"weight": 0.0}, "weight=0 must be > 0"),
        ({"dull_at_share": 0.0}, "dull_at_share=0 must be > 0 and < 1"),
        ({"dull_at_share": 1.0}, "dull_at_share=1 must be > 0 and < 1"),
    ],
)
def test_settings_that_cannot_be_are_refused(change: dict[str, float], message: str) -> None:
    prior = replace(_PRIOR, **change)
    with pytest.raises(BadValue, match=message):
        dulling_belief(prior)


@pytest.mark.parametrize(
    ("strokes", "kind", "message"),
    [
        (-1.0, "right", "strokes=-1 must be >= 0"),
        (float("nan"), "right", "strokes=nan must be >= 0"),
        (0.0, "dull", "strokes=0 must be > 0"),
        (0.0, "left", "strokes=0 must be > 0"),
    ],
)
def test_an_edge_that_cannot_be_is_refused(strokes: float, kind: Outcome, message: str) -> None:
    with pytest.raises(BadValue, match=message):
        learn(_START, [Observation(strokes, kind)])


def test_an_unknown_kind_is_refused() -> None:
    edge = Observation(1.0, "chipped")  # type: ignore[arg-type]
    with pytest.raises(UnknownName, match="unknown kind 'chipped'; known: dull, right, left"):
        learn(_START, [edge])


def test_an_edge_not_used_yet_says_nothing() -> None:
    assert learn(_START, [Observation(0.0, "right")]) == _START


@pytest.mark.parametrize("risk", [0.0, 1.0])
def test_a_risk_of_nothing_or_of_certainty_is_refused(risk: float) -> None:
    with pytest.raises(BadValue, match=r"risk=\d must be > 0 and < 1"):
        strokes_at_risk(_START, 0.0, risk)
    with pytest.raises(BadValue, match=r"risk=\d must be > 0 and < 1"):
        range_at_risk(_START, risk)
    with pytest.raises(BadValue, match=r"sure=\d must be > 0 and < 1"):
        range_at_risk(_START, 0.1, risk)


def test_wear_below_zero_is_refused() -> None:
    with pytest.raises(BadValue, match="wear=-1 must be >= 0"):
        strokes_at_risk(_START, -1.0, 0.1)
    with pytest.raises(BadValue, match="more=-1 must be >= 0"):
        chance_within(_START, 0.0, -1.0)


def test_breakage_counts_the_broken_over_all_strokes() -> None:
    edges = [Observation(900.0, "right", broken=True), Observation(4100.0, "dull")]
    after = learn(breakage_belief(25000.0), as_breakage(edges))
    assert after == Belief(1.0, 5.0, 105000.0)
    assert chance_within(after, 0.0, 1000.0) == pytest.approx(1 - (105 / 106) ** 5)
    assert chance_within(after, 7000.0, 1000.0) == pytest.approx(chance_within(after, 0.0, 1000.0))


@pytest.mark.parametrize(("strokes", "weight"), [(0.0, 4.0), (25000.0, 0.0)])
def test_a_breakage_that_cannot_be_is_refused(strokes: float, weight: float) -> None:
    with pytest.raises(BadValue, match="=0 must be > 0"):
        breakage_belief(strokes, weight)


def test_what_a_wider_pool_taught_keeps_its_mean_and_weighs_as_the_settings() -> None:
    taught = learn(_START, [Observation(6000.0, "dull")] * 30)
    start = lent(taught, 4.0)
    assert start.events == 4.0
    assert start.events / start.exposure == pytest.approx(taught.events / taught.exposure)
    assert lent(_START, 4.0) is _START
    with pytest.raises(BadValue, match="weight=0 must be > 0"):
        lent(taught, 0.0)


def test_the_defaults_are_those_of_the_rules() -> None:
    number = Rules.defaults().number
    prior = Prior(
        number("wear.interval_strokes"),
        number("life.shape"),
        number("life.prior_weight"),
        number("life.dull_at_share"),
    )
    assert prior == Prior(5000.0)


def test_estimating_a_life_loads_neither_scipy_nor_numpy() -> None:
    program = (
        "import sys\n"
        "import crib.trade.life.weibull_fit\n"
        "from crib.trade.life.edge_life import Observation, Prior\n"
        "from crib.trade.life.estimate import Pool, life_estimate\n"
        "pool = Pool('kind', (Observation(4000.0, 'left'), Observation(5000.0, 'dull')))\n"
        "life_estimate([pool], Prior(5000.0), 25000.0)\n"
        "print(sorted({'scipy', 'numpy', 'statistics'} & set(sys.modules)))\n"
    )
    words = [sys.executable, "-c", program]
    done = subprocess.run(words, cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stdout == "[]\n"
