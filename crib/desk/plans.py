"""A feature in several hits, when no single tool makes it.

The ask says what smaller tools could serve and how their hits would lie; each hit is then asked for
like any feature, so that the same rules judge the pair that makes it. A plan never stands beside a
proper tool: it is only looked for when there is none.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import ceil

from crib.desk.rank import Candidate, ranked
from crib.desk.search import Search
from crib.features.ask import Ask
from crib.features.findings import Finding, refusals
from crib.features.plan import Hit, HitPlan
from crib.features.tooling import Adapter, Tool, ToolingSet
from crib.trade.rules import Rules

MOST_SMALLER = 12
MOST_OF_A_PLAN = 3


def planned(search: Search) -> tuple[list[Candidate], list[Candidate]]:
    """The picks made of several hits, and the plans that a bite or another limit refuses."""
    whole = search.ask.judge_feature(search.rules, search.facts)
    plans = [
        replace(plan, findings=(*plan.findings, *whole))
        for plan in search.ask.plans(_smaller(search), search.rules, search.facts)
    ]
    good = [plan for plan in plans if not refusals(plan.findings)]
    picks = [one for plan in good for one in _picks(search, plan)]
    bad = [_refused(search, plan) for plan in plans if refusals(plan.findings)]
    return picks, [one for one in bad if one is not None]


def _smaller(search: Search) -> list[Tool]:
    """One piece of each design that could make a part of the feature."""
    found: list[Tool] = []
    for need in search.ask.plan_needs(search.rules, search.facts):
        for group in search.groups(need):
            found.append(group[0])
            if len(found) >= MOST_SMALLER:
                return found
    return found


def _picks(search: Search, plan: HitPlan) -> Iterator[Candidate]:
    """The pairs that make a plan's hits, all of them in one station."""
    first, *rest = (_pairs(search, plan, pair) for pair in range(len(plan.asks)))
    for lead in first[:MOST_OF_A_PLAN]:
        chosen = [lead]
        for pairs in rest:
            same = [one for one in pairs if one.tooling.station == lead.tooling.station]
            chosen += same[:1]
        if len(chosen) == len(plan.asks):
            yield _together(search, plan, chosen)


def _pairs(search: Search, plan: HitPlan, pair: int) -> list[Candidate]:
    ask: Ask = plan.asks[pair]
    hits = ceil(_weight(plan.of_pair(pair), search.rules))
    facts = replace(search.facts, quantity=search.facts.quantity * hits)
    return ranked(search.on_smaller(ask, facts).candidates(), ask, facts)


def _together(search: Search, plan: HitPlan, chosen: Sequence[Candidate]) -> Candidate:
    """One answer from the pairs of a plan: the findings of all, the figures of the heaviest."""
    tools: dict[str, Tool] = {}
    severities: dict[str, float] = {}
    findings: list[Finding] = list(plan.findings)
    adapters: dict[str, Adapter] = {}
    for pair, one in enumerate(chosen):
        weight = _weight(plan.of_pair(pair), search.rules)
        for role, tool in one.tooling.tools.items():
            name = role if pair == 0 else f"second {role}"
            tools[name] = tool
            severities[name] = one.severities[role] * weight
            findings += _lasting(search, tool, severities[name])
        findings += [finding for finding in one.findings if finding.rule != "lasting"]
        adapters |= {
            role if pair == 0 else f"second {role}": adapter
            for role, adapter in one.tooling.adapters.items()
        }
    heaviest = max(chosen, key=lambda one: one.figures.get("load", 0.0))
    figures = {**heaviest.figures, "hits": float(len(plan.hits))}
    figures["least_bite"] = min((hit.bite for hit in plan.hits), default=1.0)
    station = chosen[0].tooling.station
    closeness_mm = max(one.closeness_mm for one in chosen)
    return Candidate(
        ToolingSet(tools, station, adapters),
        tuple(dict.fromkeys(findings)),
        figures,
        severities,
        closeness_mm,
        plan,
    )


def _lasting(search: Search, tool: Tool, severity_each: float) -> list[Finding]:
    said = search.ask.judge_piece(tool, severity_each, search.rules, search.facts)
    return [finding for finding in said if finding.rule == "lasting"]


def _refused(search: Search, plan: HitPlan) -> Candidate | None:
    """A plan that a limit refuses, beside the pair that would have made its first hit."""
    pairs = _pairs(search, plan, 0)
    if not pairs:
        return None
    return replace(
        pairs[0],
        findings=tuple(plan.findings),
        figures={**pairs[0].figures, "hits": float(len(plan.hits))},
        plan=plan,
    )


def _weight(hits: Sequence[Hit], rules: Rules) -> float:
    """How many full hits the hits of one pair weigh: an open hit wears more."""
    factors = {
        "full": 1.0,
        "bridge": rules.number("wear.bridge"),
        "chain": rules.number("wear.chain"),
    }
    return sum(factors[hit.kind] for hit in hits)
