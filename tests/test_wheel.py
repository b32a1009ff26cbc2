"""An installed copy works away from the checkout: tables, demo data and all."""

from __future__ import annotations

import json
import os
import pwd
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from tests.house import ROOT, project_files

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel, built from the checkout with what is installed already."""
    folder = tmp_path_factory.mktemp("wheel")
    words = ["-m", "build", "--wheel", "--no-isolation", "--outdir", str(folder), str(ROOT)]
    run([sys.executable, *words], folder)
    (found,) = folder.glob("*.whl")
    return found


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of programs of an environment that holds the wheel and what it depends on."""
    folder = tmp_path_factory.mktemp("installed")
    run([sys.executable, "-m", "venv", "--without-pip", str(folder / "env")], folder)
    programs = folder / "env" / "bin"
    run(pip(programs, "install", "--quiet", "--no-compile", str(wheel)), folder)
    return programs


@pytest.fixture
def away(tmp_path: Path) -> Path:
    """A folder with nothing in it, to work in."""
    folder = tmp_path / "away"
    folder.mkdir()
    return folder


def pip(programs: Path, *words: str) -> list[str]:
    """The words that have this environment's installer work in that one, which has none."""
    return [sys.executable, "-m", "pip", "--python", str(programs / "python"), *words]


def run(words: list[str], folder: Path) -> subprocess.CompletedProcess[str]:
    """Run a program in a folder, knowing nothing of the checkout; it must not fail."""
    done = subprocess.run(
        words,
        cwd=folder,
        env=clean_environment(folder),
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, f"{words}\n{done.stdout}\n{done.stderr}"
    return done


def clean_environment(folder: Path) -> dict[str, str]:
    """This process's variables without the checkout's, and the installer's own settings."""
    ours = ("PYTHON", "CRIB", "VIRTUAL_ENV", "COV_", "PYTEST")
    kept = {name: value for name, value in os.environ.items() if not name.startswith(ours)}
    kept |= {"HOME": str(folder), "XDG_DATA_HOME": str(folder / "data")}
    settings = Path(pwd.getpwuid(os.getuid()).pw_dir) / ".config" / "pip" / "pip.conf"
    if settings.is_file():
        kept.setdefault("PIP_CONFIG_FILE", str(settings))
    return kept


def test_the_wheel_holds_the_program_its_tables_and_its_data(wheel: Path) -> None:
    inside = set(zipfile.ZipFile(wheel).namelist())
    moved = {"crib/": "crib/", "schema/": "crib/_schema/", "seed_data/": "crib/_seed_data/"}
    for here, there in moved.items():
        wanted = {name.replace(here, there, 1) for name in project_files() if name.startswith(here)}
        assert wanted != set()
        assert wanted - inside == set()


def test_the_wheel_holds_nothing_else(wheel: Path) -> None:
    inside = zipfile.ZipFile(wheel).namelist()
    odd = [name for name in inside if not name.startswith("crib/") and ".dist-info/" not in name]
    assert odd == []
    assert [name for name in inside if "__pycache__" in name] == []


def test_what_it_depends_on_is_declared(installed: Path, away: Path) -> None:
    run(pip(installed, "check"), away)


def test_the_installed_program_is_not_the_checkout(installed: Path, away: Path) -> None:
    script = (
        "import crib, crib.stock.engine.folders as f; print(crib.__file__);"
        " print(f.schema_folder()); print(f.seed_folder())"
    )
    places = run([str(installed / "python"), "-c", script], away).stdout.split()
    assert len(places) == 3
    assert all(Path(place).is_relative_to(installed.parent) for place in places)
    assert not any(Path(place).is_relative_to(ROOT) for place in places)


def test_the_demo_runs_and_the_main_question_is_answered(installed: Path, away: Path) -> None:
    crib = str(installed / "crib")
    run([crib, "demo", "--crib", "demo.crib"], away)
    assert (away / "demo.crib").is_file()
    question = ["find", "hole", "13/16", "thru", "3/8", "A36"]
    said = run([crib, *question, "--json", "--crib", "demo.crib"], away)
    found = json.loads(said.stdout)
    assert said.stderr == ""
    assert found["ask"]["size_mm"] == 20.6375
    assert len(found["picks"]) >= 1


def test_a_new_crib_is_made_with_its_tables(installed: Path, away: Path) -> None:
    crib = str(installed / "crib")
    run([crib, "new", "--crib", "shop.crib"], away)
    said = run([crib, "check", "--json", "--crib", "shop.crib"], away)
    assert isinstance(json.loads(said.stdout), dict)


def test_it_runs_as_a_module_too(installed: Path, away: Path) -> None:
    said = run([str(installed / "python"), "-m", "crib", "--help"], away)
    assert "find" in said.stdout
