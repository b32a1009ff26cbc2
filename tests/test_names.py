"""A name says one thing: no two public classes of the program share one."""

from __future__ import annotations

import ast
from collections import defaultdict

from tests.house import ROOT


def public_classes() -> dict[str, list[str]]:
    """The files in which each public class stands, by its name."""
    found: dict[str, list[str]] = defaultdict(list)
    for path in sorted((ROOT / "crib").rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                found[node.name].append(str(path.relative_to(ROOT)))
    return found


def test_no_two_public_classes_share_a_name() -> None:
    classes = public_classes()
    assert len(classes) > 400
    assert {name: files for name, files in classes.items() if len(files) > 1} == {}
