"""A reminder is no wilder on its first edges than under the rule that went before.

That rule stands here once more: the setting was worth four dull edges at a held shape, no edge was
followed beyond one life, so the first moved the interval by 9 % at most, and half or twice the
setting was the end.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations_with_replacement
from math import log
from random import Random
from statistics import fmean

import pytest

from crib.trade.life.dulling import count_at_risk
from crib.trade.life.dulling_learned import learned_dulling
from crib.trade.life.edge_life import Observation, Prior, learn
from crib.trade.life.reminder_follow import followed_interval
from crib.trade.life.silence import NOTHING, Silence
from crib.trade.reference.held_shape import dulling_belief, strokes_at_risk

_SETTING = 5000.0
_START = dulling_belief(Prior(_SETTING, weight=4.0))
_ANY = [
    Observation(strokes, kind)
    for strokes in (1000.0, 3000.0, 5000.0, 6000.0, 12_000.0)
    for kind in ("dull", "right", "left")
]
_SCALE = _SETTING / (-log(0.9)) ** 0.4

Edges = Sequence[Observation]


def before(edges: Edges) -> float:
    """The logarithm of the interval over the setting, by the rule that went before."""
    count = strokes_at_risk(learn(_START, edges), 0.0, 0.1)
    return log(min(max(count, _SETTING / 2), _SETTING * 2) / _SETTING)


def now(edges: Edges, silence: Silence = NOTHING) -> float:
    """The same by today's."""
    belief = learned_dulling(Prior(_SETTING), [[edges]], silence)
    learned = count_at_risk(belief, 0.0, 0.1)
    return log(followed_interval(learned, _SETTING, len(edges)) / _SETTING)


def some_shop(seed: int, number: int) -> list[Observation]:
    """The first edges of a shop whose setting is right, ground about the reminder."""
    chance, edges = Random(seed), []
    for _edge in range(number):
        life, ground = chance.weibullvariate(_SCALE, 2.5), _SETTING * chance.uniform(0.6, 1.15)
        sharp, late = life > 1.05 * ground, life < 0.85 * ground
        edges.append(Observation(ground, "right" if sharp else "left" if late else "dull"))
    return edges


def test_the_rule_before_moved_nine_percent_at_most_for_the_first_edge() -> None:
    jumps = [before([one]) for one in _ANY]
    assert log(0.91) < min(jumps) < log(0.92)
    assert log(1.08) < max(jumps) < log(1.1)


@pytest.mark.parametrize("number", [1, 2, 3])
def test_the_widest_jump_either_way_is_no_wider(number: int) -> None:
    every = list(combinations_with_replacement(_ANY, number))
    then, today = [before(one) for one in every], [now(one) for one in every]
    assert min(then) < min(today) < 0 < max(today) < max(then)


@pytest.mark.parametrize("number", [1, 2, 3])
def test_the_usual_jump_where_the_setting_is_right_is_smaller(number: int) -> None:
    shops = [some_shop(seed, number) for seed in range(200)]
    then, today = (fmean(rule(one) ** 2 for one in shops) for rule in (before, now))
    assert today < then


@pytest.mark.parametrize("ground", [3000.0, 5000.0, 9000.0])
@pytest.mark.parametrize("number", [1, 2, 3])
def test_silence_beside_the_first_told_edges_makes_no_jump_wider(
    number: int, ground: float
) -> None:
    then, heard = [], []
    for edges in combinations_with_replacement(_ANY, number):
        sharp = sum(one.kind == "right" for one in edges)
        silence = Silence((ground,) * 12, sharp, number - sharp)
        then.append(before(edges))
        heard.append(now(edges, silence))
    assert min(then) < min(heard) < 0 < max(heard) < max(then)
