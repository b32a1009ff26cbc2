"""Cuts from the question to the answer: the shears of a shop, and what they are proven for."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from crib.desk.answer.find import Found
from crib.errors import Refused
from crib.stock.engine.session import Session
from crib.stock.tables.all_tables import EnvelopePointRecord
from crib.units import N_PER_US_TON, mm_from_inches
from tests.desk.asks import ask, change, say, stops, tags
from tests.shop import add_kind, add_piece, add_seat, add_station, insert, new_crib

I12 = "cut angle 3 x 3 x 1/4 at 45"
M13 = "cut flat 200 x 12 at 45"
BLADE = "B-1"


@pytest.fixture
def inch(tmp_path: Path) -> Iterator[Session]:
    """An inch shop with an empty shelf."""
    shop = new_crib(tmp_path / "inch.crib")
    yield shop
    shop.close()


@pytest.fixture
def metric(tmp_path: Path) -> Iterator[Session]:
    """A metric shop with an empty shelf."""
    shop = new_crib(tmp_path / "metric.crib", unit="mm")
    yield shop
    shop.close()


def shear(
    shop: Session, work: str, *proven: tuple[str, float, float, float], **columns: object
) -> int:
    """A shear with its list: operation, angle, size and thickness [mm]."""
    rated_n = columns.pop("rated_n", None)
    assert rated_n is None or isinstance(rated_n, float)
    machine = str(columns.pop("machine", "Ironworker 1"))
    material = str(columns.pop("material", "A36"))
    name = work.replace("_", " ")
    station = add_station(shop, machine, name, rated_n, [], does=work, **columns)
    for operation, angle, size_mm, thickness_mm in proven:
        insert(
            shop,
            EnvelopePointRecord,
            station_id=station,
            operation=operation,
            cut_angle_deg=angle,
            size_mm=size_mm,
            thickness_mm=thickness_mm,
            material=material,
        )
    return station


def blade(shop: Session, profile: str, place: str, tag: str = BLADE, **columns: Any) -> None:
    """A blade that stands in a shear."""
    of_piece = ("wear", "condition")
    piece = {name: columns.pop(name) for name in of_piece if name in columns}
    kind = add_kind(shop, role="blade", width="1", shape="", profile=profile, **columns)
    change(shop, "UPDATE kind SET width_mm = NULL WHERE id = ?", kind)
    add_piece(shop, tag, kind, place=place, **piece)


def angle_shear(shop: Session) -> None:
    """The shear of I12: straight 4 x 4 x 3/8, mitre 2-1/2 x 2-1/2 x 1/4."""
    shear(
        shop,
        "angle_shear",
        ("cut angle", 0.0, mm_from_inches(4), mm_from_inches(0.375)),
        ("cut angle", 45.0, mm_from_inches(2.5), mm_from_inches(0.25)),
    )
    blade(shop, "angle", "Ironworker 1 / angle shear")


def ways(found: Found) -> list[str]:
    return [way.text for way in found.workarounds]


# I12


def test_i12_an_angle_within_the_straight_list_is_beyond_the_mitre_list(inch: Session) -> None:
    """3 > 2-1/2 in, although 3 x 3 x 1/4 is inside 4 x 4 x 3/8."""
    angle_shear(inch)
    found = ask(inch, I12)
    assert not found.serves
    stop = stops(found.near_misses[0])["envelope"]
    assert set(stops(found.near_misses[0])) == {"envelope"}
    assert (stop.value, stop.limit) == pytest.approx((mm_from_inches(3), mm_from_inches(2.5)))
    assert "beyond its limit for cut angle at 45°: 3 in > 2-1/2 in" in stop.text
    assert "straight it is within its list" in stop.text
    assert found.order == ()
    assert "saw it at 45°" in ways(found)
    (straight,) = [way.ask for way in found.workarounds if way.ask]
    assert straight == "cut angle 3 x 3 x 1/4 A36"
    assert ask(inch, straight).serves


def test_the_same_angle_cut_straight_and_a_smaller_one_mitred_are_served(inch: Session) -> None:
    angle_shear(inch)
    assert tags(ask(inch, "cut angle 3 x 3 x 1/4")) == [BLADE]
    mitred = ask(inch, "cut angle 2-1/2 x 2-1/2 x 1/4 at 45")
    assert tags(mitred) == [BLADE]
    assert {one.verdict for one in mitred.picks[0].findings} == {"ok"}


def test_without_a_list_for_the_mitre_it_is_not_rated(inch: Session) -> None:
    """Whatever the straight list says: nothing is derived from it."""
    shear(inch, "angle_shear", ("cut angle", 0.0, 200.0, 20.0))
    found = ask(inch, "cut angle 1 x 1 x 1/8 at 45")
    stop = stops(found.near_misses[0])["envelope"]
    assert "not rated for cut angle at 45°" in stop.text
    assert stop.limit is None


# M13


def test_m13_a_flat_of_200_is_beyond_a_mitre_list_of_150(metric: Session) -> None:
    """200 / cos 45 = 283 along the cut; 200 > 150."""
    shear(metric, "flat_shear", ("cut flat", 45.0, 150.0, 12.0), material="S275")
    found = ask(metric, M13)
    assert not found.serves
    miss = found.near_misses[0]
    assert miss.figures["cut_length_mm"] == pytest.approx(283, abs=0.5)
    stop = stops(miss)["envelope"]
    assert (stop.value, stop.limit) == (200.0, 150.0)
    assert "200 mm > 150 mm" in stop.text
    assert "straight" not in stop.text


def test_m13_the_straight_list_changes_nothing(metric: Session) -> None:
    shear(
        metric,
        "flat_shear",
        ("cut flat", 45.0, 150.0, 12.0),
        ("cut flat", 0.0, 300.0, 20.0),
        material="S275",
    )
    assert not ask(metric, M13).serves
    assert ask(metric, "cut flat 200 x 12").serves
    assert ask(metric, "cut flat 150 x 12 at 45").serves


@pytest.mark.parametrize(("angle", "served"), [("30", True), ("45", True), ("46", False)])
def test_a_mitre_list_holds_for_its_angle_and_flatter_ones(
    metric: Session, angle: str, served: bool
) -> None:
    shear(metric, "flat_shear", ("cut flat", 45.0, 150.0, 12.0), material="S275")
    assert ask(metric, f"cut flat 150 x 12 at {angle}").serves is served


def test_a_stronger_flat_counts_as_thicker(metric: Session) -> None:
    """8 x 1.5 = 12 is inside (150, 12); 8.1 x 1.5 = 12.15 is not."""
    shear(metric, "flat_shear", ("cut flat", 0.0, 150.0, 12.0), material="S275")
    assert ask(metric, "cut flat 150 x 8 304").serves
    assert not ask(metric, "cut flat 150 x 8.1 304").serves


def test_a_certificate_makes_a_flat_count_as_thicker_too(metric: Session) -> None:
    """0.8 x 550 / 351.15 = 1.253; 10 x 1.253 > 12."""
    shear(metric, "flat_shear", ("cut flat", 0.0, 150.0, 12.0), material="S275")
    assert ask(metric, "cut flat 150 x 10", cert_tensile_mpa=430.0).serves
    assert not ask(metric, "cut flat 150 x 10", cert_tensile_mpa=550.0).serves


# Blades


def test_a_shear_whose_blade_was_never_entered_is_served_with_a_caution(inch: Session) -> None:
    shear(inch, "flat_shear", ("cut flat", 0.0, 200.0, 12.0))
    found = ask(inch, "cut flat 4 x 3/8")
    assert tags(found) == [""]
    assert say(found.picks[0], "blade").verdict == "caution"
    assert (
        "no flat blade entered for Ironworker 1 / flat shear" in say(found.picks[0], "blade").text
    )


def test_a_worn_blade_is_turned_while_it_has_an_edge_left_and_ground_afterwards(
    inch: Session,
) -> None:
    angle_shear(inch)
    change(inch, "UPDATE kind SET edges = 4")
    change(inch, "UPDATE piece SET wear_milli = 5100000")
    edge = say(ask(inch, "cut angle 3 x 3 x 1/4").picks[0], "edge")
    assert (edge.verdict, edge.text.split(": ")[1]) == ("caution", "turn it before the next job")
    change(inch, "UPDATE piece SET edge = 4")
    edge = say(ask(inch, "cut angle 3 x 3 x 1/4").picks[0], "edge")
    assert edge.text.endswith("grind it before the next job")


def test_one_cut_wears_the_edge_by_material_and_thickness(inch: Session) -> None:
    """1/4 over 3/8 is .667 a cut; 900 left of 5,000 is dull at cut 1350."""
    angle_shear(inch)
    change(inch, "UPDATE piece SET wear_milli = 4100000")
    best = ask(inch, "cut angle 3 x 3 x 1/4 A36", quantity=2000).picks[0]
    assert best.severities["blade"] == pytest.approx(2 / 3)
    assert say(best, "lasting").text.startswith("dull at cut 1,350 of 2,000")


def test_of_two_blades_the_worse_one_counts_and_a_broken_one_stops_the_shear(
    inch: Session,
) -> None:
    angle_shear(inch)
    blade(inch, "angle", "Ironworker 1 / angle shear", "B-2", wear=5100.0)
    assert tags(ask(inch, "cut angle 3 x 3 x 1/4")) == ["B-2"]
    change(inch, "UPDATE piece SET condition = 'broken' WHERE tag = 'B-1'")
    found = ask(inch, "cut angle 3 x 3 x 1/4")
    assert not found.serves
    assert stops(found.near_misses[0])["condition"].final
    assert any("order 1 pair of angle shear blades" in text for text in ways(found))


def test_a_blade_shorter_than_the_cut_is_refused(metric: Session) -> None:
    """100 wide is 141 along a mitre of 45 degrees."""
    shear(metric, "flat_shear", ("cut flat", 0.0, 200.0, 12.0), ("cut flat", 45.0, 200.0, 12.0))
    blade(metric, "flat", "Ironworker 1 / flat shear", work_length_mm=140.0)
    assert ask(metric, "cut flat 100 x 10").serves
    assert set(stops(ask(metric, "cut flat 100 x 10 at 45").near_misses[0])) == {"blade length"}


# Force


def test_the_force_on_the_area_is_shown_where_the_list_governs(inch: Session) -> None:
    """(3 + 3 - 1/4) x 1/4 = 1.4375 sq in; x 80 x 2000 / pi psi = 36.6 US tons."""
    angle_shear(inch)
    best = ask(inch, "cut angle 3 x 3 x 1/4").picks[0]
    assert best.figures["force_kn"] * 1000 / N_PER_US_TON == pytest.approx(36.6, abs=0.05)
    assert say(best, "force").verdict == "ok"
    assert "the list governs" in say(best, "force").text


def test_an_angle_beyond_the_rated_force_is_refused_and_a_raked_flat_only_cautioned(
    inch: Session,
) -> None:
    """4 x 1/2 flat: 2 sq in x 25.46 = 50.9 US tons at once; the angle takes 36.6."""
    rated_n = 30 * N_PER_US_TON
    shear(inch, "angle_shear", ("cut angle", 0.0, 200.0, 20.0), rated_n=rated_n)
    shear(inch, "flat_shear", ("cut flat", 0.0, 200.0, 20.0), rated_n=rated_n)
    assert set(stops(ask(inch, "cut angle 3 x 3 x 1/4").near_misses[0])) == {"force"}
    flat = ask(inch, "cut flat 4 x 1/2").picks[0]
    assert say(flat, "force").verdict == "caution"
    assert "raked blades take less" in say(flat, "force").text
    assert "load" not in flat.figures


def test_nearer_the_pivot_a_lever_gives_more(inch: Session) -> None:
    """30 of 36.6 US tons at 10 in: enough within 8.2 in of the pivot, and the leg is only 3 in."""
    shear(
        inch,
        "angle_shear",
        ("cut angle", 0.0, 200.0, 20.0),
        rated_n=30 * N_PER_US_TON,
        lever_mm=254.0,
    )
    force = say(ask(inch, "cut angle 3 x 3 x 1/4").picks[0], "force")
    assert force.verdict == "caution"
    assert "at most 8.1955 in from the pivot" in force.text
    assert "within the manual's marks" in force.text


# Tube


def tube_shear(shop: Session, **columns: Any) -> None:
    """A tube shear and a set for 1 in square tube of 0.049 to 0.120 in wall."""
    seat = add_seat(shop, "T")
    add_station(shop, "Ironworker 1", "tube shear", 40 * N_PER_US_TON, [seat], does="tube_shear")
    walls = {"least_wall_mm": mm_from_inches(0.049), "most_wall_mm": mm_from_inches(0.120)}
    numbers = {"shape": "square", "profile": "tube", "seat_id": seat, **walls, **columns}
    kind = add_kind(shop, role="set", width="1", **numbers)
    add_piece(shop, "S-1", kind)


def test_a_tube_takes_the_set_of_exactly_its_outside(inch: Session) -> None:
    """1 in square, 16 gauge BWG = 0.065 in: 4 x 0.065 x 0.935 = 0.2431 sq in, 6.2 US tons."""
    tube_shear(inch)
    best = ask(inch, "cut tube 1 x 16ga").picks[0]
    assert [tool.tag for tool in best.tools] == ["S-1"]
    assert best.figures["force_kn"] * 1000 / N_PER_US_TON == pytest.approx(6.19, abs=0.01)
    assert "0.065 in (16 gauge BWG)" in say(best, "wall").text


@pytest.mark.parametrize(
    ("phrase", "rule"),
    [
        ("cut tube 1 x 0.048", "wall"),
        ("cut tube 1 x 0.121", "wall"),
        ("cut tube 1 x 0.083 304", "wall"),
        ("cut tube 1 x 16ga at 45", "envelope"),
    ],
)
def test_a_wall_outside_the_set_or_a_mitre_is_refused(
    inch: Session, phrase: str, rule: str
) -> None:
    """0.083 x 1.5 = 0.125 > 0.120."""
    tube_shear(inch)
    assert set(stops(ask(inch, phrase).near_misses[0])) == {rule}


def test_a_set_that_is_not_there_is_ordered_in_one_complete_line(inch: Session) -> None:
    tube_shear(inch)
    found = ask(inch, "cut tube 1-1/4 x 0.083", job="4711")
    (line,) = found.order
    assert line.text == (
        "1 set for shearing square tube, upper and lower matched, exactly 1-1/4 in outside, corner"
        " radius as the tube's, wall 0.083 in, seat T: die OD 54 mm (2.126 in), height 29 mm"
        " (1.142 in), to cut 0.083 in A36, for Ironworker 1 / tube shear, our job 4711"
    )
    assert (line.spec.role, line.spec.shape, line.spec.seat_name) == ("set", "square", "T")


def test_a_set_without_walls_is_not_guessed(inch: Session) -> None:
    tube_shear(inch, least_wall_mm=None, most_wall_mm=None)
    stop = stops(ask(inch, "cut tube 1 x 16ga").near_misses[0])["wall"]
    assert "enter them" in stop.text


# Nothing at all


def test_without_a_shear_the_saw_is_left(inch: Session) -> None:
    found = ask(inch, "cut round 3/4")
    assert not found.serves
    assert found.notes[-1] == "no station in service does bar shear work"
    assert "saw it" in ways(found)


def test_a_hardened_bar_is_never_sheared(inch: Session) -> None:
    shear(inch, "bar_shear", ("cut round", 0.0, 50.0, 50.0))
    assert ask(inch, "cut round 1").serves
    found = ask(inch, "cut round 1/2 A514")
    assert stops(found.near_misses[0])["material"].final
    assert not any("shear" in text for text in ways(found))


def test_square_bar_does_not_go_by_the_list_for_round(inch: Session) -> None:
    shear(inch, "bar_shear", ("cut round", 0.0, 50.0, 50.0))
    stop = stops(ask(inch, "cut square 1").near_misses[0])["envelope"]
    assert "not rated for cut square" in stop.text


def test_the_answer_for_programs_names_the_section_and_its_sizes(inch: Session) -> None:
    angle_shear(inch)
    told = ask(inch, "cut angle 4 x 3 x 3/8").as_json()
    assert (
        told["ask"].items()
        >= {
            "feature": "cut",
            "shape": "angle",
            "long_leg_mm": 101.6,
            "short_leg_mm": 76.2,
            "size_mm": 101.6,
            "thickness_mm": 9.525,
            "cut_angle_deg": 0.0,
            "material": "A36",
            "material_assumed": True,
            "phrase": "cut angle 4 x 3 x 3/8 A36",
        }.items()
    )
    assert told["picks"][0]["clearance_mm"] is None


def test_a_shear_takes_nothing_from_the_shelf_that_could_be_named(inch: Session) -> None:
    angle_shear(inch)
    with pytest.raises(Refused, match="takes nothing from the shelf"):
        ask(inch, "cut angle 3 x 3 x 1/4", BLADE)
