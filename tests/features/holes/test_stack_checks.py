"""A pair is judged as a pair: what stands in the station must close, or it is refused."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.features.common.findings import Finding, cautions, refusals
from crib.features.common.tooling import Adapter, Seat, Station, ToolingSet
from crib.features.holes.stack_checks import judge_stack
from tests.features.bench import INCH_RULES, SEAT_A, mm, mounted, station, tool

NEW_MM, LEAST_MM, MOST_MM = 4.5, 1.5, 6.5
"""How far a new punch enters, the least before a caution, the most before it is refused."""
SEAT_S = Seat("S", mm("1-3/16"), None, mm("1"), mm("1-1/16"), mm("2-1/4"), 45.0, mm("7/8"), True)
SEAT_L = replace(SEAT_S, name="L", punch_length_mm=mm("2-3/4"), die_height_mm=mm("1-1/8"))
GREEN = station(machine="Old Green", seats=frozenset({"S", "L"}))


def pair(
    punch_seat: Seat | None,
    die_seat: Seat | None,
    *,
    at: Station = GREEN,
    adapters: dict[str, Adapter] | None = None,
    punch: dict[str, Any] | None = None,
    die: dict[str, Any] | None = None,
) -> ToolingSet:
    """A punch over a die in a station."""
    return mounted(
        tool("punch", 20.0, seat=punch_seat, **(punch or {})),
        tool("die", 21.0, seat=die_seat, **(die or {})),
        at=at,
        adapters=adapters,
    )


def ring(role: str, sits_in: Seat, adds_mm: float | None) -> Adapter:
    """An adapter that presents seat S in another seat."""
    tag = f"X-{role[0].upper()}"
    return Adapter(tag, f"{role}_adapter", sits_in.name, "S", 4e5, "N1", sits_in, adds_mm)


def said(tooling: ToolingSet, thickness_mm: float = 6.0) -> dict[str, Finding]:
    """What is said, by rule."""
    return {one.rule: one for one in judge_stack(tooling, INCH_RULES, thickness_mm)}


def figure(found: Finding) -> tuple[object, object]:
    """A finding's verdict and figure, to be compared with one that is near enough."""
    return found.verdict, found.value


SIZES = st.integers(100, 900).map(lambda tenths: tenths / 10)
OFF = st.integers(-100, 100).map(lambda tenths: tenths / 10)
SEATS = st.builds(
    lambda name, punch_mm, die_mm: replace(
        SEAT_A, name=name, punch_length_mm=punch_mm, die_height_mm=die_mm
    ),
    st.sampled_from("ABC"),
    st.none() | SIZES,
    st.none() | SIZES,
)


@st.composite
def stacks(draw: st.DrawFn) -> ToolingSet:
    """Any pair in any station; seats of one name are one seat, figures may be lacking."""
    seats = {one.name: one for one in draw(st.lists(SEATS, min_size=3, max_size=3))}
    named = st.sampled_from(sorted(seats)).map(lambda name: seats[name])
    tools, adapters, under = [], {}, []
    for role in ("punch", "die"):
        seat = draw(named)
        usual_mm = seat.die_height_mm if role == "die" else seat.punch_length_mm
        off_mm = draw(OFF | st.just(0.0))
        length_mm = draw(st.sampled_from((None, max((usual_mm or 40.0) + off_mm, 1.0))))
        ground_mm = draw(st.sampled_from((0.0, 0.4, 2.0)))
        tools.append(tool(role, 20.0, seat=seat, length_mm=length_mm, ground_mm=ground_mm))
        if draw(st.booleans()):
            host = draw(named)
            adapters[role] = Adapter(
                f"X-{role}", "", host.name, seat.name, 1e5, "", host, draw(st.none() | SIZES)
            )
            under.append(host)
        else:
            under.append(seat)
    stroke_mm = draw(st.none() | SIZES)
    own_mm = [(one.punch_length_mm or 0) + (one.die_height_mm or 0) for one in under]
    daylight_mm = draw(st.none() | st.just(max(own_mm) + (stroke_mm or 50.0) - draw(OFF)))
    at = station(daylight_mm=daylight_mm, stroke_mm=stroke_mm, seats=frozenset("ABC"))
    return mounted(*tools, at=at, adapters=adapters)


def left_mm(tooling: ToolingSet) -> list[float] | None:
    """What the station leaves with its ram down, by plain arithmetic; None where nobody knows."""
    at = tooling.station
    if at.daylight_mm is not None and at.stroke_mm is not None and at.stroke_mm < at.daylight_mm:
        return [at.daylight_mm - at.stroke_mm]
    found = []
    for role, one in tooling.tools.items():
        held = tooling.adapters[role].sits_in if role in tooling.adapters else one.seat
        if held is None or held.punch_length_mm is None or held.die_height_mm is None:
            return None
        found.append(held.punch_length_mm + held.die_height_mm - NEW_MM)
    return found


def height_mm(tooling: ToolingSet) -> float | None:
    """How high it stands, by plain arithmetic; None where nobody knows."""
    total = 0.0
    for role, one in tooling.tools.items():
        seat = one.seat or SEAT_A
        new_mm = seat.punch_length_mm if role == "punch" else seat.die_height_mm
        now_mm = one.length_mm if one.length_mm is not None else new_mm and new_mm - one.ground_mm
        added_mm = tooling.adapters[role].added_height_mm if role in tooling.adapters else 0.0
        if now_mm is None or added_mm is None:
            return None
        total += now_mm + added_mm
    return total


@given(stacks(), st.sampled_from((3.0, 20.0)))
def test_every_pair_that_is_not_refused_closes(tooling: ToolingSet, thickness_mm: float) -> None:
    findings = judge_stack(tooling, INCH_RULES, thickness_mm)
    stands_mm, shut_mm, at = height_mm(tooling), left_mm(tooling), tooling.station
    of_one_seat = len({one.seat.name for one in tooling.tools.values() if one.seat}) == 1
    if stands_mm is None or shut_mm is None:
        ground_mm = sum(one.ground_mm for one in tooling.tools.values())
        plain = of_one_seat and not tooling.adapters
        assert bool(refusals(findings)) == (not plain or ground_mm >= NEW_MM)
        return
    entries = [stands_mm - one for one in shut_mm]
    closes = min(entries) > 1e-6 and max(entries) < MOST_MM + 1e-6
    if at.stroke_mm is not None and at.daylight_mm is not None and at.stroke_mm < at.daylight_mm:
        closes = closes and at.daylight_mm - stands_mm > thickness_mm - 1e-6
    assert bool(refusals(findings)) == (not closes)
    if closes:
        wary = not of_one_seat or min(entries) < LEAST_MM - 1e-6
        assert bool(cautions(findings)) == wary


@given(stacks())
def test_a_mixed_stack_is_never_just_ok_and_shows_its_figures(tooling: ToolingSet) -> None:
    names = {one.seat.name for one in tooling.tools.values() if one.seat}
    findings = judge_stack(tooling, INCH_RULES, 6.0)
    if len(names) == 2:
        worst = refusals(findings) or [one for one in findings if one.rule == "stack"]
        assert worst
        assert all(one.verdict != "ok" for one in worst)
        assert not refusals(findings) or any(
            f"seat {name}" in one.text or one.rule == "daylight"
            for name in names
            for one in refusals(findings)
        )


def test_the_long_punch_over_the_low_die_is_refused_until_the_station_is_measured() -> None:
    found = said(pair(SEAT_L, SEAT_S))["entry"]
    assert (found.verdict, str(found.remedy)) == ("refuse", "import.change(file='stations.csv')")
    assert found.text == (
        "P-1 (seat L, 2-3/4 in) over D-1 (seat S, 7/8 in) stand 3-5/8 in,"
        " 1/4 in lower than new tools of seat L and 1/2 in higher than new tools of seat S:"
        " the punch does not reach the die;"
        " measure and record the stroke and the daylight of Old Green / punch"
    )


def test_a_mixed_stack_that_closes_is_a_caution_with_its_figures() -> None:
    at = replace(GREEN, daylight_mm=mm("6"), stroke_mm=mm("6") - mm("3-1/2"))
    found = said(pair(SEAT_L, SEAT_S, at=at))
    assert figure(found["entry"]) == ("ok", pytest.approx(mm("1/8")))
    assert figure(found["stack"]) == ("caution", pytest.approx(mm("3-5/8")))
    assert found["stack"].text == (
        "P-1 (seat L, 2-3/4 in) over D-1 (seat S, 7/8 in) stand 3-5/8 in, where Old Green / punch"
        " leaves 3-1/2 in with the ram down; the punch enters the die 1/8 in at the bottom."
        " The seats are not the same: jog it down without stock first"
    )
    assert said(pair(SEAT_S, SEAT_S, at=at))["entry"].verdict == "refuse"


def test_two_seats_that_stand_alike_close_with_one_another() -> None:
    twin = replace(SEAT_S, name="T")
    found = said(pair(SEAT_S, twin))
    assert {rule: one.verdict for rule, one in found.items()} == {
        "entry": "ok",
        "stack": "caution",
    }


@pytest.mark.parametrize(
    ("adds", "verdict", "text"),
    [
        ((mm("1/2"), mm("1/4")), "ok", "with X-P 1/2 in and X-D 1/4 in stand 3-7/8 in, as high as"),
        ((mm("1/4"), mm("1/4")), "refuse", "1/4 in lower than new tools of seat L: the punch does"),
        ((mm("3/4"), mm("1/4")), "refuse", "goes 0.4272 in into the die, at most 0.2559 in"),
        ((None, mm("1/4")), "refuse", "P-1 and D-1 are not shown to close: measure and record the"),
    ],
)
def test_an_adapters_height_decides(
    adds: tuple[float | None, float | None], verdict: str, text: str
) -> None:
    at = station(seats=frozenset({"L"}))
    adapters = {
        role: ring(role, SEAT_L, mm) for role, mm in zip(("punch", "die"), adds, strict=True)
    }
    findings = judge_stack(pair(SEAT_S, SEAT_S, at=at, adapters=adapters), INCH_RULES, 6.0)
    assert [one.verdict for one in findings if text in one.text] == [verdict]
    assert bool(refusals(findings)) == (verdict == "refuse")


@pytest.mark.parametrize(
    ("changes", "lacking", "remedy"),
    [
        ({"punch": {"length_mm": None}}, "the length of P-1", "measure.length(tag='P-1')"),
        ({"die": {"tag": "", "to_order": True, "kind": "die to order"}},
         "the height of die to order", "import.change(file='seats.csv')"),
    ],
)  # fmt: skip
def test_it_says_which_figure_to_record_and_how(
    changes: dict[str, Any], lacking: str, remedy: str
) -> None:
    bare: dict[str, Any] = {"punch_length_mm": None, "die_height_mm": None}
    at = replace(GREEN, daylight_mm=150.0, stroke_mm=60.0)
    tooling = pair(replace(SEAT_L, **bare), replace(SEAT_S, **bare), at=at, **changes)
    found = said(tooling)["stack"]
    assert (found.verdict, lacking in found.text) == ("refuse", True)
    if "punch" in changes:
        assert str(found.remedy) == remedy
    else:
        assert "the length of P-1" in found.text


def test_a_plate_must_go_between_them_with_the_ram_up() -> None:
    at = replace(GREEN, daylight_mm=mm("3-5/8"), stroke_mm=mm("5/8"))
    close = said(pair(SEAT_S, SEAT_S, at=at), mm("1/2"))
    assert "daylight" not in close
    thick = said(pair(SEAT_S, SEAT_S, at=at), mm("5/8"))["daylight"]
    assert thick.verdict == "refuse"
    assert thick.text.endswith("of 3-5/8 in daylight that leaves 1/2 in, for 5/8 in")


@pytest.mark.parametrize("punch_mm", [10.0, 10.1, 12.7, 33.3])
def test_a_punch_that_just_does_not_reach_is_refused_whatever_rounding_leaves(
    punch_mm: float,
) -> None:
    """10 + 35.2 is more than 45.2 by the last bit, which no die is entered by."""
    seat = replace(SEAT_A, punch_length_mm=punch_mm, die_height_mm=35.2)
    for daylight_mm in (punch_mm + 35.2 + 35.4, 35.4 + 35.2 + punch_mm, 80.6 + punch_mm - 10.0):
        at = replace(GREEN, daylight_mm=daylight_mm, stroke_mm=35.4)
        assert said(pair(seat, seat, at=at))["entry"].verdict == "refuse"


@pytest.mark.parametrize(
    ("ground", "verdict", "entry_mm"),
    [
        ((0.0, 0.0), None, None),
        ((1.5, 1.5), None, None),
        ((1.5, 1.51), "caution", 1.49),
        ((3.0, 1.0), "caution", 0.5),
        ((3.0, 1.5), "refuse", 0.0),
        ((3.0, 3.0), "refuse", -1.5),
    ],
)
@pytest.mark.parametrize("seat", [SEAT_A, replace(SEAT_A, die_height_mm=None)])
def test_tools_of_one_seat_lose_entry_one_for_one_with_what_is_ground_off(
    seat: Seat, ground: tuple[float, float], verdict: str | None, entry_mm: float | None
) -> None:
    off = [{"ground_mm": one} for one in ground]
    found = said(pair(seat, seat, punch=off[0], die=off[1]))
    assert [one.verdict for one in found.values()] == ([] if verdict is None else [verdict])
    assert [one.value for one in found.values()] == (
        [] if entry_mm is None else [pytest.approx(entry_mm, abs=1e-9)]
    )


def test_a_measured_length_counts_over_what_is_said_to_be_ground_off() -> None:
    short = {"length_mm": 70.0 - 4.0, "ground_mm": 1.0}
    found = said(pair(SEAT_A, SEAT_A, punch=short))["entry"]
    assert figure(found) == ("caution", pytest.approx(0.5))
    assert found.text == (
        "P-1 (2.5984 in) over D-1 (1.1417 in) stand 3.7402 in, 0.1575 in lower than new tools of"
        " seat A: the punch enters the die 0.0197 in at the bottom, at least 0.0591 in;"
        " set the stroke, or shim the die as far as the machine's manual allows, and record it"
    )


def test_the_shop_says_how_far_and_how_little() -> None:
    off = {"ground_mm": 3.0}
    deep = INCH_RULES.with_changes({"grind.entry_new_mm": "8"})
    assert judge_stack(pair(SEAT_A, SEAT_A, punch=off, die=off), deep, 6.0) == []
    wary = INCH_RULES.with_changes({"grind.least_entry_mm": "4"})
    assert len(judge_stack(pair(SEAT_A, SEAT_A, punch={"ground_mm": 1.0}), wary, 6.0)) == 1


def test_seats_of_one_side_each_make_one_set() -> None:
    punches = replace(SEAT_A, name="P", die_diameter_mm=None, die_height_mm=None)
    dies = replace(punches, name="D", head_diameter_mm=None, head_thickness_mm=None,
                   body_diameter_mm=None, punch_length_mm=None, die_diameter_mm=54.0,
                   die_height_mm=29.0)  # fmt: skip
    assert said(pair(punches, dies)) == {}
    worn = said(pair(punches, dies, die={"length_mm": 25.0}))["entry"]
    assert figure(worn) == ("caution", pytest.approx(0.5))
    assert "lower than new tools of seat P and D" in worn.text
    assert said(pair(punches, SEAT_A))["stack"].verdict == "refuse"


def test_a_tool_without_its_partner_is_not_judged() -> None:
    assert judge_stack(mounted(tool("punch", 20.0, ground_mm=9.0)), INCH_RULES, 6.0) == []
