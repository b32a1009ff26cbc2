"""A rectangular hole: two sides in any order, clearance on both of them."""

from __future__ import annotations

import pytest

from crib.features.holes.rectangle import EXAMPLE, Rectangle
from crib.features.registry import read_phrase
from tests.features.bench import FACTS, IN, METRIC_RULES, MM, mounted


@pytest.mark.parametrize(
    "text",
    [EXAMPLE, "rectangle 1/2 x 1 thru 1/4", "rect 1x1/2 thru 1/4", "rectangle 1in×.5in thru .25"],
)
def test_which_side_is_named_first_does_not_matter(text: str) -> None:
    ask = read_phrase(text, IN)
    assert isinstance(ask, Rectangle)
    assert (ask.outline.width_mm, ask.outline.length_mm) == (12.7, 25.4)
    assert ask.phrase("in") == "rectangle 1/2 x 1 thru 1/4 A36"
    assert ask.as_json()["length_mm"] == 25.4


@pytest.mark.parametrize("sides", ["1 x 1", "1in x 25.4mm", "3/4 x .75"])
def test_equal_sides_are_a_square(sides: str) -> None:
    ask = read_phrase(f"rectangle {sides} thru 1/4", IN)
    one_side = sides.split(" x ")[0].removesuffix("in")
    assert ask == read_phrase(f"square {one_side} thru 1/4", IN)
    assert ask.phrase("in") == f"square {one_side} thru 1/4 A36"


def test_force_goes_by_the_whole_perimeter() -> None:
    ask = read_phrase("rectangle 20 x 40 thru 10 S275", MM)
    figures = ask.answers(METRIC_RULES, FACTS).figures(mounted())
    assert figures["force_kn"] == pytest.approx(2 * (20 + 40) * 10 * 0.351, rel=0.001)


def test_both_sizes_have_their_range() -> None:
    punch, die = read_phrase("rectangle 20 x 40 thru 10", MM).answers(METRIC_RULES, FACTS).needs()
    assert punch.least_long_mm == pytest.approx(39.95)
    assert punch.most_long_mm == pytest.approx(40.05)
    assert die.most_long_mm == pytest.approx(40 + 4 + 0.05)
    assert die.most_width_mm == pytest.approx(20 + 4 + 0.05)
