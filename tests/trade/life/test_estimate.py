"""How long a kind's edges last, from the settings through the wider pools to its own edges."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crib.errors import BadValue, UnknownName
from crib.trade.life.edge_life import Observation, Prior, breakage_belief, learn
from crib.trade.life.estimate import Pool, life_estimate, pooled_belief

_PRIOR = Prior(5000.0)
_EDGES = st.lists(
    st.builds(
        Observation,
        st.floats(min_value=1.0, max_value=30_000.0),
        st.sampled_from(("dull", "right", "left")),
        st.booleans(),
    ),
    max_size=10,
)


def _pools(*edges: list[Observation]) -> list[Pool]:
    names = ("all kinds", "this steel", "this shape and size", "this kind")
    return [Pool(name, tuple(some)) for name, some in zip(names, edges, strict=False)]


def test_with_no_history_the_estimate_is_the_settings() -> None:
    estimate = life_estimate(_pools([], [], [], []), _PRIOR, 25000.0)
    assert estimate.breakage == breakage_belief(25000.0)
    assert estimate.scale_10 == pytest.approx(5000.0, rel=1e-9)
    assert estimate.chance_dull(0.0, 5000.0) == pytest.approx(0.1, rel=1e-9)
    assert (estimate.events, estimate.broken, estimate.exposure) == (0, 0, 0.0)
    assert estimate.rests_on == "settings"
    assert life_estimate([], _PRIOR, 25000.0) == estimate


@given(_EDGES)
@settings(max_examples=20)
def test_empty_pools_change_nothing(edges: list[Observation]) -> None:
    alone = life_estimate(_pools(edges), _PRIOR, 25000.0)
    last = life_estimate(_pools([], [], [], edges), _PRIOR, 25000.0)
    assert replace(last, rests_on=alone.rests_on) == alone


def test_wider_pools_of_breakage_weigh_as_much_as_its_setting() -> None:
    start, others = breakage_belief(25000.0), [Observation(9000.0, "dull")] * 200
    belief = pooled_belief(start, [others, []])
    wide = learn(start, others)
    assert belief.events == start.events == 4.0
    assert belief.exposure == pytest.approx(4 * wide.exposure / wide.events)


def test_a_wide_pool_moves_a_kind_without_history_towards_it() -> None:
    others = [Observation(3000.0, "dull")] * 60
    estimate = life_estimate(_pools(others, [], [], []), _PRIOR, 25000.0)
    alone = life_estimate(_pools(others), _PRIOR, 25000.0)
    assert alone.scale_10 < estimate.scale_10 < 5000.0


def test_enough_edges_of_a_kind_outweigh_any_number_of_others() -> None:
    others, own = [Observation(9000.0, "dull")] * 1000, [Observation(4000.0, "dull")] * 400
    pooled = life_estimate(_pools(others, own), _PRIOR, 25000.0)
    own_alone = life_estimate(_pools(own), _PRIOR, 25000.0)
    assert pooled.scale_10 == pytest.approx(own_alone.scale_10, rel=0.05)


@pytest.mark.parametrize(
    ("own", "wide", "name"),
    [
        (0, 0, "settings"),
        (0, 3, "settings"),
        (0, 4, "this steel"),
        (3, 9, "this steel"),
        (4, 0, "this kind"),
        (4, 900, "this kind"),
    ],
)
def test_an_estimate_rests_on_the_narrowest_pool_that_outweighs_its_start(
    own: int, wide: int, name: str
) -> None:
    edges = [Observation(6000.0, "left"), Observation(6000.0, "right")]
    pools = _pools([], edges[:1] * wide, edges[1:] * 50, edges[:1] * own)
    estimate = life_estimate(pools, _PRIOR, 25000.0)
    assert estimate.rests_on == name
    assert estimate.events == own + wide
    assert estimate.exposure == 6000.0 * (own + wide + 50)


@given(_EDGES, _EDGES)
@settings(max_examples=20)
def test_an_estimate_is_in_order_and_inside_its_intervals(
    wide: list[Observation], own: list[Observation]
) -> None:
    estimate = life_estimate(_pools(wide, own), _PRIOR, 25000.0)
    assert estimate.low_10 < estimate.scale_10 < estimate.high_10
    assert estimate.low_50 < estimate.scale_50 < estimate.high_50
    assert estimate.scale_10 < estimate.scale_50
    assert estimate.strokes_at_risk(0.0, 0.1) == estimate.scale_10
    assert 1.2 < estimate.shape < 5.2


def test_dulling_and_breakage_compete() -> None:
    edges = [Observation(3000.0, "right", broken=True), Observation(5000.0, "dull")]
    estimate = life_estimate(_pools(edges), _PRIOR, 25000.0)
    assert estimate.broken == 1
    assert estimate.breakage.events == 5.0
    dull, broken = estimate.chance_dull(2000.0, 3000.0), estimate.chance_broken(3000.0)
    assert broken == pytest.approx(1 - (108 / 111) ** 5)
    assert estimate.chance_lost(2000.0, 3000.0) == pytest.approx(dull + broken - dull * broken)


def test_settings_and_edges_that_cannot_be_are_refused() -> None:
    with pytest.raises(BadValue, match="strokes_per_break=0 must be > 0"):
        life_estimate([], _PRIOR, 0.0)
    with pytest.raises(BadValue, match="sure=1 must be > 0 and < 1"):
        life_estimate([], _PRIOR, 25000.0, sure=1.0)
    with pytest.raises(BadValue, match="strokes=0 must be > 0"):
        life_estimate(_pools([Observation(0.0, "dull")]), _PRIOR, 25000.0)
    bad = Observation(1.0, "chipped")  # type: ignore[arg-type]
    with pytest.raises(UnknownName, match="unknown kind 'chipped'"):
        life_estimate(_pools([bad]), _PRIOR, 25000.0)
