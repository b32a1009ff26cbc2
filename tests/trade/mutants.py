"""Figures of the trade's tables and formulas, each changed by itself, and whether a test notices.

A copy of ``crib/trade`` holds the one changed figure. A process is forked for it from one that has
pytest loaded and none of the trade, takes the trade from the copy and runs the tests that lie
nearest to the figure until the first of them fails.
"""

from __future__ import annotations

import ast
import csv
import os
import random
import re
import shutil
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from io import StringIO
from multiprocessing import get_context
from pathlib import Path

from tests.house import ROOT

TRADE = ROOT / "crib" / "trade"
NOT_A_FIGURE = {
    "aliases",
    "name",
    "note",
    "edition",
    "bolt",
    "nps",
    "gauge",
    "schedule",
    "standard",
}
"""Columns by which a row is found: a changed key is another row, and no changed figure."""
PINNED = {"shop_rules"}
"""Tables of defaults, which a regression pin repeats whole: nothing is learned from them."""
_SHARE = 1.1
"""How far a figure is changed: by a tenth."""
_FRACTION = re.compile(r"(?:(\d+)-)?(\d+)/(\d+)")
WINGS = ("common", "life", "metal", "reference", "shop")
"""Where figures are facts and rules; in changes and money most tune a search."""
_FITTED = (
    *("estimate", "gamma", "weibull_fit", "edge_life", "known_lives", "held_shape"),
    *("kept_life", "risks", "dulling", "dulling_learned", "dulling_grid", "silence", "surer"),
)
"""Formulas of life that are fitted to data: their tests take minutes, and run with the others."""
_SLOW = ("life", "inventory", "stocking", "slot_hits", "opening_hits", "hit_areas")
"""Tests of whole simulations and searches: many seconds each, for no figure that is sampled."""
_PINS = ("rule_defaults",)
"""Tests that repeat what ships, whatever that is."""

_FORKS = get_context("forkserver")
_FORKS.set_forkserver_preload(["pytest", "hypothesis", "shapely", "scipy.stats"])


@dataclass(frozen=True)
class Mutant:
    """One figure of a file, what it becomes, and where it stands."""

    file: str
    where: str
    before: str
    after: str
    text: str

    def __str__(self) -> str:
        return f"{self.file} {self.where}: {self.before} -> {self.after}"


def sampled(seed: int, tables: int, constants: int) -> list[Mutant]:
    """So many changed cells of tables and constants of formulas, the same for each seed."""
    draw = random.Random(seed)
    return [*_cells(draw, tables), *draw.sample(list(_constants()), constants)]


def _cells(draw: random.Random, count: int) -> Iterator[Mutant]:
    """Cells of tables: first a table, then one of its columns of figures, then a row."""
    names = sorted(path.stem for path in (TRADE / "data").glob("*.csv"))
    seen: set[str] = set()
    while len(seen) < count:
        mutant = _cell(draw, draw.choice([name for name in names if name not in PINNED]))
        if str(mutant) not in seen:
            seen.add(str(mutant))
            yield mutant


def _cell(draw: random.Random, name: str) -> Mutant:
    path = TRADE / "data" / f"{name}.csv"
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    columns = [
        column
        for column in rows[0]
        if column not in NOT_A_FIGURE and any(_changed(row[column]) for row in rows)
    ]
    column = draw.choice(columns)
    row = draw.choice([row for row in rows if _changed(row[column])])
    before = row[column]
    row[column] = _changed(before) or before
    where = f"row {rows.index(row) + 2} {column}"
    return Mutant(f"data/{name}.csv", where, before, row[column], _written(rows))


def _written(rows: list[dict[str, str]]) -> str:
    text = StringIO()
    writer = csv.DictWriter(text, list(rows[0]), lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    return text.getvalue()


def _changed(text: str) -> str | None:
    """A figure a tenth larger, a fraction a step of its own; None for what is no figure."""
    if fraction := _FRACTION.fullmatch(text):
        whole, above, below = (int(part or 0) for part in fraction.groups())
        return f"{f'{whole}-' if whole else ''}{above + 1}/{below}"
    try:
        return format(float(text) * _SHARE, ".6g") if float(text) else None
    except ValueError:
        return None


def _constants() -> Iterator[Mutant]:
    """Every figure in the code but 0, 1 and 2, an index, a place and what words are cut to."""
    for path in (path for wing in WINGS for path in sorted((TRADE / wing).glob("*.py"))):
        if path.stem in _FITTED:
            continue
        text = path.read_text("utf-8")
        tree = ast.parse(text)
        passed = {id(part) for node in ast.walk(tree) for part in _no_figures(node)}
        for node in ast.walk(tree):
            if isinstance(node, ast.Constant) and id(node) not in passed and _is_figure(node.value):
                yield _constant(path, text, node)


def _no_figures(node: ast.AST) -> Iterator[ast.AST]:
    """What in a node is a place, a format or the size of a cache."""
    if isinstance(node, ast.Subscript):
        yield from ast.walk(node.slice)
    elif isinstance(node, ast.FormattedValue) and node.format_spec is not None:
        yield from ast.walk(node.format_spec)
    elif isinstance(node, ast.keyword) and node.arg in ("maxsize", "cutoff", "n", "seed"):
        yield from ast.walk(node.value)
    elif isinstance(node, ast.Call) and ast.unparse(node.func) == "round":
        yield from (part for each in node.args[1:] for part in ast.walk(each))


def _is_figure(value: object) -> bool:
    return type(value) in (int, float) and value not in (0, 1, 2)


def _constant(path: Path, text: str, node: ast.Constant) -> Mutant:
    lines = text.splitlines(keepends=True)
    line, start, end = lines[node.lineno - 1], node.col_offset, node.end_col_offset
    value = node.value
    after = str(value + 1) if isinstance(value, int) else format(float(str(value)) * _SHARE, ".6g")
    before = line.encode()[start:end].decode()
    changed = line.encode()[:start] + after.encode() + line.encode()[end:]
    lines[node.lineno - 1] = changed.decode()
    name = path.relative_to(TRADE).as_posix()
    return Mutant(name, f"line {node.lineno}, {node.col_offset}", before, after, "".join(lines))


def survives(mutant: Mutant, copy: Path) -> bool:
    """Whether every test near a changed figure passes; ``copy`` is the folder for the copy."""
    trade = _copied(copy)
    file = trade / mutant.file
    file.write_text(mutant.text, "utf-8")
    try:
        return _passes(trade, tests_near(mutant.file))
    finally:
        shutil.copyfile(TRADE / mutant.file, file)


def survives_unchanged(mutants: list[Mutant], copy: Path) -> bool:
    """Whether every test near any of them passes with nothing changed."""
    trade = _copied(copy)
    return _passes(trade, tuple(sorted({test for one in mutants for test in tests_near(one.file)})))


def _copied(folder: Path) -> Path:
    trade = folder / "trade"
    if not trade.exists():
        shutil.copytree(TRADE, trade, ignore=shutil.ignore_patterns("__pycache__"))
    return trade


def _passes(trade: Path, tests: tuple[str, ...]) -> bool:
    """Whether the tests pass with the trade taken from a folder, in a process of their own."""
    process = _FORKS.Process(target=_run, args=(str(trade), tests))
    process.start()
    process.join()
    assert process.exitcode is not None
    return process.exitcode == 0


def _run(trade: str, tests: tuple[str, ...]) -> None:
    silent = os.open(os.devnull, os.O_WRONLY)
    os.dup2(silent, 1)
    os.dup2(silent, 2)
    sys.dont_write_bytecode = True
    import pytest
    from hypothesis import settings

    import crib.trade

    crib.trade.__path__ = [trade]
    settings.register_profile("few", max_examples=8, deadline=None, database=None)
    settings.load_profile("few")
    os.chdir(ROOT)
    told = ["-x", "-q", "--noconftest", "--assert=plain", "-p", "no:cacheprovider"]
    sys.exit(pytest.main([*told, "-o", "addopts=", "--import-mode=importlib", *tests]))


@cache
def tests_near(file: str) -> tuple[str, ...]:
    """The tests of the modules that hold or read a file, and of those that use them at once."""
    near = {file} if file.endswith(".py") else _readers(Path(file).stem)
    near |= {name for name, used in _uses().items() if used & near}
    tests = [path for folder in ("validation", "trade") for path in _test_files(folder)]
    chosen = [path for path in tests if _imports(path) & near or _names(path, file)]
    return tuple(path.relative_to(ROOT).as_posix() for path in chosen)


def _test_files(folder: str) -> list[Path]:
    every = sorted((ROOT / "tests" / folder).rglob("test_*.py"))
    return [path for path in every if not any(slow in path.name for slow in (*_SLOW, *_PINS))]


def _names(path: Path, file: str) -> bool:
    return file.endswith(".csv") and f'"{Path(file).stem}"' in path.read_text("utf-8")


@cache
def _uses() -> dict[str, set[str]]:
    return {
        path.relative_to(TRADE).as_posix(): _imports(path) for path in sorted(TRADE.rglob("*.py"))
    }


def _readers(table: str) -> set[str]:
    """The modules that read a table."""
    asks = f'read_table("{table}")'
    return {name for name in _uses() if asks in (TRADE / name).read_text("utf-8")}


@cache
def _imports(path: Path) -> set[str]:
    """The modules of the trade that a file imports."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("crib.trade"):
            base = (
                (node.module or "").removeprefix("crib.trade").removeprefix(".").replace(".", "/")
            )
            found |= {f"{base}.py", *(f"{base}/{one.name}.py" for one in node.names)}
    return found & {one.relative_to(TRADE).as_posix() for one in TRADE.rglob("*.py")}
