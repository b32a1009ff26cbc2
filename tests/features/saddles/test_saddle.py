"""A saddle as a phrase, its laws, its picture."""

from __future__ import annotations

from math import hypot

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadPhrase
from crib.features.common.case import Circumstances
from crib.features.common.findings import refusals
from crib.features.common.picture import Circle, Dimension, Line
from crib.features.common.tooling import Tool
from crib.features.registry import read_phrase
from crib.features.saddles.saddle import Saddle
from crib.features.saddles.saddle_phrase import EXAMPLE
from crib.trade.metal.force import RULE_80_SHEAR_MPA
from crib.trade.metal.pipe_outsides import european_outside_mm
from crib.trade.metal.pipes import known_pipe_sizes, pipe_size
from tests.features.bench import (
    FACTS,
    IN,
    INCH,
    INCH_RULES,
    METRIC_RULES,
    MM,
    SEAT_A,
    mounted,
    only,
    station,
    tool,
)

STATION = station(work="saddle")


def saddle(text: str) -> Saddle:
    """A phrase in inches."""
    ask = read_phrase(text, IN)
    assert isinstance(ask, Saddle)
    return ask


def a_set(nest_mm: float, header_mm: float, most_wall_mm: float, **more: float) -> Tool:
    """A saddle set in seat A."""
    return tool(
        "set",
        nest_mm,
        profile="saddle",
        header_mm=header_mm,
        most_wall_mm=most_wall_mm,
        **more,
    )


def refused(text: str, chosen: Tool) -> bool:
    """Whether a set is refused for a saddle; a phrase that makes none counts as refused."""
    try:
        ask = read_phrase(text, IN)
    except BadPhrase:
        return True
    return bool(refusals(ask.answers(INCH_RULES, FACTS).judge(mounted(chosen, at=STATION))))


@pytest.mark.parametrize(
    ("text", "inches", "metric"),
    [
        (EXAMPLE, "saddle 1-1/2 pipe sch 40 A53-B", "saddle NPS 1-1/2 pipe sch 40 A53-B"),
        (
            "saddle 1 1/2 pipe SCH80 onto 2 pipe",
            "saddle 1-1/2 pipe sch 80 onto 2 pipe A53-B",
            "saddle NPS 1-1/2 pipe sch 80 onto NPS 2 pipe A53-B",
        ),
        (
            "saddle 1-1/2 tube 0.120 wall onto 2 pipe",
            "saddle 1-1/2 tube 0.12in wall onto 2 pipe A36",
            "saddle 38.1mm tube 3.048mm wall onto NPS 2 pipe A36",
        ),
        (
            "saddle DN 25 pipe XS 304 onto 2.375 tube at 60° offset 1/2",
            "saddle 1 pipe sch XS onto 2-3/8 tube at 60 offset 1/2 304",
            "saddle NPS 1 pipe sch XS onto 60.325mm tube at 60 offset 12.7mm 304",
        ),
        (
            "saddle NPS 1-1/2 pipe wall .2 centers 4ft at 90",
            "saddle 1-1/2 pipe 0.2in wall centres 48 A53-B",
            "saddle NPS 1-1/2 pipe 5.08mm wall centres 1219.2mm A53-B",
        ),
        (
            "saddle 1-1/2 handrail measured 1-7/8 std",
            "saddle 1-1/2 pipe sch STD measured 1-7/8 A53-B",
            "saddle NPS 1-1/2 pipe sch STD measured 47.625mm A53-B",
        ),
        (
            "saddle 1-1/2 pipe",
            "saddle 1-1/2 pipe A53-B",
            "saddle NPS 1-1/2 pipe A53-B",
        ),
    ],
)
def test_a_phrase_has_one_canonical_way_that_reads_back_equal(
    text: str, inches: str, metric: str
) -> None:
    ask = saddle(text)
    assert (ask.phrase("in"), ask.phrase("mm")) == (inches, metric)
    again = saddle(inches)
    assert again == read_phrase(metric, MM)
    assert again.as_json() | {"material_assumed": False} == ask.as_json() | {
        "material_assumed": False
    }


@pytest.mark.parametrize("nps", known_pipe_sizes())
def test_every_pipe_is_the_same_by_either_name_in_either_crib(nps: str) -> None:
    ask = saddle(f"saddle {nps} pipe sch 40")
    dn = ask.branch.dn
    assert saddle(f"saddle DN{dn} pipe sch 40") == ask
    assert read_phrase(f"saddle NPS{nps} pipe sch 40", MM) == ask


@pytest.mark.parametrize("nps", known_pipe_sizes())
def test_a_dn_is_of_en_10220_in_a_metric_crib(nps: str) -> None:
    """Of DN65 and DN125 the outsides are so far apart that a schedule's wall is not meant."""
    inch = saddle(f"saddle {nps} pipe sch 40").branch
    for text in (f"saddle DN{inch.dn} pipe 3mm wall", f"saddle {inch.dn} pipe 3mm wall"):
        if inch.dn < 15:
            text = text.replace("3mm", "2mm")
        ask = read_phrase(text, MM)
        assert ask == read_phrase(ask.phrase("mm"), MM) == read_phrase(ask.phrase("in"), MM)
        assert ask.as_json()["size_mm"] == european_outside_mm(inch.dn)
    apart = abs(european_outside_mm(inch.dn) - inch.outside_mm) > 0.5
    assert apart == (inch.dn in (65, 125))
    if apart:
        with pytest.raises(BadPhrase, match=f"DN{inch.dn} is .* by EN 10220, which has no sched"):
            read_phrase(f"saddle DN{inch.dn} pipe", MM)
    else:
        walled = read_phrase(f"saddle DN{inch.dn} pipe", MM)
        assert walled.plate.thickness_mm == pipe_size(nps).wall_mm


@pytest.mark.parametrize(("schedule", "wall_mm"), [("5", 1.65), ("10S", 2.77), ("5s", 1.65)])
def test_light_schedules_are_read(schedule: str, wall_mm: float) -> None:
    """ASME B36.10M and B36.19M, as the package fluids has them."""
    for written in (f"sch {schedule}", f"sch{schedule}", f"schedule {schedule}"):
        assert saddle(f"saddle 1-1/2 pipe {written}").plate.thickness_mm == wall_mm


@pytest.mark.parametrize(
    ("text", "words", "under"),
    [
        ("saddle 1-1/2 rail", r"pipe or tube\? .*1\.900 in.*1\.500 in", "rail"),
        ("saddle 1-1/2", r"pipe or tube\?", "1-1/2"),
        ("saddle 1-1/2 sch 40", r"pipe or tube\?", "1-1/2"),
        ("saddle 1-1/2 pipe onto 2", r"pipe or tube\? .*2\.375 in.*2\.000 in", "2"),
        ("saddle 1-1/2 pipe measured 1.5", "is tube, not pipe", "measured 1.5"),
        ("saddle 1-1/2 tube .1 wall measured 1.9", "is pipe, not tube", "measured 1.9"),
        ("saddle 1-1/2 rail measured 1.66", "neither: .*1-1/4 pipe", "measured 1.66"),
        ("saddle 1-1/2 tube", "has no schedule, say its wall", "1-1/2"),
        ("saddle 1-1/2 tube sch 40", "has no schedule", "sch 40"),
        ("saddle 1-1/2 pipe sch 40 .2 wall", "not both", ".2 wall"),
        ("saddle 1-1/2 pipe sch 41", "unknown schedule '41'", "sch 41"),
        ("saddle 1-1/2 pipe sch", "expected a schedule", ""),
        ("saddle 1-3/8 pipe", "unknown pipe size '1-3/8'", "1-3/8"),
        ("saddle 2 tube 1 wall", "leaves no bore", "1 wall"),
        ("saddle 2 tube 16ga wall", "a length only together with its material", "16ga"),
        ("saddle 2 pipe sch 40 sch 40", "schedule is said twice", "sch 40"),
        ("saddle 2 pipe at square", "expected the angle", "square"),
        ("saddle 2 pipe at 19", "19° between the axes is not 20 to 160", "at 19"),
        ("saddle 2 pipe at 161", "is not 20 to 160", "at 161"),
        ("saddle 2 pipe plywood", "unknown material 'plywood'", "plywood"),
        ("saddle 2 pipe onto 1-1/2 pipe", "not a saddle", "onto 1-1/2 pipe"),
        ("saddle 1-1/2 pipe onto 2 pipe offset 1/4", "reaches beside", "offset 1/4"),
        ("saddle 2 pipe centres 2-3/8", "nothing is left", ""),
        ("saddle 2 pipe centres 2", "nothing is left", "centres 2"),
        ("saddle 2 pipe thru 1/4", "cannot place 'thru'", "thru"),
        ("saddle", "expected the size", ""),
    ],
)
def test_what_cannot_be_read_is_pointed_at(text: str, words: str, under: str) -> None:
    with pytest.raises(BadPhrase, match=words) as caught:
        read_phrase(text, IN)
    if under:
        assert text[caught.value.start : caught.value.end] == under


def test_a_bare_size_in_a_metric_crib_is_a_dn() -> None:
    with pytest.raises(BadPhrase, match="unknown pipe size 'DN2'"):
        read_phrase("saddle 2 pipe", MM)


def test_the_default_materials_are_pipe_steel_and_the_shops_own_for_tube() -> None:
    pipe, tube = saddle(EXAMPLE), read_phrase("saddle 38.1 tube 3 wall", MM)
    assert (pipe.plate.material.name, pipe.plate.assumed) == ("A53-B", False)
    assert (tube.plate.material.name, tube.plate.assumed) == ("S275", True)


def test_size_on_size_with_a_measured_branch_a_hair_larger_is_still_a_saddle() -> None:
    ask = saddle("saddle 1-1/2 pipe sch 40 measured 1.91 onto 1-1/2 pipe")
    assert ask.header_radius_mm == ask.branch_radius_mm == pytest.approx(0.955 * INCH)


# laws

NEST = st.floats(15, 80)


@given(nest_mm=NEST, thin=st.floats(0.5, 8), more=st.floats(0, 5), most=st.floats(1, 8))
def test_a_thicker_wall_never_turns_a_refusal_into_a_pick(
    nest_mm: float, thin: float, more: float, most: float
) -> None:
    chosen = a_set(nest_mm, nest_mm, most)
    texts = [f"saddle {nest_mm:.3f}mm tube {wall:.4f}mm wall" for wall in (thin, thin + more)]
    if refused(texts[0], chosen):
        assert refused(texts[1], chosen)


@given(nest_mm=NEST, over=st.floats(0, 3), more=st.floats(0, 10))
def test_a_branch_too_big_for_its_nest_stays_so_as_it_grows(
    nest_mm: float, over: float, more: float
) -> None:
    chosen = a_set(nest_mm, nest_mm, 8)
    texts = [f"saddle {nest_mm + big:.3f}mm tube 2mm wall" for big in (over, over + more)]
    if refused(texts[0], chosen):
        assert refused(texts[1], chosen)


@given(outside_mm=NEST, wall=st.floats(0.5, 6), more=st.floats(0, 40))
def test_a_bigger_tube_never_takes_less_force(outside_mm: float, wall: float, more: float) -> None:
    forces = [
        saddle(f"saddle {size:.3f}mm tube {wall:.3f}mm wall")
        .answers(INCH_RULES, FACTS)
        .case.force_n
        for size in (outside_mm, outside_mm + more)
    ]
    assert forces[1] >= forces[0]


@given(
    inches=st.integers(1, 4 * 16),
    over=st.integers(0, 32),
    wall=st.integers(10, 120),
    angle=st.integers(20, 160),
)
def test_an_ask_in_inches_and_in_millimetres_is_one(
    inches: int, over: int, wall: int, angle: int
) -> None:
    size, header = 1 + inches / 16, 1 + (inches + over) / 16
    first = f"saddle {size}in tube {wall / 1000}in wall onto {header}in tube at {angle}"
    ask = saddle(first)
    assert read_phrase(ask.phrase("mm"), MM).phrase("in") == ask.phrase("in")
    tooling = mounted(a_set(ask.branch.outside_mm, ask.header.outside_mm, 6), at=STATION)
    here = ask.answers(INCH_RULES, FACTS).judge(tooling)
    there = read_phrase(ask.phrase("mm"), MM).answers(METRIC_RULES, FACTS).judge(tooling)
    assert [(one.rule, one.verdict) for one in here] == [(one.rule, one.verdict) for one in there]


@pytest.mark.parametrize(
    ("wall_mm", "serves"), [(1.99, False), (2.0, True), (3.0, True), (3.01, False)]
)
def test_the_wall_is_within_what_the_set_takes(wall_mm: float, serves: bool) -> None:
    chosen = a_set(48.26, 48.26, 3.0, least_wall_mm=2.0)
    assert refused(f"saddle 48.26mm tube {wall_mm}mm wall", chosen) is not serves


@pytest.mark.parametrize(
    ("material", "most_mm", "serves"),
    [("A53-B", 3.0, True), ("A500-B", 3.3, True), ("A500-B", 3.29, False), ("304", 4.49, False)],
)
def test_a_wall_of_a_stronger_material_counts_as_thicker(
    material: str, most_mm: float, serves: bool
) -> None:
    text = f"saddle 48.26mm tube 3mm wall {material}"
    assert refused(text, a_set(48.26, 48.26, most_mm)) is not serves


def test_a_certificate_makes_the_wall_count_as_thicker_too() -> None:
    strong = Circumstances(cert_tensile_mpa=600.0)
    tight = mounted(a_set(48.26, 48.26, 3.5), at=STATION)
    ask = saddle("saddle 48.26mm tube 3mm wall A500-B")
    found = only(ask.answers(INCH_RULES, strong).judge(tight), "wall")
    assert found.verdict == "refuse"
    assert found.value == pytest.approx(3.0 * 0.8 * 600 / RULE_80_SHEAR_MPA)
    assert "counts as 0.161 in of mild steel" in found.text


@given(thick=st.floats(0.5, 8))
def test_the_set_to_order_is_never_refused_for_its_wall(thick: float) -> None:
    ask = saddle(f"saddle 48.26mm tube {thick:.3f}mm wall 304")
    ordered = ask.answers(INCH_RULES, FACTS).ideal(SEAT_A, "set", {})
    assert ordered is not None
    said = ask.answers(INCH_RULES, FACTS).judge(mounted(ordered, at=STATION))
    assert only(said, "wall").verdict == "ok"


def test_a_set_that_is_made_for_another_angle_cuts_no_square_saddle() -> None:
    assert refused(EXAMPLE, a_set(48.26, 48.26, 4, angle_deg=60.0))
    assert not refused(EXAMPLE, a_set(48.26, 48.26, 4, angle_deg=90.0))


def test_wear_plate_is_not_for_a_saddle_set() -> None:
    assert refused(f"{EXAMPLE} AR400", a_set(48.26, 48.26, 4))


def test_a_dry_stroke_weighs_more() -> None:
    ask = saddle(EXAMPLE)
    weights = [
        ask.answers(INCH_RULES, Circumstances(dry=dry)).severity_each(mounted(at=STATION), "set")
        for dry in (False, True)
    ]
    assert weights[1] > weights[0]


# picture


def test_the_picture_shows_depth_tips_and_throat() -> None:
    ask = saddle("saddle 1-1/2 pipe sch 40 onto 2 pipe centres 48")
    tooling = mounted(a_set(48.26, 60.325, 4), at=STATION)
    picture = ask.answers(INCH_RULES, FACTS).picture(tooling, None)
    said = [shape.text for shape in picture.shapes if isinstance(shape, Dimension)]
    assert said == [
        "depth 0.475 in",
        "centres 48.000 in",
        "tip to tip 46.575 in",
        "throat 45.625 in",
    ]
    assert "1-1/2 pipe onto 2 pipe" in picture.title


def test_the_end_of_the_branch_lies_on_the_header_in_the_end_view() -> None:
    ask = saddle("saddle 1-1/2 pipe sch 40 onto 3 pipe at 60 offset 1/4")
    picture = ask.answers(INCH_RULES, FACTS).picture(mounted(at=STATION), None)
    (header,) = [shape for shape in picture.shapes if isinstance(shape, Circle)]
    branch = next(
        shape for shape in picture.shapes if isinstance(shape, Line) and shape.style == "outline"
    )
    rim = branch.points[2:-2]
    assert len(rim) > 20
    assert all(hypot(x, y) == pytest.approx(header.radius_mm) for x, y in rim)
