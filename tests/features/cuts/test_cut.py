"""A cut: its phrase, its sections, its picture, and the laws that hold for every shear."""

from __future__ import annotations

from dataclasses import replace
from math import cos, pi, radians
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from crib.errors import BadPhrase, UnknownName
from crib.features.common.case import Circumstances, Plate
from crib.features.common.findings import Finding, refusals
from crib.features.common.picture import Circle, Line
from crib.features.common.tooling import EnvelopeRow, Station, Tool
from crib.features.cuts.cut import Cut
from crib.features.cuts.cut_sections import WORK, Section
from crib.features.registry import read_phrase
from tests.features.bench import (
    FACTS,
    IN,
    INCH_RULES,
    METRIC_RULES,
    MM,
    mm,
    mounted,
    only,
    station,
    tool,
)


def read(text: str) -> Cut:
    ask = read_phrase(text, IN)
    assert isinstance(ask, Cut)
    return ask


def shear(
    operation: str, *points: tuple[float, float], rated_n: float | None = None, **changes: Any
) -> Station:
    """A shear with a straight list."""
    rows = tuple(EnvelopeRow(operation, 0.0, *point, "A36") for point in points)
    return station(rated_n, envelope=rows, **changes)


def blade(**changes: Any) -> Tool:
    return tool("blade", 0.0, seat=None, tag="B-1", shape="", **changes)


def judged(ask: Cut, at: Station, *tools: Tool, facts: Circumstances = FACTS) -> list[Finding]:
    return ask.answers(INCH_RULES, facts).judge(mounted(*(tools or (blade(),)), at=at))


# Phrases


@pytest.mark.parametrize(
    ("text", "inch", "metric", "work"),
    [
        ("cut flat 4 x 3/8", "cut flat 4 x 3/8 A36", None, "flat_shear"),
        ("cut flat 3/8 x 4 A36 at 45", "cut flat 4 x 3/8 at 45 A36", None, "flat_shear"),
        ("cut plate 12 x 10ga 304", "cut plate 12 x 10ga 304", None, "plate_shear"),
        (
            "cut angle 3x3x1/4 at 45°",
            "cut angle 3 x 3 x 1/4 at 45 A36",
            "cut angle 76.2mm x 76.2mm x 6.35mm at 45 A36",
            "angle_shear",
        ),
        ("cut angle 3 x 4 x 3/8 at 0", "cut angle 4 x 3 x 3/8 A36", None, "angle_shear"),
        ("shear round 20mm S355", None, "cut round 20mm S355", "bar_shear"),
        ("cut square 1", "cut square 1 A36", "cut square 25.4mm A36", "bar_shear"),
        ("cut tube 1 x 16ga", "cut tube 1 x 16ga A36", None, "tube_shear"),
        ("cut tube square 1 x .065", "cut tube 1 x 0.065in A36", None, "tube_shear"),
        ("cut tube 1 x 2 x 0.120", "cut tube 2 x 1 x 0.12in A36", None, "tube_shear"),
        (
            "cut tube round 1-1/2 x 3mm",
            None,
            "cut tube round 38.1mm x 3mm A36",
            "tube_shear",
        ),
        (
            "cut channel 4 x 1-5/8 x 3/16 x 1/4",
            "cut channel 4 x 1-5/8 x 3/16 x 1/4 A36",
            None,
            "channel_shear",
        ),
        ("cut flat 4 x 3/8 at 22.5 deg", "cut flat 4 x 3/8 at 22.5 A36", None, "flat_shear"),
    ],
)
def test_the_phrase_has_one_way_of_writing_that_reads_back_equal(
    text: str, inch: str | None, metric: str | None, work: str
) -> None:
    ask = read(text)
    assert ask.work == work
    for system, written, reading in (("in", inch, IN), ("mm", metric, MM)):
        made = ask.phrase(system)  # type: ignore[arg-type]
        assert written is None or made == written
        again = read_phrase(made, reading)
        assert isinstance(again, Cut)
        assert replace(again, plate=replace(again.plate, assumed=ask.plate.assumed)) == ask


@pytest.mark.parametrize(
    ("text", "at", "why"),
    [
        ("cut", "", "expected what is cut"),
        ("cut rod 3", "rod", "one of flat, plate"),
        ("cut flat 4", "", "expected 'x'"),
        ("cut flat 4 x", "", "expected the thickness"),
        ("cut angle 3 x 1/4", "", "expected 'x'"),
        ("cut angle 3 x 3 x 1/4 x 2", "2", "at most 3 sizes"),
        ("cut angle 3 x 3 x 3", "3 x 3 x 3", "below the shorter leg"),
        ("cut flat 16ga x 4", "16ga", "only a thickness is a gauge"),
        ("cut flat 1/32 x 10ga", "1/32 x 10ga", "thicker than it is wide"),
        ("cut round 16ga", "16ga", "not a gauge"),
        ("cut tube square 1 x 2 x .12", "1 x 2 x .12", "two sides alike"),
        ("cut tube 1 x 1/2", "1 x 1/2", "half the outside"),
        ("cut tube 1 x 99ga", "99ga", "gauge=99"),
        ("cut flat 4 x 3/8 at 90", "90", "below 90"),
        ("cut flat 4 x 3/8 at slant", "slant", "not a number of degrees"),
        ("cut flat 4 x 3/8 at 45 at 30", "at", "said twice"),
        ("cut flat 4 x 3/8 A63", "A63", "unknown material"),
        ("cut flat 4 x 3/8 thru", "thru", "cannot place"),
    ],
)
def test_a_cut_that_cannot_be_read_is_pointed_at(text: str, at: str, why: str) -> None:
    with pytest.raises(BadPhrase, match=why) as caught:
        read_phrase(text, IN)
    assert caught.value.text[caught.value.start : caught.value.end] == at
    assert caught.value.way_out


# Sections


@pytest.mark.parametrize(
    ("text", "area_mm2"),
    [
        ("cut flat 100mm x 10mm", 1000.0),
        ("cut angle 75mm x 75mm x 6mm", 864.0),
        ("cut round 20mm", pi * 100),
        ("cut square 20mm", 400.0),
        ("cut tube 25mm x 2mm", 184.0),
        ("cut tube 50mm x 25mm x 2mm", 2 * 2 * (50 + 25 - 4)),
        ("cut tube round 48.3mm x 3.68mm", pi * 3.68 * (48.3 - 3.68)),
        ("cut channel 100mm x 50mm x 6mm x 8mm", 1304.0),
        ("cut flat 100mm x 10mm at 45", 1000 / cos(radians(45))),
    ],
)
def test_the_force_is_the_shear_strength_on_the_area_of_the_cut(text: str, area_mm2: float) -> None:
    figures = read(text).answers(INCH_RULES, FACTS).figures(mounted(at=station(None)))
    assert figures["area_mm2"] == pytest.approx(area_mm2)
    assert figures["force_kn"] == pytest.approx(area_mm2 * 351.154 / 1000, rel=1e-4)


def test_of_a_channel_the_thicker_of_web_and_flange_governs() -> None:
    ask = read("cut channel 4 x 1-5/8 x 3/16 x 5/16")
    assert ask.plate.thickness_mm == mm("5/16")
    at = shear("cut channel", (mm("4"), mm("1/4")))
    assert only(judged(ask, at), "envelope").verdict == "refuse"


# Rules


@pytest.mark.parametrize(("leg", "verdict"), [("24mm", "caution"), ("25mm", "ok"), ("1", "ok")])
def test_a_leg_shorter_than_the_hold_down_grips_is_a_caution(leg: str, verdict: str) -> None:
    said = judged(read(f"cut angle 3 x {leg} x 1/8"), shear("cut angle", (100.0, 10.0)))
    found = [one.verdict for one in said if one.rule == "hold-down"]
    assert (found or ["ok"]) == [verdict]


def test_of_unequal_legs_the_longer_one_governs() -> None:
    said = judged(read("cut angle 3 x 4 x 1/4"), shear("cut angle", (mm("3-1/2"), 10.0)))
    assert only(said, "envelope").verdict == "refuse"
    assert "right top blade" in only(said, "note").text


@pytest.mark.parametrize(
    ("hole_mm", "verdict"), [(19.9, "refuse"), (20.0, "ok"), (23.0, "ok"), (23.1, "caution")]
)
def test_a_bar_goes_into_the_hole_nearest_above_it(hole_mm: float, verdict: str) -> None:
    at = shear("cut round", (30.0, 30.0))
    holed = replace(blade(), width_mm=hole_mm)
    assert only(judged(read("cut round 20mm"), at, holed), "bar hole").verdict == verdict


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [("cut flat 100mm x 10mm", 0.5, 0.8), ("cut plate 100mm x 1mm", 0.1, 0.1)],
)
def test_the_blade_gap_is_5_to_8_percent_and_never_below_a_tenth(
    text: str, low: float, high: float
) -> None:
    found = only(judged(read(text), shear("cut flat", (200.0, 20.0))), "blade gap")
    assert (found.value, found.limit) == pytest.approx((low, high))
    assert "manual comes first" in found.text


def test_plate_that_is_sold_by_hardness_is_not_sheared() -> None:
    said = judged(read("cut flat 4 x 1/4 AR400"), shear("cut flat", (500.0, 50.0)))
    assert only(said, "material").verdict == "refuse"


def test_a_material_without_a_multiplier_is_not_credited() -> None:
    unknown = replace(INCH_RULES.material("A36"), multiplier=None)
    ask = replace(read("cut flat 4 x 1/4"), plate=Plate(mm("1/4"), unknown))
    assert only(judged(ask, shear("cut flat", (500.0, 50.0))), "envelope").verdict == "refuse"


def test_a_station_that_is_proven_and_rated_is_judged_by_both() -> None:
    at = shear("cut angle", (100.0, 10.0), rated_n=1e5)
    said = judged(read("cut angle 75mm x 75mm x 6mm"), at)
    assert (only(said, "envelope").verdict, only(said, "force").verdict) == ("ok", "refuse")


# Laws

SIZES = st.floats(20, 300)
WALLS = st.floats(1, 18)
GROWN = st.floats(0, 100)


def _section(word: str, size_mm: float, other_mm: float, thick_mm: float) -> Section:
    if word in ("round", "square"):
        return Section(word, (size_mm,), size_mm)
    if word == "angle":
        legs = tuple(sorted((size_mm, other_mm), reverse=True))
        return Section(word, legs, thick_mm)
    if word == "channel":
        return Section(word, (size_mm, other_mm), thick_mm)
    return Section(word, (size_mm,), thick_mm)


@given(
    word=st.sampled_from([word for word in WORK if word != "tube"]),
    sizes=st.tuples(SIZES, SIZES, WALLS),
    growth=st.tuples(GROWN, GROWN, st.floats(0, 9)),
    points=st.lists(st.tuples(SIZES, SIZES), min_size=1, max_size=4),
    angle=st.sampled_from([0.0, 30.0, 45.0]),
    rated_n=st.one_of(st.none(), st.floats(1e4, 1e7)),
    lever_mm=st.one_of(st.none(), st.floats(50, 400)),
    blade_mm=st.one_of(st.none(), SIZES),
    material=st.sampled_from(["A36", "S355", "304", "1045"]),
)
def test_growing_any_size_never_turns_a_refusal_into_a_pick(
    word: str,
    sizes: tuple[float, float, float],
    growth: tuple[float, float, float],
    points: list[tuple[float, float]],
    angle: float,
    rated_n: float | None,
    lever_mm: float | None,
    blade_mm: float | None,
    material: str,
) -> None:
    assume(min(sizes[:2]) > 2 * (sizes[2] + growth[2]))
    rows = tuple(
        EnvelopeRow(f"cut {word}", at, *point, "A36") for point in points for at in (0.0, 45.0)
    )
    at = station(rated_n, envelope=rows, lever_mm=lever_mm)
    holed = replace(blade(work_length_mm=blade_mm), width_mm=blade_mm or 0.0)
    grown = tuple(size + more for size, more in zip(sizes, growth, strict=True))
    refused = []
    for some in (sizes, grown):
        section = _section(word, *some)
        plate = Plate(section.governing_mm, INCH_RULES.material(material))
        refused.append(bool(refusals(judged(Cut(section, plate, angle), at, holed))))
    assert refused[1] or not refused[0]


@given(
    size_mm=SIZES, thick_mm=WALLS, more=st.floats(0, 2), points=st.lists(st.tuples(SIZES, WALLS))
)
def test_a_stronger_material_never_turns_a_refusal_into_a_pick(
    size_mm: float, thick_mm: float, more: float, points: list[tuple[float, float]]
) -> None:
    mild = INCH_RULES.material("A36")
    strong = replace(mild, multiplier=1.0 + more)
    section = Section("flat", (size_mm,), thick_mm)
    at = shear("cut flat", *points)
    weak, hard = (
        refusals(judged(Cut(section, Plate(thick_mm, one)), at)) for one in (mild, strong)
    )
    assert hard or not weak


@pytest.mark.parametrize(
    ("inch", "metric"),
    [
        ("cut flat 4 x 3/8", "cut flat 101.6mm x 9.525mm"),
        ("cut angle 3 x 3 x 1/4 at 45", "cut angle 76.2mm x 76.2mm x 6.35mm at 45"),
        ("cut round 3/4", "cut round 19.05mm"),
        ("cut tube 1 x 0.065", "cut tube 25.4mm x 1.651mm"),
    ],
)
def test_inch_and_metric_phrases_of_one_cut_give_the_same_answer(inch: str, metric: str) -> None:
    assert read_phrase(inch, IN) == read_phrase(metric, IN)
    at = shear("cut angle", (100.0, 10.0), rated_n=1e6)
    figures = [
        read(text).answers(INCH_RULES, FACTS).figures(mounted(at=at)) for text in (inch, metric)
    ]
    assert figures[0] == figures[1]


# Pictures


@pytest.mark.parametrize("word", list(WORK))
def test_the_picture_shows_the_section_and_the_job_under_the_staircase(word: str) -> None:
    texts = {
        "angle": "cut angle 3 x 3 x 1/4",
        "tube": "cut tube 1 x 2 x .12",
        "channel": "cut channel 4 x 1-5/8 x 3/16",
        "round": "cut round 1",
        "square": "cut square 1",
    }
    ask = read(texts.get(word, f"cut {word} 4 x 3/8"))
    at = shear(f"cut {word}", (150.0, 40.0), (100.0, 50.0))
    made = ask.answers(INCH_RULES, FACTS).picture(mounted(at=at), None)
    stairs = [one for one in made.shapes if isinstance(one, Line) and one.style == "tool"]
    assert len(stairs) == 1
    assert any(isinstance(one, Circle) and one.style == "fill" for one in made.shapes)
    assert not any("not rated" in note for note in made.notes)
    assert "Ironworker 1" in made.title


def test_a_picture_without_a_list_says_so() -> None:
    made = (
        read("cut flat 4 x 3/8 at 45")
        .answers(METRIC_RULES, FACTS)
        .picture(mounted(at=shear("cut flat", (150.0, 40.0))), None)
    )
    assert any("not rated" in note for note in made.notes)


def test_an_unknown_material_of_a_bar_says_how_to_name_one_and_not_an_example() -> None:
    with pytest.raises(BadPhrase) as caught:
        read_phrase("cut flat 4 x 3/8 A63", IN)
    with pytest.raises(UnknownName) as known:
        INCH_RULES.material("A63")
    assert caught.value.way_out == known.value.way_out
