"""A bend: its phrase, the vee for it, its picture, and the laws that hold for every brake."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadPhrase, Missing
from crib.features.bends.bend import Bend
from crib.features.common.case import Circumstances, Plate
from crib.features.common.findings import Finding, refusals
from crib.features.common.picture import Line
from crib.features.common.tooling import Tool
from crib.features.registry import read_phrase
from crib.trade.shop.shop_rules import Rules
from crib.units import N_PER_US_TON, mm_from_inches
from tests.features.bench import (
    FACTS,
    IN,
    INCH_RULES,
    METRIC_RULES,
    MM,
    SEAT_A,
    mm,
    mounted,
    only,
    station,
    tool,
)


def read(text: str) -> Bend:
    ask = read_phrase(text, IN)
    assert isinstance(ask, Bend)
    return ask


def vee(opening_mm: float, **changes: Any) -> Tool:
    """A vee die of 1,200 mm that bears 2 kN for each mm."""
    columns: dict[str, Any] = {
        "shape": "special",
        "profile": "vee die",
        "angle_deg": 85.0,
        "work_length_mm": 1200.0,
        "line_limit_n_mm": 2000.0,
    }
    return tool("brake_tool", opening_mm, **(columns | changes))


def judged(
    ask: Bend, one: Tool, *, rules: Rules = INCH_RULES, facts: Circumstances = FACTS
) -> list[Finding]:
    return ask.answers(rules, facts).judge(mounted(one, at=station(1e9)))


# Phrases


@pytest.mark.parametrize(
    ("text", "inch", "metric"),
    [
        ("bend 10 x 1/4 at 90", "bend 10 x 1/4 at 90 A36", "bend 254mm x 6.35mm at 90 A36"),
        ("bend 24 x 1/4 at 90 A36 flange 1", "bend 24 x 1/4 at 90 flange 1 A36", None),
        ("bend 24x1/4 flange 1 at 90 A36", "bend 24 x 1/4 at 90 flange 1 A36", None),
        ("bend 600mm x 6mm S275 at 92.5°", None, "bend 600mm x 6mm at 92.5 S275"),
        ("bend 24 x 10ga 304 at 45", "bend 24 x 10ga at 45 304", None),
    ],
)
def test_the_phrase_has_one_way_of_writing_that_reads_back_equal(
    text: str, inch: str | None, metric: str | None
) -> None:
    ask = read(text)
    for system, written, reading in (("in", inch, IN), ("mm", metric, MM)):
        made = ask.phrase(system)  # type: ignore[arg-type]
        assert written is None or made == written
        again = read_phrase(made, reading)
        assert isinstance(again, Bend)
        assert replace(again, plate=replace(again.plate, assumed=ask.plate.assumed)) == ask


@pytest.mark.parametrize(
    ("text", "at", "why"),
    [
        ("bend", "", "expected the bend's length"),
        ("bend 10 at 90", "at", "expected 'x'"),
        ("bend 10 x 1/4", "", "expected 'at'"),
        ("bend 10 x 1/4 at 180", "180", "below 180"),
        ("bend 10 x 1/4 at 0", "0", "must be 0.1"),
        ("bend 1/4 x 10 at 90", "1/4 x 10", "its length comes first"),
        ("bend 10 x 1/4 x 2 at 90", "2", "at most 2 sizes"),
        ("bend 10 x 1/4 at 90 flange", "", "expected the flange"),
        ("bend 10 x 1/4 at 90 flange 1 flange 2", "flange", "said twice"),
        ("bend 10ga x 10 at 90", "10ga", "only a thickness"),
        ("bend 10 x 99ga at 90", "99ga", "gauge=99"),
    ],
)
def test_a_bend_that_cannot_be_read_is_pointed_at(text: str, at: str, why: str) -> None:
    with pytest.raises(BadPhrase, match=why) as caught:
        read_phrase(text, IN)
    assert caught.value.text[caught.value.start : caught.value.end] == at


def test_the_bend_for_programs() -> None:
    assert read("bend 24 x 1/4 at 90 flange 1 A36").as_json() == {
        "feature": "bend",
        "shape": "vee die",
        "length_mm": 609.6,
        "angle_deg": 90.0,
        "flange_mm": 25.4,
        "thickness_mm": 6.35,
        "material": "A36",
        "material_assumed": False,
    }


# The force


def test_an_inch_crib_goes_by_575_and_a_metric_one_by_1_42() -> None:
    """575 x .0625 / 2 = 18.0 US tons a foot at 60 ksi; 1.42 x 430 x 36 x 1 / 48 is 457.95 kN/m."""
    facts = Circumstances(cert_tensile_mpa=413.685)
    case = read("bend 12 x 1/4 at 90").answers(INCH_RULES, facts).case
    assert case.force_n(50.8) / N_PER_US_TON == pytest.approx(575 * 0.0625 / 2, rel=1e-4)
    facts = Circumstances(cert_tensile_mpa=430.0)
    metric = read("bend 1000mm x 6mm at 90").answers(METRIC_RULES, facts).case
    assert metric.force_n(48.0) == pytest.approx(1.42 * 430 * 36 * 1000 / 48)
    assert "1.42 form, tensile 430 MPa by certificate" in metric.basis


@pytest.mark.parametrize(
    ("material", "tensile_mpa"),
    [("A36", 400.0), ("304", 1.55 * 413.685), ("6061-T6", None), ("S355", None)],
)
def test_stainless_counts_for_more_than_its_strength(
    material: str, tensile_mpa: float | None
) -> None:
    case = read(f"bend 12 x 1/4 at 90 {material}").answers(INCH_RULES, FACTS).case
    wanted_mpa = tensile_mpa or INCH_RULES.material(material).tensile_mpa
    assert case.tensile_mpa == pytest.approx(wanted_mpa)


def test_a_material_of_unknown_strength_asks_for_the_certificate() -> None:
    unknown = replace(INCH_RULES.material("A36"), tensile_mpa=None, tensile_max_mpa=None)
    ask = replace(read("bend 12 x 1/4 at 90"), plate=Plate(6.35, unknown))
    case = ask.answers(INCH_RULES, FACTS).case
    with pytest.raises(Missing, match="no tensile strength"):
        _ = case.tensile_mpa
    known = ask.answers(INCH_RULES, Circumstances(cert_tensile_mpa=400.0)).case
    assert known.tensile_mpa == 400.0


# The vee


@pytest.mark.parametrize(
    ("opening_mm", "verdict"),
    [(29.9, "refuse"), (30.0, "caution"), (36.0, "ok"), (72.0, "ok"), (72.1, "caution")],
)
def test_a_vee_is_6_to_12_thicknesses_and_never_below_5(opening_mm: float, verdict: str) -> None:
    assert only(judged(read("bend 12 x 6mm at 90"), vee(opening_mm)), "vee").verdict == verdict


@pytest.mark.parametrize(
    ("flange", "verdict"), [("27.9mm", "refuse"), ("28mm", "ok"), ("100mm", "ok")]
)
def test_a_flange_spans_0_7_of_the_vee(flange: str, verdict: str) -> None:
    ask = read(f"bend 12 x 6mm at 90 flange {flange}")
    assert only(judged(ask, vee(40.0)), "flange").verdict == verdict


@pytest.mark.parametrize(
    ("turned", "vee_deg", "verdict"),
    [
        ("90", 85.0, "ok"),
        ("95", 85.0, "ok"),
        ("96", 85.0, "refuse"),
        ("96", 30.0, "ok"),
        ("90", None, ""),
        ("91", None, "caution"),
    ],
)
def test_a_vee_bends_no_sharper_than_its_own_angle(
    turned: str, vee_deg: float | None, verdict: str
) -> None:
    said = judged(read(f"bend 12 x 6mm at {turned}"), vee(50.0, angle_deg=vee_deg))
    assert "".join(one.verdict for one in said if one.rule == "angle") == verdict


@pytest.mark.parametrize(
    ("text", "rules", "order_mm"),
    [
        ("bend 12 x 0.2 at 90 1008", INCH_RULES, mm("1-1/2")),
        ("bend 12 x 0.2 at 90 flange 1 1008", INCH_RULES, mm("1-3/8")),
        ("bend 12 x 0.2 at 90 flange 0.9 1008", INCH_RULES, mm("1-1/4")),
        ("bend 12 x 1/2 at 90", INCH_RULES, mm("5")),
        ("bend 600mm x 6mm at 90 S355MC", METRIC_RULES, 50.0),
        ("bend 600mm x 6mm at 90 flange 34.9mm S355MC", METRIC_RULES, 40.0),
        ("bend 600mm x 6mm at 90 flange 30mm S355MC", METRIC_RULES, 40.0),
        ("bend 600mm x 4mm at 90 S355MC", METRIC_RULES, 32.0),
        ("bend 600mm x 4mm at 90 A36", METRIC_RULES, 40.0),
        ("bend 12 x 1/4 at 90", INCH_RULES, mm("2-1/4")),
        ("bend 600mm x 6mm at 90 S275", METRIC_RULES, 63.0),
        ("bend 600mm x 6mm at 90 S355", METRIC_RULES, 63.0),
        ("bend 300 x 5mm at 90 S275", METRIC_RULES, 50.0),
        ("bend 12 x 1/4 at 90 6061-T6", INCH_RULES, mm("5-1/4")),
    ],
)
def test_the_vee_to_order_is_a_usual_one_by_rule_or_narrower_for_the_flange(
    text: str, rules: Rules, order_mm: float
) -> None:
    ask = read(text)
    made = ask.answers(rules, FACTS).ideal(SEAT_A, "brake_tool", {})
    assert made is not None
    assert made.width_mm == pytest.approx(order_mm)
    assert ask.answers(rules, FACTS).ideal(SEAT_A, "die", {}) is None
    assert refusals(judged(ask, made, rules=rules)) == []


def test_wear_plate_is_not_bent() -> None:
    ask = read("bend 12 x 1/4 at 90 AR400")
    assert only(judged(ask, vee(50.8)), "material").verdict == "refuse"
    ways = ask.answers(INCH_RULES, FACTS).workarounds(frozenset({"material"}))
    assert [way.ask for way in ways] == [None, None]


# The radius


@pytest.mark.parametrize(
    ("text", "opening_mm", "verdict"),
    [
        # 6061-T6 at 1.33 t and S355 6 mm at 1.1 t were called ok.
        ("bend 6 x 1/4 at 90 flange 3 6061-T6", mm("2"), "refuse"),
        ("bend 6 x 1/4 at 90 flange 4 6061-T6", 6 * 3.5 * mm("1/4"), "ok"),
        ("bend 6 x 6mm at 90 S355", 40.0, "refuse"),
        ("bend 6 x 6mm at 90 S355", 59.9, "refuse"),
        ("bend 6 x 6mm at 90 S355", 60.0, "caution"),
        ("bend 6 x 6mm at 90 S355", 72.0, "ok"),
        ("bend 6 x 1/4 at 90 A36", 8.9 * mm("1/4"), "refuse"),
        ("bend 6 x 1/4 at 90 A36", 9 * mm("1/4"), "caution"),
        ("bend 6 x 1/4 at 90 A36", 13.5 * mm("1/4"), "ok"),
        ("bend 6 x 25mm at 90 S355", 250.0, "refuse"),
        ("bend 6 x 1/4 at 90 AR400", 250.0, "refuse"),
    ],
)
def test_a_vee_leaves_no_less_than_the_least_radius_of_the_grade(
    text: str, opening_mm: float, verdict: str
) -> None:
    assert only(judged(read(text), vee(opening_mm)), "inside radius").verdict == verdict


def test_a_bend_that_is_too_sharp_says_which_vee_would_do() -> None:
    ask = read("bend 6 x 6mm at 90 S355")
    said = only(judged(ask, vee(40.0), rules=METRIC_RULES), "inside radius")
    assert said.value == pytest.approx(40 / 6)
    assert said.limit == 10.0
    assert "take a vee of 60 mm or wider" in said.text
    assert "10 mm across the rolling, 12 mm along it" in said.text
    ways = ask.answers(METRIC_RULES, FACTS).workarounds(frozenset({"inside radius"}))
    assert any("a vee of 60 mm or wider" in way.text for way in ways)


# Laws


@given(
    length_mm=st.floats(50, 1500),
    thick_mm=st.floats(1, 20),
    turned_deg=st.floats(10, 170),
    growth=st.tuples(st.floats(0, 500), st.floats(0, 10), st.floats(0, 9)),
    opening_mm=st.floats(10, 200),
    rated_n=st.floats(1e4, 2e6),
    material=st.sampled_from(["A36", "304", "6061-T6", "S355", "A514", "5052-H32"]),
    rules=st.sampled_from([INCH_RULES, METRIC_RULES]),
)
def test_growing_any_size_never_turns_a_refusal_into_a_pick(
    length_mm: float,
    thick_mm: float,
    turned_deg: float,
    growth: tuple[float, float, float],
    opening_mm: float,
    rated_n: float,
    material: str,
    rules: Rules,
) -> None:
    plates = [Plate(one, rules.material(material)) for one in (thick_mm, thick_mm + growth[1])]
    asks = (
        Bend(length_mm, plates[0], turned_deg, 40.0),
        Bend(length_mm + growth[0], plates[1], turned_deg + growth[2], 40.0),
    )
    tooling = mounted(vee(opening_mm), at=station(rated_n))
    small, large = (refusals(ask.answers(rules, FACTS).judge(tooling)) for ask in asks)
    assert large or not small


def test_inch_and_metric_phrases_of_one_bend_give_the_same_answer() -> None:
    texts = ("bend 24 x 1/4 at 90 flange 1", "bend 609.6mm x 6.35mm at 90 flange 25.4mm")
    assert read_phrase(texts[0], IN) == read_phrase(texts[1], IN)
    tooling = mounted(vee(mm_from_inches(1.375)), at=station(1e6))
    figures = [read(text).answers(INCH_RULES, FACTS).figures(tooling) for text in texts]
    assert figures[0] == figures[1]


# Pictures


@pytest.mark.parametrize("turned", ["30", "90", "150", "175"])
def test_the_picture_shows_the_vee_and_the_plate_in_it(turned: str) -> None:
    ask = read(f"bend 24 x 1/4 at {turned} flange 2")
    made = ask.answers(INCH_RULES, FACTS).picture(mounted(vee(50.8)), None)
    lines = [one.style for one in made.shapes if isinstance(one, Line)]
    assert lines == ["tool", "hatch"]
    assert any("inside radius" in note for note in made.notes)
    assert "vee 2 in" in made.title
