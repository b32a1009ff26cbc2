"""A picket's pointed end: its phrase, its set, its picture."""

from __future__ import annotations

from dataclasses import replace

import pytest

from crib.errors import BadPhrase
from crib.features.cuts.point import Point
from crib.features.registry import read_phrase
from tests.features.bench import FACTS, IN, INCH_RULES, MM, SEAT_A, mm, mounted, station


def read(text: str) -> Point:
    ask = read_phrase(text, IN)
    assert isinstance(ask, Point)
    return ask


@pytest.mark.parametrize(
    ("text", "inch", "metric"),
    [
        ("point 3/4", "point 3/4 A36", "point 19.05mm A36"),
        ("point square 3/4 A36", "point 3/4 A36", None),
        ("picket round 5/8", "point round 5/8 A36", None),
        ("point 16mm S275", None, "point 16mm S275"),
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
        assert isinstance(again, Point)
        assert replace(again, plate=replace(again.plate, assumed=ask.plate.assumed)) == ask


@pytest.mark.parametrize(
    ("text", "at", "why"),
    [
        ("point", "", "expected the bar's size"),
        ("point tube 1", "tube", "the bar's size"),
        ("point 3/4 x 1", "x 1", "unknown material"),
        ("point 3/4 A63", "A63", "unknown material"),
    ],
)
def test_an_end_that_cannot_be_read_is_pointed_at(text: str, at: str, why: str) -> None:
    with pytest.raises(BadPhrase, match=why) as caught:
        read_phrase(text, IN)
    assert caught.value.text[caught.value.start : caught.value.end] == at


def test_it_needs_a_set_of_exactly_the_bar() -> None:
    ask = read("point round 5/8")
    (need,) = ask.answers(INCH_RULES, FACTS).needs()
    assert (need.role, need.shape, need.profile) == ("set", "round", "picket")
    assert (need.least_width_mm, need.most_width_mm) == pytest.approx(
        (mm("5/8") - 0.05, mm("5/8") + 0.05)
    )
    made = ask.answers(INCH_RULES, FACTS).ideal(SEAT_A, "set", {})
    assert made is not None
    assert (made.shape, made.width_mm, made.profile) == ("round", mm("5/8"), "picket")
    assert ask.answers(INCH_RULES, FACTS).ideal(SEAT_A, "die", {}) is None


@pytest.mark.parametrize("text", ["point 3/4", "point round 5/8"])
def test_the_picture_shows_the_end_and_the_turn(text: str) -> None:
    made = read(text).answers(INCH_RULES, FACTS).picture(mounted(at=station()), None)
    assert "Ironworker 1" in made.title
    assert len(made.shapes) == 5


def test_the_bar_for_programs() -> None:
    assert read("point 3/4").as_json() == {
        "feature": "point",
        "shape": "square",
        "size_mm": 19.05,
        "thickness_mm": 19.05,
        "material": "A36",
        "material_assumed": True,
    }
