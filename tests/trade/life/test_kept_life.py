"""The life that is kept beside a kind: as the belief says it, and the same from its text."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy import exp, log
from numpy.polynomial.hermite_e import hermegauss
from scipy.optimize import brentq

from crib.errors import BadValue
from crib.trade.life.dulling import DullingBelief, ShapeRow, chance_dull_by, count_at_risk
from crib.trade.life.dulling_learned import learned_dulling, setting_spread
from crib.trade.life.edge_life import Observation, Prior
from crib.trade.life.kept_life import (
    SHARES,
    KeptLife,
    kept_life,
    life_in_force,
    life_of_text,
    life_text,
    settings_life,
)

INTERVAL = 5000.0
NEAR = 0.01
"""How far a chance may be off that of the belief, where one edge in a hundred is still sharp."""

edges = st.lists(
    st.builds(Observation, st.floats(300.0, 20_000.0), st.sampled_from(("dull", "right", "left"))),
    max_size=30,
)
strokes = st.floats(0.0, 20_000.0)


def weibull(interval: float, shape: float) -> KeptLife:
    """The life of edges whose count and shape are known."""
    row = ShapeRow.of(shape, [log(interval)], [1.0])
    return kept_life(DullingBelief((row,), 0.1, 0.1))


@settings(max_examples=60, deadline=None)
@given(seen=edges, wear=strokes, more=strokes)
def test_a_chance_is_that_of_the_belief(seen: list[Observation], wear: float, more: float) -> None:
    belief = learned_dulling(Prior(INTERVAL), [[seen]])
    if belief.sharp(wear) > 0.01:
        kept = life_of_text(life_text(kept_life(belief)))
        assert kept.chance_dull(wear, more) == pytest.approx(
            chance_dull_by(belief, wear, more), abs=NEAR
        )


@settings(max_examples=30, deadline=None)
@given(seen=edges)
def test_the_counts_kept_are_those_of_the_belief(seen: list[Observation]) -> None:
    belief = learned_dulling(Prior(INTERVAL), [[seen]])
    kept = kept_life(belief)
    for share, count in zip(SHARES, kept.counts, strict=True):
        assert count == pytest.approx(count_at_risk(belief, 0.0, share))
        assert kept.chance_dull(0.0, count) == pytest.approx(share)


@pytest.mark.parametrize("shape", [1.0, 1.7, 2.5, 4.0, 8.0])
@pytest.mark.parametrize(("wear", "more"), [(0.0, 20.0), (0.0, 5000.0), (4100.0, 2000.0)])
def test_a_plain_weibull_life_is_kept_whole(shape: float, wear: float, more: float) -> None:
    """The share sharp after t is .9 ** ((t / interval) ** shape)."""
    hazard = ((wear + more) / INTERVAL) ** shape - (wear / INTERVAL) ** shape
    assert weibull(INTERVAL, shape).chance_dull(wear, more) == pytest.approx(1 - 0.9**hazard)


@given(seen=edges, first=strokes, second=strokes, wear=strokes)
@settings(max_examples=30, deadline=None)
def test_two_spans_leave_as_many_sharp_as_one(
    seen: list[Observation], first: float, second: float, wear: float
) -> None:
    life = kept_life(learned_dulling(Prior(INTERVAL), [[seen]]))
    apart = (1 - life.chance_dull(wear, first)) * (1 - life.chance_dull(wear + first, second))
    assert 1 - life.chance_dull(wear, first + second) == pytest.approx(apart, abs=1e-9)


@given(seen=edges, wear=strokes, risk=st.floats(0.001, 0.99))
@settings(max_examples=60, deadline=None)
def test_at_the_strokes_of_a_risk_the_chance_is_that(
    seen: list[Observation], wear: float, risk: float
) -> None:
    life = kept_life(learned_dulling(Prior(INTERVAL), [[seen]]))
    more = life.strokes_at_risk(wear, risk)
    # What a stroke adds is nothing beside a wear a million times as long.
    if more > 1e-3:
        assert life.chance_dull(wear, more) == pytest.approx(risk, rel=1e-6)


@given(counts=st.lists(st.floats(0.01, 3.0), min_size=len(SHARES), max_size=len(SHARES)))
def test_more_strokes_never_leave_more_sharp(counts: list[float]) -> None:
    """Whatever gaps lie between the counts."""
    rising, at = [], 10.0
    for gap in counts:
        at *= 1 + gap
        rising.append(at)
    life = KeptLife.of(rising)
    hazards = [life.hazard(1.1**step) for step in range(200)]
    assert hazards == sorted(hazards)


@pytest.mark.parametrize(
    "prior", [Prior(4000.0), Prior(700.0, 3.0), Prior(9000.0, 2.5, 4.0), Prior(5.0, 2.5, 1.1, 0.3)]
)
def test_the_settings_alone_are_a_belief_without_an_edge(prior: Prior) -> None:
    life, belief = settings_life(prior), learned_dulling(prior, [])
    for share, count in zip(SHARES, life.counts, strict=True):
        assert count == pytest.approx(count_at_risk(belief, 0.0, share), rel=1e-7)
    assert life.chance_dull(0.0, prior.interval_strokes) == pytest.approx(
        prior.dull_at_share, abs=0.001
    )


def test_the_settings_chance_is_an_integral() -> None:
    """Count and shape log-normal, one edge in ten dull by 5,000 at each shape: by quadrature."""
    spread = setting_spread(Prior(INTERVAL))
    nodes, weights = hermegauss(40)
    weights = weights / weights.sum()

    def sharp(shape: float, middle: float, strokes: float) -> float:
        counts = exp(middle + spread * nodes)
        return float(weights @ exp(log(0.9) * (strokes / counts) ** shape))

    def of_shape(shape: float) -> tuple[float, float]:
        middle = brentq(lambda at: sharp(shape, at, INTERVAL) - 0.9, log(500.0), log(50_000.0))
        return sharp(shape, middle, 4100.0), sharp(shape, middle, 6100.0)

    shapes = 2.5 * exp(0.4 * nodes)
    inside = (shapes > 1.0) & (shapes < 6.0)
    before, after = zip(*map(of_shape, shapes[inside]), strict=True)
    chance = 1 - float(weights[inside] @ after) / float(weights[inside] @ before)
    kept = settings_life(Prior(INTERVAL)).chance_dull(4100.0, 2000.0)
    assert kept == pytest.approx(chance, abs=0.002)


@pytest.mark.parametrize("interval", [1.0, 37.0, 5000.0, 3e6, 1e10])
def test_a_life_is_read_back_as_it_was_written(interval: float) -> None:
    life = settings_life(Prior(interval))
    text = life_text(life)
    assert set(text) <= set("0123456789. ")
    assert len(text) <= 300
    assert life_of_text(text).counts == pytest.approx(life.counts, rel=1e-7)
    assert life_text(life_of_text(text)) == text


def test_what_is_kept_goes_before_the_settings() -> None:
    kept = life_text(settings_life(Prior(4000.0)))
    assert life_in_force(kept, Prior(9000.0)) == life_of_text(kept)
    assert life_in_force("", Prior(9000.0)) == settings_life(Prior(9000.0))


FOURTEEN = [str(count) for count in range(1, 15)]


@pytest.mark.parametrize(
    "words",
    [
        FOURTEEN[:-1],
        [*FOURTEEN, "15"],
        ["0", *FOURTEEN[1:]],
        ["3", *FOURTEEN[1:]],
        [*FOURTEEN[:-1], "13"],
        [*FOURTEEN[:-1], "inf"],
        [*FOURTEEN[:-1], "nan"],
        [*FOURTEEN[:-1], "many"],
    ],
)
def test_what_is_no_life_is_refused(words: list[str]) -> None:
    with pytest.raises(BadValue, match="is no life: 14 rising counts"):
        life_of_text(" ".join(words))


@pytest.mark.parametrize(("wear", "more"), [(-1.0, 1.0), (1.0, -1.0)])
def test_strokes_below_zero_are_refused(wear: float, more: float) -> None:
    with pytest.raises(BadValue, match="must be >= 0"):
        settings_life(Prior(INTERVAL)).chance_dull(wear, more)


@pytest.mark.parametrize(("wear", "risk"), [(-1.0, 0.1), (1.0, 0.0), (1.0, 1.0)])
def test_a_risk_that_cannot_be_is_refused(wear: float, risk: float) -> None:
    with pytest.raises(BadValue, match="must be"):
        settings_life(Prior(INTERVAL)).strokes_at_risk(wear, risk)
