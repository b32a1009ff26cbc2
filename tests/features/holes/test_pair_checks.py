"""Each rule for a punch and a die, below, at and above its limit, with figure, unit and source."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from crib.features.common.case import Circumstances
from crib.features.common.chain_checks import weakest_link
from crib.features.common.tooling import Adapter
from crib.features.holes.pair_checks import judge_pair
from crib.trade.common.verdicts import Verdict
from tests.features.bench import (
    METRIC_RULES,
    SEAT_A,
    case,
    judged,
    mm,
    mounted,
    only,
    shaped,
    station,
    tool,
)

HOLE, PLATE = mm("13/16"), mm("3/8")
PUNCH, DIE = tool("punch", HOLE), tool("die", mm("27/32"))
RANK: dict[Verdict, int] = {"ok": 0, "caution": 1, "refuse": 2}


def test_a_good_pair_is_told_in_the_order_of_the_checks() -> None:
    findings = judged(case(HOLE, PLATE), PUNCH, DIE)
    assert [one.rule for one in findings] == [
        "hole to thickness",
        "size",
        "seat",
        "seat",
        "clearance",
        "body",
        "punch stress",
        "adverse stress",
        "die wall",
        "force",
        "adverse force",
    ]
    assert {one.verdict for one in findings} == {"ok"}


def test_every_finding_says_why_and_where_its_limit_comes_from() -> None:
    facts = Circumstances(code="AISC 360")
    tight = station(1000.0, daylight_mm=1.0)
    for findings in (
        judged(case(HOLE, PLATE, facts=facts), PUNCH, DIE),
        judged(case(HOLE, PLATE, "AR400", facts=facts), DIE, replace(PUNCH, seat=None), at=tight),
    ):
        assert [one.rule for one in findings if not (one.text and one.source)] == []
        measured = [one for one in findings if one.rule != "hole to thickness"]
        assert [one.rule for one in measured if one.value is not None and not one.unit] == []


@pytest.mark.parametrize(
    ("thickness", "verdict"), [("3/4", "ok"), ("13/16", "ok"), ("53/64", "refuse")]
)
def test_the_hole_must_not_be_smaller_than_the_materials_ratio(
    thickness: str, verdict: str
) -> None:
    found = only(judged(case(HOLE, mm(thickness))), "hole to thickness")
    assert (found.verdict, found.limit, found.unit) == (verdict, 1.0, "")
    assert found.value == pytest.approx(HOLE / mm(thickness))


def test_a_material_without_a_ratio_is_refused_and_the_rule_to_set_is_named() -> None:
    found = only(judged(case(HOLE, PLATE, "Titanium")), "hole to thickness")
    assert (found.verdict, found.limit) == ("refuse", None)
    assert "material.Ti-6Al-4V.min_hole_ratio" in found.text


@pytest.mark.parametrize("material", ["AR400", "Ti-6Al-4V"])
def test_a_material_that_is_not_punched_is_refused(material: str) -> None:
    found = only(judged(case(HOLE, PLATE, material)), "material")
    assert found.verdict == "refuse"
    assert "stop and ask" in found.text


@pytest.mark.parametrize(
    ("off_mm", "verdict"),
    [(-0.06, "refuse"), (-0.05, "ok"), (0.0, "ok"), (0.05, "ok"), (0.06, "refuse")],
)
def test_a_punch_counts_by_its_size_within_the_tolerance(off_mm: float, verdict: str) -> None:
    punch = tool("punch", 22.0 + off_mm, measured=True)
    found = only(judged(case(22.0, 10.0, rules=METRIC_RULES), punch), "size")
    assert (found.verdict, found.limit, found.unit) == (verdict, 0.05, "mm")
    assert found.value == pytest.approx(abs(off_mm))
    assert "measured" in found.text


def test_the_length_of_a_shaped_punch_counts_as_its_width_does() -> None:
    asked = case(20.0, 10.0, shape="rectangle", long_mm=40.0)
    assert only(judged(asked, shaped("punch", 20.0, 40.0)), "size").verdict == "ok"
    found = only(judged(asked, shaped("punch", 20.0, 39.9)), "size")
    assert found.verdict == "refuse"
    assert found.value == pytest.approx(0.1)


def test_a_punch_of_another_shape_is_not_of_that_size() -> None:
    assert only(judged(case(HOLE, PLATE), replace(PUNCH, shape="square")), "size").verdict == (
        "refuse"
    )


@pytest.mark.parametrize("role", ["punch", "die"])
def test_a_tool_of_a_special_shape_is_refused_and_does_not_stop_the_rest(role: str) -> None:
    tools = {"punch": PUNCH, "die": DIE}
    tools[role] = replace(tools[role], shape="special")
    findings = judged(case(HOLE, PLATE), *tools.values())
    assert [one.rule for one in findings if one.verdict == "refuse"][-1] == "clearance"
    assert only(findings, "clearance").final


@pytest.mark.parametrize(
    ("tools", "seats", "adapters", "verdict"),
    [
        ((PUNCH, DIE), {"A"}, {}, "ok"),
        ((PUNCH, DIE), {"B"}, {}, "refuse"),
        ((PUNCH, DIE), set(), {}, "refuse"),
        ((replace(PUNCH, seat=None), DIE), {"A"}, {}, "refuse"),
        (
            (DIE,),
            {"B"},
            {"die": Adapter("AD-1", "die_adapter", "B", "A", 300_000.0)},
            "ok",
        ),
    ],
)
def test_a_tool_must_seat_in_the_station_or_in_an_adapter_there(
    tools: Any, seats: Any, adapters: Any, verdict: str
) -> None:
    findings = judged(
        case(HOLE, PLATE), *tools, at=station(seats=frozenset(seats)), adapters=adapters
    )
    said = [one.verdict for one in findings if one.rule == "seat"]
    assert max(said, key=lambda one: RANK[one]) == verdict


def test_a_seat_that_is_not_declared_is_never_guessed() -> None:
    findings = judged(case(HOLE, PLATE), replace(PUNCH, seat=None), DIE)
    text = next(one.text for one in findings if one.rule == "seat" and one.verdict == "refuse")
    assert text == "the punch has no seat declared: say which seat it fits"


@pytest.mark.parametrize(
    ("punch_keys", "die_keys", "verdict"),
    [
        ((0, 90), (90,), "ok"),
        ((45,), (45,), "ok"),
        ((0,), (90,), "refuse"),
        ((0,), (), "refuse"),
        ((), (), "refuse"),
    ],
)
def test_a_shaped_pair_must_key_alike_and_nobody_may_override_it(
    punch_keys: tuple[int, ...], die_keys: tuple[int, ...], verdict: str
) -> None:
    findings = judged(
        case(20.0, 10.0, shape="rectangle", long_mm=40.0),
        shaped("punch", 20.0, 40.0, key_angles=punch_keys),
        shaped("die", 21.5, 41.5, key_angles=die_keys),
    )
    found = only(findings, "key")
    assert (found.verdict, found.final) == (verdict, verdict == "refuse")


def test_a_round_pair_needs_no_key() -> None:
    assert [one for one in judged(case(HOLE, PLATE), PUNCH, DIE) if one.rule == "key"] == []


def test_a_shaped_tool_could_turn_in_a_seat_that_holds_no_key() -> None:
    bare = replace(SEAT_A, keyed=False)
    findings = judged(
        case(20.0, 10.0, shape="rectangle", long_mm=40.0),
        shaped("punch", 20.0, 40.0, seat=bare),
        shaped("die", 21.5, 41.5),
    )
    said = [(one.verdict, one.text) for one in findings if one.rule == "key"]
    assert said[0] == ("refuse", "seat A holds no key: a shaped punch could turn in it")
    assert [verdict for verdict, _text in said[1:]] == ["ok"]


@pytest.mark.parametrize(("width_mm", "verdict"), [(32.9, "ok"), (33.0, "ok"), (33.1, "refuse")])
def test_the_point_must_go_through_body_or_nut(width_mm: float, verdict: str) -> None:
    found = only(judged(case(width_mm, 10.0), tool("punch", width_mm)), "body")
    assert (found.verdict, found.limit, found.unit) == (verdict, 33.0, "mm")


def test_a_seat_without_its_numbers_is_refused_on_both_sides() -> None:
    seat = replace(SEAT_A, body_diameter_mm=None, die_diameter_mm=None)
    findings = judged(case(HOLE, PLATE), replace(PUNCH, seat=seat), replace(DIE, seat=seat))
    for rule in ("body", "die wall"):
        found = only(findings, rule)
        assert found.verdict == "refuse"
        assert "declare it in numbers" in found.text


@pytest.mark.parametrize(
    ("own_mpa", "stress_mpa", "verdict", "limit_mpa"),
    [
        (None, 1379.0, "ok", 1380.0),
        (None, 1380.0, "ok", 1380.0),
        (None, 1381.0, "caution", 1380.0),
        (None, 1655.0, "caution", 1380.0),
        (None, 1656.0, "refuse", 1655.0),
        (1600.0, 1599.0, "ok", 1600.0),
        (1600.0, 1601.0, "refuse", 1600.0),
        (1700.0, 1699.0, "ok", 1700.0),
        (1000.0, 1100.0, "refuse", 1000.0),
    ],
)
def test_a_punch_is_held_to_the_shops_limits_or_to_its_own(
    own_mpa: float | None, stress_mpa: float, verdict: str, limit_mpa: float
) -> None:
    asked = case(20.0, 10.0)
    width_mm = 4 * asked.strength.shear_mpa * 10.0 / stress_mpa
    punch = tool("punch", width_mm, stress_limit_mpa=own_mpa)
    found = only(judged(case(width_mm, 10.0), punch), "punch stress")
    assert (found.verdict, found.limit, found.unit) == (verdict, limit_mpa, "MPa")
    assert found.value == pytest.approx(stress_mpa)
    assert ("its own limit" in found.text) == (own_mpa is not None)


@pytest.mark.parametrize(
    ("thickness_mm", "opening_mm", "verdict", "limit_mm"),
    [
        (6.35, 44.0, "ok", 5.0),
        (6.35, 44.1, "refuse", 5.0),
        (6.36, 42.0, "ok", 6.0),
        (6.36, 42.1, "refuse", 6.0),
    ],
)
def test_a_die_must_have_its_wall_left(
    thickness_mm: float, opening_mm: float, verdict: str, limit_mm: float
) -> None:
    found = only(judged(case(HOLE, thickness_mm), tool("die", opening_mm)), "die wall")
    assert (found.verdict, found.limit, found.unit) == (verdict, limit_mm, "mm")
    assert found.value == pytest.approx((54.0 - opening_mm) / 2)


@pytest.mark.parametrize(
    ("share", "verdict"), [(0.79, "ok"), (0.80, "ok"), (0.81, "caution"), (1.0, "caution"),
                           (1.01, "refuse")],
)  # fmt: skip
def test_force_is_held_against_the_rating(share: float, verdict: str) -> None:
    asked = case(HOLE, PLATE)
    findings = judged(asked, PUNCH, DIE, at=station(asked.force_n / share))
    found = only(findings, "force")
    assert (found.verdict, found.unit) == (verdict, "kN")
    assert found.value == pytest.approx(asked.force_n / 1000)
    assert found.limit == pytest.approx(asked.force_n / share / 1000)
    assert "80 rule x 1 for A36" in found.text


def test_a_derated_station_is_loaded_to_what_is_left() -> None:
    at = station(400_000.0, derate=0.1)
    assert only(judged(case(HOLE, PLATE), PUNCH, at=at), "force").limit == pytest.approx(360.0)


@pytest.mark.parametrize(
    ("rated_n", "adapter_n", "limit_n", "weakest"),
    [
        (400_000.0, 300_000.0, 300_000.0, "adapter AD-1"),
        (400_000.0, 500_000.0, 400_000.0, "Ironworker 1 / punch"),
        (None, 300_000.0, None, "Ironworker 1 / punch"),
        (400_000.0, None, None, "adapter AD-1"),
    ],
)
def test_the_weakest_link_rules_and_an_unknown_one_is_never_guessed(
    rated_n: float | None, adapter_n: float | None, limit_n: float | None, weakest: str
) -> None:
    adapter = Adapter("AD-1", "die_adapter", "B", "A", adapter_n)
    tooling = mounted(DIE, at=station(rated_n), adapters={"die": adapter})
    assert weakest_link(tooling) == (limit_n, weakest)
    found = only(judge_pair(case(HOLE, PLATE), tooling), "force")
    if limit_n is None:
        assert (found.verdict, found.limit) == ("refuse", None)
        assert found.text.startswith(f"{weakest} has no rated force")


@pytest.mark.parametrize(
    ("opening_mm", "refused"), [(None, False), (9.6, False), (9.525, False), (9.5, True)]
)
def test_the_plate_must_go_into_the_opening(opening_mm: float | None, refused: bool) -> None:
    findings = judged(case(HOLE, PLATE), PUNCH, DIE, at=station(daylight_mm=opening_mm))
    found = [one for one in findings if one.rule == "daylight"]
    assert [one.verdict for one in found] == (["refuse"] if refused else [])


def test_only_what_nobody_may_override_is_final() -> None:
    facts = Circumstances(code="AISC 360", dynamic=True)
    asked = case(5.0, 30.0, "AR400", facts=facts)
    tight = station(1000.0, seats=frozenset({"B"}), daylight_mm=1.0)
    findings = judged(asked, tool("punch", 50.0, stress_limit_mpa=1.0), tool("die", 53.0), at=tight)
    assert {one.rule for one in findings if one.verdict == "refuse"} == {
        "material", "method", "hole to thickness", "size", "seat", "body", "punch stress",
        "die wall", "force", "daylight",
    }  # fmt: skip
    assert [one.rule for one in findings if one.final] == []


@pytest.mark.parametrize(
    ("face", "verdict", "words"),
    [("roof", "ok", "none is taken off"), ("bevel", "caution", "pushes sideways")],
)
def test_no_force_is_taken_off_for_a_face_that_is_not_flat(
    face: str, verdict: str, words: str
) -> None:
    plain = judged(case(HOLE, PLATE), PUNCH, DIE)
    cut = judged(case(HOLE, PLATE), replace(PUNCH, face=face, bevel_mm=6.0), DIE)
    found = only(cut, "face")
    assert found.verdict == verdict
    assert words in found.text
    assert [one for one in cut if one.rule != "face"] == plain
