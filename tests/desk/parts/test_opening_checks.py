"""What the drawing of a part says of its openings, and whether tooling comes to them."""

from __future__ import annotations

from math import cos, radians, sin
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crib.desk.parts.opening_checks import check_part, reach_findings
from crib.features.common.findings import Finding
from crib.features.holes.lying import Stands
from crib.files.drawings.nc1 import read_nc1, read_nc1_file
from crib.files.drawings.parts import Part, PartFeature
from crib.trade.common.verdicts import worst
from crib.trade.shop.shop_rules import Rules
from tests.desk.drawn_parts import PLATE, hole, part, plate, square_of_holes
from tests.files.nc1_text import contour, holes, nc1

DATA = Path(__file__).parents[2] / "files" / "data" / "nc1"
RULES = Rules.defaults().with_changes({"crib.unit": "mm"})
EN = "EN 1090-2"
RANK = ("ok", "caution", "refuse")


def slot(x: float, y: float, angle: float = 0.0) -> PartFeature:
    return hole(x, y, feature="slot", shape="obround", long_mm=50.0, angle_deg=angle)


def check(found: Part, code: str = "", number: int = 0) -> dict[str, Finding]:
    return {one.rule: one for one in check_part(found, RULES, code)[number]}


def channel(*features: PartFeature) -> Part:
    sizes: dict[str, Any] = {
        "height_mm": 200.0,
        "flange_width_mm": 80.0,
        "flange_thickness_mm": 11.0,
    }
    return part("U", features, web_thickness_mm=6.0, radius_mm=13.0, **sizes)


def beam(*features: PartFeature) -> Part:
    sizes: dict[str, Any] = {
        "height_mm": 400.0,
        "flange_width_mm": 300.0,
        "flange_thickness_mm": 24.0,
    }
    return part("I", features, web_thickness_mm=13.5, radius_mm=27.0, **sizes)


@pytest.mark.parametrize(
    ("y", "verdict", "metal_mm"),
    [
        (50.0, "ok", 39.0),
        (29.0, "ok", 18.0),
        (28.9, "caution", 17.9),
        (23.0, "caution", 12.0),
        (22.9, "refuse", 11.9),
        (11.0, "refuse", 0.0),
        (5.0, "refuse", -6.0),
    ],
)
def test_the_metal_to_the_edge_is_judged_as_if_it_had_been_asked_for(
    y: float, verdict: str, metal_mm: float
) -> None:
    found = check(plate(hole(150, y)))["metal to edge"]
    assert (found.verdict, found.final) == (verdict, metal_mm <= 0)
    assert found.value == pytest.approx(metal_mm)


def test_metal_between_two_holes_is_said_of_both() -> None:
    near = plate(hole(100, 50), hole(134, 50), hole(200, 50))
    for number in (0, 1):
        found = check(near, number=number)["metal to pitch"]
        assert (found.verdict, found.value, found.limit) == ("caution", 12.0, 18.0)
    assert "metal to pitch" not in check(near, number=2)


def test_openings_that_run_into_each_other_are_named() -> None:
    found = check(plate(hole(100, 50), slot(130, 50, 30.0)))["metal to pitch"]
    assert (found.verdict, found.final) == ("refuse", True)
    assert found.text == "it runs into the slot of 22 mm at x 130 mm, y 50 mm"


def test_holes_on_different_faces_are_no_neighbours() -> None:
    found = channel(hole(100, 100), hole(100, 40, face="o"))
    assert [set(rules) for rules in (check(found), check(found, number=1))] == [
        {"metal to edge"},
        {"metal to edge"},
    ]


def test_a_hole_near_an_odd_opening_counts_it_as_a_neighbour() -> None:
    odd = [(120.0, 30.0), (180.0, 30.0), (150.0, 80.0), (120.0, 30.0)]
    text = nc1(contour(PLATE), contour(odd, name="IK"), holes("  v 103 40 22", "  v 150 45 10"))
    near, inside = check_part(read_nc1(text, "a.nc1").parts[0], RULES)
    (found,) = [one for one in near if one.rule == "metal to pitch"]
    assert found.verdict == "refuse"
    assert any("an opening that no one punch makes" in one.text for one in inside)


def test_a_hole_that_is_not_on_the_part_says_only_that() -> None:
    (findings,) = check_part(plate(hole(310, 50)), RULES)
    assert [(one.rule, one.verdict, one.final) for one in findings] == [("place", "refuse", True)]


def test_a_hole_in_a_cut_off_corner_is_not_on_the_part() -> None:
    cut = [*PLATE[:2], (300.0, 40.0), (240.0, 40.0), (240.0, 100.0), (0.0, 100.0), (0.0, 0.0)]
    assert "place" in check(plate(hole(270, 70, 8.0), points=cut))
    assert check(plate(hole(220, 70), points=cut))["metal to edge"].verdict == "refuse"


def test_a_rounded_edge_is_followed() -> None:
    text = nc1(contour([(0, 0, 50), (100, 0, 50), (0, 0)]), holes("  v 50 -34 22"), length=100)
    (findings,) = check_part(read_nc1(text, "a.nc1").parts[0], RULES)
    assert findings[0].value == pytest.approx(50 - 34 - 11, abs=0.006)


def test_the_code_counts_from_the_centre() -> None:
    found = check(plate(hole(30, 26.3), hole(78, 50)), EN)
    assert (found["code edge"].verdict, found["code edge"].value) == ("refuse", 26.3)
    assert found["code edge"].limit == pytest.approx(26.4)
    assert found["metal to edge"].verdict == "caution"
    assert found["code pitch"].verdict == "ok"


@pytest.mark.parametrize(
    ("angle", "edge", "end"), [(0.0, 40.0, 76.0), (90.0, 90.0, 26.0), (30.0, None, 26.0)]
)
def test_a_slot_lies_along_an_edge_or_stands_towards_it(
    angle: float, edge: float | None, end: float
) -> None:
    found = check(plate(slot(90, 40, angle)), EN)
    told = found["code edge"].value if edge is not None else None
    assert (told, "code edge" in found) == (edge, edge is not None)
    assert found["code end"].value == pytest.approx(end)


def test_a_code_that_counts_from_the_bolt_asks_for_it_once() -> None:
    near = plate(slot(30, 26.3), hole(100, 50))
    asked = [one for one in check_part(near, RULES, "AISC 360")[0] if one.rule == "which bolt"]
    assert [one.verdict for one in asked] == ["caution"]
    assert "its size is missing: if a bolt goes through it" in asked[0].text


def test_without_a_thickness_only_what_runs_into_something_is_found() -> None:
    near = plate(hole(100, 15, thickness_mm=None), hole(115, 50, thickness_mm=None), hole(130, 50))
    assert check(near) == {}
    assert set(check(near, number=1)) == {"metal to pitch"}


@pytest.mark.parametrize(
    "changes", [{"through": False, "depth_mm": 5.0}, {"feature": "tapped"}, {"feature": "notch"}]
)
def test_what_is_not_punched_through_is_not_judged(changes: dict[str, Any]) -> None:
    assert check(plate(hole(5, 5, **changes))) == {}


def test_what_a_list_asks_for_has_no_place() -> None:
    asked = hole(0, 0, asked="hole 22mm thru 12mm")
    listed = part("B", [asked], length_mm=0.0, height_mm=0.0)
    assert check(listed) == {}
    asks = listed.features[0]
    assert reach_findings(listed, asks, RULES, throat_mm=10.0, die_diameter_mm=50.0) == ()


def test_without_an_outline_holes_are_judged_by_each_other() -> None:
    bare = part("B", [hole(0, 0), hole(34, 0)], length_mm=0.0, height_mm=0.0)
    assert {rule: one.verdict for rule, one in check(bare).items()} == {"metal to pitch": "caution"}
    (found,) = reach(bare).values()
    assert (found.rule, found.verdict) == ("throat", "caution")
    assert "has no outline" in found.text


def test_the_web_of_a_channel_has_no_edge_at_its_flanges() -> None:
    found = check(channel(hole(150, 40)))
    assert found["metal to edge"].value == pytest.approx(139.0)
    assert "root" not in found


def test_a_hole_that_runs_into_the_rounding_of_a_flange_is_refused() -> None:
    found = check(channel(hole(150, 30)))["root"]
    assert (found.verdict, found.final) == ("refuse", True)
    assert found.text == "it runs 5 mm into the lower flange or its rounding"


def reach(
    found: Part,
    *,
    throat: float | None = 250.0,
    die: float | None = 54.0,
    above: float | None = None,
    rules: Rules = RULES,
    stands: Stands | None = None,
    hits: tuple[complex, ...] = (0j,),
) -> dict[str, Finding]:
    told = reach_findings(
        found,
        found.features[0],
        rules,
        throat_mm=throat,
        die_diameter_mm=die,
        above_diameter_mm=above,
        stands=stands,
        hits=hits,
    )
    return {one.rule: one for one in told}


@pytest.mark.parametrize(
    ("angle", "keys", "mm"),
    [(0, {0}, 150.0), (0, {90}, 40.0), (0, {0, 90}, 40.0), (90, {0}, 40.0), (90, {90}, 150.0)],
)
def test_a_keyed_slot_goes_in_only_as_its_keys_let_it_lie(
    angle: float, keys: set[int], mm: float
) -> None:
    slot = hole(150, 60, 22, long_mm=50, angle_deg=angle, feature="slot", shape="obround")
    found = reach(plate(slot), throat=400.0, stands=Stands(frozenset(keys), 180))["throat"]
    assert found.value == pytest.approx(mm)


def test_the_furthest_hit_of_a_slot_in_several_must_be_reached() -> None:
    slot = hole(150, 60, 22, long_mm=90, angle_deg=90, feature="slot", shape="obround")
    found = reach(plate(slot), throat=60.0, stands=Stands(frozenset({0}), 180), hits=(-34, 0j, 34))
    assert found["throat"].verdict == "refuse"
    assert found["throat"].value == pytest.approx(74.0)


@pytest.mark.parametrize(
    ("throat", "verdict"), [(40.0, "ok"), (39.9, "refuse"), (400.0, "ok"), (None, "caution")]
)
def test_a_throat_must_reach_from_some_side(throat: float | None, verdict: str) -> None:
    found = reach(plate(hole(150, 60)), throat=throat)["throat"]
    assert (found.verdict, found.value, found.limit) == (verdict, 40.0, throat)
    assert throat is None or "from the upper edge of the part" in found.text


def test_on_a_plate_no_leg_is_in_the_way() -> None:
    assert set(reach(plate(hole(150, 60)), die=None)) == {"throat"}


@pytest.mark.parametrize(
    ("y", "die", "above", "verdict", "words"),
    [
        (60.0, 72.0, None, "ok", "leg down"),
        (60.0, 72.1, 72.0, "ok", "leg up"),
        (60.0, 72.1, 72.1, "refuse", "the die needs 36.05 mm; what holds the punch needs"),
        (60.0, 72.1, None, "refuse", "how wide what holds the punch is, is not entered"),
        (60.0, None, None, "refuse", "how wide the die is, is not entered"),
        (140.0, 72.0, None, "ok", "the root of the upper flange"),
    ],
)
def test_the_web_of_a_channel_leaves_the_die_or_the_punch_side_its_room(
    y: float, die: float | None, above: float | None, verdict: str, words: str
) -> None:
    found = reach(channel(hole(150, y)), die=die, above=above)["upright leg"]
    assert (found.verdict, found.value) == (verdict, 36.0)
    assert words in found.text


@pytest.mark.parametrize(
    ("die", "above", "limit"), [(72.0, 60.0, 36.0), (60.0, 72.0, 36.0), (60.0, 80.0, 30.0)]
)
def test_the_room_that_is_needed_is_the_widest_of_what_fits(
    die: float, above: float, limit: float
) -> None:
    beside = reach(channel(hole(150, 60.0)), die=die, above=above)["upright leg"]
    assert (beside.verdict, beside.limit) == ("ok", limit)


@pytest.mark.parametrize(
    ("die", "above", "verdict"),
    [(98.0, 98.0, "ok"), (98.0, 98.1, "refuse"), (98.1, 98.0, "refuse"), (98.0, None, "refuse")],
)
def test_the_web_of_a_beam_has_flanges_above_and_below(
    die: float, above: float | None, verdict: str
) -> None:
    found = reach(beam(hole(150, 100)), die=die, above=above)["upright leg"]
    assert (found.verdict, found.value) == (verdict, 49.0)


def test_an_edge_that_the_file_does_not_name_is_the_nearer_one() -> None:
    sizes: dict[str, Any] = {"height_mm": 80.0, "flange_width_mm": 80.0, "flange_thickness_mm": 8.0}
    angle = part("L", [hole(150, 45, 14.0)], web_thickness_mm=8.0, radius_mm=10.0, **sizes)
    found = reach(angle, die=34.0)["upright leg"]
    assert (found.verdict, found.value) == ("ok", 17.0)
    assert "as the file does not say which" in found.text


def test_a_shop_that_knows_its_heels_has_more_angles_made() -> None:
    sizes: dict[str, Any] = {"height_mm": 80.0, "flange_width_mm": 80.0, "flange_thickness_mm": 8.0}
    angle = part("L", [hole(150, 45, 14.0)], web_thickness_mm=8.0, radius_mm=10.0, **sizes)
    assert reach(angle, die=54.0)["upright leg"].verdict == "refuse"
    found = reach(angle, die=54.0, rules=RULES.with_changes({"read.leg_from": "heel"}))
    assert (found["upright leg"].verdict, found["upright leg"].value) == ("ok", 27.0)
    assert "does not say which" not in found["upright leg"].text


@pytest.mark.parametrize(
    ("profile", "words"),
    [("M", "closed section"), ("RO", "closed section"), ("SO", "is not described")],
)
def test_a_section_that_no_die_enters_or_that_is_not_known_is_refused(
    profile: str, words: str
) -> None:
    found = reach(part(profile, [hole(150, 50)]))["upright leg"]
    assert found.verdict == "refuse"
    assert words in found.text


def test_a_thickness_of_the_section_that_is_not_known_is_named() -> None:
    found = reach(part("U", [hole(150, 50)]))["upright leg"]
    assert found.verdict == "refuse"
    assert "the section's flange thickness is not known" in found.text


@pytest.mark.parametrize("path", sorted(DATA.glob("*.[nN][cC]*")), ids=lambda path: path.name)
def test_real_parts_raise_no_false_alarm(path: Path) -> None:
    for found in read_nc1_file(path).parts:
        for findings in check_part(found, RULES):
            assert {one.verdict for one in findings} <= {"ok"}


@pytest.mark.parametrize("name", ["a_E1.nc", "b_P1565.nc", "b_P465.nc"])
def test_a_real_part_read_by_the_wrong_convention_is_found_out(name: str) -> None:
    for found in read_nc1_file(DATA / name, y_from="letter").parts:
        assert "refuse" in {one.verdict for each in check_part(found, RULES) for one in each}


def verdicts(found: Part) -> list[list[tuple[str, str]]]:
    return [[(one.rule, one.verdict) for one in each] for each in check_part(found, RULES, EN)]


_places = st.tuples(
    st.integers(0, 300), st.integers(0, 100), st.sampled_from([0.0, 20.0, 45.0, 90.0, 134.0])
)


@given(
    st.lists(_places, min_size=1, max_size=5, unique_by=lambda place: place[:2]),
    st.integers(0, 23),
    st.booleans(),
)
@settings(max_examples=60, deadline=None)
def test_turning_and_mirroring_the_part_changes_no_verdict(
    places: list[tuple[int, int, float]], steps: int, mirrored: bool
) -> None:
    turn_deg, sign = 15.0 * steps, -1.0 if mirrored else 1.0
    c, s = cos(radians(turn_deg)), sin(radians(turn_deg))

    def moved(x: float, y: float) -> tuple[float, float]:
        x, y = sign * (x - 40.0), y + 25.0
        return c * x - s * y, s * x + c * y

    # Figures that lie on a limit may fall to either side of it: tenths keep off the limits, and
    # other ones for each keep what is between two off them.
    tenths = [0.3 + 0.017 * number for number in range(len(places))]
    rounded = [(x + off, y + off, a) for (x, y, a), off in zip(places, tenths, strict=True)]
    before = plate(*[slot(x, y, angle) for x, y, angle in rounded])
    turned = [slot(*moved(x, y), turn_deg + sign * angle) for x, y, angle in rounded]
    outline = [moved(x, y) for x, y in PLATE]
    after = plate(*turned, points=outline)
    assert verdicts(after) == verdicts(before)


@given(st.floats(1, 99), st.floats(0, 50), st.sampled_from([0.0, 45.0, 90.0]))
@settings(deadline=None)
def test_moving_a_slot_towards_an_edge_never_improves_it(y: float, by: float, angle: float) -> None:
    def judged(at: float) -> int:
        findings = check_part(plate(slot(150, at, angle)), RULES, EN)[0]
        return RANK.index(worst(one.verdict for one in findings))

    y = min(y, 100 - y)
    assert judged(y - by) >= judged(y)


def test_ten_thousand_holes_are_all_checked() -> None:
    found = check_part(square_of_holes(100), RULES)
    assert len(found) == 10_000
    assert {one.verdict for each in found for one in each} == {"ok"}
