"""`crib jobs` from the shell."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.asking import Window
from tests.desk.planning import hole, one_machine, part_list, plan


@pytest.fixture
def window(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Window:
    """A shop with a kept job that is late."""
    session = one_machine(tmp_path / "shop.crib")
    file = part_list(tmp_path / "list.csv", ("B1", hole("13/16"), 12, 4))
    plan(session, file, job="24-118", due="2020-06-01", keep=True)
    session.close()
    return Window(tmp_path / "shop.crib", capsys)


def test_the_open_jobs_stand_in_a_line_each(window: Window) -> None:
    said = window.ask("jobs")
    assert (said.status, said.err) == (0, "")
    (line,) = [line for line in said.lines if line.startswith("24-118")]
    assert line.split() == ["24-118", "2020-06-01", "48", "0", "48", "LATE"]


def test_one_job_shows_its_runs_within_eighty_columns(window: Window) -> None:
    said = window.ask("jobs", "24-118")
    assert any("0 of 48" in line for line in said.lines)
    assert max(len(line) for line in said.lines) <= 80


def test_closing_asks_back_and_then_assumes(window: Window) -> None:
    asked = window.ask("jobs", "--close", "24-118")
    assert (asked.status, asked.out) == (2, "")
    assert "48 of 48 planned strokes of job 24-118 are not logged" in asked.err
    done = window.ask("jobs", "--close", "24-118", "--assume", "--json").json
    assert (done["jobs"][0]["open"], done["jobs"][0]["strokes_logged"]) == (False, 48)
    assert "No job is open: crib plan FILE --job NAME --keep" in window.ask("jobs").lines


def test_a_closed_job_is_opened_again(window: Window) -> None:
    window.ask("jobs", "--close", "24-118", "--assume")
    said = window.ask("jobs", "24-118", "--reopen", "--why", "not done")
    assert (said.status, said.err) == (0, "")
    assert "Note: job 24-118 is open again." in said.lines
    assert "crib undo --act" in " ".join(said.out.split())
    assert max(len(line) for line in said.lines) <= 80
    again = window.ask("jobs", "24-118", "--reopen", "--why", "not done")
    assert (again.status, again.out) == (2, "")
    nameless = window.ask("jobs", "--reopen", "--why", "not done")
    assert (nameless.status, nameless.out) == (2, "")
    assert "crib jobs NAME --reopen --why TEXT" in nameless.err
