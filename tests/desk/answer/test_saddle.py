"""Saddles at the window: pipe against tube, the set that fits, what to order and do without."""

from __future__ import annotations

from collections.abc import Iterator
from math import pi
from pathlib import Path
from typing import Any

import pytest

from crib.acts import act
from crib.errors import BadPhrase
from crib.stock.engine.session import Session
from crib.stock.tables.all_tables import PlaceRecord
from crib.trade.metal.pipe_outsides import pipe_outside_mm
from crib.trade.metal.pipes import pipe_size
from crib.units import N_PER_US_TON
from tests.desk.asks import ask, change, first, rule, say, stops, tags
from tests.shop import add_kind, add_piece, add_seat, add_station, insert, made_once, new_crib

INCH = 25.4
SIZES = ("3/4", "1", "1-1/4", "1-1/2", "2")
RAIL = "saddle 1-1/2 rail measured 1.900 0.145 wall centres 48"


@made_once
def saddle_shop(path: Path, /, unit: str = "in", **station: Any) -> Session:
    """A shop with one saddle station and the usual schedule 40 sets, size on size, 3/4 to 2."""
    shop = new_crib(path, unit=unit)
    seat = add_seat(shop, "S", die_diameter_mm=76.2, die_height_mm=50.8)
    columns: dict[str, Any] = {"does": "saddle", "rated_force_n": 50 * N_PER_US_TON} | station
    add_station(shop, "Ironworker 1", "pipe notcher", seat_ids=[seat], **columns)
    insert(shop, PlaceRecord, name="A2", sort="drawer", walk_order=1)
    for number, nps in enumerate(SIZES, 1):
        add_piece(shop, f"S-{number}", add_set(shop, nps, seat_id=seat))
    return shop


def add_set(shop: Session, nps: str, **columns: Any) -> int:
    """A schedule 40 set of a pipe, size on size unless said otherwise."""
    outside_mm = pipe_outside_mm(nps)
    own: dict[str, Any] = {
        "name": f"saddle set {nps} pipe",
        "profile": "saddle",
        "header_mm": outside_mm,
        "most_wall_mm": pipe_size(nps).wall_mm + 0.05,
        "seat_id": 1,
    }
    return add_kind(shop, role="set", width=f"{outside_mm}mm", **(own | columns))


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    made = saddle_shop(tmp_path / "inch.crib")
    yield made
    made.close()


@pytest.fixture
def metric(tmp_path: Path) -> Iterator[Session]:
    made = saddle_shop(tmp_path / "metric.crib", unit="mm")
    yield made
    made.close()


# I9


def test_i9_a_rail_that_measures_1_900_is_pipe_and_gets_its_size_on_size_set(shop: Session) -> None:
    """1.900 is 1-1/2 pipe. Size on size: depth R - sqrt(R² - r²) = R = .950.

    Tip to tip 48 - 2 sqrt(R² - r²) = 48.000; throat 48 - 1.900 = 46.100.
    """
    found = ask(shop, RAIL)
    assert first(found) == "S-4"
    figures = found.picks[0].figures
    assert figures["hits"] == 2
    assert figures["depth_mm"] / INCH == pytest.approx(0.950, abs=5e-4)
    assert figures["tip_to_tip_mm"] / INCH == pytest.approx(48.000, abs=5e-4)
    assert figures["throat_mm"] / INCH == pytest.approx(46.100, abs=5e-4)
    assert found.ask.as_json()["branch"] == "pipe"
    assert say(found.picks[0], "method").text == (
        "2 strokes, the work turned 180° between against the same stop; saddle 0.950 in deep;"
        " cut 48.000 in long, square: that is tip to tip, and 46.100 in from throat to throat"
    )


def test_i9_each_stroke_takes_half_the_circumference_times_the_wall(shop: Session) -> None:
    """Half of pi x 1.900 x .145 x 25.465 US tons a square inch of A53-B = 11.0 US tons."""
    best = ask(shop, RAIL).picks[0]
    us_tons = best.figures["force_kn"] * 1000 / N_PER_US_TON
    assert us_tons == pytest.approx(pi * 1.9 / 2 * 0.145 * 80 / pi, abs=0.05)
    assert us_tons == pytest.approx(11.0, abs=0.05)
    assert best.figures["load"] == pytest.approx(0.22, abs=0.005)


# I10


def test_i10_a_rail_that_measures_1_500_is_tube_and_the_pipe_set_would_crush_it(
    shop: Session,
) -> None:
    """Slack 1.900 - 1.500 = .400 against 1/32: stop. Order nest 1.500, or notch it otherwise."""
    asked = "saddle 1-1/2 rail measured 1.500 0.120 wall"
    assert not ask(shop, asked).serves
    on_pipe_set = stops(ask(shop, asked, "S-4").near_misses[0])
    assert on_pipe_set["nest"].value == pytest.approx(0.400 * INCH)
    assert "0.400 in slack, at most 0.031 in; it will crush the work" in on_pipe_set["nest"].text
    found = ask(shop, asked)
    (line,) = found.order
    assert "nest 1.500 in for 1-1/2 tube" in line.text
    assert any("tube notcher, with a hole saw" in way.text for way in found.workarounds)
    assert found.ask.as_json()["branch"] == "tube"


def test_a_measured_tube_without_its_wall_is_asked_for_it(shop: Session) -> None:
    with pytest.raises(BadPhrase, match=r"measured it is tube, not pipe: .*say its wall"):
        ask(shop, "saddle 1-1/2 rail measured 1.500")


def test_neither_pipe_nor_tube_is_asked_back_with_both_outsides(shop: Session) -> None:
    with pytest.raises(BadPhrase, match=r"pipe or tube\? .*1\.900 in.*1\.500 in") as caught:
        ask(shop, "saddle 1-1/2 rail")
    assert caught.value.pointer().endswith("\n" + " " * 13 + "^^^^")


# orders


def test_the_order_line_of_a_tube_set_can_be_shipped_from(shop: Session) -> None:
    found = ask(shop, "saddle 1-1/2 tube 0.120 wall onto 2 pipe", job="4711")
    (line,) = found.order
    assert line.text == (
        "1 saddle set, both halves matched, nest 1.500 in for 1-1/2 tube, cut radius 1.188 in for"
        " a header 2.375 in outside (2 pipe), square, axes meeting, walls up to 0.120 in, say the"
        " thinnest it takes, seat S: die OD 3 in, height 2 in, to cut A36 in 2 strokes of 7.2 US"
        " tons, for Ironworker 1 / pipe notcher, our job 4711"
    )
    assert (line.spec.role, line.spec.seat_name, line.kind) == ("set", "S", None)


def test_a_schedule_80_set_is_ordered_to_take_schedule_40_as_well(shop: Session) -> None:
    found = ask(shop, "saddle 1-1/2 pipe sch 80")
    assert stops(found.near_misses[0])["wall"].limit == pytest.approx(3.73)
    (line,) = found.order
    assert "nest 1.900 in for 1-1/2 pipe" in line.text
    assert "walls 0.145 in to 0.200 in" in line.text


def test_a_kind_for_another_header_is_not_taken_for_the_one_to_order(shop: Session) -> None:
    (line,) = ask(shop, "saddle 1-1/2 pipe sch 40 onto 2 pipe").order
    assert line.kind is None


def test_what_was_ordered_serves_when_it_comes(shop: Session) -> None:
    phrase = "saddle 1-1/2 tube 0.120 wall onto 2 pipe"
    made = ask(shop, phrase).order[0]
    kind = add_kind(
        shop,
        role="set",
        width=f"{made.spec.width_mm}mm",
        profile="saddle",
        header_mm=60.325,
        most_wall_mm=3.048,
        seat_id=1,
    )
    add_piece(shop, "S-9", kind)
    assert first(ask(shop, phrase)) == "S-9"


# what refuses


@pytest.mark.parametrize(
    ("nest_mm", "serves"),
    [(48.26 - 0.81, False), (48.26 - 0.8, True), (48.26 + 0.8, True), (48.26 + 0.81, False)],
)
def test_the_nest_is_the_outside_within_a_thirty_second(
    shop: Session, nest_mm: float, serves: bool
) -> None:
    header_mm = max(nest_mm, 48.26)
    sql = "UPDATE kind SET width_mm = ?, header_mm = ? WHERE id = 4"
    change(shop, sql, nest_mm, header_mm)
    assert ask(shop, "saddle 1-1/2 pipe sch 40").serves is serves


def test_a_set_for_another_header_is_refused(shop: Session) -> None:
    found = ask(shop, "saddle 1-1/2 pipe sch 40 onto 2 pipe", "S-4")
    said = stops(found.near_misses[0])["header"]
    assert said.text == (
        "cut for a header 1.900 in outside, this one is 2.375 in: the saddle would not sit"
    )


@pytest.mark.parametrize(
    ("column", "rule_name", "words"),
    [
        ("header_mm", "header", "no header declared"),
        ("most_wall_mm", "wall", "no thickest wall declared"),
        ("seat_id", "seat", "no seat declared"),
    ],
)
def test_what_was_never_declared_refuses_and_says_what_to_enter(
    shop: Session, column: str, rule_name: str, words: str
) -> None:
    change(shop, f"UPDATE kind SET {column} = NULL WHERE id = 4")
    found = ask(shop, "saddle 1-1/2 pipe sch 40", "S-4")
    assert words in stops(found.near_misses[0])[rule_name].text


def test_a_station_without_a_rating_refuses(tmp_path: Path) -> None:
    shop = saddle_shop(tmp_path / "unrated.crib", rated_force_n=None)
    found = ask(shop, "saddle 1-1/2 pipe sch 40", "S-4")
    assert "no rated force" in stops(found.near_misses[0])["force"].text
    shop.close()


def test_the_sets_own_rating_counts(shop: Session) -> None:
    change(shop, "UPDATE kind SET rated_force_n = 90000 WHERE id = 4")
    found = ask(shop, "saddle 1-1/2 pipe sch 40", "S-4")
    assert stops(found.near_misses[0])["force"].limit == pytest.approx(90)


@pytest.mark.parametrize("part", ["at 60", "onto 3 pipe at 60 offset 1/4", "onto 2 pipe offset .2"])
def test_another_angle_or_an_offset_is_refused_and_sent_to_the_template(
    shop: Session, part: str
) -> None:
    found = ask(shop, f"saddle 1-1/2 pipe sch 40 {part}")
    assert not found.serves
    assert not found.order
    assert "use a template" in found.why_no_order
    way = found.workarounds[0]
    assert way.text == "cut it by a wrap-around template"
    assert way.acts == (act("wrap", phrase=found.phrase, file="saddle.pdf"),)


def test_no_station_for_saddles_is_said(shop: Session) -> None:
    change(shop, "UPDATE machine SET in_service = 0")
    assert "no station in service does saddle work" in ask(shop, "saddle 2 pipe sch 40").notes


def test_a_wall_that_nobody_named_is_a_caution(shop: Session) -> None:
    assert say(ask(shop, "saddle 1-1/2 pipe").picks[0], "wall named").verdict == "caution"
    verdicts = {one.verdict for one in ask(shop, "saddle 1-1/2 pipe sch 40").picks[0].findings}
    assert verdicts == {"ok"}


# ways to the same set


@pytest.mark.parametrize(
    "phrase",
    ["saddle 1-1/2 pipe sch 40", "saddle DN40 pipe sch 40", "saddle 48.3mm tube 3.68mm wall"],
)
def test_inch_and_metric_phrases_and_cribs_give_one_answer(
    shop: Session, metric: Session, phrase: str
) -> None:
    for crib in (shop, metric):
        found = ask(crib, phrase)
        assert tags(found) == ["S-4"]
        assert found.picks[0].figures["depth_mm"] == pytest.approx(24.13, abs=0.03)


def test_a_set_comes_in_by_an_attachment_too(shop: Session) -> None:
    tower = add_seat(shop, "tower", die_diameter_mm=100.0)
    change(shop, "UPDATE station_seat SET seat_id = ?", tower)
    assert not ask(shop, "saddle 1-1/2 pipe sch 40").serves
    attachment = add_kind(
        shop,
        role="attachment",
        width="10",
        seat_id=tower,
        presents_seat_id=1,
        rated_force_n=150_000.0,
    )
    add_piece(shop, "T-1", attachment)
    best = ask(shop, "saddle 1-1/2 pipe sch 40").picks[0]
    assert [one.tag for one in best.tooling.adapters.values()] == ["T-1"]
    assert best.figures["limit_kn"] == pytest.approx(150)


def test_a_job_weighs_two_strokes_for_each_saddle(shop: Session) -> None:
    one = ask(shop, "saddle 1-1/2 pipe sch 40", quantity=300).picks[0]
    assert one.severities["set"] == pytest.approx(2 * 0.5)


def test_a_narrower_tolerance_is_the_shops_own_choice(shop: Session) -> None:
    change(shop, "UPDATE kind SET width_mm = 47.8 WHERE id = 4")
    assert ask(shop, "saddle 1-1/2 pipe sch 40").serves
    rule(shop, "saddle.nest_tolerance_mm", "0.3")
    assert not ask(shop, "saddle 1-1/2 pipe sch 40").serves
