"""``crib holes`` at the shell."""

from __future__ import annotations

from pathlib import Path

import pytest

from crib.cli.main import main
from tests.shop import small_shop


@pytest.fixture
def crib(tmp_path: Path) -> str:
    path = tmp_path / "shop.crib"
    small_shop(path).close()
    return str(path)


def test_an_inspector_sees_how_the_holes_were_made(
    crib: str, capsys: pytest.CaptureFixture[str]
) -> None:
    phrase = ["hole", "13/16", "thru", "3/8", "A36"]
    assert main(["find", *phrase, "--code", "AISC 360", "--job", "J-7", "--crib", crib]) == 0
    assert "hole method on record for job J-7" in capsys.readouterr().out
    assert main(["holes", "J-7", "--crib", crib]) == 0
    said = capsys.readouterr().out
    assert "AISC 360" in said
    assert "allowed" in said
    assert all(len(line) <= 80 for line in said.splitlines())


def test_an_empty_record_says_how_it_is_kept(crib: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["holes", "--crib", crib]) == 0
    assert "crib find PHRASE --code CODE --job JOB" in capsys.readouterr().out
