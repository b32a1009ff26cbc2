"""What a person waits for at the shell, against what the libraries alone take to load."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from tests.bench.ratios import compare, program
from tests.house import ROOT

pytestmark = pytest.mark.bench

LIBRARIES = (
    "importing typer, sqlmodel and pint, and making pint's registry",
    program(["-c", "import typer, sqlmodel, pint; pint.UnitRegistry()"]),
)
ROUNDS = 11


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo crib, as the program makes it."""
    path = tmp_path_factory.mktemp("demo") / "demo.crib"
    words = [sys.executable, "-m", "crib", "demo", "--crib", str(path)]
    subprocess.run(words, cwd=ROOT, capture_output=True, check=True)
    return path


def test_a_cold_find_is_quicker_than_loading_the_libraries(demo: Path) -> None:
    question = ["find", "hole", "13/16", "thru", "3/8", "A36"]
    find = program(["-m", "crib", *question, "--crib", str(demo)])
    found = compare(f"crib {' '.join(question)}", find, LIBRARIES, limit=0.4, rounds=ROUNDS)
    assert found.ratio <= found.limit, found.line


def test_the_demo_is_made_and_shown_in_a_few_times_that(demo: Path) -> None:
    words = ["-m", "crib", "demo", "--overwrite", "--crib", str(demo)]
    found = compare("crib demo --overwrite", program(words), LIBRARIES, limit=5.0, rounds=5)
    assert found.ratio <= found.limit, found.line


def test_help_is_there_in_a_quarter_of_that() -> None:
    help_page = program(["-m", "crib", "--help"])
    found = compare("crib --help", help_page, LIBRARIES, limit=0.25, rounds=ROUNDS)
    assert found.ratio <= found.limit, found.line
