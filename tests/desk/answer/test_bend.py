"""Bends from the question to the answer: the vees of a shop, its brakes, what is done instead."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from crib.stock.engine.session import Session
from crib.stock.tables.all_tables import EnvelopePointRecord
from crib.units import MPA_PER_KSI, N_PER_US_TON, mm_from_inches
from tests.desk.asks import ask, change, rule, say, stops, tags
from tests.shop import add_kind, add_piece, add_seat, add_station, insert, made_once, new_crib

I18 = "bend 24 x 1/4 at 90 1008 flange 1"
"""In steel that bends so sharply: A36 asks for 1.5 thicknesses inside."""
M14 = "bend 600 x 6 at 90 S355MC flange 30"
"""In steel that bends so sharply: S275 of 6 mm asks for 10 mm inside."""
BY_60_KSI = {"cert_tensile_mpa": 60 * MPA_PER_KSI}
BY_430_MPA = {"cert_tensile_mpa": 430.0}


@made_once
def brake(path: Path, rated_n: float | None, unit: str, vees: dict[str, str]) -> Session:
    """A shop with one brake and some vees of 1,200 mm, by their tags and openings."""
    shop = new_crib(path, unit=unit)
    seat = add_seat(shop, "K")
    add_station(shop, "Ironworker 1", "brake", rated_n, [seat], does="brake")
    for tag, opening in vees.items():
        add_vee(shop, tag, opening)
    return shop


def add_vee(shop: Session, tag: str, opening: str, **columns: Any) -> None:
    """A vee die of 1,200 mm that bears 2 kN for each mm."""
    numbers = {
        "shape": "special",
        "profile": "vee die",
        "seat_id": 1,
        "angle_deg": 85.0,
        "work_length_mm": 1200.0,
        "line_limit_n_mm": 2000.0,
        **columns,
    }
    add_piece(shop, tag, add_kind(shop, role="brake_tool", width=opening, **numbers))


@pytest.fixture
def inch(tmp_path: Path) -> Iterator[Session]:
    """The brake of I18: 40 US tons, vees of 2 and 1-3/8 in."""
    vees = {"V-2": "2", "V-138": "1-3/8"}
    shop = brake(tmp_path / "inch.crib", 40 * N_PER_US_TON, "in", vees)
    yield shop
    shop.close()


@pytest.fixture
def metric(tmp_path: Path) -> Iterator[Session]:
    """The brake of M14: 400 kN, vees of 50 and 40 mm."""
    shop = brake(tmp_path / "metric.crib", 400_000.0, "mm", {"V-50": "50mm", "V-40": "40mm"})
    yield shop
    shop.close()


# I18


def test_i18_the_wide_vee_swallows_the_flange_and_the_narrow_one_takes_too_much(
    inch: Session,
) -> None:
    """V=2: 0.7 x 2 = 1.4 > 1. V=1-3/8: .96 <= 1, 575 x .0625 / 1.375 x 2 ft = 52.3 > 40 tons."""
    found = ask(inch, I18, **BY_60_KSI)
    assert not found.serves
    by_tag = {one.tools[0].tag: one for one in found.near_misses}
    wide, narrow = by_tag["V-2"], by_tag["V-138"]
    assert set(stops(wide)) == {"flange"}
    assert say(wide, "flange").limit == pytest.approx(mm_from_inches(1.4))
    assert say(wide, "force").value == pytest.approx(
        575 * 0.0625 / 2 * 2 * N_PER_US_TON / 1000, rel=1e-4
    )
    assert set(stops(narrow)) == {"force", "inside radius"}
    assert say(narrow, "flange").verdict == "ok"
    assert say(narrow, "flange").limit == pytest.approx(mm_from_inches(0.9625))
    assert narrow.figures["force_kn"] * 1000 / N_PER_US_TON == pytest.approx(
        575 * 0.0625 / 1.375 * 2, abs=0.01
    )
    assert "52.3 US tons of 40.0 US tons" in stops(narrow)["force"].text


def test_i18_a_longer_leg_that_is_trimmed_would_do(inch: Session) -> None:
    """0.7 x 2 = 1.4, in sixteenths 1-7/16; 35.9 of 40 US tons is 90 %."""
    found = ask(inch, I18, **BY_60_KSI)
    first, *others = [(way.text, way.ask) for way in found.workarounds]
    assert first == (
        "bend it with a longer leg, at least 1-7/16 in, and trim it afterwards",
        "bend 24 x 1/4 at 90 flange 1-7/16 1008",
    )
    assert any("outside" in text for text, _phrase in others)
    assert found.order == ()
    assert "flange 1 in, at least 1.05 in for vee 1-1/2 in" in found.why_no_order
    longer = ask(inch, first[1], **BY_60_KSI)
    assert tags(longer) == ["V-2"]
    assert longer.picks[0].figures["load"] == pytest.approx(0.898, abs=0.001)
    assert say(longer.picks[0], "force").verdict == "caution"


# M14


def test_m14_the_narrower_vee_takes_the_flange_at_82_percent(metric: Session) -> None:
    """V50: 35 > 30. V40: 28 <= 30, 1.42 x 430 x 36 x 600 / 40,000 = 330 kN of 400, r = 6.7."""
    found = ask(metric, M14, **BY_430_MPA)
    assert tags(found) == ["V-40"]
    best = found.picks[0]
    assert best.figures["force_kn"] == pytest.approx(1.42 * 430 * 36 * 600 / 40_000)
    assert best.figures["force_kn"] == pytest.approx(330, abs=0.5)
    assert best.figures["load"] == pytest.approx(0.82, abs=0.005)
    assert say(best, "force").verdict == "caution"
    assert say(best, "flange").limit == pytest.approx(28)
    assert best.figures["inside_radius_mm"] == pytest.approx(6.7, abs=0.05)
    # As thick as EN 10029 allows, 7.1 mm, it takes 330 x (7.1 / 6)^2 = 462 kN.
    assert say(best, "adverse force").value == pytest.approx(462, abs=1)
    cautioned = {one.rule for one in best.findings if one.verdict != "ok"}
    assert cautioned == {"force", "adverse force"}


def test_m14_the_wider_vee_is_a_stop_by_itself(metric: Session) -> None:
    found = ask(metric, M14, "V-50", **BY_430_MPA)
    assert not found.serves
    stop = stops(found.near_misses[0])["flange"]
    assert (stop.value, stop.limit) == pytest.approx((30.0, 35.0))


def test_without_a_flange_the_vee_nearest_to_the_rule_comes_first(metric: Session) -> None:
    """By rule 8 x 6 = 48: 50 is off by 2, 40 by 8; each says the flange that it needs."""
    found = ask(metric, "bend 600 x 6 at 90 S355MC", **BY_430_MPA)
    assert tags(found) == ["V-50", "V-40"]
    assert "must be at least 35 mm" in say(found.picks[0], "flange").text
    lighter = ask(metric, "bend 300 x 6 at 90 S355MC", **BY_430_MPA)
    assert tags(lighter) == ["V-50", "V-40"]
    assert lighter.decided_by == "clearance closest to the policy"


# Limits of the tool


def test_a_bend_longer_than_the_tool_or_of_unknown_length_is_refused(metric: Session) -> None:
    found = ask(metric, "bend 1201 x 1 at 90")
    assert set(stops(found.near_misses[0])) == {"length"}
    assert ask(metric, "bend 1200 x 1 at 90").serves
    change(metric, "UPDATE kind SET work_length_mm = NULL")
    stop = stops(ask(metric, "bend 100 x 1 at 90").near_misses[0])["length"]
    assert "measure it" in stop.text


@pytest.mark.parametrize(
    ("limit", "verdict"), [(549.0, "refuse"), (550.0, "caution"), (686.0, "caution"), (687.0, "ok")]
)
def test_the_force_along_the_tool_stays_within_its_limit(
    metric: Session, limit: float, verdict: str
) -> None:
    """M14 takes 329.7 kN on 0.6 m, 549.5 kN a metre; 80 % of 686.9 is that much."""
    change(metric, "UPDATE kind SET line_limit_n_mm = ?", limit)
    found = ask(metric, M14, "V-40", **BY_430_MPA)
    line = say((found.picks or found.near_misses)[0], "line")
    assert line.value == pytest.approx(1.42 * 430 * 36 / 40)
    assert line.verdict == verdict


def test_a_tool_whose_limit_nobody_entered_is_a_caution(metric: Session) -> None:
    change(metric, "UPDATE kind SET line_limit_n_mm = NULL")
    line = say(ask(metric, M14, **BY_430_MPA).picks[0], "line")
    assert line.verdict == "caution"
    assert "549.5 kN a metre" in line.text


def test_a_brake_without_a_rating_is_refused(tmp_path: Path) -> None:
    shop = brake(tmp_path / "unrated.crib", None, "mm", {"V-40": "40mm"})
    stop = stops(ask(shop, M14, **BY_430_MPA).near_misses[0])["force"]
    assert "no rated force" in stop.text
    shop.close()


def test_a_list_of_the_station_counts_as_well(metric: Session) -> None:
    insert(
        metric,
        EnvelopePointRecord,
        station_id=1,
        operation="bend",
        size_mm=500.0,
        thickness_mm=6.0,
        material="S355MC",
    )
    assert set(stops(ask(metric, M14, "V-40", **BY_430_MPA).near_misses[0])) == {"envelope"}
    assert ask(metric, "bend 500 x 6 at 90 flange 30 S355MC").serves


def test_a_worn_or_much_used_vee_is_no_edge_to_grind(metric: Session) -> None:
    change(metric, "UPDATE piece SET wear_milli = 9000000")
    best = ask(metric, M14, quantity=5000, **BY_430_MPA).picks[0]
    assert {one.rule for one in best.findings} & {"edge", "lasting"} == set()
    assert best.severities["brake_tool"] == 0


def test_a_broken_vee_is_never_offered(metric: Session) -> None:
    change(metric, "UPDATE piece SET condition = 'broken' WHERE tag = 'V-40'")
    found = ask(metric, M14, **BY_430_MPA)
    assert not found.serves


# Orders


def test_a_vee_that_is_not_there_is_ordered_in_one_complete_line(metric: Session) -> None:
    """8 x 4 = 32, a usual size; 1.42 x 430 x 16 x 600 / 32,000 = 183 kN, 305 kN/m, / 0.8 = 382."""
    change(metric, "DELETE FROM entry")
    change(metric, "DELETE FROM piece")
    found = ask(metric, "bend 600 x 4 at 90 flange 30", job="4711", **BY_430_MPA)
    (line,) = found.order
    assert line.text == (
        "1 vee die, opening 32 mm, 85° between its sides, working length at least 600 mm, marked"
        " for at least 382.0 kN a metre, seat K: die OD 54 mm, height 29 mm, to bend 4 mm S275,"
        " for Ironworker 1 / brake, our job 4711"
    )
    spec = line.spec
    assert (spec.role, spec.width_mm, spec.seat_name) == ("brake_tool", 32.0, "K")


def test_the_vee_that_was_ordered_serves(metric: Session) -> None:
    change(metric, "UPDATE kind SET seat_id = NULL")
    phrase = "bend 600 x 4 at 90 flange 24"
    (line,) = ask(metric, phrase, **BY_430_MPA).order
    add_vee(metric, "V-NEW", f"{line.spec.width_mm}mm")
    assert (line.spec.width_mm or 0.0) <= 24 / 0.7
    assert tags(ask(metric, phrase, **BY_430_MPA)) == ["V-NEW"]


def test_steel_that_runs_strong_may_stall_the_brake(inch: Session) -> None:
    """A36 is 58 ksi at least: 575 x .0625 / 2.25 x 2 x .967 = 30.9 US tons of 40.

    At 550 MPa, and 0.03 in thicker by ASTM A6, it is 42.5 x (.28 / .25)^2 = 53.3.
    """
    add_vee(inch, "V-214", "2-1/4")
    best = ask(inch, "bend 24 x 1/4 at 90 flange 2").picks[0]
    assert best.figures["force_kn"] * 1000 / N_PER_US_TON == pytest.approx(30.89, abs=0.05)
    strong = say(best, "adverse force")
    assert (strong.verdict, "53.3 US tons" in strong.text) == ("caution", True)


def test_the_grades_of_i18_and_m14_as_they_were_asked_are_too_sharp(
    inch: Session, metric: Session
) -> None:
    """2 in: r = .333 < 1.5 x .25. V40: r = 6.7 < 10 of EN 10025-2 for 6 mm of S275."""
    found = ask(inch, "bend 10 x 1/4 at 90 A36 flange 2")
    assert set(stops(found.near_misses[0])) == {"inside radius"}
    found = ask(metric, "bend 600 x 6 at 90 S275 flange 30")
    assert stops(found.near_misses[0])["inside radius"].limit == 10.0


def test_a_shop_that_loads_less_is_cautioned_sooner(metric: Session) -> None:
    rule(metric, "force.caution_load", "0.5")
    best = ask(metric, "bend 600 x 6 at 90 S355MC", "V-50", **BY_430_MPA).picks[0]
    assert say(best, "force").verdict == "caution"
