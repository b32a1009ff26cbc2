"""A plan that is kept: job, lines, runs and wants, together or not at all."""

from __future__ import annotations

from pathlib import Path

import pytest

from crib.acts import yes_to
from crib.desk.kit.open_jobs import Closing, close
from crib.desk.strokes.log import LogOptions, log_words
from crib.errors import AskBack
from crib.stock.queries.jobs import job_called, job_lines, open_jobs, planned_runs
from tests.desk.planning import hole, metric_shop, one_machine, part_list, plan, slot_file


def test_a_kept_plan_is_a_job_with_lines_and_runs(tmp_path: Path) -> None:
    shop = one_machine(tmp_path / "s.crib", slots=2)
    lines = [("B1", hole("13/16"), 12, 4), ("B1", hole("9/16"), 12, 2)]
    file = part_list(tmp_path / "list.csv", *lines)
    made = plan(shop, file, job="24-118", due="2026-06-01", keep=True)
    job = job_called(shop, "24-118")
    assert (made.kept, job.due_on, job.planned, job.logged) == ("24-118", "2026-06-01", 72, 0)
    kept = planned_runs(shop, job.id)
    assert [(run.tag, run.with_tag, run.strokes) for run in kept] == [
        (run.tools[0].tag, run.tools[1].tag, run.strokes) for run in made.runs
    ]
    assert {run.phrase for run in kept} == {hole("13/16"), hole("9/16")}
    assert {(run.material, run.thickness_mm) for run in kept} == {("A36", 9.525)}
    assert [(one.quantity, one.per_part) for one in job_lines(shop, job.id)] == [(48, 4), (24, 2)]


def test_a_plan_that_is_not_kept_leaves_nothing(tmp_path: Path) -> None:
    shop = metric_shop(tmp_path / "m.crib", "40", 700)
    plan(shop, slot_file(tmp_path / "p1.nc1"), job="24-118")
    assert open_jobs(shop) == []
    assert shop.value("SELECT count(*) FROM want") == 0


def test_what_is_missing_is_wanted_for_the_job(tmp_path: Path) -> None:
    shop = metric_shop(tmp_path / "m.crib", "40", 700)
    made = plan(shop, slot_file(tmp_path / "p1.nc1"), job="24-118", keep=True)
    row = shop.row("SELECT ask, job, quantity FROM want")
    assert row is not None
    assert tuple(row) == ("slot 22mm x 50mm thru 12mm S275", "24-118", 8)
    assert "1 missing: remembered for buying" in made.notes


def test_logged_strokes_are_taken_off_a_plan_that_is_shown(tmp_path: Path) -> None:
    shop = one_machine(tmp_path / "s.crib")
    file = part_list(tmp_path / "list.csv", ("B1", hole("13/16"), 12, 4))
    plan(shop, file, job="24-118", keep=True)
    log_words(shop, ["P-14", "24", "thru", "3/8", "A36", "job", "24-118"], LogOptions())
    left = plan(shop, job="24-118")
    assert left.strokes == 24
    assert f"24-118 B1: 24 of {hole('13/16')} are logged" in left.notes


def test_planning_again_asks_what_becomes_of_logged_strokes(tmp_path: Path) -> None:
    shop = one_machine(tmp_path / "s.crib")
    file = part_list(tmp_path / "list.csv", ("B1", hole("13/16"), 12, 4))
    plan(shop, file, job="24-118", keep=True)
    log_words(shop, ["P-14", "24", "thru", "3/8", "A36", "job", "24-118"], LogOptions())
    with pytest.raises(AskBack, match="24 of 48 strokes of job '24-118' are logged already"):
        plan(shop, file, job="24-118", keep=True)
    plan(shop, file, job="24-118", keep=True, confirmed=yes_to("strokes-of-earlier-plan"))
    job = job_called(shop, "24-118")
    assert (job.planned, job.logged) == (48, 24)


def test_a_kept_job_is_planned_anew_from_its_lines(tmp_path: Path) -> None:
    shop = one_machine(tmp_path / "s.crib")
    file = part_list(tmp_path / "list.csv", ("B1", hole("13/16"), 12, 4))
    plan(shop, file, job="24-118", keep=True)
    again = plan(shop, job="24-118", keep=True, afresh=True)
    assert again.jobs[0].parts[0].pieces == 12
    assert job_called(shop, "24-118").planned == 48


def test_of_a_job_that_is_closed_a_plan_says_so(tmp_path: Path) -> None:
    session = one_machine(tmp_path / "s.crib")
    file = part_list(tmp_path / "list.csv", ("B1", hole("13/16"), 12, 4))
    plan(session, file, job="24-118", keep=True)
    close(session, "24-118", Closing(not_made=True, on="2026-11-20"))
    made = plan(session, job="24-118")
    assert "job 24-118 is closed since 2026-11-20" in made.notes
