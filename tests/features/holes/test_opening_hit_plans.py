"""Plans of several hits as the rules see them: needs, limits, order, text, and their union."""

from __future__ import annotations

from random import Random

import pytest
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from crib.features.common.ask import HitPlan
from crib.features.common.findings import refusals
from crib.features.common.tooling import Tool
from crib.features.holes.hit_picture import hit_outline
from crib.features.holes.opening_hit_plans import needs_for_plans
from crib.features.holes.punched import Punched
from crib.features.holes.slot import Slot
from crib.features.registry import read_phrase
from crib.trade.metal.hit_areas import Placed
from crib.trade.metal.opening_hits import MOST_HITS
from crib.trade.metal.shapes import Outline, Shape
from tests.features.bench import FACTS, METRIC_RULES, MM, case, plate, tool
from tests.trade.shapes_cut import obround, opening, polygon


def punch(shape: Shape, width_mm: float, long_mm: float | None = None) -> Tool:
    return tool("punch", width_mm, long_mm, shape=shape, key_angles=(0, 90))


def plans(phrase: str, *punches: Tool) -> list[HitPlan]:
    return list(read_phrase(phrase, MM).answers(METRIC_RULES, FACTS).several_hits.plans(punches))


def good(found: list[HitPlan]) -> list[HitPlan]:
    return [plan for plan in found if not refusals(plan.findings)]


def test_a_refused_plan_carries_the_figure_that_failed() -> None:
    (plan,) = plans("slot 22 x 50 thru 10 S275", punch("obround", 22, 40))
    (finding,) = refusals(plan.findings)
    assert (finding.rule, finding.limit) == ("chain bite", 0.6)
    assert finding.value == pytest.approx(0.283, abs=0.0005)
    assert plan.text == (
        "2 hits (1 full, 1 chain) with obround 22 x 40 mm, side by side; what governs: chain hit 2"
        " cuts 28 % of the punch; at least 60 % must cut, or the die is shaved"
    )


def test_a_plan_asks_for_the_small_tools_own_shapes_in_the_same_plate() -> None:
    made = plans("slot 22 x 66 thru 5 S275", punch("round", 22), punch("rectangle", 22, 44))
    first = good(made)[0]
    assert [one.feature for one in first.asks] == ["hole", "rectangle"]
    assert [one.phrase("mm") for one in first.asks] == [
        "hole 22mm thru 5mm S275",
        "rectangle 22mm x 44mm thru 5mm S275",
    ]


def test_a_bridge_off_the_side_leaves_a_cusp_that_is_told() -> None:
    """Ends at 38 centres, straight sides of 33: circles 2.5 mm apart meet 1.25 mm off each."""
    made = plans("slot 22 x 60 thru 8 S275", punch("round", 22), punch("obround", 22, 55))
    plan = next(one for one in made if one.cusp_mm > 0)
    assert plan.cusp_mm == pytest.approx(11 - (121 - 1.25**2) ** 0.5)
    assert {finding.rule: finding.verdict for finding in plan.findings}["cusp"] == "caution"


@pytest.mark.parametrize(
    ("long_mm", "verdict"), [(40, "caution"), (37.5, "caution"), (37.0, "refuse"), (30, "refuse")]
)
def test_a_shorter_rectangle_in_the_middle_leaves_cusps_up_to_the_rule(
    long_mm: float, verdict: str
) -> None:
    """Straight sides of 44: 37.5 leaves 11 - sqrt(11² - 3.25²) = 0.491, 37 leaves 0.573; 0.5."""
    made = plans("slot 22 x 66 thru 8 S275", punch("round", 22), punch("rectangle", 22, long_mm))
    plan = next(one for one in made if one.cusp_mm > 0)
    (cusp,) = (finding for finding in plan.findings if finding.rule == "cusp")
    assert (cusp.verdict, cusp.value) == (verdict, plan.cusp_mm)
    assert "file them off" in cusp.text
    assert bool(good(made)) is (verdict == "caution")
    assert plan.cusp_mm == pytest.approx(11 - (121 - ((44 - long_mm) / 2) ** 2) ** 0.5)


def test_a_plan_that_is_exact_comes_before_one_with_a_cusp() -> None:
    made = good(
        plans(
            "slot 22 x 66 thru 5 S275",
            punch("round", 22),
            punch("obround", 22, 62),
            punch("rectangle", 22, 44),
        )
    )
    assert made[0].cusp_mm == 0.0


def test_a_measured_punch_that_is_the_slots_width_within_the_tolerance_serves() -> None:
    made = plans("slot 22 x 66 thru 5 S275", punch("round", 21.97), punch("rectangle", 22.03, 44))
    assert good(made)


def test_no_plan_where_the_plate_itself_is_refused() -> None:
    """22 mm in 30 mm of S275 is thinner than the plate: smaller punches break as well."""
    assert not plans("slot 22 x 66 thru 30 S275", punch("round", 22), punch("rectangle", 22, 44))


@pytest.mark.parametrize("shape", ["round", "hexagon"])
def test_a_round_or_hexagonal_hole_needs_nothing_smaller(shape: Shape) -> None:
    assert needs_for_plans(case(30, 10, shape=shape, rules=METRIC_RULES)) == ()


def test_a_turned_rectangle_says_so() -> None:
    made = good(plans("rectangle 60 x 68 thru 5 S275", punch("rectangle", 40, 60)))
    assert all(hit.turned for hit in made[0].hits)
    assert [hit.x_mm for hit in made[0].hits] == [-14.0, 14.0]


def shape_of(plan: HitPlan, number: int) -> BaseGeometry:
    """One hit of a plan as a polygon."""
    hit = plan.hits[number]
    outline = hit_outline(plan.asks[hit.pair])
    rounded = outline.shape in ("round", "obround")
    at_zero = polygon(Placed(0.0, 0.0, outline.length_mm, outline.width_mm, rounded))
    turned = affinity.rotate(at_zero, 90) if hit.turned else at_zero
    return affinity.translate(turned, hit.x_mm, hit.y_mm)


def holds(asked: Punched, plan: HitPlan) -> None:
    """The hits cut the feature within the cusp, and each bites what is said."""
    outline = asked.outline
    rounded = outline.shape == "obround"
    wanted = (obround if rounded else opening)(outline.length_mm, outline.width_mm)
    gone = None
    # A circle of straight pieces lies a little inside a true one.
    near_mm = 1e-3 * outline.width_mm if rounded else 1e-6
    for number, hit in enumerate(plan.hits):
        own = shape_of(plan, number)
        new = own if gone is None else own.difference(gone)
        gone = own if gone is None else gone.union(own)
        assert new.area / own.area == pytest.approx(hit.bite, abs=2e-3)
    assert gone is not None
    assert gone.difference(wanted.buffer(near_mm)).area == pytest.approx(0.0, abs=1e-6)
    left = wanted.buffer(-near_mm - plan.cusp_mm).difference(gone)
    assert left.area == pytest.approx(0.0, abs=1e-6)


def test_an_accepted_plan_cuts_the_feature_and_no_hit_bites_too_little() -> None:
    accepted = 0
    for seed in range(2000):
        chance = Random(seed)
        width_mm = round(chance.uniform(10, 40), 1)
        long_mm = round(width_mm * chance.uniform(1.05, 5), 1)
        shape: Shape = chance.choice(["obround", "rectangle"])
        asked = Slot(Outline(shape, width_mm, long_mm), plate(4.0, "S275", METRIC_RULES))
        punches = _random_punches(chance, shape, width_mm, long_mm)
        for number, plan in enumerate(
            good(list(asked.answers(METRIC_RULES, FACTS).several_hits.plans(punches)))
        ):
            accepted += 1
            assert 1 < len(plan.hits) <= MOST_HITS
            least = {"full": 1.0, "chain": 0.60, "bridge": 0.35}
            assert all(hit.bite >= least[hit.kind] - 1e-9 for hit in plan.hits)
            if number == 0:
                holds(asked, plan)
    assert accepted > 1000


def _random_punches(chance: Random, shape: Shape, width_mm: float, long_mm: float) -> list[Tool]:
    if shape == "rectangle":
        sizes = [sorted(chance.uniform(0.4, 1.0) * width_mm for _ in range(2)) for _ in range(2)]
        longer = [width_mm, max(width_mm, chance.uniform(0.3, 0.95) * long_mm)]
        return [punch("rectangle", short, long) for short, long in [*sizes, longer]]
    straight_mm = long_mm - width_mm
    found = [punch("round", width_mm)]
    found += [punch("obround", width_mm, chance.uniform(width_mm + 0.1, long_mm)) for _ in range(2)]
    flat = [straight_mm, chance.uniform(0.4, 1.0) * straight_mm]
    found += [punch("rectangle", width_mm, size) for size in flat if size > width_mm]
    return found
