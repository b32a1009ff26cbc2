"""A notch in an edge: its width is the set's, its depth the gauge's, several hits when wider."""

from __future__ import annotations

from math import ceil

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import box

from crib.errors import BadPhrase
from crib.features.common.ask import HitPlan
from crib.features.common.case import Circumstances
from crib.features.common.findings import cautions, refusals
from crib.features.common.picture import Dimension, Label, Line
from crib.features.edges.notch import EXAMPLE, Notch
from crib.features.registry import read_phrase
from crib.units import N_PER_US_TON, mm_from_inches
from tests.features.bench import FACTS, IN, INCH, INCH_RULES, METRIC_RULES, MM, only, plate
from tests.features.sets import asked, at, covered, notcher, rows, says, set_of, stops

STATION = notcher(None, (6, 5 / 16))
FOUR = set_of("notch", 4, 4, envelope=rows("notch", (4, 5 / 16)))


def notch(width: float, depth: float, thickness: float = 0.25, material: str = "A36") -> Notch:
    return Notch(plate(thickness * INCH, material), width * INCH, depth * INCH)


def plans(ask: Notch, *widths: float, depth: float = 4) -> list[HitPlan]:
    sets = [set_of("notch", width, depth) for width in widths]
    return list(ask.answers(INCH_RULES, FACTS).several_hits.plans(sets))


@pytest.mark.parametrize(
    "text",
    [
        "notch 2 x 3 thru 1/4",
        "notch 2x3 thru 1/4",
        "NOTCH 2 × 3 thru 1/4",
        "notch 2in wide x 3in deep thru 1/4",
        "notch 50.8mm x 76.2mm thru 6.35mm A36",
    ],
)
def test_a_notch_is_width_along_the_edge_by_depth(text: str) -> None:
    ask = read_phrase(text, IN)
    assert isinstance(ask, Notch)
    assert (ask.width_mm, ask.depth_mm, ask.plate.thickness_mm) == (50.8, 76.2, 6.35)
    assert ask.phrase("in") == "notch 2 x 3 thru 1/4 A36"
    assert ask.as_json()["size_mm"] == 50.8
    assert ask.as_json()["depth_mm"] == 76.2


def test_which_size_comes_first_matters() -> None:
    deep, wide = asked("notch 2 x 3 thru 1/4"), asked("notch 3 x 2 thru 1/4")
    assert deep != wide


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("notch thru 1/4", "thru"),
        ("notch 2 thru 1/4", "thru"),
        ("notch 2 x thru 1/4", "thru"),
        ("notch 2 x 0 thru 1/4", "0"),
        ("notch 2 x 3", ""),
        ("notch 2 x 3 thru 1/4 A36 sideways", "sideways"),
    ],
)
def test_an_error_points_at_the_word(text: str, word: str) -> None:
    with pytest.raises(BadPhrase, match=r"expected|cannot|must|not") as caught:
        read_phrase(text, IN)
    assert caught.value.text[caught.value.start : caught.value.end] == word
    assert caught.value.way_out


@given(
    width=st.integers(1, 640), depth=st.integers(1, 640), thickness=st.sampled_from(["1/4", "10ga"])
)
def test_a_phrase_reads_back_equal_in_both_systems(width: int, depth: int, thickness: str) -> None:
    ask = read_phrase(f"notch {width / 64}in x {depth / 64}in thru {thickness} A36", IN)
    assert read_phrase(ask.phrase("in"), IN) == ask
    assert read_phrase(ask.phrase("mm"), MM) == ask


def test_inch_and_metric_phrases_get_the_same_answer() -> None:
    inch = asked("notch 4 x 3 thru 1/4 A36")
    metric = read_phrase("notch 101.6 x 76.2 thru 6.35 A36", MM)
    assert inch == metric
    verdicts = [
        [(one.rule, one.verdict, one.value, one.limit) for one in says(ask, FOUR, STATION, rules=r)]
        for ask, r in ((inch, INCH_RULES), (metric, METRIC_RULES))
    ]
    assert verdicts[0] == verdicts[1]


@pytest.mark.parametrize(
    ("width_mm", "refused"),
    [(101.6 - 0.06, True), (101.6 - 0.05, False), (101.6, False), (101.65, False), (101.66, True)],
)
def test_the_set_is_as_wide_as_the_notch(width_mm: float, refused: bool) -> None:
    ask = Notch(plate(6.35), width_mm, 76.2)
    assert ("size" in stops(ask, FOUR, STATION)) is refused


@pytest.mark.parametrize(("depth", "refused"), [(3.9, False), (4.0, False), (4.1, True)])
def test_the_gauge_sets_any_depth_up_to_the_sets(depth: float, refused: bool) -> None:
    said = only(says(notch(4, depth), FOUR, STATION), "depth")
    assert (said.verdict == "refuse") is refused
    assert said.value == pytest.approx(depth * INCH)
    assert said.limit == pytest.approx(4 * INCH)


def test_a_set_without_a_depth_says_what_to_enter() -> None:
    said = only(says(notch(4, 3), set_of("notch", 4), STATION), "depth")
    assert said.verdict == "refuse"
    assert "enter it" in said.text


def test_the_worked_notch_7_x_3_with_a_4_x_4_set_is_two_hits_3_in_apart() -> None:
    """N = ceil((7 - 4)/(4 - 1/16)) + 1 = 2, bite 3/4; cuts 10 in then 6 in of edge.

    Flat blade: 10 x 1/4 x 25.46 = 63.7 US tons, then 6 x 1/4 x 25.46 = 38.2.
    """
    assert ceil((7 - 4) / (4 - 1 / 16)) + 1 == 2
    (plan,) = plans(notch(7, 3), 4)
    first, second = plan.hits
    assert (first.kind, second.kind) == ("full", "chain")
    assert second.x_mm - first.x_mm == pytest.approx(mm_from_inches(3))
    assert (first.bite, second.bite) == pytest.approx((1.0, 0.75))
    assert "cuts 10 in, then 6 in of edge" in plan.text
    assert "63.7 US tons, then 38.2 US tons flat-blade equivalent" in plan.text
    assert not refusals(plan.findings)
    assert not cautions(plan.findings)
    assert plan.asks == (notch(4, 3),)


def test_the_cut_of_a_full_hit_is_the_bottom_and_both_sides() -> None:
    figures = notch(4, 3).answers(INCH_RULES, FACTS).figures(at(FOUR, STATION))
    assert figures["cut_mm"] == pytest.approx(10 * INCH)
    assert figures["force_kn"] * 1000 / N_PER_US_TON == pytest.approx(63.66, abs=0.01)
    assert "load" not in figures


@pytest.mark.parametrize(
    ("width", "verdict"),
    [
        (6.39, "refuse"),
        (6.4, "caution"),
        (6.99, "caution"),
        (7.0, "ok"),
        (7.9, "ok"),
    ],
)
def test_a_bite_of_60_and_75_percent_are_the_limits(width: float, verdict: str) -> None:
    (plan,) = plans(notch(width, 3), 4)
    assert only(plan.findings, "chain bite").verdict == verdict


def test_a_wide_notch_is_cut_at_both_ends_first_and_bridged_last() -> None:
    """11 with 4: both ends whole, 3 in stands between them, and the bridge bites 75 %."""
    (plan,) = plans(notch(11, 3), 4)
    assert [hit.kind for hit in plan.hits] == ["full", "full", "bridge"]
    assert [round(hit.x_mm / INCH, 3) for hit in plan.hits] == [-3.5, 3.5, 0.0]
    assert plan.hits[2].bite == pytest.approx(0.75)
    assert only(plan.findings, "web").verdict == "ok"
    assert "whole hits first, bridges last" in plan.text
    assert "cuts 2 x 10 in, then 3 in of edge" in plan.text


def test_a_bridge_that_would_be_too_small_gives_way_to_chain_hits() -> None:
    """9 with 4 would leave a bridge of 1 in (25 %); three hits of 2-1/2 in bite 62 %."""
    (plan,) = plans(notch(9, 3), 4)
    assert [hit.kind for hit in plan.hits] == ["full", "chain", "chain"]
    assert plan.hits[1].bite == pytest.approx(0.625)
    assert [finding.rule for finding in cautions(plan.findings)] == ["chain bite"]


def test_the_set_with_the_best_bites_comes_first() -> None:
    widths = [plan.asks[0] for plan in plans(notch(7, 3), 4, 4.5, 6)]
    assert [round(ask.width_mm / INCH, 6) for ask in widths if isinstance(ask, Notch)] == [
        4,
        4.5,
        6,
    ]


def test_a_set_too_narrow_to_be_a_plan_is_left_to_the_saw() -> None:
    assert plans(notch(24, 3), 1) == []
    assert plans(notch(4, 3), 4, 6) == []


@given(
    width_mm=st.floats(20, 800),
    tool_share=st.floats(0.15, 0.99),
    depth_mm=st.floats(5, 100),
    thickness_mm=st.floats(1, 12),
)
def test_the_hits_of_a_plan_cut_the_notch_and_nothing_else(
    width_mm: float, tool_share: float, depth_mm: float, thickness_mm: float
) -> None:
    tool_mm = width_mm * tool_share
    ask = Notch(plate(thickness_mm), width_mm, depth_mm)
    sets = [set_of("notch", tool_mm / INCH, 4)]
    for plan in ask.answers(INCH_RULES, FACTS).several_hits.plans(sets):
        union = covered(plan.hits, tool_mm, depth_mm, middle_y_mm=depth_mm / 2)
        whole = box(-width_mm / 2, -depth_mm / 2, width_mm / 2, depth_mm / 2)
        assert union.symmetric_difference(whole).area < 1e-6 * whole.area
        assert sum(hit.bite for hit in plan.hits) * tool_mm == pytest.approx(width_mm)


@given(width_mm=st.floats(20, 800), tool_share=st.floats(0.15, 0.99))
def test_a_mirrored_notch_gives_the_mirrored_plan(width_mm: float, tool_share: float) -> None:
    ask = Notch(plate(6.35), width_mm, 50.0)
    for plan in ask.answers(INCH_RULES, FACTS).several_hits.plans(
        [set_of("notch", width_mm * tool_share / INCH, 4)]
    ):
        places = sorted(hit.x_mm for hit in plan.hits)
        mirrored = sorted(-hit.x_mm for hit in plan.hits)
        assert places == pytest.approx(mirrored, abs=1e-6)


@given(
    depth=st.floats(0.1, 6),
    thickness=st.floats(0.05, 0.6),
    deeper=st.floats(0, 4),
    thicker=st.floats(0, 0.5),
    rated=st.one_of(st.none(), st.floats(1e4, 1e6)),
    listed=st.booleans(),
)
def test_a_deeper_notch_in_a_thicker_plate_never_turns_a_refusal_into_a_pick(
    depth: float,
    thickness: float,
    deeper: float,
    thicker: float,
    rated: float | None,
    listed: bool,
) -> None:
    where = notcher(rated, *([(4, 0.25)] if listed else []))
    small, large = notch(4, depth, thickness), notch(4, depth + deeper, thickness + thicker)
    assert stops(small, FOUR, where) <= stops(large, FOUR, where)


@given(width=st.floats(4.1, 40), thickness=st.floats(0.05, 0.6), thicker=st.floats(0, 0.5))
def test_a_thicker_plate_never_frees_a_refused_plan(
    width: float, thickness: float, thicker: float
) -> None:
    for thin, thick in zip(
        plans(notch(width, 3, thickness), 4),
        plans(notch(width, 3, thickness + thicker), 4),
        strict=True,
    ):
        assert len(refusals(thick.findings)) >= len(refusals(thin.findings))


def test_sharp_inner_corners_are_a_note_and_a_caution_under_the_code() -> None:
    note = only(says(notch(4, 3), FOUR, STATION), "corners")
    assert (note.verdict, "M2.2" in note.source) == ("ok", True)
    for facts in (Circumstances(code="AISC 360"), Circumstances(dynamic=True)):
        said = only(says(notch(4, 3), FOUR, STATION, facts=facts), "corners")
        assert said.verdict == "caution"


def test_the_picture_shows_the_edge_the_notch_and_each_hit() -> None:
    ask = notch(7, 3)
    (plan,) = plans(ask, 4)
    drawn = ask.answers(INCH_RULES, FACTS).picture(at(FOUR, STATION), plan)
    tools = [shape for shape in drawn.shapes if isinstance(shape, Line) and shape.style == "tool"]
    assert len(tools) == 2
    assert {shape.text for shape in drawn.shapes if isinstance(shape, Label)} == {
        "1: 100 %",
        "2: 75 %",
    }
    told = {shape.text for shape in drawn.shapes if isinstance(shape, Dimension)}
    assert told == {"7 in", "3 in"}
    assert plan.text in drawn.notes
    alone = notch(4, 3).answers(INCH_RULES, FACTS).picture(at(FOUR, STATION), None)
    assert len([one for one in alone.shapes if isinstance(one, Line)]) == 3


def test_the_example_is_right() -> None:
    assert isinstance(asked(EXAMPLE), Notch)
