"""The house keeps its order: a room imports only from rooms above it, and heavy things late."""

from __future__ import annotations

import re
import subprocess
import sys
from fnmatch import fnmatch

import pytest

from tests.house import ROOT, project_files, sources
from tests.layers import HEAVY, HEAVY_FILES, WINGS, circle, faults, import_graph

MOST_FILES_OF_A_WING = 45
TOP_LEVEL = {"README.md", "DEVELOPERS.md", "pyproject.toml", "crib", "schema", "tests", "seed_data"}


@pytest.mark.parametrize("folder", ["crib", "schema"])
def test_no_file_imports_against_the_order_of_the_house(folder: str) -> None:
    found = [fault for path, text in sources(folder).items() for fault in faults(path, text)]
    assert found == []


def test_the_check_looks_at_every_room() -> None:
    rooms = {path.split("/")[1].removesuffix(".py") for path in sources("crib")}
    assert {"errors", "units", "trade", "features", "files", "stock", "desk", "cli"} <= rooms


@pytest.mark.parametrize(
    ("path", "source", "fault"),
    [
        ("crib/trade/a.py", "from crib.stock import ledger", "trade may not import stock"),
        ("crib/trade/a.py", "def f():\n    import crib.desk.answer.find", "line 2: trade may not"),
        ("crib/stock/a.py", "from crib import cli", "stock may not import cli"),
        ("crib/stock/a.py", "from ..desk import find", "stock may not import desk"),
        ("crib/errors.py", "from . import units", "errors may not import units"),
        ("crib/features/a.py", "import crib.files.sheet", "features may not import files"),
        ("crib/desk/a.py", "from crib.nowhere import x", "in no room of the house"),
        ("crib/__init__.py", "from crib import errors", "the front door imports nothing"),
        ("crib/desk/a.py", "def f():\n    import pint", "pint may be imported only in"),
        ("crib/desk/a.py", "import sqlite3", "sqlite3 may be imported only in"),
        ("crib/stock/engine/session.py", "import sqlite3", "sqlite3 may be imported only in"),
        ("crib/cli/show.py", "from sqlite3 import Error", "sqlite3 may be imported only in"),
        ("crib/desk/a.py", "from rich.table import Table", "rich may be imported only in"),
        (
            "crib/stock/engine/session.py",
            "def f():\n    import alembic",
            "alembic may be imported only",
        ),
        ("crib/cli/a.py", "def f():\n    from sqlmodel import Session", "sqlmodel may be"),
        ("crib/desk/a.py", "from importlib import import_module", "importlib may be imported"),
        ("crib/trade/a.py", "from datetime import date", "pure and may not import datetime"),
        ("crib/trade/a.py", "import time", "pure and may not import time"),
        ("crib/trade/a.py", "from time import perf_counter", "pure and may not import time"),
        (
            "crib/trade/changes/tool_changes.py",
            "from time import time",
            "pure and may not import time",
        ),
        ("crib/features/a.py", "def f():\n    import os.path", "pure and may not import os"),
        ("crib/trade/a.py", "def f():\n    print(1)", "line 2: trade may not call print"),
        ("crib/features/a.py", "open('x')", "features may not call open"),
        ("crib/desk/a.py", "print(1)", "desk may not call print"),
        ("crib/cli/a.py", "__import__('x')", "may not call __import__"),
        ("crib/files/a.py", "import openpyxl", "openpyxl is heavy"),
        (
            "crib/desk/a.py",
            "from crib.stock.tables.all_tables import Kind",
            "heavy: import it inside",
        ),
        ("crib/desk/a.py", "from crib.stock.tables import shelf", "heavy: import it inside"),
        ("crib/desk/a.py", "try:\n    import scipy\nexcept ImportError:\n    pass", "heavy"),
        ("crib/desk/a.py", "class A:\n    from scipy import stats", "heavy"),
        ("crib/desk/answer/a.py", "from crib.desk.plan import runs", "desk.answer may not import"),
        (
            "crib/desk/kit/a.py",
            "def f():\n    from crib.desk.buying.buy import x",
            "desk.kit may not",
        ),
        (
            "crib/desk/kit/a.py",
            "from crib.desk import buying",
            "desk.kit may not import desk.buying",
        ),
        ("crib/desk/kit/a.py", "from crib.desk.attic import x", "in no wing of desk"),
        ("crib/desk/a.py", "from crib.desk.common import acting", "a is no wing of desk"),
        ("crib/features/holes/a.py", "from crib.features.registry import x", "may not import"),
        ("crib/trade/life/__init__.py", "from crib.trade.money import money", "trade.life may not"),
        ("crib/desk/kit/a.py", "session.rows(sql)", "desk may not ask session.rows"),
        ("crib/desk/kit/a.py", "desk.session.value(sql)", "desk may not ask desk.session.value"),
        ("crib/desk/kit/a.py", "list(map(session.insert, rows))", "may not ask session.insert"),
        ("schema/env.py", "from crib.desk import find", "may not import crib.desk.find"),
        ("schema/versions/0002_x.py", "from crib.stock import tables", "a migration may not"),
    ],
)
def test_the_checker_catches_a_forbidden_arrow(path: str, source: str, fault: str) -> None:
    found = faults(path, source)
    assert len(found) >= 1
    assert fault in found[0]


@pytest.mark.parametrize(
    ("path", "source"),
    [
        (
            "crib/desk/a.py",
            "from crib.stock.book import ledger\nfrom crib.trade.metal import force",
        ),
        ("crib/desk/kit/a.py", "from crib.desk.answer import find\nfrom . import hold"),
        (
            "crib/desk/a.py",
            "def f():\n    from crib.stock.tables.all_tables import Kind\n    import scipy",
        ),
        ("crib/units.py", "if TYPE_CHECKING:\n    import pint\ndef f():\n    import pint"),
        ("crib/stock/tables/more.py", "from sqlmodel import Field"),
        ("crib/desk/a.py", "from crib.stock.tables import own_keys"),
        ("crib/desk/kit/a.py", "with session.writing():\n    names.add(session)"),
        ("crib/stock/queries/a.py", "session.rows(sql)"),
        ("crib/cli/door.py", "import typer\nprint(1)"),
        ("crib/stock/engine/backup.py", "import sqlite3"),
        ("crib/trade/changes/tool_changes.py", "from time import perf_counter"),
        ("crib/trade/common/published_tables.py", "import csv\nimport os\nopen('x')"),
        ("crib/__main__.py", "from crib.cli.main import run"),
        ("schema/env.py", "from crib.errors import CribDamaged\nfrom crib.stock import tables"),
        ("schema/versions/0002_x.py", "import sqlalchemy as sa\nfrom alembic import op"),
    ],
)
def test_the_checker_lets_an_allowed_arrow_pass(path: str, source: str) -> None:
    assert faults(path, source) == []


def test_no_import_runs_in_a_circle() -> None:
    assert circle(import_graph(sources("crib"))) == []


@pytest.mark.parametrize(
    "back",
    [
        "from crib.desk.kit import hold",
        "from . import hold",
        "if TYPE_CHECKING:\n    from crib.desk.kit.hold import Hold",
        "def f():\n    from crib.desk.kit.hold import Hold",
    ],
)
def test_a_circle_is_found_however_it_is_closed(back: str) -> None:
    forth = "from crib.desk.kit.window import Window"
    graph = import_graph({"crib/desk/kit/hold.py": forth, "crib/desk/kit/window.py": back})
    assert set(circle(graph)) == {"crib.desk.kit.hold", "crib.desk.kit.window"}


def _is_heavy_itself(path: str) -> bool:
    return any(fnmatch(path, pattern) for pattern in HEAVY_FILES)


def test_no_heavy_library_loads_with_the_programs_modules() -> None:
    light = [
        path.removesuffix(".py").replace("/", ".")
        for path in sources("crib")
        if not _is_heavy_itself(path) and not path.endswith(("__init__.py", "__main__.py"))
    ]
    script = (
        f"import importlib, sys\nfor name in {light!r}: importlib.import_module(name)\n"
        f"print([name for name in {HEAVY!r} if name in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.stderr == ""
    assert done.stdout.strip() == "[]"


def test_the_top_level_holds_only_what_the_design_names() -> None:
    top = {name.split("/")[0] for name in project_files()}
    assert {name for name in top if not name.startswith(".")} - TOP_LEVEL == set()


@pytest.mark.parametrize("room", WINGS)
def test_the_contributors_map_draws_the_wings_in_their_order(room: str) -> None:
    drawn = f"{room:<11}{' → '.join(WINGS[room])}"
    assert drawn in (ROOT / "DEVELOPERS.md").read_text("utf-8").splitlines()


def test_no_wing_is_crowded_and_each_says_what_lives_there() -> None:
    folders = {path.rpartition("/")[0] for path in sources("crib") if path.count("/") > 2}
    files = {
        folder: [p for p in sources("crib") if p.startswith(f"{folder}/")] for folder in folders
    }
    # One file a command, found by its name: they are not read one after the other.
    files.pop("crib/cli/commands")
    assert [folder for folder, held in files.items() if len(held) > MOST_FILES_OF_A_WING] == []
    told = {folder: sources("crib")[f"{folder}/__init__.py"] for folder in folders}
    assert [folder for folder, text in told.items() if len(text.splitlines()) < 3] == []


def test_the_contributors_guide_names_only_files_that_are_there() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text("utf-8")
    named = set(re.findall(r"`([\w/]+\.(?:py|csv|json|md))`", text)) - {
        "schema/versions/NNNN_what.py"
    }
    there = tuple(f"/{path}" for path in project_files())
    gone = [name for name in named if not any(path.endswith(f"/{name}") for path in there)]
    assert named != set()
    assert gone == []
