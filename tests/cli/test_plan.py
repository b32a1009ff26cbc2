"""`crib plan` from the shell: both faces, within 80 columns."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from crib.cli.screens.plan_screen import time_words
from tests.cli.asking import Answer, Window
from tests.desk.planning import add_job, hole, metric_shop, one_machine, part_list, slot_file


def flat(said: Answer) -> str:
    """What was said, as one line."""
    return " ".join(said.out.split())


@pytest.fixture
def window(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Window:
    """A shop with one machine and a kept job."""
    session = one_machine(tmp_path / "shop.crib")
    add_job(session, "24-118", ("B1", hole("13/16"), 48), due_on="2026-06-01")
    session.close()
    return Window(tmp_path / "shop.crib", capsys)


@pytest.fixture
def metric(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Window:
    """A metric shop with a slot pair that is too short."""
    metric_shop(tmp_path / "metric.crib", "40", 700).close()
    return Window(tmp_path / "metric.crib", capsys)


def test_a_file_becomes_runs_in_order(window: Window, tmp_path: Path) -> None:
    lines = [("B1", hole("13/16"), 12, 4), ("B2", hole("9/16"), 6, 2)]
    said = window.ask("plan", str(part_list(tmp_path / "list.csv", *lines)))
    assert (said.status, said.err) == (0, "")
    assert "Parts without a job: 2 parts, 18 pieces" in said.lines
    assert "Ironworker 1: 60 strokes, about 0.7 h" in said.lines
    assert "  2 tool changes (+); the fewest there can be" in said.lines
    assert max(len(line) for line in said.lines) <= 80


def test_kept_jobs_are_planned_without_a_word(window: Window) -> None:
    said = window.ask("plan")
    assert said.status == 0
    assert said.lines[0] == "Job 24-118: 1 part, 48 pieces, due 2026-06-01"
    named = window.ask("plan", "--job", "24-118", "--json").json
    assert [run["strokes"] for run in named["runs"]] == [48]


def test_nothing_that_serves_leaves_with_three_and_says_what_to_order(
    metric: Window, tmp_path: Path
) -> None:
    said = metric.ask("plan", str(slot_file(tmp_path / "p1.nc1")))
    assert (said.status, said.err) == (3, "")
    assert "Nothing of it can be made with what the crib has." in said.lines
    assert "  - 8 x slot 22mm x 50mm thru 12mm S275 on P1" in said.lines
    assert any(line.startswith("    order 1 punch, obround 22 x 50 mm") for line in said.lines)
    assert max(len(line) for line in said.lines) <= 80


def test_a_plan_is_kept_under_a_name_only(window: Window, tmp_path: Path) -> None:
    file = str(part_list(tmp_path / "list.csv", ("B1", hole("13/16"), 12, 4)))
    said = window.ask("plan", file, "--keep")
    assert (said.status, said.out) == (2, "")
    assert "kept under a job's name" in said.err


def test_a_drawing_becomes_a_kept_job_with_a_sheet_and_then_strokes(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    metric_shop(tmp_path / "m.crib", "50", 700).close()
    window = Window(tmp_path / "m.crib", capsys)
    file, sheet = slot_file(tmp_path / "p1.nc1"), tmp_path / "set-up.pdf"
    words = ["--job", "24-118", "--due", "2026-06-01", "--keep", "--set-up-sheet", str(sheet)]
    said = window.ask("plan", str(file), *words)
    assert (said.status, said.err) == (0, "")
    assert "Press 1: 8 strokes, about 0.2 h" in said.lines
    assert "Note: kept as job 24-118: 1 run." in said.lines
    assert sheet.read_bytes().startswith(b"%PDF")
    logged = window.ask("log", "P-22", "8", "thru", "12", "S275", "with", "D-24", "job", "24-118")
    assert logged.status == 0
    closed = window.ask("jobs", "--close", "24-118", "--json").json
    assert closed["jobs"][0]["strokes_left"] == 0
    assert closed["jobs"][0]["open"] is False


def test_the_order_given_is_kept_and_what_a_free_one_saves_is_said(
    window: Window, tmp_path: Path
) -> None:
    sizes = ("13/16", "9/16", "13/16", "9/16")
    lines = [(f"B{number}", hole(size), 6, 2) for number, size in enumerate(sizes)]
    file = str(part_list(tmp_path / "list.csv", *lines))
    free, given = window.ask("plan", file), window.ask("plan", file, "--in-order")
    assert ("2 tool changes (+); the fewest there can be; 2 fewer than in the order given") in flat(
        free
    )
    assert "4 tool changes (+); a free order would save 2" in flat(given)
    runs = window.ask("plan", file, "--in-order", "--json").json["runs"]
    assert [run["mark"] for run in runs] == ["B0", "B1", "B2", "B3"]


def test_several_files_are_one_job(window: Window, tmp_path: Path) -> None:
    one = part_list(tmp_path / "one.csv", ("B1", hole("13/16"), 6, 2))
    two = part_list(tmp_path / "two.csv", ("B2", hole("13/16"), 6, 2))
    made = window.ask("plan", str(one), str(two), "--job", "J", "--json").json
    (job,) = made["jobs"]
    assert (job["job"], [part["mark"] for part in job["parts"]]) == ("J", ["B1", "B2"])


def test_an_edge_that_gives_out_says_which_copy_goes_on(window: Window, tmp_path: Path) -> None:
    file = str(part_list(tmp_path / "list.csv", ("B1", hole("13/16"), 3000, 2)))
    said = window.ask("plan", file)
    assert "Will not last:" in said.lines
    assert (
        "P-14 is dull in B1 (hole 13/16 thru 3/8 A36): grind it first, or stop after 2500 of 3000"
    ) in flat(said)


@pytest.mark.parametrize(
    ("minutes", "words"), [(0.2, "1 min"), (5.9, "6 min"), (6.0, "0.1 h"), (605.0, "10.1 h")]
)
def test_a_minutes_work_is_not_said_to_take_no_hours(minutes: float, words: str) -> None:
    assert time_words(minutes) == words


def test_a_folder_with_bad_files_is_answered_once_and_nothing_is_kept(
    window: Window, tmp_path: Path
) -> None:
    folder = tmp_path / "job"
    folder.mkdir()
    slot_file(folder / "good.nc1")
    for name in ("one.csv", "two.csv"):
        (folder / name).write_text("phrase\nhole wide thru 3/8\n")
    said = window.ask("plan", str(folder), "--job", "25-1", "--keep")
    assert (said.status, said.out) == (2, "")
    assert "2 files cannot be read: one.csv, two.csv" in said.err
    assert "one.csv line 2" in said.err
    assert "two.csv line 2" in said.err
    assert "--leave" in said.err
    assert window.ask("jobs", "25-1").status == 2


def test_the_other_files_of_a_folder_are_planned_when_told_so(
    window: Window, tmp_path: Path
) -> None:
    folder = tmp_path / "job"
    folder.mkdir()
    slot_file(folder / "good.nc1")
    (folder / "one.csv").write_text("phrase\nhole wide thru 3/8\n")
    said = window.ask("plan", str(folder), "--leave")
    assert said.status in (0, 3)
    shown = " ".join(said.out.split())
    assert "NOT in this plan, as it cannot be read: one.csv line 2" in shown
    assert re.search(r"\d+ lines, 1 part, 1 file: \d+ counted, 0 merged, 1 told", shown)
    ledger = window.ask("plan", str(folder), "--leave", "--json").json["ledger"]
    assert ledger["met"] == sum(ledger[how] for how in ("counted", "merged", "told", "blank"))
