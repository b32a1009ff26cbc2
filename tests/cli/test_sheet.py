"""``crib sheet``: printed, listed, typed back."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.asking import Window
from tests.cli.test_log_shift import window

__all__ = ["window"]


def test_the_sheet_is_listed_with_its_codes_and_how_to_type_it_back(
    window: Window, tmp_path: Path
) -> None:
    file = tmp_path / "strokes.pdf"
    said = window.ask("sheet", str(file), "--blank", "2")
    assert (said.status, said.err) == (0, "")
    assert file.read_bytes().startswith(b"%PDF")
    assert max(len(line) for line in said.lines if str(file) not in line) <= 80
    assert [line.split() for line in said.lines[2:5]] == [
        ["1-1", "P-0137", "D-0201"],
        ["1-2", "P-0137", "D-0201", "1/4", "304", "380", "J-1"],
        ["1-3", "P-0140"],
    ]
    assert said.lines[-2:] == [
        f"{file}: sheet 1, 3 lines, 2 blank, 1 page",
        "to type it back: crib log 1-1 400 1-2 60",
    ]


def test_json_carries_the_sheet(window: Window, tmp_path: Path) -> None:
    said = window.ask("sheet", str(tmp_path / "s.pdf"), "--machine", "Ironworker 2", "--json")
    assert (said.json["number"], said.json["blank_lines"]) == (1, 6)
    assert [one["code"] for one in said.json["lines"]] == ["1-1"]
    assert said.json["lines"][0]["tag"] == "P-0140"


def test_what_was_written_is_typed_back_once(window: Window, tmp_path: Path) -> None:
    window.ask("sheet", str(tmp_path / "s.pdf"))
    said = window.ask("log", "1-2", "380", "1-3", "60", "about", "thru", "3/8")
    assert (said.status, said.err) == (0, "")
    again = window.ask("log", "1-2", "370")
    assert (again.status, again.out) == (2, "")
    assert "line 1-2 was typed already" in again.err
    assert "--again" in again.err


def test_a_wrong_code_is_pointed_at(window: Window, tmp_path: Path) -> None:
    window.ask("sheet", str(tmp_path / "s.pdf"))
    said = window.ask("log", "1-2", "380", "1-7", "60")
    assert said.status == 2
    assert said.err.splitlines() == [
        "crib: sheet 1 has no line 7; its lines: 1-1 P-0137, 1-2 P-0137, 1-3 P-0140",
        "  1-2 380 1-7 60",
        "          ^^^",
        "  -> a line written by hand goes in by its tag: P-0137 400 thru 3/8 A36",
    ]


def test_a_file_that_is_there_is_left_alone(window: Window, tmp_path: Path) -> None:
    file = tmp_path / "s.pdf"
    file.write_text("notes")
    said = window.ask("sheet", str(file))
    assert (said.status, said.out) == (2, "")
    assert "is there already" in said.err
    assert window.ask("sheet", str(file), "--overwrite").status == 0
    assert file.read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize(
    "words", [("--blank", "61"), ("--paper", "napkin"), ("--machine", "Press")]
)
def test_what_cannot_be_is_refused(window: Window, tmp_path: Path, words: tuple[str, str]) -> None:
    said = window.ask("sheet", str(tmp_path / "s.pdf"), *words)
    assert (said.status, said.out) == (2, "")
    assert not (tmp_path / "s.pdf").exists()
