"""A corner off a plate: any size up to the set's in one hit, larger ones hit by hit in L order."""

from __future__ import annotations

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from shapely import box

from crib.features.common.ask import HitPlan
from crib.features.common.findings import refusals
from crib.features.common.picture import Label, Line
from crib.features.common.tooling import Station
from crib.features.edges.corner import EXAMPLE, Corner
from crib.features.registry import read_phrase
from tests.features.bench import FACTS, IN, INCH, INCH_RULES, METRIC_RULES, MM, only, plate
from tests.features.sets import asked, at, covered, notcher, rows, says, set_of, stops

# Common practice, no source: a corner set takes its whole size in thin plate, less in thick.
SIX = set_of("corner", 6, 6, envelope=rows("corner", (6, 1 / 8), (3, 1 / 4)))
STATION = notcher()


def corner(width: float, depth: float, thickness: float = 0.25) -> Corner:
    return Corner(plate(thickness * INCH), width * INCH, depth * INCH)


def plans(ask: Corner, *sizes: tuple[float, float]) -> list[HitPlan]:
    sets = [set_of("corner", width, depth) for width, depth in sizes]
    return list(ask.answers(INCH_RULES, FACTS).several_hits.plans(sets))


def served(ask: Corner, where: Station) -> bool:
    """Whether the set makes it, in one hit or in several."""
    if not stops(ask, SIX, where):
        return True
    good = [
        one
        for one in ask.answers(INCH_RULES, FACTS).several_hits.plans([SIX])
        if not refusals(one.findings)
    ]
    return any(not stops(one.asks[0], SIX, where) for one in good)


@pytest.mark.parametrize(
    "text",
    ["corner 3 x 2 thru 1/4", "corner 3x2 thru 1/4", "CORNER 3in × 50.8mm thru 1/4 A36"],
)
def test_a_corner_is_along_one_edge_by_along_the_other(text: str) -> None:
    ask = read_phrase(text, IN)
    assert isinstance(ask, Corner)
    assert (ask.width_mm, ask.depth_mm) == (76.2, 50.8)
    assert ask.phrase("in") == "corner 3 x 2 thru 1/4 A36"


@given(width=st.integers(1, 640), depth=st.integers(1, 640))
def test_a_phrase_reads_back_equal_in_both_systems(width: int, depth: int) -> None:
    ask = read_phrase(f"corner {width / 64}in x {depth / 64}in thru 1/4in A36", IN)
    assert read_phrase(ask.phrase("in"), IN) == ask
    assert read_phrase(ask.phrase("mm"), MM) == ask


def test_inch_and_metric_phrases_get_the_same_answer() -> None:
    inch, metric = (
        asked("corner 3 x 3 thru 1/4 A36"),
        read_phrase("corner 76.2 x 76.2 thru 6.35 A36", MM),
    )
    assert inch == metric
    told = [
        [(one.rule, one.verdict, one.value) for one in says(ask, SIX, STATION, rules=rules)]
        for ask, rules in ((inch, INCH_RULES), (metric, METRIC_RULES))
    ]
    assert told[0] == told[1]


@pytest.mark.parametrize(
    ("width", "depth", "thickness", "refused"),
    [
        (6, 6, 1 / 8, False),
        (3, 3, 1 / 4, False),
        (3.1, 3, 1 / 4, True),
        (3, 3.1, 1 / 4, True),
        (6, 6, 0.13, True),
        (3, 3, 0.26, True),
    ],
)
def test_a_set_takes_6_x_6_in_one_eighth_but_3_x_3_in_a_quarter(
    width: float, depth: float, thickness: float, refused: bool
) -> None:
    """Common practice, no source: the list is read in steps, never between two points."""
    assert ("envelope" in stops(corner(width, depth, thickness), SIX, STATION)) is refused


@pytest.mark.parametrize(
    ("width", "depth", "refused", "turned"),
    [
        (1, 1, False, False),
        (4, 2, False, False),
        (2, 4, False, True),
        (4.1, 2, True, False),
        (3, 3, True, False),
    ],
)
def test_a_set_takes_any_corner_up_to_its_own_size_either_way_round(
    width: float, depth: float, refused: bool, turned: bool
) -> None:
    said = only(says(corner(width, depth), set_of("corner", 4, 2), STATION), "size")
    assert (said.verdict == "refuse") is refused
    assert ("face down" in said.text) is turned


def test_a_set_without_a_depth_says_what_to_enter() -> None:
    said = only(says(corner(2, 2), set_of("corner", 4), STATION), "size")
    assert said.verdict == "refuse"
    assert "enter it" in said.text
    assert plans(corner(6, 6)) == []
    assert corner(6, 6).answers(INCH_RULES, FACTS).several_hits.plans([set_of("corner", 4)]) == []


def test_the_cut_is_its_two_inner_sides() -> None:
    figures = corner(3, 2).answers(INCH_RULES, FACTS).figures(at(SIX, STATION))
    assert figures["cut_mm"] == pytest.approx(5 * INCH)


def test_a_corner_6_x_6_with_a_4_x_4_set_is_four_hits_in_l_order() -> None:
    """Even steps of 3 in: each hit cuts 3 x 3 of 4 x 4, 56 %, and 6 in of edge."""
    (plan,) = plans(corner(6, 6), (4, 4))
    assert [(hit.x_mm / INCH, hit.y_mm / INCH) for hit in plan.hits] == [
        pytest.approx((-2, -2)),
        pytest.approx((1, -2)),
        pytest.approx((-2, 1)),
        pytest.approx((1, 1)),
    ]
    assert [hit.bite for hit in plan.hits] == pytest.approx([9 / 16] * 4)
    (one,) = plan.asks
    assert one.phrase("in") == corner(4, 4).phrase("in")
    assert "4 hits of a 4 x 4 in set in L order" in plan.text
    assert "stops along one edge 3 in, 6 in" in plan.text
    assert only(plan.findings, "overlap").value == pytest.approx(INCH)


def test_a_corner_longer_one_way_is_cut_along_that_edge() -> None:
    (plan,) = plans(corner(7, 3), (4, 4))
    assert [hit.x_mm / INCH for hit in plan.hits] == pytest.approx([-2, 1.5])
    assert [hit.bite for hit in plan.hits] == pytest.approx([3.5 * 3 / 16] * 2)


def test_the_set_that_takes_fewest_hits_comes_first_and_too_many_are_no_plan() -> None:
    assert [len(plan.hits) for plan in plans(corner(6, 6), (2.5, 2.5), (4, 4))] == [4, 9]
    assert plans(corner(20, 20), (2, 2)) == []
    (plan,) = plans(corner(3, 8), (8.1, 2))
    assert [hit.turned for hit in plan.hits] == [True, True]


def short_mm(side_mm: float, set_mm: float) -> float:
    """What a set that counts as of a side's size is short of it."""
    short = side_mm - set_mm
    return short if 0 < short <= INCH_RULES.number("size.tolerance_mm") + 1e-6 else 0.0


@given(
    width_mm=st.floats(10, 300),
    depth_mm=st.floats(10, 300),
    set_mm=st.floats(10, 200),
    set_depth_mm=st.floats(10, 200),
)
@example(width_mm=11.0, depth_mm=106.09375, set_mm=10.0, set_depth_mm=106.0625)
def test_the_hits_of_a_plan_cut_the_corner_and_nothing_else(
    width_mm: float, depth_mm: float, set_mm: float, set_depth_mm: float
) -> None:
    """But for what a set may be short of a side and still count as of its size."""
    ask = Corner(plate(6.35), width_mm, depth_mm)
    sets = [set_of("corner", set_mm / INCH, set_depth_mm / INCH)]
    whole = box(-width_mm / 2, -depth_mm / 2, width_mm / 2, depth_mm / 2)
    metal = box(-width_mm / 2, -depth_mm / 2, 1000, 1000)
    for plan in ask.answers(INCH_RULES, FACTS).several_hits.plans(sets):
        one = plan.asks[0]
        assert isinstance(one, Corner)
        union = covered(plan.hits, one.width_mm, one.depth_mm, middle_y_mm=0.0)
        cut = union.intersection(metal)
        left_mm2 = short_mm(width_mm, one.width_mm) * depth_mm
        left_mm2 += short_mm(depth_mm, one.depth_mm) * width_mm
        assert cut.symmetric_difference(whole).area < left_mm2 + 1e-6 * whole.area
        assert cut.difference(whole).area < 1e-6 * whole.area
        assert sum(hit.bite for hit in plan.hits) * set_mm * set_depth_mm == pytest.approx(
            width_mm * depth_mm
        )
        assert not stops(one, sets[0], STATION) & {"size"}


@given(
    corner_mm=st.tuples(st.floats(60, 300), st.floats(60, 300)),
    set_mm=st.tuples(st.floats(30, 200), st.floats(30, 200)),
    other_mm=st.tuples(st.floats(-150, 150), st.floats(-150, 150)),
)
def test_only_a_set_of_the_size_that_the_hits_are_laid_out_for_makes_them(
    corner_mm: tuple[float, float], set_mm: tuple[float, float], other_mm: tuple[float, float]
) -> None:
    """A larger one reaches too, and more of it at one stroke than any list was asked about."""
    ask = Corner(plate(3.0), *corner_mm)
    laid = set_of("corner", *(side / INCH for side in set_mm))
    sides = sorted(max(1.0, side + more) for side, more in zip(set_mm, other_mm, strict=True))
    off_mm = max(abs(one - two) for one, two in zip(sides, sorted(set_mm), strict=True))
    other = set_of("corner", *(side / INCH for side in sides))
    for plan in ask.answers(INCH_RULES, FACTS).several_hits.plans([laid]):
        assert "size" not in stops(plan.asks[0], laid, STATION)
        assert ("size" in stops(plan.asks[0], other, STATION)) is (off_mm > 0.05)


@given(width_mm=st.floats(10, 300), depth_mm=st.floats(10, 300), set_mm=st.floats(10, 200))
def test_a_mirrored_corner_gives_the_mirrored_plan(
    width_mm: float, depth_mm: float, set_mm: float
) -> None:
    sets = [set_of("corner", set_mm / INCH, set_mm / INCH)]
    there = (
        Corner(plate(6.35), width_mm, depth_mm).answers(INCH_RULES, FACTS).several_hits.plans(sets)
    )
    mirrored = (
        Corner(plate(6.35), depth_mm, width_mm).answers(INCH_RULES, FACTS).several_hits.plans(sets)
    )
    places = [sorted((hit.x_mm, hit.y_mm, hit.bite) for hit in plan.hits) for plan in there]
    swapped = [sorted((hit.y_mm, hit.x_mm, hit.bite) for hit in plan.hits) for plan in mirrored]
    assert places == [[pytest.approx(one) for one in plan] for plan in swapped]


@given(
    width=st.floats(0.1, 8),
    depth=st.floats(0.1, 8),
    wider=st.floats(0, 4),
    deeper=st.floats(0, 4),
    thickness=st.floats(0.05, 0.6),
    thicker=st.floats(0, 0.5),
    rated=st.one_of(st.none(), st.floats(1e4, 1e6)),
)
def test_a_larger_corner_never_turns_a_refusal_into_a_pick(
    width: float,
    depth: float,
    wider: float,
    deeper: float,
    thickness: float,
    thicker: float,
    rated: float | None,
) -> None:
    where = notcher(rated)
    small = corner(width, depth, thickness)
    large = corner(width + wider, depth + deeper, thickness + thicker)
    assert stops(small, SIX, where) <= stops(large, SIX, where)
    assert served(small, where) or not served(large, where)


def test_the_picture_shows_the_plate_the_corner_and_each_hit() -> None:
    four = set_of("corner", 4, 4)
    ask = corner(6, 6)
    (plan,) = plans(ask, (4, 4))
    drawn = ask.answers(INCH_RULES, FACTS).picture(at(four, STATION), plan)
    tools = [shape for shape in drawn.shapes if isinstance(shape, Line) and shape.style == "tool"]
    assert len(tools) == 4
    assert len([shape for shape in drawn.shapes if isinstance(shape, Label)]) == 4
    alone = (
        corner(2, 1).answers(INCH_RULES, FACTS).picture(at(set_of("corner", 4, 2), STATION), None)
    )
    (outline,) = [one for one in alone.shapes if isinstance(one, Line) and one.style == "tool"]
    assert outline.points[2] == pytest.approx((2 * INCH, 1 * INCH))
    assert outline.points[0] == pytest.approx((-2 * INCH, -1 * INCH))


def test_the_example_is_right() -> None:
    assert isinstance(asked(EXAMPLE), Corner)
