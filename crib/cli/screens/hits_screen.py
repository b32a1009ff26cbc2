"""The hits of a plan as a table: the order, with which tool, where, and how deep each bites."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from crib.cli.door import table
from crib.desk.answer.rank import Candidate
from crib.features.common.ask import Hit, HitPlan
from crib.features.common.findings import Finding
from crib.units import System, format_length

if TYPE_CHECKING:
    from rich.table import Table

DUST_MM = 1e-6


def hits_table(one: Candidate, plan: HitPlan, system: System) -> Table:
    """A row for each hit; a column that would say the same in every row is left out."""
    rows = any(abs(hit.y_mm) > DUST_MM for hit in plan.hits)
    several, turned = len(plan.asks) > 1, any(hit.turned for hit in plan.hits)
    heads = ["hit", *(["with"] if several else []), "from the middle"]
    heads += [*(["across"] if rows else []), *(["tool"] if turned else []), "kind", "bites"]
    shown = table(*heads, right=("hit", "bites"))
    for hit in plan.hits:
        cells = [str(hit.number), *([_tag(one, hit)] if several else []), _at(hit.x_mm, system)]
        cells += [_at(hit.y_mm, system)] if rows else []
        cells += ["turned" if hit.turned else "straight"] if turned else []
        shown.add_row(*cells, hit.kind, f"{100 * hit.bite:.0f} %")
    return shown


def plan_words(plan: HitPlan, told: Sequence[Finding]) -> str:
    """The plan in words, without the limit that governs where the findings below say it."""
    return plan.how if plan.governing in told else plan.text


def _tag(one: Candidate, hit: Hit) -> str:
    """The leading tool of the pair that makes a hit."""
    wanted = "second " if hit.pair else ""
    for role, tool in one.tooling.tools.items():
        if role.startswith("second ") == bool(wanted):
            return tool.tag
    return ""


def _at(length_mm: float, system: System) -> str:
    """A place from the middle with its sign, rounded as people measure."""
    if abs(length_mm) <= DUST_MM:
        return "0"
    sign = "+" if length_mm > 0 else "-"
    return f"{sign}{format_length(abs(length_mm), system, digits=3 if system == 'mm' else 4)}"
