"""The tabulator key in a real shell: commands, tags, jobs, places and people."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.demo_crib import demo_crib
from tests.house import ROOT

BASH = shutil.which("bash")
pytestmark = pytest.mark.skipif(BASH is None, reason="there is no bash on this machine")


@pytest.fixture(scope="module")
def program(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the program as it is called, and a crib to ask."""
    folder = tmp_path_factory.mktemp("bin")
    demo_crib(folder / "demo.crib").close()
    call = f'#!/bin/sh\nexec {sys.executable} -m crib "$@"\n'
    (folder / "crib").write_text(call)
    (folder / "crib").chmod(0o755)
    return folder


def offered(program: Path, *words: str, crib: str = "demo.crib") -> list[str]:
    """What bash offers behind some words, by the script that the program gives it."""
    typed = " ".join(f"'{word}'" for word in ("crib", *words))
    script = (
        'eval "$(_CRIB_COMPLETE=source_bash crib)"\n'
        f"COMP_WORDS=({typed}); COMP_CWORD={len(words)}\n"
        '_crib_completion crib; printf "%s\\n" "${COMPREPLY[@]}"\n'
    )
    path = f"{program}{os.pathsep}{os.environ['PATH']}"
    here = {**os.environ, "PATH": path, "CRIB": str(program / crib), "PYTHONPATH": str(ROOT)}
    done = subprocess.run(
        [BASH or "", "-c", script], env=here, capture_output=True, text=True, check=True
    )
    assert done.stderr == ""
    return done.stdout.split()


@pytest.mark.parametrize(
    ("words", "first"),
    [
        (("mea",), ["measure"]),
        (("show", "P-013"), ["P-0130", "P-0131"]),
        (("grind", "p-0137"), ["P-0137"]),
        (("kit", "out", "j-268"), ["J-2680", "J-2681"]),
        (("move", "P-0137", "--to", "K1"), ["K1", "K10"]),
        (("due", "--person", "ni"), ["nights"]),
        (("log", "P-0137", "40", "--by", "ni"), ["nights"]),
    ],
)
def test_the_shell_offers_what_the_crib_has(
    program: Path, words: tuple[str, ...], first: list[str]
) -> None:
    assert offered(program, *words)[: len(first) or None] == first


def test_without_a_crib_nothing_is_offered_and_nothing_is_said(program: Path) -> None:
    assert offered(program, "show", "P", crib="none.crib") == []
