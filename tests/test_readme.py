"""What the README shows is what the program does: its console blocks are run and compared."""

from __future__ import annotations

import re
import shlex
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.forked import Program

README = Path(__file__).resolve().parent.parent / "README.md"
_BLOCK = re.compile(r"```console\n(.*?)```", re.DOTALL)
_TABLE = re.compile(r"`((?:my_shop/)?\w+\.csv)`\n```csv\n(.*?)```", re.DOTALL)


def console_steps() -> Iterator[tuple[str, list[str]]]:
    """Every command of the README with the lines shown under it."""
    for block in _BLOCK.findall(README.read_text("utf-8")):
        for step in re.split(r"^\$ ", block, flags=re.MULTILINE)[1:]:
            command, *shown = step.splitlines()
            yield command, [line.rstrip() for line in shown if line.strip() not in ("", "...")]


@pytest.mark.slow
def test_every_command_shown_answers_with_the_lines_shown(tmp_path: Path) -> None:
    for name, text in _TABLE.findall(README.read_text("utf-8")):
        path = tmp_path / name
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, "utf-8")
    _run("crib demo", tmp_path)
    steps = list(console_steps())
    assert len(steps) >= 10
    for command, shown in steps:
        said = _run(command, tmp_path)
        missing = [line for line in shown if line not in said]
        assert not missing, f"{command}: {missing}\n{said}"


def test_the_shop_of_ten_pieces_has_ten() -> None:
    tables = dict(_TABLE.findall(README.read_text("utf-8")))
    assert len(tables["my_shop/pieces.csv"].splitlines()) == 1 + 10


def _run(command: str, folder: Path) -> str:
    """Run one shown command at 80 columns; the two that refuse may leave with 2 or 3."""
    answer = Program(shlex.split(command, comments=True)[1:], folder).answer()
    said = answer.out + answer.err
    assert answer.status in (0, 2, 3), f"{command}: {said}"
    assert "Traceback" not in said
    return "\n".join(line.rstrip() for line in said.splitlines())
