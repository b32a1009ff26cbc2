"""Edges through a plan: where one gives out, which copy goes on, and that no stroke is lost."""

from __future__ import annotations

from pathlib import Path

import pytest

from crib.desk.plan.plan_result import Plan
from tests.desk.asks import change, move
from tests.desk.planning import hole, kind_of, one_machine, part_list, plan
from tests.shop import add_piece


def strokes(made: Plan) -> list[tuple[str, int, int]]:
    """The striking tool, the parts and the strokes of every run."""
    return [(run.tools[0].tag, run.pieces, run.strokes) for run in made.runs]


def worn_shop(
    folder: Path,
    wear: float,
    *copies: tuple[str, float],
    phrase: str = hole("13/16"),
    measured_mm: float = 0.0,
) -> Plan:
    """100 parts of 4 holes with a punch that is worn, and copies of it; P-31 may be measured."""
    session = one_machine(folder / "s.crib")
    session.connection.execute(
        "UPDATE piece SET wear_milli = ? WHERE tag = 'P-14'", (round(wear * 1000),)
    )
    move(session, "P-14", "Ironworker 1 / punch 1")
    move(session, "D-14", "Ironworker 1 / punch 1")
    session.connection.execute(
        "UPDATE piece SET wear_milli = ? WHERE tag = 'P-14'", (round(wear * 1000),)
    )
    for tag, used in copies:
        add_piece(session, tag, kind_of(session, "punch", "13/16"), wear=used)
    session.connection.execute(
        "UPDATE piece SET measured_width_mm = ? WHERE tag = 'P-31' AND ? > 0", (measured_mm,) * 2
    )
    return plan(session, part_list(folder / "list.csv", ("B1", phrase, 100, 4)))


def test_an_edge_that_lasts_is_not_spoken_of(tmp_path: Path) -> None:
    made = worn_shop(tmp_path, 4600.0)
    assert made.gives_out == ()
    assert strokes(made) == [("P-14", 100, 400)]


@pytest.mark.parametrize(("wear", "parts"), [(4601.0, 99), (4800.0, 50), (4997.0, 0)])
def test_another_copy_goes_on_at_the_last_whole_part(
    tmp_path: Path, wear: float, parts: int
) -> None:
    made = worn_shop(tmp_path, wear, ("P-31", 0.0))
    wanted = [("P-14", parts, parts * 4), ("P-31", 100 - parts, 400 - parts * 4)]
    assert strokes(made) == [one for one in wanted if one[1]]
    if made.gives_out:
        (out,) = made.gives_out
        assert (out.tag, out.after_parts, out.of_parts, out.swap_to) == ("P-14", parts, 100, "P-31")
        assert made.runs[-1].swapped


def test_of_several_copies_the_most_worn_that_lasts_is_taken(tmp_path: Path) -> None:
    made = worn_shop(tmp_path, 4800.0, ("P-31", 0.0), ("P-32", 4000.0), ("P-33", 4900.0))
    assert [run.tools[0].tag for run in made.runs] == ["P-14", "P-32"]


def test_a_copy_that_does_not_reach_the_die_is_no_relief(tmp_path: Path) -> None:
    session = one_machine(tmp_path / "s.crib")
    for tag, wear, length_mm in (("P-31", 4000.0, 66.0), ("P-32", 0.0, None)):
        kind = kind_of(session, "punch", "13/16")
        add_piece(session, tag, kind, wear=wear, length_mm=length_mm)
    change(session, "UPDATE piece SET wear_milli = 4800000 WHERE tag = 'P-14'")
    parts = part_list(tmp_path / "list.csv", ("B1", hole("13/16"), 100, 4))
    for tag in ("P-14", "D-14"):
        move(session, tag, "Ironworker 1 / punch 1")
    change(session, "UPDATE piece SET wear_milli = 4800000 WHERE tag = 'P-14'")
    assert [run.tools[0].tag for run in plan(session, parts).runs] == ["P-14", "P-31"]
    change(session, "UPDATE piece SET length_mm = 28 WHERE tag = 'D-14'")
    assert [run.tools[0].tag for run in plan(session, parts).runs] == ["P-14", "P-32"]


def test_a_chain_of_copies_carries_a_long_job(tmp_path: Path) -> None:
    made = worn_shop(tmp_path, 4800.0, ("P-31", 4900.0), ("P-32", 4900.0))
    assert [(tag, count) for tag, _parts, count in strokes(made)] == [
        ("P-14", 200),
        ("P-31", 100),
        ("P-32", 100),
    ]
    assert made.strokes == 400


@pytest.mark.parametrize(
    ("tolerance", "copy"), [("", "P-31"), (" ±0.01mm", "P-32"), (" +0.1mm -0", "P-31")]
)
def test_a_copy_that_the_holes_tolerance_refuses_does_not_go_on(
    tmp_path: Path, tolerance: str, copy: str
) -> None:
    """P-31 was measured 0.04 mm over 13/16."""
    phrase = hole(f"13/16{tolerance}")
    pieces = (("P-31", 4000.0), ("P-32", 0.0))
    made = worn_shop(tmp_path, 4800.0, *pieces, phrase=phrase, measured_mm=20.6775)
    assert [run.tools[0].tag for run in made.runs] == ["P-14", copy]


def test_without_a_copy_it_is_ground_on_the_way(tmp_path: Path) -> None:
    made = worn_shop(tmp_path, 4800.0)
    (out,) = made.gives_out
    assert out.swap_to == ""
    assert out.do == "grind it first, or stop after 50 of 100 and grind it"
    assert strokes(made) == [("P-14", 50, 200), ("P-14", 50, 200)]


def test_wear_is_carried_from_one_part_to_the_next(tmp_path: Path) -> None:
    session = one_machine(tmp_path / "s.crib")
    lines = [(f"B{number}", hole("13/16"), 500, 4) for number in range(1, 4)]
    made = plan(session, part_list(tmp_path / "list.csv", *lines))
    (out,) = made.gives_out
    assert (out.tag, out.mark, out.after_parts) == ("P-14", "B3", 250)
    assert made.strokes == 6000


def test_a_part_that_is_too_much_for_any_edge_is_still_planned_and_said(tmp_path: Path) -> None:
    session = one_machine(tmp_path / "s.crib")
    made = plan(session, part_list(tmp_path / "list.csv", ("B1", hole("13/16"), 2, 6000)))
    assert made.strokes == 12000
    assert [out.do for out in made.gives_out if out.tag == "P-14"] == ["grind it first"]
