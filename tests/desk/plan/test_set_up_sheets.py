"""The set-up sheet of a plan, read back: what goes where, how it is set, where to stop."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crib.desk.plan.set_up_sheets import NO_DRAWING, STANDS_THERE, sheet_of, standing_tools
from crib.desk.shelf.move import Move, move_pieces
from crib.errors import BadInput, Refused
from crib.trade.shop.shop_rules import Rules
from tests.desk.plan.test_plan_lasting import worn_shop
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
from tests.files.nc1_text import contour, holes, nc1
from tests.files.paper_samples import pages


def text(path: Path) -> str:
    """Everything on a sheet."""
    return " ".join(pages(path.read_bytes()))


def test_a_sheet_says_what_to_mount_and_where_to_stop(tmp_path: Path) -> None:
    shop = metric_shop(tmp_path / "m.crib", "50", 700)
    out = tmp_path / "set-up.pdf"
    made = plan(shop, slot_file(tmp_path / "p1.nc1"), job="24-118", sheet=str(out))
    said = text(out)
    assert made.sheets == (str(out),)
    for words in (
        "Job 24-118 Machine Press 1",
        "P-22 punch: obround punch",
        "Stripper gap: just over 12 mm, so that the stock slides",
        "slot 22mm x 50mm thru 12mm S275",
        "Stop: 35 mm up; from the left end 86.5, 214",
        "First piece of each run: size, place and burr checked before the rest",
        "even gap all round",
    ):
        assert words in said, words


def test_a_key_is_set_along_the_slots(tmp_path: Path) -> None:
    shop = metric_shop(tmp_path / "m.crib", "50", 700)
    out = tmp_path / "set-up.pdf"
    plan(shop, slot_file(tmp_path / "p1.nc1"), sheet=str(out))
    assert "0°" in text(out)


def test_every_machine_has_a_sheet_of_its_own(tmp_path: Path) -> None:
    shop = two_machines(tmp_path / "s.crib")
    lines = [(f"B{number}", hole("13/16"), 40, 4) for number in range(6)]
    file = part_list(tmp_path / "list.csv", *lines)
    made = plan(shop, file, sheet=str(tmp_path / "set-up.pdf"))
    assert [Path(one).name for one in made.sheets] == ["set-up-1.pdf", "set-up-2.pdf"]
    assert "Machine Ironworker 2" in text(tmp_path / "set-up-2.pdf")


def test_a_swap_is_a_hold_point(tmp_path: Path) -> None:
    made = worn_shop(tmp_path, 4800.0, ("P-31", 0.0))
    sheet = sheet_of(made, "Ironworker 1", Rules.defaults(), date(2026, 6, 1), {})
    assert "Before run 2: swap to P-31 and D-14" in sheet.hold_points
    assert [one.station for one in sheet.stations] == ["punch 1", "punch 1: swap"]
    assert [run.strokes for one in sheet.stations for run in one.runs] == [200, 200]


def test_a_place_that_is_taken_or_no_pdf_is_refused_before_anything_is_kept(
    tmp_path: Path,
) -> None:
    shop = one_machine(tmp_path / "s.crib")
    file = part_list(tmp_path / "list.csv", ("B1", hole("13/16"), 12, 4))
    taken = tmp_path / "set-up.pdf"
    taken.write_text("mine", "utf-8")
    with pytest.raises(Refused, match="is there already"):
        plan(shop, file, job="J", keep=True, sheet=str(taken))
    with pytest.raises(BadInput, match="a set-up sheet is a PDF file"):
        plan(shop, file, job="J", keep=True, sheet=str(tmp_path / "set-up.txt"))
    assert shop.value("SELECT count(*) FROM job") == 0


def test_what_is_planned_without_a_drawing_stops_before_the_first_hit(tmp_path: Path) -> None:
    shop = one_machine(tmp_path / "s.crib")
    add_job(shop, "24-118", ("B1", hole("13/16"), 48))
    plan(shop, job="24-118", sheet=str(tmp_path / "kept.pdf"))
    point = f"All parts {NO_DRAWING}"
    said = text(tmp_path / "kept.pdf")
    assert said.index("Hold point") < said.index(point) < said.index("First piece of each run")


def test_only_the_parts_without_a_drawing_are_named(tmp_path: Path) -> None:
    shop = metric_shop(tmp_path / "m.crib", "50", 700)
    drawn = slot_file(tmp_path / "p1.nc1")
    plan(shop, drawn, sheet=str(tmp_path / "drawn.pdf"))
    assert NO_DRAWING not in text(tmp_path / "drawn.pdf")
    listed = part_list(tmp_path / "list.csv", ("B1", "slot 22mm x 50mm thru 12mm S275", 4, 1))
    plan(shop, drawn, listed, sheet=str(tmp_path / "both.pdf"))
    assert f"B1 {NO_DRAWING}" in text(tmp_path / "both.pdf")


def test_a_hole_to_be_reamed_says_what_is_punched_and_what_is_finished(tmp_path: Path) -> None:
    shop = one_machine(tmp_path / "s.crib")
    add_job(shop, "24-118", ("B1", f"{hole('15/16')} ream", 48))
    made = plan(shop, job="24-118", sheet=str(tmp_path / "reamed.pdf"))
    (run,) = made.as_json()["runs"]
    assert run["phrase"].endswith(" ream")
    assert run["punched_mm"] < run["finished_mm"] == 23.8125
    assert "punched 13/16 in, reamed to 15/16 in" in text(tmp_path / "reamed.pdf")


def test_a_sheet_says_what_comes_out_first_and_the_clearance(tmp_path: Path) -> None:
    shop = one_machine(tmp_path / "s.crib")
    place = "Ironworker 1 / punch 1"
    move_pieces(shop, Move(("P-11", "D-12"), place))
    lines = [("B1", hole("9/16"), 10, 1), ("B2", hole("13/16"), 10, 1)]
    out = tmp_path / "set-up.pdf"
    plan(shop, part_list(tmp_path / "list.csv", *lines), sheet=str(out), in_order=True)
    said = text(out)
    first, second = said.index("Set-up 1 of 2: punch 1"), said.index("Set-up 2 of 2: punch 1")
    one, two = said[first:second], said[second:]
    assert "Take out first Tool It goes back to P-11 punch 1/2 A2" in one
    assert one.index("Take out first") < one.index("Put in")
    assert "D-12" in one[one.index("Put in") :]
    assert "D-12" not in one[: one.index("Put in")]
    assert "Clearance: 1/32 in in total, 8 % of 3/8 in" in one
    put_out = two[: two.index("Put in")]
    assert "P-12 punch 9/16 A2" in put_out
    assert "D-12 die 19/32 A2" in put_out


@settings(max_examples=15, deadline=None)
@given(
    sizes=st.lists(st.sampled_from(("1/2", "9/16", "11/16", "13/16")), min_size=1, max_size=5),
    mounted=st.sampled_from([(), ("P-11", "D-12"), ("P-13", "D-13"), ("P-14",)]),
)
def test_nothing_goes_into_a_station_that_is_not_empty(
    sizes: list[str], mounted: tuple[str, ...]
) -> None:
    with TemporaryDirectory() as name:
        folder = Path(name)
        shop = one_machine(folder / "s.crib")
        if mounted:
            move_pieces(shop, Move(mounted, "Ironworker 1 / punch 1"))
        lines = [(f"B{number}", hole(size), 10, 1) for number, size in enumerate(sizes)]
        made = plan(shop, part_list(folder / "list.csv", *lines))
        standing = standing_tools(shop)
        rules = Rules.defaults()
        sheet = sheet_of(made, "Ironworker 1", rules, date(2026, 6, 1), standing)
        there = set(mounted)
        for station in sheet.stations:
            out = {tool.tag for tool in station.out}
            tools = {tool.tag for tool in station.tools}
            assert out <= there
            for tool in station.tools:
                stands = tool.tag in there
                assert (tool.place == STANDS_THERE) == stands
                assert stands or tool.place == "A2"
            there = (there - out) | tools
            assert there == tools
        shop.close()


def test_what_is_made_another_way_stands_on_the_sheet_with_how(tmp_path: Path) -> None:
    """Nothing of a part is dropped: drilled, tapped, cut, bevelled, stamped, marked, sunk."""
    bevelled = [
        "AK",
        "  v 0 0 0",
        "  v 300 0 0 45 2 0 0",
        "  v 300 100 0",
        "  v 0 100 0",
        "  v 0 0 0",
    ]
    uneven = [(200, 40), (240, 40), (240, 60), (205, 60, 5), (200, 55), (200, 40)]
    bored = holes("  v 50u 50s 22 0", "  v 90u 50g 12 0", "  v 130u 50 30 6", "  v 170u 50 8 0")
    marks = [["SI", "  v 20.00u 20.00 0.00 10r P-1"], ["KO", "  v 10.00u 10.00"]]
    file = tmp_path / "p.nc1"
    file.write_text(nc1(bevelled, contour(uneven, name="IK"), bored, *marks), "utf-8")
    shop = metric_shop(tmp_path / "m.crib", "50", 700)
    slot = slot_file(tmp_path / "p1.nc1")
    made = plan(shop, slot, file, sheet=str(tmp_path / "s.pdf"))
    said = " ".join(text(tmp_path / "s.pdf").split())
    for words in (
        "to be drilled and tapped: 1 x hole 12 mm thru 12, right-hand thread; on each of 1",
        "to be drilled: 1 x hole 30 mm, 6 mm deep",
        "to be cut: 1 x opening 20 x 40 mm thru 12, corners not alike: 1 of 4 rounded 5 mm",
        "to be bevelled: 1 x edge of 100 mm (bevel 45 2 in its file)",
        "to be stamped: 1 x text 'P-1'",
        "to be marked: 1 x punch marks, 1 line of block KO",
        "tooling is missing: 1 x hole 8mm thru 12mm S275; or drill 8 mm",
        "1 x hole 22mm countersunk thru 12mm S275",
    ):
        assert words in said, words
    every = {one.how for one in made.others}
    assert every == {"drilled", "drilled and tapped", "cut", "bevelled", "stamped", "marked"}
