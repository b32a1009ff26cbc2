"""Two machines: parts are shared out so that both finish early, and no piece works twice."""

from __future__ import annotations

from pathlib import Path

from crib.desk.plan.plan_result import Plan
from crib.stock.engine.session import Session
from crib.stock.tables.all_tables import HoldRecord
from crib.units import N_PER_US_TON
from tests.desk.asks import move
from tests.desk.planning import add_job, hole, one_machine, part_list, plan, two_machines
from tests.shop import add_station, insert


def machines_of(made: Plan) -> dict[str, set[str]]:
    """The parts that go to each machine."""
    found: dict[str, set[str]] = {}
    for run in made.runs:
        found.setdefault(run.station.machine, set()).add(run.task.chunk.part.mark)
    return found


def with_weak(folder: Path) -> Session:
    """A machine, and another one that stands a tenth of its force."""
    session = one_machine(folder / "s.crib")
    seat = session.value("SELECT id FROM seat")
    add_station(session, "Weak", "punch", 5 * N_PER_US_TON, [seat], throat_mm=400.0)
    return session


def test_two_machines_share_the_work_evenly(tmp_path: Path) -> None:
    session = two_machines(tmp_path / "s.crib")
    lines = [
        ("B1", hole("13/16"), 40, 4),
        ("B2", hole("9/16"), 40, 4),
        ("B3", hole("13/16"), 40, 4),
        ("B4", hole("9/16"), 40, 4),
    ]
    made = plan(session, part_list(tmp_path / "list.csv", *lines))
    minutes = [made.minutes_at(one) for one in made.machines]
    assert len(minutes) == 2
    assert max(minutes) <= 1.2 * min(minutes)
    assert made.strokes == 640


def test_parts_with_one_pair_stay_together_when_that_is_sooner(tmp_path: Path) -> None:
    session = two_machines(tmp_path / "s.crib")
    lines = [("B1", hole("13/16"), 2, 1), ("B2", hole("13/16"), 2, 1)]
    made = plan(session, part_list(tmp_path / "list.csv", *lines))
    assert list(machines_of(made).values()) == [{"B1", "B2"}]


def test_no_piece_works_at_two_machines(tmp_path: Path) -> None:
    session = two_machines(tmp_path / "s.crib")
    lines = [(f"B{number}", hole("13/16"), 40, 4) for number in range(6)]
    made = plan(session, part_list(tmp_path / "list.csv", *lines))
    at: dict[str, set[str]] = {}
    for run in made.runs:
        for tool in run.tools:
            at.setdefault(tool.tag, set()).add(run.station.machine)
    assert len(machines_of(made)) == 2
    assert all(len(machines) == 1 for machines in at.values())


def test_with_one_copy_the_work_stays_at_one_machine(tmp_path: Path) -> None:
    session = one_machine(tmp_path / "s.crib")
    seat = session.value("SELECT id FROM seat")
    add_station(session, "Ironworker 2", "punch", 445_000.0, [seat], throat_mm=400.0)
    lines = [(f"B{number}", hole("13/16"), 40, 4) for number in range(6)]
    made = plan(session, part_list(tmp_path / "list.csv", *lines))
    assert len(machines_of(made)) == 1


def test_a_machine_that_cannot_stand_it_gets_nothing(tmp_path: Path) -> None:
    session = with_weak(tmp_path)
    lines = [(f"B{number}", hole("13/16"), 40, 4) for number in range(4)]
    made = plan(session, part_list(tmp_path / "list.csv", *lines))
    assert set(machines_of(made)) == {"Ironworker 1"}


def test_what_stands_mounted_draws_the_work(tmp_path: Path) -> None:
    session = two_machines(tmp_path / "s.crib")
    for tag in ("P-24", "D-24"):
        move(session, tag, "Ironworker 2 / punch 1")
    made = plan(session, part_list(tmp_path / "list.csv", ("B1", hole("13/16"), 4, 1)))
    (run,) = made.runs
    assert (run.station.machine, run.put_in) == ("Ironworker 2", False)
    assert [one.changes for one in made.machines] == [0]


def promise(session: Session, tag: str, name: str) -> None:
    """Promise a piece to another job."""
    job_id = add_job(session, name)
    piece_id = session.value("SELECT id FROM piece WHERE tag = ?", (tag,))
    made = {"person_id": 1, "made_at": "2026-03-02T08:00:00.000Z"}
    insert(session, HoldRecord, job_id=job_id, piece_id=piece_id, **made)


def test_a_piece_that_is_promised_to_another_job_is_left_alone(tmp_path: Path) -> None:
    session = two_machines(tmp_path / "s.crib")
    promise(session, "P-14", "other")
    made = plan(session, part_list(tmp_path / "list.csv", ("B1", hole("13/16"), 4, 1)))
    assert [run.tools[0].tag for run in made.runs] == ["P-24"]


def test_the_only_piece_is_taken_although_promised_and_that_is_said(tmp_path: Path) -> None:
    session = one_machine(tmp_path / "s.crib")
    promise(session, "P-14", "other")
    made = plan(session, part_list(tmp_path / "list.csv", ("B1", hole("13/16"), 4, 1)))
    assert [run.tools[0].tag for run in made.runs] == ["P-14"]
    assert "P-14 is promised to job other" in made.notes


def test_a_job_may_use_what_is_promised_to_it(tmp_path: Path) -> None:
    session = one_machine(tmp_path / "s.crib")
    promise(session, "P-14", "own")
    file = part_list(tmp_path / "list.csv", ("B1", hole("13/16"), 4, 1))
    assert plan(session, file, job="OWN").notes == ()
