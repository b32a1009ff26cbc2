"""A slot with round ends: width by overall length, one hit."""

from __future__ import annotations

from math import pi

import pytest

from crib.errors import BadPhrase
from crib.features.holes.slot import EXAMPLE, Slot
from crib.features.registry import read_phrase
from tests.features.bench import FACTS, IN, METRIC_RULES, MM, mm, mounted


@pytest.mark.parametrize(
    "text",
    [EXAMPLE, "obround 2 x 13/16 thru 3/8", "slot 13/16x2 thru 3/8", "slot 13/16×2 thru 3/8"],
)
def test_the_length_is_overall_and_the_smaller_size_is_the_width(text: str) -> None:
    ask = read_phrase(text, IN)
    assert isinstance(ask, Slot)
    assert ask.outline.shape == "obround"
    assert (ask.outline.width_mm, ask.outline.length_mm) == (mm("13/16"), 50.8)
    assert ask.phrase("in") == "slot 13/16 x 2 thru 3/8 A36"


def test_a_slot_as_long_as_wide_is_sent_to_a_hole() -> None:
    with pytest.raises(BadPhrase, match="round hole") as caught:
        read_phrase("slot 1 x 1 thru 3/8", IN)
    assert str(caught.value.way_out).startswith("right: hole")


def test_a_22_by_50_slot_in_10_mm_s275_takes_439_kn() -> None:
    ask = read_phrase("slot 22 x 50 thru 10 S275", MM)
    figures = ask.answers(METRIC_RULES, FACTS).figures(mounted())
    assert figures["force_kn"] == pytest.approx((2 * 28 + pi * 22) * 10 * 0.351, rel=0.001)
    assert figures["force_kn"] == pytest.approx(439, abs=0.5)


def test_a_slot_is_never_reamed_from_a_smaller_one() -> None:
    ways = read_phrase(EXAMPLE, IN).answers(METRIC_RULES, FACTS).workarounds(frozenset({"method"}))
    assert all(way.ask is None for way in ways)


@pytest.mark.parametrize("text", ["slot 22 x 50 thru 12 ream", "bolt M20 short slot thru 12 ream"])
def test_a_slot_is_not_reamed(text: str) -> None:
    with pytest.raises(BadPhrase, match="'ream' is for a round hole, and this is obround"):
        read_phrase(text, MM)
