"""Rounded corners: how a phrase says them, and which tool leaves them."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from crib.errors import BadPhrase
from crib.features.common.ask import Answers
from crib.features.common.case import Circumstances
from crib.features.common.findings import refusals
from crib.features.common.order_text import order_text
from crib.features.common.phrase import Words
from crib.features.common.speech import Speech
from crib.features.common.tool_match import does_for, limits_of
from crib.features.common.tool_spec import spec_of_tool
from crib.features.registry import read_phrase
from tests.features.bench import IN, INCH_RULES, MM, SEAT_A, mounted, shaped, station, tool

FACTS = Circumstances()
TOLERANCE_MM = 0.4
radii = st.floats(min_value=0.0, max_value=4.9).map(lambda mm: round(mm, 2))


def answers(phrase: str, reading: Any = MM) -> Answers[Any, Any]:
    """What there is to say of a phrase."""
    return read_phrase(phrase, reading).answers(reading.rules, FACTS)


def corners(found: Any) -> list[str]:
    """The verdicts on corners."""
    return [one.verdict for one in found if one.rule == "corner radius"]


def rounded(radius_mm: float) -> str:
    return f" radius {radius_mm:g}mm" if radius_mm else ""


@pytest.mark.parametrize(
    ("said", "canonical"),
    [
        ("square 1/2 radius 1/8 thru 1/4 A36", "square 1/2 radius 1/8 thru 1/4 A36"),
        ("square 1/2 thru 1/4 A36 r 1/8", "square 1/2 radius 1/8 thru 1/4 A36"),
        ("rectangle 2 x 1 rad 1/8 thru 1/4 A36", "rectangle 1 x 2 radius 1/8 thru 1/4 A36"),
        ("rectangle 1 x 1 radius 1/8 thru 1/4 A36", "square 1 radius 1/8 thru 1/4 A36"),
        ("notch 2 x 3 radius 1/4 thru 1/4 A36", "notch 2 x 3 radius 1/4 thru 1/4 A36"),
        ("corner 2 x 3 radius 5mm thru 1/4 A36", "corner 2 x 3 radius 5mm thru 1/4 A36"),
        ("vee 2 radius 1/8 thru 1/4 at 60", "vee 2 radius 1/8 thru 1/4 A36 at 60"),
    ],
)
def test_a_radius_is_read_and_written_the_one_way(said: str, canonical: str) -> None:
    ask = read_phrase(said, IN)
    assert ask.phrase("in") == canonical
    assert read_phrase(canonical, IN).phrase("in") == canonical
    assert ask.as_json()["corner_radius_mm"] > 0


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ("hole 1/2 radius 1/8 thru 1/4", "for the corners of a square or rectangle"),
        ("slot 1/2 x 2 radius 1/8 thru 1/4", "for the corners of a square or rectangle"),
        ("square 1/2 radius 3/8 thru 1/4", "at most 1/4 in"),
        ("square 1/2 radius 1/4 thru 1/4", "make a slot, or a round hole"),
        ("square 1/2 radius thru 1/4", "expected the radius"),
        ("square 1/2 radius 1/8 radius 1/8 thru 1/4", "cannot place 'radius'|expected 'thru'"),
        ("notch 2 x 3 radius 1-1/4 thru 1/4", "at most 1 in"),
        ("corner 2 x 3 radius 2-1/2 thru 1/4", "at most 2 in"),
        ("vee 2 radius 3 thru 1/4", "at most"),
    ],
)
def test_a_radius_that_cannot_be_is_pointed_at(said: str, words: str) -> None:
    with pytest.raises(BadPhrase, match=words):
        read_phrase(said, IN)


@given(wanted=radii, own=radii, die_more=st.floats(min_value=-3.0, max_value=3.0))
@settings(max_examples=60, deadline=None)
def test_a_pair_serves_only_the_corners_it_leaves(
    wanted: float, own: float, die_more: float
) -> None:
    """Whatever punch and die: none passes whose radius is further off than the tolerance."""
    assume(abs(abs(wanted - own) - TOLERANCE_MM) > 1e-6)
    asked = answers(f"rectangle 10mm x 20mm{rounded(wanted)} thru 5mm S275")
    punch = shaped("punch", 10.0, 20.0, corner_radius_mm=own or None)
    die_mm = max(own + 0.25 + die_more, 0.0)
    die = shaped("die", 10.5, 20.5, corner_radius_mm=die_mm or None)
    alone = corners(asked.judge(mounted(punch)))
    assert ("refuse" in alone) == (abs(wanted - own) > TOLERANCE_MM)
    assert bool(alone) == bool(wanted or own)
    pair = corners(asked.judge(mounted(punch, die)))
    corner_gap_mm = 0.25 * 2**0.5 - (min(die_mm, 5.25) - own) * (2**0.5 - 1)
    if "refuse" not in pair:
        assert corner_gap_mm >= 0.125 - 1e-6
        assert own - min(die_mm, 5.25) <= TOLERANCE_MM + 1e-6


@given(wanted=radii, own=radii, phrase=st.sampled_from(["notch 40mm x 30mm", "corner 40mm x 30mm"]))
@settings(max_examples=40, deadline=None)
def test_a_set_serves_only_the_inner_corners_it_leaves(
    wanted: float, own: float, phrase: str
) -> None:
    assume(abs(abs(wanted - own) - TOLERANCE_MM) > 1e-6)
    profile = phrase.split()[0]
    asked = answers(f"{phrase}{rounded(wanted)} thru 5mm S275")
    made = tool("set", 40.0, shape="rectangle", profile=profile, depth_mm=30.0)
    made = replace(made, corner_radius_mm=own or None)
    found = corners(asked.judge(mounted(made, at=station(work=asked.ask.work))))
    assert ("refuse" in found) == (abs(wanted - own) > TOLERANCE_MM)
    assert bool(found) == bool(wanted or own)


@pytest.mark.parametrize(
    "phrase",
    [
        "rectangle 10mm x 40mm radius 2mm thru 5mm S275",
        "notch 40mm x 30mm radius 3mm thru 5mm S275",
        "corner 40mm x 30mm radius 3mm thru 5mm S275",
    ],
)
def test_no_rounded_opening_is_made_by_hits_of_smaller_tools(phrase: str) -> None:
    assert answers(phrase).several_hits.needs() == ()
    sharp = phrase.replace(" radius 2mm", "").replace(" radius 3mm", "")
    assert answers(sharp).several_hits.needs() != ()


@pytest.mark.parametrize(
    "phrase",
    [
        "square 1/2 radius 1/8 thru 1/4 A36",
        "rectangle 1/2 x 1 radius 1/8 thru 1/4 A36",
        "notch 2 x 3 radius 1/4 thru 1/4 A36",
        "corner 2 x 3 radius 1/4 thru 1/4 A36",
        "vee 2 radius 1/8 thru 1/4 A36",
    ],
)
def test_what_is_ordered_has_the_radius_and_no_sharp_tool_does_for_it(phrase: str) -> None:
    asked = answers(phrase, IN)
    role = asked.needs()[0].role
    ideal = asked.ideal(SEAT_A, role, {})
    assert ideal is not None
    assert "refuse" not in corners(asked.judge(mounted(ideal)))
    spec = spec_of_tool(ideal)
    assert "corners of radius 1/" in order_text(spec, Speech(INCH_RULES))
    limits = limits_of(INCH_RULES)
    assert does_for(spec, spec, limits)
    sharp = replace(spec, corner_radius_mm=None)
    assert not does_for(sharp, spec, limits)
    assert not does_for(spec, sharp, limits)


def test_the_die_keeps_the_gap_all_round_a_rounded_punch() -> None:
    asked = answers("square 1/2 radius 1/8 thru 1/4 A36", IN)
    punch = asked.ideal(SEAT_A, "punch", {})
    assert punch is not None
    die = asked.ideal(SEAT_A, "die", {"punch": punch})
    assert die is not None
    assert die.corner_mm - punch.corner_mm == pytest.approx((die.width_mm - punch.width_mm) / 2)
    assert refusals(asked.judge(mounted(punch, die))) == []


@pytest.mark.parametrize(
    ("phrase", "told", "instead"),
    [
        (
            "rectangle 1 x 2 radius 1/4 thru 1/4 A36",
            "drill its four corners 1/2 in first, then punch it crosswise: 1 x 1-1/2 and 1/2 x 2",
            "rectangle 1 x 1-1/2 thru 1/4 A36",
        ),
        (
            "notch 2 x 3 radius 1/4 thru 1/4 A36",
            "drill both inner corners 1/2 in first, then cut 2 x 2-3/4 and 1-1/2 x 3",
            "notch 2 x 2-3/4 thru 1/4 A36",
        ),
        (
            "corner 2 x 3 radius 1/4 thru 1/4 A36",
            "drill the inner corner 1/2 in first, then cut 2 x 2-3/4 and 1-3/4 x 3",
            "corner 2 x 2-3/4 thru 1/4 A36",
        ),
    ],
)
def test_instead_the_corners_are_drilled_first(phrase: str, told: str, instead: str) -> None:
    """The two openings and the drilled rounds together are the rounded opening, by geometry."""
    ways = answers(phrase, IN).workarounds(frozenset({"corner radius"}))
    (way,) = [one for one in ways if told in one.text]
    assert way.ask == instead
    assert Words(instead).text == instead
    assert read_phrase(instead, IN).phrase("in") == instead


def test_a_sharp_ask_says_nothing_of_corners() -> None:
    """Neither its JSON nor its findings have a word of what it has not."""
    ask = read_phrase("square 1/2 thru 1/4 A36", IN)
    assert "corner_radius_mm" not in ask.as_json()
    asked = ask.answers(INCH_RULES, FACTS)
    sharp = shaped("punch", 12.7, 12.7, shape="square"), shaped("die", 13.5, 13.5, shape="square")
    assert corners(asked.judge(mounted(*sharp))) == []
