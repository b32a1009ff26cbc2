"""Invented shops of known lives at the trade's own functions: what "1 in 10" truly is there.

``python -m tests.validation.life_chances`` plays 320 shops a row and prints the table with its
targets; ``test_life_chances.py`` plays a few. A shop grinds about where its reminders stand, says
how the edge was (or nothing), and its crib learns of it as grinding has it learn.
"""

from __future__ import annotations

import random
import sys
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from math import exp, log
from statistics import fmean

from crib.desk.life.edges_seen import OUTCOMES
from crib.trade.life.dulling import chance_dull_by, count_at_risk, count_range
from crib.trade.life.dulling_learned import learned_dulling
from crib.trade.life.edge_life import Observation, Prior
from crib.trade.life.reminder_follow import followed_interval
from crib.trade.reference.known_lives import share_sharp

PRIOR = Prior(5000.0)
STAGES = {"0": range(1), "1-4": range(1, 5), "10-19": range(10, 20, 3), "40-60": range(40, 61, 5)}
_LEARNED_AT_EACH, _EDGES = 20, 61
"""The reminder is set anew by each edge up to so many, then by every fifth: it hardly moves."""
_AT_THE_REMINDER = (0.6, 1.15)
_JUST_DULL = (1.0, 1.1)
_ABOUT_THEN = (0.85, 1.05)

Band = tuple[float, float]


@dataclass(frozen=True)
class Scenario:
    """Shops of one sort; ``targets`` are percent dull and ``cover`` percent of ranges that hold."""

    name: str
    shapes: Band = (2.5, 2.5)
    times: Band = (1.0, 1.0)
    says: float = 1.0
    until_dull: bool = False
    targets: dict[str, Band] = field(default_factory=dict)
    cover: Band | None = None


_LEARNT = {"10-19": (8.0, 18.0), "40-60": (8.0, 13.0)}
_HONEST = (85.0, 97.0)
SCENARIOS = (
    Scenario("settings right", targets=dict.fromkeys(STAGES, (10.0, 10.5)), cover=(85.0, 100.0)),
    Scenario("shapes 1.5-4, times 0.5-2", (1.5, 4.0), (0.5, 2.0), targets=_LEARNT, cover=_HONEST),
    Scenario("last half, all said", times=(0.5, 0.5), targets=_LEARNT, cover=_HONEST),
    Scenario("last half, half said", times=(0.5, 0.5), says=0.5),
    Scenario("last half, nothing said", times=(0.5, 0.5), says=0.0),
    Scenario("until dull, shape 1.5", (1.5, 1.5), until_dull=True, targets=_LEARNT, cover=_HONEST),
    Scenario("until dull, shape 4", (4.0, 4.0), until_dull=True, targets=_LEARNT, cover=_HONEST),
)


@dataclass(frozen=True)
class Seen:
    """A shop at some edges of its own: the true risk, whether the range holds, a job's chances."""

    stage: str
    reminder: float
    risk: float
    covered: bool
    said: float
    true: float


@dataclass(frozen=True)
class Row:
    """What a scenario's shops saw at each stage, in percent; jobs as they were said and truly."""

    risk: dict[str, float]
    cover: dict[str, float]
    jobs: tuple[tuple[float, float], ...]


def played(scenario: Scenario, seed: int) -> list[Seen]:
    """One shop, edge after edge."""
    chance = random.Random(f"{scenario.name} {seed}")
    shape = chance.uniform(*scenario.shapes)
    count = PRIOR.interval_strokes * exp(chance.uniform(*map(log, scenario.times)))
    scale = count / (-log(0.9)) ** (1 / shape)
    found, edges, reminder = list[Seen](), list[Observation](), PRIOR.interval_strokes
    for number in range(_EDGES):
        stage = next((name for name, edges in STAGES.items() if number in edges), "")
        if stage or number < _LEARNED_AT_EACH or number % 5 == 0:
            belief = learned_dulling(PRIOR, [[edges]])
            learned = count_at_risk(belief, 0.0, PRIOR.dull_at_share)
            reminder = followed_interval(learned, PRIOR.interval_strokes, len(edges))
        if stage:
            low, high = count_range(belief, 0.1)
            wear, more = chance.random() * reminder, chance.random() * reminder
            sharp = (share_sharp(strokes, scale, shape) for strokes in (wear, wear + more))
            now, then = sharp
            said = chance_dull_by(belief, wear, more)
            risk = 1 - share_sharp(reminder, scale, shape)
            found.append(Seen(stage, reminder, risk, low <= count <= high, said, 1 - then / now))
        edges += _one_edge(scenario, chance, chance.weibullvariate(scale, shape), reminder)
    return found


def _one_edge(
    scenario: Scenario, chance: random.Random, life: float, reminder: float
) -> Iterator[Observation]:
    """What the crib hears of an edge; nothing where nobody said how it was."""
    if scenario.until_dull:
        yield Observation(life * chance.uniform(*_JUST_DULL), OUTCOMES["right"])
        return
    ground = reminder * chance.uniform(*_AT_THE_REMINDER)
    early, late = (share * ground for share in _ABOUT_THEN)
    word = "sharp" if life > late else "right" if life > early else "overdue"
    if chance.random() < scenario.says:
        yield Observation(ground, OUTCOMES[word])


def row_of(scenario: Scenario, seeds: Sequence[int]) -> Row:
    """All shops of a scenario."""
    seen = [one for seed in seeds for one in played(scenario, seed)]
    stages = {stage: [one for one in seen if one.stage == stage] for stage in STAGES}
    groups = (
        [one for one in stages["10-19"] if tens <= 10 * one.said < tens + 1] for tens in range(4)
    )
    return Row(
        {stage: 100 * fmean(one.risk for one in some) for stage, some in stages.items()},
        {stage: 100 * fmean(one.covered for one in some) for stage, some in stages.items()},
        tuple(
            (100 * fmean(one.said for one in some), 100 * fmean(one.true for one in some))
            for some in groups
            if some
        ),
    )


def _line(scenario: Scenario, row: Row) -> Iterator[str]:
    figures = [f"{row.risk[stage]:5.1f} ({row.cover[stage]:3.0f})" for stage in STAGES]
    jobs = ", ".join(f"{said:.0f} {true:.0f}" for said, true in row.jobs)
    yield f"{scenario.name:26} {'  '.join(figures)}   {jobs}"
    wanted = [
        "{:.0f} to {:.1f}".format(*scenario.targets[stage]) if stage in scenario.targets else ""
        for stage in STAGES
    ]
    cover = "ranges {:.0f} to {:.0f}".format(*scenario.cover) if scenario.cover else ""
    yield f"{'  targets':26} {'  '.join(f'{one:11}' for one in wanted)}   {cover}"


def main(shops: int = 320) -> None:
    """The table: percent dull at "1 in 10" (percent of the 90 % ranges that hold) by own edges."""
    heads = "  ".join(f"{stage:11}" for stage in STAGES)
    print(f"{f'{shops} shops a row':26} {heads}   a job's chance: said true")
    with ProcessPoolExecutor() as pool:
        rows = pool.map(row_of, SCENARIOS, [range(shops)] * len(SCENARIOS))
        for scenario, row in zip(SCENARIOS, rows, strict=True):
            print(*_line(scenario, row), sep="\n", flush=True)


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
