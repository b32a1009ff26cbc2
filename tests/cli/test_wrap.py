"""``crib wrap`` at the shell."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.asking import Window
from tests.shop import new_crib

WORDS = ("wrap", "saddle", "2", "pipe", "sch", "40", "onto", "4", "pipe", "at", "60")


@pytest.fixture
def window(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Window:
    monkeypatch.setenv("COLUMNS", "80")
    new_crib(tmp_path / "shop.crib").close()
    return Window(tmp_path / "shop.crib", capsys)


def test_the_screen_lists_every_line_and_fits(window: Window, tmp_path: Path) -> None:
    said = window.ask(*WORDS, str(tmp_path / "a.pdf"))
    assert (said.status, said.err) == (0, "")
    assert said.lines[0] == "understood as: saddle 2 pipe sch 40 onto 4 pipe at 60 A53-B"
    assert sum(line.lstrip()[:1].isdecimal() for line in said.lines) >= 16
    table = [line for line in said.lines if str(tmp_path) not in line]
    assert max(len(line) for line in table) <= 80
    assert "print at 100 %" in said.out


def test_json_is_one_object_in_si(window: Window, tmp_path: Path) -> None:
    said = window.ask(*WORDS, str(tmp_path / "a.pdf"), "--paper", "a4", "--lines", "8", "--json")
    assert said.status == 0
    assert said.json["paper"] == "a4"
    assert said.json["pages"] == 1
    assert said.json["angle_deg"] == 60
    assert [one["number"] for one in said.json["ordinates"]] == list(range(8))
    assert said.json["branch_mm"] == 60.325


def test_a_file_that_is_there_is_asked_about_with_the_flag(window: Window, tmp_path: Path) -> None:
    file = tmp_path / "a.pdf"
    file.write_bytes(b"mine")
    said = window.ask(*WORDS, str(file))
    assert said.status == 2
    assert "--overwrite" in said.err
    assert window.ask(*WORDS, str(file), "--overwrite").status == 0


def test_a_phrase_without_a_file_is_a_wrong_request(window: Window) -> None:
    said = window.ask("wrap", "saddle", "2", "pipe")
    assert said.status == 2
    assert "must end in .pdf, found 'pipe'" in said.err
