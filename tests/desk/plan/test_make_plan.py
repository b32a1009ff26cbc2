"""A job from its files to runs in order: pieces, strokes, what is missing."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crib.desk.book.demo import make_demo
from crib.desk.plan.make_plan import PlanRequest, make_plan
from crib.errors import BadInput, BadValue, Missing, UnknownName
from crib.stock.engine.opening import open_crib
from crib.stock.engine.session import Session
from crib.stock.tables.all_tables import StationSeatRecord
from tests.desk.planning import (
    add_job,
    hole,
    metric_shop,
    one_machine,
    part_list,
    plan,
    slot_file,
    two_machines,
)
from tests.shop import add_kind, add_piece, add_seat, insert


def test_a_plate_with_two_slots_four_times_is_eight_strokes(tmp_path: Path) -> None:
    shop = metric_shop(tmp_path / "m.crib", "50", 700)
    made = plan(shop, slot_file(tmp_path / "p1.nc1"))
    (run,) = made.runs
    assert run.use.feature.phrase == "slot 22mm x 50mm thru 12mm S275"
    assert (run.pieces, run.each, run.quantity, run.strokes) == (4, 2, 8, 8)
    assert [tool.tag for tool in run.tools] == ["P-22", "D-24"]
    assert made.missing == ()
    assert any("slot" in str(note) for note in made.notes)


def test_a_slot_that_no_tool_makes_is_missing_with_a_way_out(tmp_path: Path) -> None:
    shop = metric_shop(tmp_path / "m.crib", "40", 450)
    made = plan(shop, slot_file(tmp_path / "p1.nc1"))
    (missing,) = made.missing
    assert (made.runs, made.serves) == ((), False)
    assert (missing.phrase, missing.quantity) == ("slot 22mm x 50mm thru 12mm S275", 8)
    assert missing.marks == ("P1",)
    assert missing.found.order or missing.found.why_no_order
    assert missing.found.workarounds != ()


def test_a_missing_slot_gets_its_order_line_where_the_station_would_stand_it(
    tmp_path: Path,
) -> None:
    shop = metric_shop(tmp_path / "m.crib", "40", 700)
    (missing,) = plan(shop, slot_file(tmp_path / "p1.nc1")).missing
    assert [line.spec.role for line in missing.found.order] == ["punch", "die"]
    assert "22 x 50 mm" in missing.found.order[0].text


def test_planned_strokes_are_those_of_the_parts(tmp_path: Path) -> None:
    shop = two_machines(tmp_path / "s.crib")
    lines = [
        ("B1", hole("13/16"), 12, 4),
        ("B1", hole("9/16"), 12, 2),
        ("B2", hole("11/16", "1/4"), 7, 3),
        ("B3", hole("13/16", "1/4"), 5, 6),
    ]
    made = plan(shop, part_list(tmp_path / "list.csv", *lines))
    wanted: Counter[tuple[str, str]] = Counter()
    for mark, phrase, pieces, each in lines:
        wanted[mark, phrase] += pieces * each
    found: Counter[tuple[str, str]] = Counter()
    for run in made.runs:
        found[run.task.chunk.part.mark, run.use.feature.phrase] += run.strokes
    assert found == wanted
    assert made.strokes == 12 * 6 + 21 + 30


def test_lines_of_one_mark_and_quantity_are_one_part(tmp_path: Path) -> None:
    shop = one_machine(tmp_path / "s.crib", slots=2)
    lines = [("B1", hole("13/16"), 12, 4), ("B1", hole("9/16"), 12, 2)]
    made = plan(shop, part_list(tmp_path / "list.csv", *lines))
    (part,) = made.jobs[0].parts
    assert (part.mark, part.pieces, len(part.features)) == ("B1", 12, 2)
    assert len(made.machines[0].tasks) == 1


def test_a_part_that_wants_more_pairs_than_the_machine_holds_is_run_for_each(
    tmp_path: Path,
) -> None:
    shop = one_machine(tmp_path / "s.crib", slots=1)
    lines = [("B1", hole("13/16"), 12, 4), ("B1", hole("9/16"), 12, 2)]
    made = plan(shop, part_list(tmp_path / "list.csv", *lines))
    assert [task.split for task in made.machines[0].tasks] == [True, True]
    assert "run through Ironworker 1 once for each pair it holds: B1" in made.notes


def test_one_die_serves_two_sizes_of_plate_where_it_may(tmp_path: Path) -> None:
    shop = one_machine(tmp_path / "s.crib")
    lines = [("B1", hole("13/16"), 12, 4), ("B2", hole("13/16", "5/16"), 12, 2)]
    made = plan(shop, part_list(tmp_path / "list.csv", *lines))
    assert {tool.tag for run in made.runs for tool in run.tools} == {"P-14", "D-14"}
    assert made.machines[0].changes == 1


def test_a_bad_phrase_and_an_unknown_thickness_name_the_part(tmp_path: Path) -> None:
    shop = metric_shop(tmp_path / "m.crib", "50", 700)
    file = slot_file(tmp_path / "p1.nc1", thickness=0.0)
    with pytest.raises((Missing, BadInput), match=r"thickness"):
        plan(shop, file)


def test_what_is_asked_must_go_together(tmp_path: Path) -> None:
    shop = one_machine(tmp_path / "s.crib")
    file = part_list(tmp_path / "list.csv", ("B1", hole("13/16"), 12, 4))
    with pytest.raises(BadInput, match="kept under a job's name"):
        plan(shop, file, keep=True)
    with pytest.raises(UnknownName, match="no machine called 'Press 9'; known: Ironworker 1"):
        plan(shop, file, machine="Press 9")
    with pytest.raises(BadValue, match="the due date 'soon' is not a day"):
        plan(shop, file, due="soon")
    with pytest.raises(BadInput, match="no job is open"):
        make_plan(shop, PlanRequest())


def test_every_open_job_is_planned_by_the_day_it_is_due(tmp_path: Path) -> None:
    shop = one_machine(tmp_path / "s.crib")
    add_job(shop, "later", ("B1", hole("13/16"), 12), due_on="2026-06-02")
    add_job(shop, "sooner", ("B2", hole("9/16"), 12), due_on="2026-06-01")
    add_job(shop, "first", ("B3", hole("13/16"), 12), run_order=1)
    add_job(shop, "done", ("B4", hole("13/16"), 12), open=False)
    made = plan(shop)
    assert [run.task.chunk.job.name for run in made.runs] == ["first", "sooner", "later"]
    assert made.machines[0].changes == 3


def test_a_machine_that_is_named_is_the_only_one(tmp_path: Path) -> None:
    shop = two_machines(tmp_path / "s.crib")
    lines = [("B1", hole("13/16"), 12, 4), ("B2", hole("9/16"), 12, 2)]
    file = part_list(tmp_path / "list.csv", *lines)
    made = plan(shop, file, machine="ironworker 2")
    assert {run.station.machine for run in made.runs} == {"Ironworker 2"}
    assert "only Ironworker 2 was looked at" in made.notes


def test_json_is_complete_and_in_si(tmp_path: Path) -> None:
    shop = metric_shop(tmp_path / "m.crib", "50", 700)
    made = plan(shop, slot_file(tmp_path / "p1.nc1"), job="24-118").as_json()
    assert made["jobs"][0]["parts"][0]["features"] == [
        {"phrase": "slot 22mm x 50mm thru 12mm S275", "each": 2}
    ]
    (run,) = made["runs"]
    assert (run["strokes"], run["put_in"], run["station"]) == (8, True, "punch")
    assert 500 < run["force_kn"] < 700
    assert made["machines"][0]["changes"] == 1
    assert made["machines"][0]["proven"] is True


def test_a_metric_drawing_keeps_its_sizes_in_an_inch_crib(tmp_path: Path) -> None:
    shop = one_machine(tmp_path / "s.crib")
    (missing,) = plan(shop, slot_file(tmp_path / "p1.nc1")).missing
    assert missing.phrase == "slot 22mm x 50mm thru 12mm S275"


def test_a_material_that_nobody_knows_is_refused_by_name(tmp_path: Path) -> None:
    shop = one_machine(tmp_path / "s.crib")
    file = slot_file(tmp_path / "p1.nc1")
    file.write_text(file.read_text("utf-8").replace("S275", "XYZ9"), "utf-8")
    with pytest.raises(UnknownName, match="part P1: unknown material 'XYZ9'"):
        plan(shop, file)


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Session]:
    """The inch demo crib."""
    path = tmp_path_factory.mktemp("demo") / "demo.crib"
    make_demo(path)
    with closing(open_crib(path)) as session:
        yield session


@pytest.mark.parametrize("seconds", [-1.0, 3601.0, float("nan"), float("inf")])
def test_seconds_that_nobody_waits_are_refused(demo: Session, seconds: float) -> None:
    with pytest.raises(BadInput, match="0 to 3600 s are possible"):
        make_plan(demo, PlanRequest(seconds=seconds))


def test_a_feature_in_several_hits_counts_every_hit(demo: Session, tmp_path: Path) -> None:
    file = part_list(tmp_path / "list.csv", ("B1", "slot 13/16 x 4 thru 1/4 A36", 5, 2))
    (run,) = plan(demo, file).runs
    assert run.use.option.candidate.plan is not None
    assert run.use.pair.hits == len(run.use.option.candidate.plan.hits) == 3
    assert run.strokes == 30


def test_blades_that_stand_in_a_shear_are_never_put_in(demo: Session) -> None:
    cuts = [run for run in plan(demo, job="J-2680").runs if run.station.work.endswith("shear")]
    assert cuts != []
    assert not any(run.put_in for run in cuts)


SIZES = st.sampled_from(["1/2", "9/16", "11/16", "13/16", "15/16"])
LINES = st.lists(
    st.tuples(SIZES, st.sampled_from(["1/4", "3/8"]), st.integers(1, 900), st.integers(1, 9)),
    min_size=1,
    max_size=8,
)


@pytest.fixture(scope="module")
def busy(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Session]:
    """A shop with two machines."""
    with closing(two_machines(tmp_path_factory.mktemp("busy") / "s.crib")) as session:
        yield session


@settings(max_examples=25, deadline=None)
@given(LINES)
def test_no_stroke_is_lost_whatever_is_planned(
    busy: Session, lines: list[tuple[str, str, int, int]]
) -> None:
    with TemporaryDirectory() as folder:
        rows = [
            (f"B{number}", hole(size, thick), pieces, each)
            for number, (size, thick, pieces, each) in enumerate(lines)
        ]
        made = plan(busy, part_list(Path(folder) / "list.csv", *rows), seconds=0.02)
    assert made.strokes == sum(pieces * each for *_what, pieces, each in lines)
    assert all(one.changes <= one.given_changes for one in made.machines)


def test_fewer_changes_are_not_worth_a_punch_over_a_die_of_another_seat(tmp_path: Path) -> None:
    with closing(one_machine(tmp_path / "one.crib")) as shop:
        seat = add_seat(shop, "Z")
        insert(shop, StationSeatRecord, station_id=1, seat_id=seat)
        kind = add_kind(shop, role="die", width="27/32", name="die of Z", seat_id=seat)
        place = "Ironworker 1 / punch 1"
        add_piece(shop, "D-Z", kind, place=place)
        with shop.writing():
            shop.run("UPDATE piece SET wear_milli = 5100000 WHERE tag = 'D-14'")
        made = plan(shop, part_list(tmp_path / "list.csv", ("P1", hole("13/16"), 3, 2)))
        assert {tool.tag for run in made.runs for tool in run.tools} == {"P-14", "D-14"}
        with shop.writing():
            shop.run("UPDATE piece SET condition = 'broken' WHERE tag = 'D-14'")
        made = plan(shop, tmp_path / "list.csv")
        assert {tool.tag for run in made.runs for tool in run.tools} == {"P-14", "D-Z"}
