"""A vee in an edge: the set's own angle, any opening up to the set's."""

from __future__ import annotations

from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadPhrase
from crib.features.common.picture import Label, Line
from crib.features.edges.vee import EXAMPLE, Vee
from crib.features.registry import read_phrase
from crib.units import N_PER_US_TON
from tests.features.bench import FACTS, IN, INCH, INCH_RULES, METRIC_RULES, MM, only, plate
from tests.features.sets import asked, at, notcher, rows, says, set_of, stops

FOUR = set_of("vee", 4)
STATION = notcher(None, envelope=rows("vee", (4, 1 / 8), (2, 1 / 4)))


def vee(opening: float, thickness: float = 0.25, angle_deg: float = 90.0) -> Vee:
    return Vee(plate(thickness * INCH), opening * INCH, angle_deg)


@pytest.mark.parametrize(
    ("text", "angle_deg"),
    [
        ("vee 2 thru 1/4", 90),
        ("vee 2 thru 1/4 A36 at 90", 90),
        ("vee 2in thru 1/4 at 60°", 60),
        ("VEE 2 thru 1/4 A36 at 45.5deg", 45.5),
        ("vee 2 thru 1/4 at 120 degrees", 120),
    ],
)
def test_a_vee_is_an_opening_and_an_angle_of_90_unless_said(text: str, angle_deg: float) -> None:
    ask = read_phrase(text, IN)
    assert isinstance(ask, Vee)
    assert (ask.opening_mm, ask.angle_deg) == (50.8, angle_deg)
    assert ask.phrase("in") == f"vee 2 thru 1/4 A36 at {angle_deg:g}"


@pytest.mark.parametrize("angle", ["0", "180", "200", "-90", "flat", "1/2"])
def test_an_angle_that_is_no_vee_is_pointed_at(angle: str) -> None:
    with pytest.raises(BadPhrase, match="more than 0 and less than 180") as caught:
        read_phrase(f"vee 2 thru 1/4 at {angle}", IN)
    assert caught.value.text[caught.value.start : caught.value.end] == angle


def test_an_angle_must_follow_at() -> None:
    with pytest.raises(BadPhrase, match="included angle, the phrase ends here"):
        read_phrase("vee 2 thru 1/4 at", IN)


@given(opening=st.integers(1, 640), angle=st.integers(1, 1799))
def test_a_phrase_reads_back_equal_in_both_systems(opening: int, angle: int) -> None:
    ask = read_phrase(f"vee {opening / 64}in thru 1/4in A36 at {angle / 10}", IN)
    assert read_phrase(ask.phrase("in"), IN) == ask
    assert read_phrase(ask.phrase("mm"), MM) == ask


def test_inch_and_metric_phrases_get_the_same_answer() -> None:
    inch, metric = asked("vee 2 thru 1/4 A36"), read_phrase("vee 50.8 thru 6.35 A36", MM)
    assert inch == metric
    told = [
        [(one.rule, one.verdict, one.value) for one in says(ask, FOUR, STATION, rules=rules)]
        for ask, rules in ((inch, INCH_RULES), (metric, METRIC_RULES))
    ]
    assert told[0] == told[1]


def test_the_cut_is_its_two_legs() -> None:
    """2 wide at 90 degrees: two legs of sqrt 2, 2.83 in x 1/4 x 25.46 = 18.0 US tons."""
    figures = vee(2).answers(INCH_RULES, FACTS).figures(at(FOUR, STATION))
    assert figures["cut_mm"] == pytest.approx(2 * sqrt(2) * INCH)
    assert figures["force_kn"] * 1000 / N_PER_US_TON == pytest.approx(18.0, abs=0.05)
    assert vee(2).depth_mm == pytest.approx(1 * INCH)
    assert vee(2, angle_deg=60).depth_mm == pytest.approx(sqrt(3) * INCH)


@pytest.mark.parametrize(("opening", "refused"), [(1.0, False), (4.0, False), (4.01, True)])
def test_a_set_takes_any_opening_up_to_its_own(opening: float, refused: bool) -> None:
    said = only(says(vee(opening), FOUR, STATION), "size")
    assert (said.verdict == "refuse") is refused
    assert said.limit == pytest.approx(4 * INCH)


@pytest.mark.parametrize(("angle_deg", "refused"), [(90, False), (89, True), (60, True)])
def test_the_angle_is_the_sets_own(angle_deg: float, refused: bool) -> None:
    said = only(says(vee(2, angle_deg=angle_deg), FOUR, STATION), "angle")
    assert (said.verdict == "refuse") is refused
    assert (said.value, said.limit) == (90, angle_deg)


def test_a_set_without_an_angle_says_what_to_enter() -> None:
    said = only(says(vee(2), set_of("vee", 4, angle_deg=None), STATION), "angle")
    assert said.verdict == "refuse"
    assert "enter it" in said.text


@pytest.mark.parametrize(("depth", "refused"), [(1.0, False), (0.9, True)])
def test_a_set_of_less_depth_is_refused_with_the_figure(depth: float, refused: bool) -> None:
    shallow = set_of("vee", 4, depth)
    assert ("depth" in stops(vee(2), shallow, STATION)) is refused


@pytest.mark.parametrize(
    ("opening", "thickness", "refused"),
    [(4, 1 / 8, False), (2, 1 / 4, False), (2.1, 1 / 4, True), (4, 0.13, True)],
)
def test_the_list_is_a_staircase(opening: float, thickness: float, refused: bool) -> None:
    assert ("envelope" in stops(vee(opening, thickness), FOUR, STATION)) is refused


@given(
    opening=st.floats(0.1, 6),
    wider=st.floats(0, 4),
    thickness=st.floats(0.05, 0.6),
    thicker=st.floats(0, 0.5),
    rated=st.one_of(st.none(), st.floats(1e4, 1e6)),
    listed=st.booleans(),
)
def test_a_larger_vee_never_turns_a_refusal_into_a_pick(
    opening: float,
    wider: float,
    thickness: float,
    thicker: float,
    rated: float | None,
    listed: bool,
) -> None:
    where = notcher(rated, envelope=STATION.envelope if listed else ())
    small, large = vee(opening, thickness), vee(opening + wider, thickness + thicker)
    assert stops(small, FOUR, where) <= stops(large, FOUR, where)
    assert vee(5).answers(INCH_RULES, FACTS).several_hits.plans([FOUR]) == ()


def test_the_picture_shows_the_edge_the_vee_and_the_set() -> None:
    drawn = vee(2).answers(INCH_RULES, FACTS).picture(at(FOUR, STATION), None)
    styles = [shape.style for shape in drawn.shapes if isinstance(shape, Line)]
    assert styles == ["outline", "cut", "tool", "centre"]
    assert [shape.text for shape in drawn.shapes if isinstance(shape, Label)] == ["90°"]


def test_the_example_is_right() -> None:
    assert isinstance(asked(EXAMPLE), Vee)
