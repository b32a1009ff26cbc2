"""What the rooms below say in fixed words, which the page says in the reader's language."""

from __future__ import annotations

import ast
from collections.abc import Iterator

from crib.features.common.ask import Workaround
from tests.house import ROOT

FILES = [*(ROOT / "crib" / "features").rglob("*.py"), *(ROOT / "crib" / "desk").rglob("*.py")]


def fixed_workarounds() -> set[str]:
    """The workarounds without a figure in them."""
    return {text for file in FILES for text in _fixed(ast.parse(file.read_text("utf-8")))}


def calls_of(tree: ast.Module, name: str) -> Iterator[ast.expr]:
    """The first argument of each call of a name."""
    for call in (one for one in ast.walk(tree) if isinstance(one, ast.Call) and one.args):
        if isinstance(call.func, ast.Name) and call.func.id == name:
            yield call.args[0]


def _fixed(tree: ast.Module) -> Iterator[str]:
    named: dict[str, list[str]] = {}
    for one in (one for one in ast.walk(tree) if isinstance(one, ast.Assign)):
        if isinstance(one.targets[0], ast.Name) and isinstance(one.value, ast.Constant):
            named.setdefault(one.targets[0].id, []).append(str(one.value.value))
    for said in calls_of(tree, Workaround.__name__):
        if isinstance(said, ast.Constant):
            yield str(said.value)
        elif isinstance(said, ast.Name):
            yield from named.get(said.id, ())
