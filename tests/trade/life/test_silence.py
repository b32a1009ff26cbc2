"""What silence says: nothing where nothing was told, little where all are told of alike."""

from __future__ import annotations

from math import exp, log

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import dblquad
from scipy.special import beta

from crib.trade.life.dulling import chance_dull_by, count_at_risk, count_range
from crib.trade.life.dulling_learned import learned_dulling
from crib.trade.life.edge_life import Observation, Prior
from crib.trade.life.silence import NOTHING, TELLS_ALIKE, Silence, log_silence, silent_dull

_PRIOR = Prior(5000.0)
_COUNTS = st.integers(0, 12)
_SHARES = st.floats(0.0, 1.0)


def _at_10(edges: list[Observation], silence: Silence = NOTHING) -> float:
    return count_at_risk(learned_dulling(_PRIOR, [[edges]], silence), 0.0, 0.1)


@given(st.lists(st.floats(1.0, 1e6), max_size=20), _SHARES)
def test_where_nothing_is_told_silence_says_nothing(strokes: list[float], share: float) -> None:
    assert log_silence(Silence(tuple(strokes)), share) == 0.0


@given(st.lists(st.floats(1.0, 1e6), max_size=20))
@settings(max_examples=10, deadline=None)
def test_a_shop_that_never_says_believes_its_setting(strokes: list[float]) -> None:
    assert learned_dulling(_PRIOR, [[]], Silence(tuple(strokes))) == learned_dulling(_PRIOR, [])


@pytest.mark.parametrize(("silent", "sharp", "dull"), [(1, 1, 0), (5, 0, 2), (9, 6, 3), (30, 4, 9)])
@pytest.mark.parametrize("share", [0.25, 0.5, 0.875])
def test_it_is_the_integral_over_both_chances_to_tell(
    silent: int, sharp: int, dull: int, share: float
) -> None:
    def apart(of_sharp: float, of_dull: float) -> float:
        told = of_sharp**sharp * of_dull**dull
        unsaid = share * (1 - of_sharp) + (1 - share) * (1 - of_dull)
        return float(told * unsaid**silent)

    integral, _error = dblquad(apart, 0, 1, 0, 1, epsrel=1e-9)
    alike = float(beta(sharp + dull + 1, silent + 1))
    expected = log(TELLS_ALIKE + (1 - TELLS_ALIKE) * integral / alike)
    found = log_silence(Silence((5000.0,) * silent, sharp, dull), share)
    assert found == pytest.approx(expected, abs=1e-6)


def test_edges_ground_at_unlike_counts_are_as_the_whole_integral_has_them() -> None:
    # Each silent edge by itself, both chances to tell on a grid; nothing of the mean share in it.
    told = [Observation(strokes, "left") for strokes in (3500.0, 4800.0, 5600.0)]
    ground = [3000.0 + 250.0 * number for number in range(12)]
    silence = Silence(tuple(ground), 0, 3)
    belief = learned_dulling(_PRIOR, [[told]])
    chances = (np.arange(200) + 0.5) / 200
    kept = []
    for row in belief.rows:
        for count, weight in zip(row.log_counts, row.weights, strict=True):
            sharp = [0.9 ** ((one / exp(count)) ** row.shape) for one in ground]
            unsaid = np.prod(
                [
                    one * (1 - chances[:, None]) + (1 - one) * (1 - chances[None, :])
                    for one in sharp
                ],
                axis=0,
            )
            apart = float((unsaid * chances[None, :] ** 3).mean()) / float(beta(4, 13))
            kept.append(weight * (TELLS_ALIKE + (1 - TELLS_ALIKE) * apart))
    pairs = [(row.shape, count) for row in belief.rows for count in row.log_counts]
    at = _at_10(told, silence)
    alive = [0.9 ** ((at / exp(count)) ** shape) for shape, count in pairs]
    assert np.average(alive, weights=kept) == pytest.approx(0.9, abs=0.001)


@given(_COUNTS, _COUNTS, st.integers(1, 12), st.floats(0.05, 0.95))
def test_of_silent_edges_some_were_dull_and_never_more_than_there_are(
    sharp: int, dull: int, silent: int, share: float
) -> None:
    silence = Silence((5000.0,) * silent, sharp, dull)
    assert 0 < silent_dull(silence, share) < silent
    if not sharp + dull:
        assert silent_dull(silence, share) == pytest.approx(silent * (1 - share))


def test_where_only_dull_ones_are_told_of_most_silent_ones_were_sharp() -> None:
    told = [Observation(5000.0, "left")] * 4
    silence = Silence((5000.0,) * 20, dull=4)
    assert _at_10(told) < 0.8 * 5000
    assert 1.05 * _at_10(told) < _at_10(told, silence) < 5000
    assert silent_dull(silence, 0.8) < 0.7 * 20 * 0.2


def test_where_only_sharp_ones_are_told_of_more_silent_ones_were_dull() -> None:
    told = [Observation(6000.0, "right")] * 6
    silence = Silence((6000.0,) * 20, sharp=6)
    heard, deaf = (learned_dulling(_PRIOR, [[told]], one) for one in (silence, NOTHING))
    assert chance_dull_by(heard, 0.0, 6000.0) > chance_dull_by(deaf, 0.0, 6000.0) - 0.02
    assert count_range(heard, 0.1)[0] < 1.02 * count_range(deaf, 0.1)[0]


@pytest.mark.parametrize("silent", [4, 20])
def test_where_both_are_told_of_alike_it_moves_little(silent: int) -> None:
    told = [Observation(5000.0, "right")] * 9 + [Observation(5000.0, "left")]
    silence = Silence((5000.0,) * silent, sharp=9, dull=1)
    assert _at_10(told, silence) == pytest.approx(_at_10(told), rel=0.03)
