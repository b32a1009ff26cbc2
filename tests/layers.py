"""The house's rules on who may import whom, as one checker that reads source text."""

from __future__ import annotations

import ast
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from fnmatch import fnmatch
from graphlib import CycleError, TopologicalSorter

ORDER = (
    "acts",
    "errors",
    "words",
    "unseen",
    "spellings",
    "units",
    "trade",
    "features",
    "files",
    "stock",
    "desk",
    "wording",
    "page",
    "cli",
)

# The wings of each room, and what stands beside them, in the same order: only from those before.
WINGS: dict[str, tuple[str, ...]] = {
    "trade": ("common", "life", "metal", "shop", "money", "changes", "reference"),
    "features": ("common", "holes", "cuts", "edges", "saddles", "bends", "registry"),
    "files": ("common", "tables", "drawings", "paper"),
    "stock": ("tables", "engine", "book", "queries", "writers"),
    "desk": (
        "common",
        "answer",
        "life",
        "strokes",
        "edges",
        "shelf",
        "parts",
        "plan",
        "kit",
        "buying",
        "tables",
        "book",
    ),
    "wording": (
        "parts",
        "tools",
        "kinds",
        "lives",
        "edges",
        "buying",
        "reach",
        "reading",
        "rules",
        "wants",
        "sayings",
        "plain",
    ),
    "page": ("texts", "frame", "guard", "views", "app", "serve"),
    "cli": (
        "command_list",
        "answered_from",
        "keyed",
        "plain_words",
        "wording",
        "standing_out",
        "shop_table",
        "door",
        "completion",
        "sub_commands",
        "screens",
        "commands",
        "main",
    ),
}

# A library, and the only files that may import it at all.
KEEPERS: dict[str, tuple[str, ...]] = {
    "pint": ("crib/units.py",),
    "psycopg": (
        "crib/stock/engine/engine_postgres.py",
        "crib/stock/engine/connection_postgres.py",
        "crib/stock/engine/tables_postgres.py",
        "crib/stock/engine/into_server.py",
    ),
    "sqlite3": (
        "crib/stock/engine/engine_sqlite.py",
        "crib/stock/engine/backup.py",
        "crib/stock/engine/restoring.py",
        "crib/stock/engine/into_file.py",
    ),
    "typer": ("crib/cli/*",),
    "rich": ("crib/cli/*",),
    "starlette": ("crib/page/*",),
    "jinja2": ("crib/page/*",),
    "uvicorn": ("crib/page/serve.py",),
    "zxingcpp": ("crib/page/*",),
    "cryptography": ("crib/page/*",),
    "alembic": ("crib/stock/engine/migrate.py", "crib/stock/engine/alembic_postgres.py"),
    "sqlmodel": ("crib/stock/*",),
    "sqlalchemy": ("crib/stock/*",),
    "pydantic": ("crib/stock/*", "crib/desk/*"),
    "importlib": ("crib/cli/*", "crib/features/registry.py", "crib/page/views/programs.py"),
    "pkgutil": ("crib/features/registry.py",),
    "highspy": ("crib/trade/money/purchase_solver.py",),
    "logging": ("crib/page/guard/write_log.py",),
}

# Libraries that cost more than a question at the window: inside functions, or in these files.
HEAVY = (
    "alembic",
    "ezdxf",
    "highspy",
    "numba",
    "numpy",
    "openpyxl",
    "pint",
    "pydantic",
    "reportlab",
    "scipy",
    "sqlalchemy",
    "sqlmodel",
)
HEAVY_FILES = (
    "crib/stock/tables/*.py",
    "crib/stock/engine/alembic_postgres.py",
    "crib/stock/engine/migrate.py",
    "crib/stock/engine/tables_postgres.py",
    "crib/stock/engine/into_file.py",
    "crib/stock/engine/into_server.py",
    "crib/stock/engine/upgrade_server.py",
)
HEAVY_MODULES = (
    "crib.stock.tables",
    "crib.stock.engine.alembic_postgres",
    "crib.stock.engine.into_file",
    "crib.stock.engine.into_server",
    "crib.stock.engine.upgrade_server",
    "crib.stock.engine.migrate",
    "crib.stock.engine.tables_postgres",
)
LIGHT_MODULES = ("crib.stock.tables.own_keys", "crib.stock.tables.row_check")

# What only stock may ask of a session; the others hold its transactions and nothing else.
ASKED_IN_STOCK = (
    *("rows", "row", "value", "each", "run", "run_many"),
    *("insert", "insert_many", "upsert", "add"),
)

PURE_ROOMS = ("trade", "features")
OUTSIDE_WORLD = (
    "calendar",
    "csv",
    "datetime",
    "getpass",
    "io",
    "locale",
    "os",
    "pathlib",
    "platform",
    "random",
    "secrets",
    "shutil",
    "socket",
    "subprocess",
    "sys",
    "tempfile",
    "time",
    "urllib",
    "zoneinfo",
)
PURE_CALLS = ("print", "open", "input", "breakpoint", "exec", "eval")
TABLE_READER = "crib/trade/common/published_tables.py"
# A search that may take so many seconds must know how many went by; it never learns the date.
STOPWATCHES = {
    "crib/trade/money/purchase_best.py": "time.perf_counter",
    "crib/trade/changes/tool_changes.py": "time.perf_counter",
}

# What the migrations may know of the program: env.py its tables and errors, a revision nothing.
SCHEMA_MAY = {"schema/env.py": ("crib.stock", "crib.errors")}


@dataclass(frozen=True)
class Import:
    """One imported name, where it stands, and whether it runs when the module loads."""

    line: int
    name: str
    at_load: bool

    def is_of(self, module: str) -> bool:
        """Whether the name is a module or stands inside it."""
        return self.name == module or self.name.startswith(f"{module}.")


def faults(path: str, source: str) -> list[str]:
    """Every rule of the house that a file breaks; the path is from the checkout."""
    tree = ast.parse(source)
    found = list(imports(path, tree))
    wrong = [*_wrong_imports(path, found), *_wrong_calls(path, tree), *_asked(path, tree)]
    return [f"{path} line {line}: {text}" for line, text in sorted(wrong)]


def room(path_or_module: str) -> str:
    """The room of a file or module; the program's own way in belongs to cli."""
    parts = path_or_module.removesuffix(".py").replace("/", ".").split(".")
    name = parts[1] if len(parts) > 1 else ""
    return "cli" if name == "__main__" else name


def wing(path_or_module: str) -> str:
    """The wing of a room that a file or module stands in, or what stands beside the wings."""
    name = path_or_module.removesuffix(".py").removesuffix("/__init__").replace("/", ".")
    parts = name.removeprefix("crib.").split(".")
    return "main" if parts == ["__main__"] else parts[1] if len(parts) > 1 else ""


def imports(path: str, tree: ast.AST) -> Iterator[Import]:
    """Every import of a file, also those inside functions and those for the type checker only."""
    package = path.split("/")[:-1]
    for node, at_load in _walk(tree, at_load=True):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield Import(node.lineno, alias.name, at_load)
        elif isinstance(node, ast.ImportFrom):
            base = package[: len(package) - node.level + 1] if node.level else []
            start = ".".join([*base, *([node.module] if node.module else [])])
            for alias in node.names:
                yield Import(node.lineno, f"{start}.{alias.name}", at_load)


def import_graph(sources: Mapping[str, str]) -> dict[str, set[str]]:
    """Which module imports which of the others, at load, late, or for the type checker only."""
    paths = {_module(path): path for path in sources}
    return {
        module: {
            name
            for one in imports(path, ast.parse(sources[path]))
            if (name := _nearest(one.name, paths)) not in ("", "crib", module)
        }
        for module, path in paths.items()
    }


def circle(graph: Mapping[str, Iterable[str]]) -> list[str]:
    """The modules of a circle of imports, the first of them again at the end; empty without one."""
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        return list(error.args[1])
    return []


def _module(path: str) -> str:
    return path.removesuffix(".py").removesuffix("/__init__").replace("/", ".")


def _nearest(name: str, modules: Iterable[str]) -> str:
    """The module that a name is or stands in; empty when it is none of these."""
    while name and name not in modules:
        name = name.rpartition(".")[0]
    return name


def _walk(node: ast.AST, *, at_load: bool) -> Iterator[tuple[ast.AST, bool]]:
    for child in ast.iter_child_nodes(node):
        later = isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda)
        yield child, at_load
        if isinstance(child, ast.If) and "TYPE_CHECKING" in ast.unparse(child.test):
            for part in child.body:
                yield part, False
                yield from _walk(part, at_load=False)
            for part in child.orelse:
                yield part, at_load
                yield from _walk(part, at_load=at_load)
        else:
            yield from _walk(child, at_load=at_load and not later)


def _wrong_imports(path: str, found: list[Import]) -> Iterator[tuple[int, str]]:
    for one in found:
        for text in (*_wrong_arrow(path, one), *_wrong_library(path, one), *_too_heavy(path, one)):
            yield one.line, text


def _wrong_arrow(path: str, one: Import) -> Iterator[str]:
    if not one.is_of("crib"):
        return
    if path.startswith("schema/"):
        if not any(one.is_of(module) for module in SCHEMA_MAY.get(path, ())):
            yield f"a migration may not import {one.name}"
        return
    here, there = room(path), room(one.name)
    if there not in ORDER:
        yield f"{one.name} is in no room of the house"
    elif here == "__init__":
        yield f"the front door imports nothing, found {one.name}"
    elif ORDER.index(there) > ORDER.index(here):
        yield f"{here} may not import {there} ({one.name})"
    elif here == there and here in WINGS:
        yield from _wrong_wing(here, wing(path), wing(one.name), one.name)


def _wrong_wing(here: str, ours: str, theirs: str, name: str) -> Iterator[str]:
    order = WINGS[here]
    if not theirs and ours == order[-1]:
        return
    if theirs and theirs not in order:
        yield f"{name} is in no wing of {here}"
    elif ours not in order:
        yield f"{ours or 'a front door'} is no wing of {here}, so it may not import {name}"
    elif not theirs or order.index(theirs) > order.index(ours):
        yield f"{here}.{ours} may not import {here}.{theirs} ({name})"


def _wrong_library(path: str, one: Import) -> Iterator[str]:
    if path.startswith("schema/"):
        return
    for library, keepers in KEEPERS.items():
        if one.is_of(library) and not _is_one_of(path, keepers):
            yield f"{library} may be imported only in {', '.join(keepers) or 'no file'}"
    if room(path) in PURE_ROOMS and path != TABLE_READER:
        for library in OUTSIDE_WORLD:
            if one.is_of(library) and one.name != STOPWATCHES.get(path):
                yield f"{room(path)} is pure and may not import {library}"


def _too_heavy(path: str, one: Import) -> Iterator[str]:
    if path.startswith("schema/") or not one.at_load or _is_one_of(path, HEAVY_FILES):
        return
    heavy = any(one.is_of(module) for module in HEAVY_MODULES)
    light = any(one.is_of(module) for module in LIGHT_MODULES)
    if any(one.is_of(library) for library in HEAVY) or (heavy and not light):
        yield f"{one.name} is heavy: import it inside the function that uses it"


def _wrong_calls(path: str, tree: ast.AST) -> Iterator[tuple[int, str]]:
    here = room(path)
    if not path.startswith("crib/") or path == TABLE_READER:
        return
    forbidden = PURE_CALLS if here in PURE_ROOMS else ("print", "breakpoint")
    for node in ast.walk(tree):
        if not isinstance(node, ast.Call) or not isinstance(node.func, ast.Name):
            continue
        name = node.func.id
        if (name in forbidden and here != "cli") or name == "__import__":
            yield node.lineno, f"{here} may not call {name}"


def _asked(path: str, tree: ast.AST) -> Iterator[tuple[int, str]]:
    """A session's own questions outside stock."""
    if not path.startswith("crib/") or room(path) == "stock":
        return
    for node in ast.walk(tree):
        if not isinstance(node, ast.Attribute):
            continue
        asked, whom = node.attr, ast.unparse(node.value)
        if asked in ASKED_IN_STOCK and whom.split(".")[-1] == "session":
            yield node.lineno, f"{room(path)} may not ask {whom}.{asked}: SQL stands in stock"


def _is_one_of(path: str, patterns: tuple[str, ...]) -> bool:
    return any(fnmatch(path, pattern) for pattern in patterns)
