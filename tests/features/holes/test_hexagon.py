"""A hexagonal hole by its size across flats."""

from __future__ import annotations

from math import sqrt

import pytest

from crib.features.holes.hexagon import EXAMPLE, Hexagon
from crib.features.registry import read_phrase
from tests.features.bench import FACTS, IN, METRIC_RULES, MM, mounted, only, tool


@pytest.mark.parametrize("word", ["hexagon", "hex", "HEX"])
def test_the_size_is_across_flats(word: str) -> None:
    ask = read_phrase(EXAMPLE.replace("hexagon", word), IN)
    assert isinstance(ask, Hexagon)
    assert (ask.outline.shape, ask.outline.width_mm) == ("hexagon", 15.875)
    assert ask.phrase("in") == "hexagon 5/8 thru 10ga A36"


def test_force_and_corners_go_by_the_flats() -> None:
    ask = read_phrase("hexagon 20 thru 10 S275", MM)
    figures = ask.answers(METRIC_RULES, FACTS).figures(mounted())
    assert figures["force_kn"] == pytest.approx(3.464 * 20 * 10 * 0.351, rel=0.001)
    punch = tool("punch", 20.0, shape="hexagon", key_angles=(0,))
    body = only(ask.answers(METRIC_RULES, FACTS).judge(mounted(punch)), "body")
    assert body.value == pytest.approx(2 / sqrt(3) * 20)
