"""A feature in several hits, when no single tool makes it.

The ask says what smaller tools could serve and how their hits would lie; each hit is then asked for
like any feature, so that the same rules judge the pair that makes it. A plan never stands beside a
proper tool: it is only looked for when there is none.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from copy import copy
from dataclasses import dataclass, field, replace
from itertools import islice, tee
from math import ceil

from crib.acts import Act, act
from crib.desk.answer.rank import Candidate, ranked
from crib.desk.answer.search import Search
from crib.desk.answer.shelf_view import read_ahead
from crib.errors import CribError
from crib.features.common.ask import Ask, Hit, HitPlan
from crib.features.common.case import Case
from crib.features.common.findings import Finding, refusals
from crib.features.common.tooling import Adapter, Tool, ToolingSet
from crib.trade.shop.shop_rules import Rules

MOST_OF_A_NEED = 8
"""Smaller designs of one shape that are tried."""
MOST_AHEAD = 3 * MOST_OF_A_NEED
"""Kinds of which pieces are read for that: some have none at hand."""
MOST_OF_A_PLAN = 3


def planned(search: Search) -> tuple[list[Candidate], list[Candidate]]:
    """The picks made of several hits, and the plans that a bite or another limit refuses.

    The plans come the best first, so the first whose pairs serve without a caution ends the search.
    """
    return search.once(_planned)


def _planned(search: Search) -> tuple[list[Candidate], list[Candidate]]:
    pairs, picks = _Pairs(search), list[Candidate]()
    for plan in hit_plans(search):
        if not refusals(plan.findings):
            picks += _picks(pairs, plan)
            if any(not pick.cautions for pick in picks):
                break
    if picks:
        return _each_once(picks), []
    bad = [_refused(pairs, plan) for plan in hit_plans(search) if refusals(plan.findings)]
    return [], [pick for pick in bad if pick is not None]


def hit_plans(search: Search) -> Iterator[HitPlan]:
    """The ways to make the feature in several hits with smaller tools, the best first.

    Each is worked out once, when it is first looked at.
    """
    return copy(search.once(_hit_plans))


def _hit_plans(search: Search) -> Iterator[HitPlan]:
    """The plans from the first on; a copy of it goes through them."""
    (kept,) = tee(_worked_out(search), 1)
    return kept


def _worked_out(search: Search) -> Iterator[HitPlan]:
    try:
        read_ahead([(search, need) for need in search.answers.several_hits.needs()], MOST_AHEAD)
        whole = search.answers.feature_findings
        for plan in search.answers.several_hits.plans(_smaller(search)):
            yield replace(plan, findings=(*plan.findings, *whole))
    except CribError:
        search.forget(_hit_plans)
        raise


def pair_searches(search: Search) -> list[Search]:
    """The searches for the pairs that could make the hits of any plan."""
    pairs = _Pairs(search)
    wanted = [
        pairs.search_of(plan, pair) for plan in hit_plans(search) for pair in range(len(plan.asks))
    ]
    for pair in wanted:
        pair.every_measured = False
    return wanted


def _each_once(picks: Sequence[Candidate]) -> list[Candidate]:
    """The first plan for each set of pieces in a station; another with the same says little."""
    firsts: dict[tuple[object, ...], Candidate] = {}
    for pick in picks:
        key = (pick.tooling.station.id, *(tool.tag for tool in pick.tools))
        firsts.setdefault(key, pick)
    return list(firsts.values())


def _smaller(search: Search) -> list[Tool]:
    """One piece of each design that could make a part of the feature."""
    return [
        group[0]
        for need in search.answers.several_hits.needs()
        for group in islice(search.groups(need), MOST_OF_A_NEED)
    ]


@dataclass
class _Pairs:
    """The pairs for the hits of plans; one that several plans want is searched for once."""

    search: Search
    _found: dict[tuple[Ask, int], list[Candidate]] = field(default_factory=dict)

    def of(self, plan: HitPlan, pair: int) -> list[Candidate]:
        """The pairs that could make a plan's hits of one tool, the best first."""
        key = (plan.asks[pair], self._hits(plan, pair))
        if key not in self._found:
            smaller = self.search_of(plan, pair)
            self._found[key] = ranked(smaller.candidates(), smaller.case)
        return self._found[key]

    def search_of(self, plan: HitPlan, pair: int) -> Search:
        """The search for a pair that could make a plan's hits of one tool."""
        rules, facts = self.search.case.rules, self.search.case.facts
        quantity = facts.quantity * self._hits(plan, pair)
        return self.search.on_smaller(
            plan.asks[pair].answers(rules, replace(facts, quantity=quantity))
        )

    def _hits(self, plan: HitPlan, pair: int) -> int:
        return ceil(_weight(plan.of_pair(pair), self.search.case.rules))


def _picks(pairs: _Pairs, plan: HitPlan) -> Iterator[Candidate]:
    """The pairs that make a plan's hits, all of them in one station."""
    first, *rest = (pairs.of(plan, pair) for pair in range(len(plan.asks)))
    for lead in first[:MOST_OF_A_PLAN]:
        chosen = [lead]
        for others in rest:
            same = [pick for pick in others if pick.tooling.station == lead.tooling.station]
            chosen += same[:1]
        if len(chosen) == len(plan.asks):
            yield _together(pairs.search, plan, chosen)


def _together(search: Search, plan: HitPlan, chosen: Sequence[Candidate]) -> Candidate:
    """One answer from the pairs of a plan: the findings of all, the figures of the heaviest."""
    tools: dict[str, Tool] = {}
    severities: dict[str, float] = {}
    adapters: dict[str, Adapter] = {}
    findings: list[Finding] = list(plan.findings)
    for pair, pick in enumerate(chosen):
        weight = _weight(plan.of_pair(pair), search.case.rules)
        for role, tool in pick.tooling.tools.items():
            name = _name(role, pair)
            tools[name], severities[name] = tool, pick.severities[role] * weight
            findings += _lasting(search, tool, severities[name])
        findings += [finding for finding in pick.findings if finding.rule != "lasting"]
        adapters |= {_name(role, pair): adapter for role, adapter in pick.tooling.adapters.items()}
    heaviest = max(chosen, key=lambda pick: pick.figures.get("load", 0.0))
    return Candidate(
        ToolingSet(tools, chosen[0].tooling.station, adapters),
        tuple(dict.fromkeys(findings)),
        _figures(heaviest, plan),
        severities,
        max(pick.closeness_mm for pick in chosen),
        plan,
    )


def _name(role: str, pair: int) -> str:
    return role if pair == 0 else f"second {role}"


def _figures(pick: Candidate, plan: HitPlan) -> dict[str, float]:
    least = min((hit.bite for hit in plan.hits), default=1.0)
    return {**pick.figures, "hits": float(len(plan.hits)), "least_bite": least}


def _lasting(search: Search, tool: Tool, severity_each: float) -> list[Finding]:
    said = search.answers.judge_piece(tool, severity_each)
    return [finding for finding in said if finding.rule == "lasting"]


def line_to_log(pick: Candidate, case: Case) -> Act | None:
    """How to log it after the shift: the strokes of each tool, its chain and bridge hits apart."""
    if pick.plan is None:
        return None
    thru = case.plate.phrase(case.say.system)
    words = []
    for pair in range(len(pick.plan.asks)):
        die = pick.tooling.tool(_name("die", pair))
        over = f" with {die.tag}" if die else ""
        kinds = Counter(hit.kind for hit in pick.plan.of_pair(pair))
        for kind, hits in kinds.items():
            how = "" if kind == "full" else f" {kind}"
            words.append(f"{_lead(pick, pair)} {hits * case.facts.quantity} {thru}{over}{how}")
    return act("log", words=" ".join(words))


def _lead(pick: Candidate, pair: int) -> str:
    """The tag of the tool that makes a pair's hits."""
    second = pair > 0
    return next(
        tool.tag
        for role, tool in pick.tooling.tools.items()
        if role.startswith("second ") == second
    )


def _refused(pairs: _Pairs, plan: HitPlan) -> Candidate | None:
    """A plan that a limit refuses, beside the pair that would have made its last hits."""
    picks = pairs.of(plan, len(plan.asks) - 1)
    if not picks:
        return None
    figures = _figures(picks[0], plan)
    return replace(picks[0], findings=tuple(plan.findings), figures=figures, plan=plan)


def _weight(hits: Sequence[Hit], rules: Rules) -> float:
    """How many full hits the hits of one pair weigh: an open hit wears more."""
    factors = {
        "full": 1.0,
        "bridge": rules.number("wear.bridge"),
        "chain": rules.number("wear.chain"),
    }
    return sum(factors[hit.kind] for hit in hits)
