"""The rules for one piece: condition, place, dedication, length, edge, and its lasting a job."""

from __future__ import annotations

from typing import Any

import pytest

from crib.features.common.case import Case, Circumstances
from crib.features.common.findings import Finding
from crib.features.common.piece_checks import lasts, piece_findings
from tests.features.bench import FACTS, INCH_RULES, only, plate, tool

MILD = INCH_RULES.material("A36")


def said(
    *, each: float = 1.0, facts: Circumstances = FACTS, material: str = "A36", **changes: Any
) -> list[Finding]:
    """What the rules say of a punch."""
    piece = tool("punch", 20.0, **changes)
    case = Case(plate(9.525, material), INCH_RULES, facts)
    return list(piece_findings(piece, each, case))


def test_a_sound_sharp_piece_only_says_how_its_edge_is() -> None:
    (found,) = said()
    assert (found.rule, found.verdict, found.value) == ("edge", "ok", 0.0)


def test_a_piece_to_order_has_nothing_to_be_judged() -> None:
    assert said(to_order=True, condition="broken") == []


@pytest.mark.parametrize(
    ("condition", "final"),
    [("inspect", False), ("locked", True), ("broken", True), ("lost", True), ("retired", True)],
)
def test_a_piece_that_is_not_sound_is_refused_and_only_an_inspection_may_clear_it(
    condition: str, final: bool
) -> None:
    found = only(said(condition=condition), "condition")
    assert (found.verdict, found.final) == ("refuse", final)
    assert "P-1" in found.text
    assert found.source


@pytest.mark.parametrize("sort", ["grinder", "person", "outside"])
def test_a_piece_that_is_away_must_be_fetched_first(sort: str) -> None:
    found = only(said(place="over there", place_sort=sort), "place")
    assert (found.verdict, found.final) == ("refuse", False)
    assert found.text == "P-1 is away (over there): fetch it first"


@pytest.mark.parametrize("sort", ["drawer", "station"])
def test_a_piece_in_a_drawer_or_a_station_is_at_hand(sort: str) -> None:
    assert [one for one in said(place_sort=sort) if one.rule == "place"] == []


@pytest.mark.parametrize(
    ("kept_for", "material", "refused"),
    [
        ("", "A36", False),
        ("stainless", "304", False),
        ("stainless", "A36", True),
        ("mild", "304", True),
    ],
)
def test_a_piece_kept_for_one_material_is_not_used_for_another(
    kept_for: str, material: str, refused: bool
) -> None:
    found = [one for one in said(dedicated_to=kept_for, material=material)
             if one.rule == "dedicated"]  # fmt: skip
    assert [one.verdict for one in found] == (["refuse"] if refused else [])


@pytest.mark.parametrize(
    ("length_mm", "least_mm", "refused"),
    [
        (67.1, 67.0, False),
        (67.0, 67.0, False),
        (66.9, 67.0, True),
        (None, 67.0, False),
        (66.0, None, False),
    ],
)
def test_a_piece_ground_below_its_least_length_is_refused(
    length_mm: float | None, least_mm: float | None, refused: bool
) -> None:
    found = [
        one for one in said(length_mm=length_mm, least_length_mm=least_mm) if one.rule == "length"
    ]
    assert [(one.verdict, one.value, one.limit, one.unit) for one in found] == (
        [("refuse", 66.9, 67.0, "mm")] if refused else []
    )


@pytest.mark.parametrize(("ground_mm", "verdicts"), [(0.0, []), (5.0, []), (5.01, ["caution"])])
def test_ground_past_its_straight_land_it_is_cautioned(
    ground_mm: float, verdicts: list[str]
) -> None:
    found = [one for one in said(ground_mm=ground_mm) if one.rule == "land"]
    assert [one.verdict for one in found] == verdicts
    assert all("holes come out small and stick" in one.text for one in found)


@pytest.mark.parametrize(
    ("wear", "appearance", "verdict", "words"),
    [
        (0.0, "any", "ok", "0 %"),
        (4499.0, "any", "ok", "90 %"),
        (4500.0, "any", "ok", "grind it after this job"),
        (4999.0, "any", "ok", "grind it after this job"),
        (5000.0, "any", "caution", "grind it before the next job"),
        (5999.0, "finish", "caution", "grind it before the next job"),
        (6000.0, "any", "caution", "not for finish work"),
        (6000.0, "rough", "caution", "not for finish work"),
        (6000.0, "finish", "refuse", "not for finish work"),
    ],
)
def test_an_edge_reminds_and_stops_finish_work_only(
    wear: float, appearance: Any, verdict: str, words: str
) -> None:
    found = only(said(wear=wear, facts=Circumstances(appearance=appearance)), "edge")
    assert (found.verdict, found.value) == (verdict, wear / 5000)
    assert words in found.text


def test_a_job_that_ends_in_time_lasts() -> None:
    found = only(said(wear=3000.0, facts=Circumstances(quantity=300)), "lasting")
    assert (found.verdict, found.text) == (
        "ok",
        "lasts 300 at 1.00 each: P-1 ends at 66 %, 1 in 127 dull by then",
    )


def test_a_long_job_is_told_with_commas() -> None:
    whole = only(said(facts=Circumstances(quantity=3000)), "lasting").text
    assert whole.startswith("lasts 3,000 at 1.00 each")
    short = only(said(facts=Circumstances(quantity=12000)), "lasting").text
    assert short.startswith("dull at hole 5,000 of 12,000 (1.00 each); 115 % at hole 5,750; ")
    assert short.endswith("grind first, or swap at hole 5,000")


def test_a_job_that_ends_dull_says_at_which_hole_and_where_it_stops() -> None:
    """900 weighted strokes left of 5,000 at 1.667 each: 540 holes; 115 % at 990; ends at 122 %."""
    facts = Circumstances(quantity=1200)
    found = only(said(wear=4100.0, each=1.25 * 4 / 3, facts=facts), "lasting")
    assert (found.verdict, found.value, found.limit) == ("caution", 540, 1200)
    assert found.text == (
        "dull at hole 540 of 1,200 (1.67 each); 115 % at hole 990; P-1 ends at 122 %,"
        " 1 in 11 dull by then: grind first, or swap at hole 540"
    )


@pytest.mark.parametrize(("per_part", "swap_at"), [(1, 540), (8, 536), (540, 540), (600, 0)])
def test_the_swap_is_at_a_whole_part(per_part: int, swap_at: int) -> None:
    facts = Circumstances(quantity=1200, per_part=per_part)
    found = only(said(wear=4100.0, each=5 / 3, facts=facts), "lasting")
    expected = f"swap at hole {swap_at}" if swap_at else "grind first: it does not last one part"
    assert expected in found.text


def test_a_dull_edge_is_ground_first() -> None:
    found = only(said(wear=5200.0, facts=Circumstances(quantity=100)), "lasting")
    assert found.text.startswith("dull before the first hole (1.00 each)")
    assert found.text.endswith(": grind first")


def test_one_hole_is_not_a_job_to_last() -> None:
    assert [one for one in said(wear=4999.9) if one.rule == "lasting"] == []


@pytest.mark.parametrize(("wear", "whole"), [(3999.0, True), (4000.0, True), (4001.0, False)])
def test_lasting_is_having_the_whole_job_left(wear: float, whole: bool) -> None:
    assert lasts(tool("punch", 20.0, wear=wear), 2.0, 500) is whole
