"""What the drawings say is said with the plan, and what they refuse is not planned."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from crib.stock.engine.session import Session
from tests.desk.planning import one_machine, plan
from tests.shop import add_kind, add_piece, add_seat, add_station


def plate(
    path: Path, *holes: tuple[float, float], extra: Sequence[str] = (), length: float = 300.0
) -> Path:
    """A 3/8 plate 100 mm high with 13/16 holes, as an NC file."""
    head = ["24-118", "D-7", "1", "P1", "A36", 10, "PL10*100", "B", length, 100.0]
    numbers = [9.525, 9.525, 9.525, 0.0, 9.42, 0.22, 0.0, 0.0, 0.0, 0.0]
    lines = ["ST", *(f"  {one}" for one in [*head, *numbers, "", "", "", ""])]
    lines += ["BO", *(f"  v  {x:.2f}u  {y:.2f}  20.6375  0.00" for x, y in holes), *extra, "EN"]
    path.write_text("\n".join(lines) + "\n", "utf-8")
    return path


def channel(path: Path, *holes: tuple[float, float]) -> Path:
    """Two channels 200 mm high with 13/16 holes in the web, as an NC file."""
    head = ["24-118", "D-7", "1", "C1", "A36", 2, "C200", "U", 300.0, 200.0]
    numbers = [80.0, 11.0, 9.525, 13.0, 25.3, 0.66, 0.0, 0.0, 0.0, 0.0]
    lines = ["ST", *(f"  {one}" for one in [*head, *numbers, "", "", "", ""])]
    lines += ["BO", *(f"  v  {x:.2f}u  {y:.2f}  20.6375  0.00" for x, y in holes), "EN"]
    path.write_text("\n".join(lines) + "\n", "utf-8")
    return path


def shop(folder: Path) -> Session:
    """One machine that reaches far."""
    return one_machine(folder / "s.crib")


def test_holes_in_the_clear_are_planned_without_a_word(tmp_path: Path) -> None:
    made = plan(shop(tmp_path), plate(tmp_path / "p.nc1", (100, 50), (200, 50)))
    assert made.told == ()
    assert made.strokes == 20


def test_a_hole_outside_the_part_is_said_and_not_planned(tmp_path: Path) -> None:
    made = plan(shop(tmp_path), plate(tmp_path / "p.nc1", (100, 50), (100, 180)))
    assert [one.verdict for one in made.told] == ["refuse"]
    assert "outside the part" in made.told[0].text
    assert made.strokes == 10


def test_a_hole_near_the_edge_is_told_with_its_part(tmp_path: Path) -> None:
    made = plan(shop(tmp_path), plate(tmp_path / "p.nc1", (100, 22), (200, 22)))
    told = [one for one in made.told if one.verdict == "caution"]
    assert told != []
    assert (told[0].mark, told[0].each) == ("P1", 2)
    assert made.strokes == 20


def test_a_station_that_cannot_come_to_a_hole_is_passed_over(tmp_path: Path) -> None:
    session = shop(tmp_path)
    session.connection.execute("UPDATE station SET throat_mm = 30")
    seat = session.value("SELECT id FROM seat")
    add_station(session, "Far", "punch", 445_000.0, [seat], throat_mm=400.0)
    made = plan(session, plate(tmp_path / "p.nc1", (100, 50)))
    assert [run.station.machine for run in made.runs] == ["Far"]


def test_a_hole_that_no_station_comes_to_is_said(tmp_path: Path) -> None:
    session = shop(tmp_path)
    session.connection.execute("UPDATE station SET throat_mm = 30")
    made = plan(session, plate(tmp_path / "p.nc1", (100, 50)))
    assert made.runs == ()
    assert [one.text for one in made.told] == [
        "no station that would make it can come to it; nearest to it is Ironworker 1 / punch 1:"
        " 1.9685 in from the lower edge of the part, the nearest; the throat is 1.1811 in: it"
        " cannot reach"
    ]


def test_holes_that_a_station_comes_to_are_planned_beside_one_that_none_does(
    tmp_path: Path,
) -> None:
    session = shop(tmp_path)
    session.connection.execute("UPDATE station SET throat_mm = 45")
    made = plan(session, plate(tmp_path / "p.nc1", (100, 40), (150, 50), (200, 60)))
    assert [(one.each, one.rule) for one in made.told] == [(1, "throat")]
    assert made.strokes == 20


def test_holes_of_one_size_are_shared_by_the_stations_that_come_to_them(tmp_path: Path) -> None:
    session = shop(tmp_path)
    seat = add_seat(session, "narrow", die_diameter_mm=40.0, nut_diameter_mm=40.0)
    add_station(session, "Near", "punch", 445_000.0, [seat], throat_mm=55.0)
    for role, width in (("punch", "13/16"), ("die", "27/32")):
        long = {"length_mm": 70.0, "least_length_mm": 60.0} if role == "punch" else {}
        facts: dict[str, Any] = {"role": role, "width": width, "seat_id": seat, **long}
        kind = add_kind(session, name=f"narrow {role}", **facts)
        add_piece(session, f"N-{role.upper()}", kind)
    session.connection.execute(
        "UPDATE seat SET die_diameter_mm = 90, nut_diameter_mm = 90 WHERE name <> 'narrow'"
    )
    made = plan(session, channel(tmp_path / "c.nc1", (100, 50), (150, 50), (200, 100)))
    places = {run.station.machine: run.strokes for run in made.runs}
    assert places == {"Near": 4, "Ironworker 1": 2}
    assert [one.text for one in made.told if one.verdict == "refuse"] == []


def test_a_blind_and_a_tapped_hole_are_listed_beside_the_plan(tmp_path: Path) -> None:
    extra = ["  v  150.00u  50.00  20.00  5.00", "  v  250.00u  50.00g  16.00  0.00"]
    made = plan(shop(tmp_path), plate(tmp_path / "p.nc1", (100, 50), extra=extra))
    assert sorted((one.how, one.text) for one in made.others) == [
        ("drilled", "hole 20 mm, 5 mm deep"),
        ("drilled and tapped", "hole 16 mm thru 9.525, right-hand thread"),
    ]
    assert {one.pieces for one in made.others} == {10}
    assert made.strokes == 10
