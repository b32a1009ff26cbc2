"""Where the checkout is, which files belong to it, and how its modules read."""

from __future__ import annotations

import ast
import subprocess
from collections.abc import Iterator
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent


@cache
def project_files() -> tuple[str, ...]:
    """Every file that is tracked or would be, by its path from the checkout."""
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT,
        check=True,
        capture_output=True,
        text=True,
    )
    names = sorted(name for name in listed.stdout.split("\0") if name)
    return tuple(name for name in names if (ROOT / name).is_file())


@cache
def sources(folder: str) -> dict[str, str]:
    """The Python files below a folder: path from the checkout, and text."""
    found = sorted((ROOT / folder).rglob("*.py"))
    return {path.relative_to(ROOT).as_posix(): path.read_text("utf-8") for path in found}


def texts(tree: ast.AST) -> Iterator[ast.Constant | ast.JoinedStr]:
    """Every text a module holds, plain or with fields in it, each once."""
    inside = {
        id(part)
        for node in ast.walk(tree)
        if isinstance(node, ast.JoinedStr)
        for part in ast.walk(node)
        if part is not node
    }
    for node in ast.walk(tree):
        plain = isinstance(node, ast.Constant) and isinstance(node.value, str)
        if (plain or isinstance(node, ast.JoinedStr)) and id(node) not in inside:
            assert isinstance(node, ast.Constant | ast.JoinedStr)
            yield node


def plain_text(node: ast.Constant | ast.JoinedStr) -> str:
    """A text with its fields left out."""
    if isinstance(node, ast.Constant):
        return str(node.value)
    return "".join(str(part.value) for part in node.values if isinstance(part, ast.Constant))
