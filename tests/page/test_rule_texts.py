"""Every rule that can speak of a tool has a name in every language."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path
from typing import get_args

from crib.desk.answer.rank import LINES
from crib.features.common.findings import Finding
from crib.features.holes.distance_checks import BESIDE, code_rule
from crib.features.registry import asked_tools
from crib.page.texts import table
from crib.trade.life.edge_state import EdgeState
from crib.trade.life.wear import Hit
from tests.house import ROOT
from tests.page.said_below import FILES, calls_of

MADE_OF = {
    "f'{hit.kind} bite'": {f"{kind} bite" for kind in get_args(Hit)},
    "f'metal to {word}'": {f"metal to {word}" for word in BESIDE},
    "code_rule(word)": {code_rule(word) for word in BESIDE},
    "need.role": {tool.role for tool in asked_tools() if not tool.mounted},
}
"""The rules whose names are put together, by how."""


def _calls(file: Path) -> Iterator[tuple[ast.expr, str]]:
    module = ".".join(file.relative_to(ROOT).with_suffix("").parts)
    for rule in calls_of(ast.parse(file.read_text("utf-8")), Finding.__name__):
        yield rule, module


def _named(rule: ast.expr, module: str) -> set[str]:
    """The rules that an expression may be; a parameter's are found where it is given."""
    if isinstance(rule, ast.Constant):
        return {str(rule.value)}
    if isinstance(rule, ast.Name) and rule.id.isupper():
        return {getattr(import_module(module), rule.id)}
    if isinstance(rule, ast.Name):
        return set()
    return MADE_OF[ast.unparse(rule)]


def _rules() -> set[str]:
    found = {rule for file in FILES for call in _calls(file) for rule in _named(*call)}
    return found | {rule for made in MADE_OF.values() for rule in made}


def test_every_rule_has_a_name_and_no_name_is_of_no_rule() -> None:
    rules = {f"rule.{rule}" for rule in _rules()} | {"rule.depth", "rule.adverse force"}
    rules.add("rule.adverse stress")
    assert len(rules) > 60
    assert rules == {key for key in table() if key.startswith("rule.")}


def test_every_line_of_the_ranking_and_every_edge_has_its_words() -> None:
    lines = {f"rank.{name}" for name, _line in LINES}
    assert lines < {key for key in table() if key.startswith("rank.")}
    assert {f"edge.{state}" for state in get_args(EdgeState)} <= table().keys()
    blades = {f"tool.{one.profile} {one.role}" for one in asked_tools() if one.role == "blade"}
    assert blades <= table().keys()
