"""The pictures of a pair and of a plan, in mm."""

from __future__ import annotations

import pytest

from crib.features.common.ask import Ask, HitPlan
from crib.features.common.picture import Circle, Dimension, Label, Line, Picture
from crib.features.common.tooling import Tool, ToolingSet
from crib.features.registry import read_phrase
from tests.features.bench import FACTS, METRIC_RULES, MM, mounted, tool


def drawn(asked: Ask, tooling: ToolingSet, plan: HitPlan | None = None) -> Picture:
    return asked.answers(METRIC_RULES, FACTS).picture(tooling, plan)


def texts(picture: Picture) -> list[str]:
    return [one.text for one in picture.shapes if isinstance(one, Label | Dimension)]


def slotted(role: str, width_mm: float, long_mm: float) -> Tool:
    return tool(role, width_mm, long_mm, shape="obround", key_angles=(0, 90))


def test_a_round_pair_shows_the_punch_the_die_dashed_and_the_clearance() -> None:
    asked = read_phrase("hole 22 thru 10 S275", MM)
    picture = drawn(asked, mounted(tool("punch", 22.0), tool("die", 23.6)))
    circles = [one for one in picture.shapes if isinstance(one, Circle)]
    assert [(one.radius_mm, one.style) for one in circles] == [(11.0, "tool"), (11.8, "hidden")]
    assert texts(picture) == ["dia. 22 mm", "0.8 mm each side"]
    assert picture.title == "punch P-1 round 22 mm and die D-1 round 23.6 mm"


def test_a_slot_pair_has_two_sizes_and_round_ends() -> None:
    asked = read_phrase("slot 22 x 50 thru 10 S275", MM)
    picture = drawn(asked, mounted(slotted("punch", 22, 50), slotted("die", 23.6, 51.6)))
    outlines = [one for one in picture.shapes if isinstance(one, Line)]
    assert [one.style for one in outlines] == ["tool", "hidden"]
    assert max(x for x, _y in outlines[0].points) == 25.0
    assert texts(picture) == ["50 mm", "22 mm", "0.8 mm each side"]


def test_a_slot_pair_with_two_gaps_shows_both_as_they_are_drawn() -> None:
    asked = read_phrase("slot 22 x 50 thru 10 S275", MM)
    picture = drawn(asked, mounted(slotted("punch", 22, 50), slotted("die", 23.6, 52.0)))
    assert texts(picture) == ["50 mm", "22 mm", "1 mm each side", "0.8 mm each side"]
    *_sizes, right, above = [one for one in picture.shapes if isinstance(one, Dimension)]
    assert (right.x2_mm - right.x1_mm, above.y2_mm - above.y1_mm) == pytest.approx((1.0, 0.8))
    assert any("clearance is 1.6 mm in total" in note for note in picture.notes)


def test_a_pair_without_a_die_is_drawn_without_one() -> None:
    asked = read_phrase("hexagon 20 thru 5 S275", MM)
    punch = tool("punch", 20.0, shape="hexagon", key_angles=(0,))
    picture = drawn(asked, mounted(punch))
    (outline,) = [one for one in picture.shapes if isinstance(one, Line)]
    assert len(outline.points) == 6
    assert max(x for x, _y in outline.points) == pytest.approx(10.0)
    assert picture.title.endswith("and no die")


def test_the_hits_of_a_plan_are_numbered_in_their_order() -> None:
    asked = read_phrase("slot 22 x 66 thru 5 S275", MM)
    ends = tool("punch", 22.0)
    middle = tool("punch", 22.0, 44.0, shape="rectangle", key_angles=(0, 90))
    plan = next(iter(asked.answers(METRIC_RULES, FACTS).several_hits.plans([ends, middle])))
    picture = drawn(asked, mounted(ends), plan)
    labels = [(one.x_mm, one.text) for one in picture.shapes if isinstance(one, Label)]
    assert labels == [(-22.0, "1"), (22.0, "2"), (0.0, "3")]
    assert texts(picture)[:2] == ["66 mm", "22 mm"]
    assert texts(picture)[-2:] == ["22 mm", "22 mm"]
    assert picture.notes[:3] == (
        "1: -22 mm, full, bites 100 %",
        "2: +22 mm, full, bites 100 %",
        "3: 0, bridge, bites 61 %",
    )
    assert picture.notes[-1] == plan.text


def test_a_grid_has_pitches_both_ways() -> None:
    asked = read_phrase("square 58 thru 5 S275", MM)
    punch = tool("punch", 32.0, shape="square", key_angles=(0,))
    plan = next(iter(asked.answers(METRIC_RULES, FACTS).several_hits.plans([punch])))
    picture = drawn(asked, mounted(punch), plan)
    assert texts(picture).count("26 mm") == 2
    assert picture.notes[0] == "1: -13 mm along, -13 mm across, full, bites 100 %"
