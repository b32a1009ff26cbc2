"""What is done to a hole later: how a phrase says it, and that every answer tells it."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crib.errors import BadPhrase
from crib.features.common.case import Circumstances
from crib.features.common.speech import Speech
from crib.features.registry import read_phrase
from crib.trade.common.published_tables import read_table
from crib.trade.metal.tap_drills import tap_drill
from crib.trade.shop.shop_rules import Rules
from tests.features.bench import IN, MM, mounted, tool

FACTS = Circumstances()


@pytest.mark.parametrize(
    ("said", "canonical"),
    [
        (
            "hole 13/16 countersunk 1-1/4 at 82 thru 3/8 A36",
            "hole 13/16 countersunk 1-1/4 at 82 thru 3/8 A36",
        ),
        (
            "hole 13/16 thru 3/8 csk 1-1/4 at 82 deg A36 edge 2",
            "hole 13/16 countersunk 1-1/4 at 82 thru 3/8 A36 edge 2",
        ),
        ("hole 18mm countersunk thru 3/8 A36", "hole 18mm countersunk thru 3/8 A36"),
        ("hole 1 countersink at 90 thru 3/8 A36", "hole 1 countersunk at 90 thru 3/8 A36"),
        ("bolt 3/4 csk thru 1/2 A36", "bolt 3/4 per AISC 360 countersunk thru 1/2 A36"),
        ("tapped 1/2-13 thru 1/4 A36", "hole tapped 1/2-13 thru 1/4 A36"),
        ("tapped 1/2 UNC thru 1/4 A36", "hole tapped 1/2-13 thru 1/4 A36"),
        ("hole tapped M12 thru 10mm A36", "hole tapped M12 thru 10mm A36"),
        ("tapped M12x1.75 thru 10mm A36", "hole tapped M12 thru 10mm A36"),
        ("tapped M12 x 1.25 thru 10mm A36", "hole tapped M12x1.25 thru 10mm A36"),
        ("hole 10.5mm thru 10mm A36 tapped M12", "hole 10.5mm tapped M12 thru 10mm A36"),
        (
            "hole 13/16 counterbored 1-1/4 deep 1/2 thru 3/4 A36",
            "hole 13/16 counterbored 1-1/4 deep 1/2 thru 3/4 A36",
        ),
        (
            "hole 13/16 thru 3/4 A36 cbore 1 1/4 deep 1/2",
            "hole 13/16 counterbored 1-1/4 deep 1/2 thru 3/4 A36",
        ),
        ("hole 18mm counterbore thru 10mm A36", "hole 18mm counterbored thru 10mm A36"),
        (
            "tapped M12 countersunk 14mm thru 10mm A36",
            "hole tapped M12 countersunk 14mm thru 10mm A36",
        ),
    ],
)
def test_it_is_read_and_written_the_one_way(said: str, canonical: str) -> None:
    ask = read_phrase(said, IN)
    assert ask.phrase("in") == canonical
    assert read_phrase(canonical, IN) == ask
    assert ask.as_json()["second_operation"]


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ("square 1/2 csk 1 thru 1/4", "only a round hole is countersunk"),
        ("slot 1/2 x 2 tapped M12 thru 1/4", "only a round hole is countersunk or tapped"),
        ("hole 13/16 csk 3/4 thru 1/4", "is not wider than its hole"),
        ("hole 13/16 csk 2 at 82 thru 1/4", "more than the plate is thick"),
        ("hole 13/16 csk 1 at 5 thru 1/4", "30 to 150 degrees"),
        ("square 1/2 cbore 1 thru 1/4", "only a round hole is counterbored"),
        ("hole 13/16 cbore 3/4 deep 1/4 thru 1/2", "is not wider than its hole"),
        ("hole 13/16 cbore 1 deep 1/4 thru 1/4", "leaves nothing of the plate"),
        ("hole 13/16 cbore 1 deep thru 1/4", "expected how deep"),
        ("tapped M13 thru 1/4", "unknown thread 'M13'"),
        ("tapped thru 1/4", "expected a thread"),
        ("hole 1/2 tapped 1/2 thru 1/4", "leaves no thread"),
    ],
)
def test_what_cannot_be_is_refused(said: str, words: str) -> None:
    with pytest.raises(BadPhrase, match=words):
        read_phrase(said, IN)


@given(
    hole=st.integers(min_value=12, max_value=30),
    more=st.integers(min_value=1, max_value=15),
    angle=st.sampled_from(["", " at 60", " at 82", " at 90", " at 120"]),
)
@settings(max_examples=40, deadline=None)
def test_every_pair_for_a_finished_hole_says_what_is_left_to_do(
    hole: int, more: int, angle: str
) -> None:
    """Whatever the sizes: the finding stands with the pair, and no other finding changes."""
    plain: Any = read_phrase(f"hole {hole}mm thru 12mm S275", MM)
    sunk = f"hole {hole}mm countersunk {hole + more}mm{angle} thru 12mm S275"
    try:
        ask: Any = read_phrase(sunk, MM)
    except BadPhrase as error:
        assert "more than the plate is thick" in error.message  # noqa: PT017
        return
    pair = mounted(tool("punch", float(hole)), tool("die", hole + 1.2))
    found = ask.answers(MM.rules, FACTS).judge(pair)
    (told,) = [one for one in found if one.rule == "second operation"]
    assert (told.verdict, f"countersink to {hole + more} mm" in told.text) == ("caution", True)
    rest = [one for one in found if one is not told]
    assert rest == plain.answers(MM.rules, FACTS).judge(pair)
    assert "second_operation" not in plain.as_json()


def test_a_tapped_hole_is_punched_at_its_drill_and_drilling_is_said() -> None:
    """M12: 10.2 mm, 1/2-13: 27/64 in, as every shop chart has it (from memory)."""
    metric: Any = read_phrase("tapped M12 thru 10mm S275", MM)
    inch: Any = read_phrase("tapped 1/2-13 thru 1/4 A36", IN)
    assert metric.outline.width_mm == 10.2
    assert inch.outline.width_mm == 27 / 64 * 25.4
    (told,) = metric.answers(MM.rules, FACTS).feature_findings
    assert "afterwards tap M12" in told.text
    assert "drill it where the thread must bear" in told.text


@pytest.mark.parametrize("row", read_table("tap_drills"), ids=lambda row: row["thread"])
def test_a_tap_drill_leaves_a_usual_share_of_the_thread(row: dict[str, str]) -> None:
    """Of the sharp height 1.299 p on both sides, 60 to 85 %: a slip of the table would show.

    Source: thread height 0.6495 p a side, ASME B1.1 (from memory); the share, common practice.
    """
    thread = tap_drill(row["thread"])
    pitch_mm = float(row["pitch"]) if row["unit"] == "mm" else 25.4 / float(row["pitch"])
    share = (thread.major_mm - thread.drill_mm) / (1.299 * pitch_mm)
    assert 0.6 <= share <= 0.85
    assert tap_drill(row["thread"].lower()) == thread


def test_a_counterbore_is_told_with_its_width_and_depth() -> None:
    ask = read_phrase("hole 13/16 counterbored 1-1/4 deep 1/2 thru 3/4 A36", IN)
    bore = ask.as_json()["second_operation"]["counterbore"]
    assert (round(bore["across_mm"], 3), round(bore["deep_mm"], 3)) == (31.75, 12.7)
    second: Any = ask
    said = second.second.words(Speech(Rules.defaults()))
    assert said.startswith("counterbore to 1-1/4")
    assert "1/2" in said.partition(", ")[2]
