"""Other copies at hand of what a pick takes, and which of them the job should wear."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from crib.desk.answer.rank import Candidate
from crib.desk.answer.search import Search
from crib.features.common.copy_choice import judge_copies
from crib.features.common.findings import Finding, refusals
from crib.features.common.tooling import Tool


def with_copies(search: Search, picks: Sequence[Candidate]) -> list[Candidate]:
    """The picks, the first of them with what it says of other copies of its tools.

    Only a job wears an edge; a single hole is made with what lies nearest.
    """
    if search.case.facts.quantity <= 1 or not picks:
        return list(picks)
    first = picks[0]
    said = [
        _said(search, tool, first.severities[role]) for role, tool in first.tooling.tools.items()
    ]
    told = dict.fromkeys(finding for finding in said if finding is not None)
    return [replace(first, findings=(*first.findings, *told)), *picks[1:]]


def _said(search: Search, tool: Tool, severity_each: float) -> Finding | None:
    if tool.to_order or not tool.edge_state:
        return None
    others = _others(search, tool, severity_each)
    part = search.answers.part_word
    return judge_copies(tool, others, severity_each, search.case.facts, part)


def _others(search: Search, tool: Tool, severity_each: float) -> list[Tool]:
    """Copies of the same kind that could be taken in its place; measured ones are not alike."""
    cards = search.shelf.usable.of(search.asked_of(tool.kind_id, tool.role))
    return [
        copy
        for copy in search.tools(cards)
        if copy.tag != tool.tag
        and copy.design == tool.design
        and not refusals(search.answers.judge_piece(copy, severity_each))
    ]
