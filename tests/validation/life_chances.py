"""Invented shops of known lives at the trade's own functions: what "1 in 10" truly is there.

``python -m tests.validation.life_chances`` plays 320 shops a row and prints the table with its
targets; ``test_life_chances.py`` plays a few. A shop grinds about where its reminders stand, says
how the edge was (or nothing), and its crib learns of it as grinding has it learn.

Two more figures may stand behind the name: the first seed, since priors were set by looking at the
first 320, and ``deaf``, to play cribs that hear nothing in silence.

What the rows can and cannot show. A belief is right on the whole of what it believes possible: in
the row whose shops are drawn from it "1 in 10" is 10 at every stage, less what words cost (a shop
says sharp of what lasts 5 % more, which counts as sharp at its grind: 9, on the safe side). At one
point of it, such as a shape of 4, it is off toward the middle until the edges outweigh the prior;
no prior is right at every point. A row's own error stands behind its figure.
"""

from __future__ import annotations

import random
import sys
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field, replace
from functools import cache, partial
from math import exp, log, sqrt
from statistics import fmean, stdev

from crib.desk.life.edges_seen import OUTCOMES
from crib.trade.life.dulling import DullingBelief, count_at_risk, count_range
from crib.trade.life.dulling_learned import learned_dulling
from crib.trade.life.edge_life import Observation, Prior
from crib.trade.life.kept_life import kept_life
from crib.trade.life.reminder_follow import followed_interval
from crib.trade.life.silence import NOTHING
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
    """Shops of one sort; ``targets`` are percent dull and ``cover`` percent of ranges that hold.

    ``says`` are the shares of sharp and of dull edges of which they say how they were; ``believed``
    shops have a shape and a count as likely as the settings hold them to be, and follow
    what their cribs learn at once.
    """

    name: str
    shapes: Band = (2.5, 2.5)
    times: Band = (1.0, 1.0)
    says: Band = (1.0, 1.0)
    until_dull: bool = False
    believed: bool = False
    targets: dict[str, Band] = field(default_factory=dict)
    cover: Band | None = None


_LEARNT = {"10-19": (8.0, 18.0), "40-60": (8.0, 13.0)}
_HONEST = (85.0, 97.0)
_SURE = dict.fromkeys(STAGES, (8.5, 10.5))
_HALF, _VARY = (0.5, 0.5), ((1.5, 4.0), (0.5, 2.0))
SCENARIOS = (
    Scenario("settings right", targets=dict.fromkeys(STAGES, (10.0, 10.5)), cover=(85.0, 100.0)),
    Scenario("as believed", believed=True, targets=_SURE, cover=(85.0, 95.0)),
    Scenario("shapes 1.5-4, times 0.5-2", *_VARY, targets=_LEARNT, cover=_HONEST),
    Scenario("last half, all said", times=_HALF, targets=_LEARNT, cover=_HONEST),
    Scenario("until dull, shape 1.5", (1.5, 1.5), until_dull=True, targets=_LEARNT, cover=_HONEST),
    Scenario("until dull, shape 4", (4.0, 4.0), until_dull=True, targets=_LEARNT, cover=_HONEST),
    Scenario("right, half said", says=_HALF),
    Scenario("vary, half said", *_VARY, says=_HALF),
    Scenario("last half, half said", times=_HALF, says=_HALF),
    Scenario("last half, nothing said", times=_HALF, says=(0.0, 0.0)),
    Scenario("right, half the dull said", says=(0.0, 0.5)),
    Scenario("vary, half the dull said", *_VARY, says=(0.0, 0.5)),
    Scenario("half, half the dull said", times=_HALF, says=(0.0, 0.5)),
    Scenario("right, half the dull unsaid", says=(1.0, 0.5)),
    Scenario("vary, half the dull unsaid", *_VARY, says=(1.0, 0.5)),
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
    """What a scenario's shops saw at each stage, in percent; jobs as they were said and truly.

    ``error`` is the standard error of the risk, from shop to shop.
    """

    risk: dict[str, float]
    error: dict[str, float]
    cover: dict[str, float]
    jobs: tuple[tuple[float, float], ...]


class _Shop:
    """A shop with its edges, and what its crib was told."""

    def __init__(self, scenario: Scenario, seed: int, deaf: bool) -> None:
        self.scenario, self.deaf = scenario, deaf
        self.chance = random.Random(f"{scenario.name} {seed}")
        shape, log_count = self._life()
        self.shape, self.count = shape, PRIOR.interval_strokes * exp(log_count)
        self.scale = self.count / (-log(0.9)) ** (1 / shape)
        self.told, self.silence = list[Observation](), NOTHING

    def _life(self) -> tuple[float, float]:
        if not self.scenario.believed:
            shape = self.chance.uniform(*self.scenario.shapes)
            return shape, self.chance.uniform(*map(log, self.scenario.times))
        rows = _nothing_seen().rows
        row = self.chance.choices(rows, [sum(one.weights) for one in rows])[0]
        at = self.chance.choices(row.log_counts, row.weights)[0]
        return row.shape, at - log(PRIOR.interval_strokes)

    def belief(self) -> DullingBelief:
        """What its crib believes."""
        return learned_dulling(PRIOR, [[self.told]], NOTHING if self.deaf else self.silence)

    def risk(self, wear: float, more: float) -> float:
        """The true chance that an edge sharp after its wear is dull after some more strokes."""
        now, then = (share_sharp(at, self.scale, self.shape) for at in (wear, wear + more))
        return 1 - then / now

    def grinds(self, reminder: float) -> None:
        """It uses an edge and grinds it, and its crib hears of it what is said."""
        chance, life = self.chance, self.chance.weibullvariate(self.scale, self.shape)
        if self.scenario.until_dull:
            self.told.append(Observation(life * chance.uniform(*_JUST_DULL), OUTCOMES["right"]))
            return
        ground = reminder * chance.uniform(*_AT_THE_REMINDER)
        early, late = (share * ground for share in _ABOUT_THEN)
        word = "sharp" if life > late else "right" if life > early else "overdue"
        silent = self.silence
        if chance.random() >= self.scenario.says[word != "sharp"]:
            self.silence = replace(silent, strokes=(*silent.strokes, ground))
            return
        self.told.append(Observation(ground, OUTCOMES[word]))
        sharp = word == "sharp"
        self.silence = replace(silent, sharp=silent.sharp + sharp, dull=silent.dull + (not sharp))


@cache
def _nothing_seen() -> DullingBelief:
    return learned_dulling(PRIOR, [])


def played(scenario: Scenario, seed: int, deaf: bool = False) -> list[Seen]:
    """One shop, edge after edge."""
    shop, found, reminder = _Shop(scenario, seed, deaf), list[Seen](), PRIOR.interval_strokes
    for number in range(_EDGES):
        stage = next((name for name, edges in STAGES.items() if number in edges), "")
        if stage or number < _LEARNED_AT_EACH or number % 5 == 0:
            belief = shop.belief()
            learned = count_at_risk(belief, 0.0, PRIOR.dull_at_share)
            reminder = followed_interval(learned, PRIOR.interval_strokes, len(shop.told))
            reminder = learned if scenario.believed else reminder
        if stage:
            low, high = count_range(belief, 0.1)
            wear, more = shop.chance.random() * reminder, shop.chance.random() * reminder
            said = kept_life(belief).chance_dull(wear, more)
            risk, true = shop.risk(0.0, reminder), shop.risk(wear, more)
            found.append(Seen(stage, reminder, risk, low <= shop.count <= high, said, true))
        shop.grinds(reminder)
    return found


def row_of(scenario: Scenario, seeds: Sequence[int], deaf: bool = False) -> Row:
    """All shops of a scenario."""
    shops = [played(scenario, seed, deaf) for seed in seeds]
    stages = {
        stage: [[one for one in seen if one.stage == stage] for seen in shops] for stage in STAGES
    }
    risks = {
        stage: [100 * fmean(one.risk for one in some) for some in each]
        for stage, each in stages.items()
    }
    later = [one for seen in stages["10-19"] for one in seen]
    groups = ([one for one in later if tens <= 10 * one.said < tens + 1] for tens in range(4))
    return Row(
        {stage: fmean(some) for stage, some in risks.items()},
        {stage: stdev(some) / sqrt(len(some)) for stage, some in risks.items()},
        {
            stage: 100 * fmean(one.covered for some in each for one in some)
            for stage, each in stages.items()
        },
        tuple(
            (100 * fmean(one.said for one in some), 100 * fmean(one.true for one in some))
            for some in groups
            if some
        ),
    )


def _line(scenario: Scenario, row: Row) -> Iterator[str]:
    figures = [
        f"{row.risk[stage]:5.1f} +-{row.error[stage]:3.1f} ({row.cover[stage]:3.0f})"
        for stage in STAGES
    ]
    jobs = ", ".join(f"{said:.0f} {true:.0f}" for said, true in row.jobs)
    yield f"{scenario.name:28} {'  '.join(figures)}   {jobs}"
    if not scenario.targets and not scenario.cover:
        return
    wanted = [
        "{:.0f} to {:.1f}".format(*scenario.targets[stage]) if stage in scenario.targets else ""
        for stage in STAGES
    ]
    cover = "ranges {:.0f} to {:.0f}".format(*scenario.cover) if scenario.cover else ""
    yield f"{'  targets':28} {'  '.join(f'{one:17}' for one in wanted)}   {cover}"


def main(shops: int = 320, first: int = 0, deaf: bool = False) -> None:
    """The table: percent dull at "1 in 10" (percent of the 90 % ranges that hold) by own edges."""
    heads = "  ".join(f"{stage:17}" for stage in STAGES)
    print(f"{f'{shops} shops a row':28} {heads}   a job's chance: said true")
    with ProcessPoolExecutor() as pool:
        seeds = range(first, first + shops)
        play = partial(row_of, seeds=seeds, deaf=deaf)
        for scenario, row in zip(SCENARIOS, pool.map(play, SCENARIOS), strict=True):
            print(*_line(scenario, row), sep="\n", flush=True)


if __name__ == "__main__":
    shops, first, *words = (*sys.argv[1:], *("320", "0")[len(sys.argv) - 1 :])
    main(int(shops), int(first), deaf=words == ["deaf"])
