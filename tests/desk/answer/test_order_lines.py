"""What to order when nothing serves: the fewest pieces that would, and none that would not."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from crib.stock.engine.session import Session
from crib.stock.writers.kinds import add_kind as add_kind_of
from crib.units import N_PER_US_TON
from tests.desk.asks import HOLE, ask, change, measure, move, one_station, pair
from tests.features.bench import mm
from tests.shop import add_kind, add_piece, add_seat, add_station, small_shop


@pytest.fixture
def bare(tmp_path: Path) -> Iterator[Session]:
    """One station of seat A and an empty shelf."""
    with closing(one_station(tmp_path / "bare.crib")) as session:
        yield session


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    """The small shop."""
    with closing(small_shop(tmp_path / "shop.crib")) as session:
        yield session


def test_an_empty_shelf_gets_a_punch_and_a_die_in_one_seat(bare: Session) -> None:
    lines = ask(bare).order
    assert [(one.spec.role, one.spec.seat_name, one.spec.width_mm) for one in lines] == [
        ("punch", "A", mm("13/16")),
        ("die", "A", mm("27/32")),
    ]
    assert lines[0].because == "no punch at hand serves; this one would, in Ironworker 1 / punch"
    assert "1 die, round 27/32 in opening" in lines[1].text


def test_only_what_is_missing_is_ordered(bare: Session) -> None:
    add_piece(bare, "P-1", add_kind(bare, role="punch", width="13/16", seat_id=1))
    (line,) = ask(bare).order
    assert (line.spec.role, line.spec.width_mm) == ("die", mm("27/32"))
    assert line.because == (
        "no die at hand serves; this one with P-1 would, in Ironworker 1 / punch"
    )


def test_a_punch_is_ordered_for_the_die_that_is_there(shop: Session) -> None:
    (line,) = ask(shop, "hole 0.83in thru 3/8 A36").order
    assert (line.spec.role, line.spec.width_mm) == ("punch", mm("0.83in"))
    assert "with D-" in line.because


def test_a_metric_hole_in_an_inch_crib_is_ordered_and_worked_around_in_mm(bare: Session) -> None:
    found = ask(bare, "hole 25mm thru 10mm S355")
    assert found.phrase == "hole 25mm thru 10mm S355"
    assert "round 25 mm (0.984 in)" in found.order[0].text
    assert "over a 25 mm (0.984 in) punch" in found.order[1].text
    assert "to punch 10 mm (0.394 in) S355" in found.order[1].text
    said = [one.text for one in found.workarounds]
    assert "drill 25 mm, or cut it with an annular cutter" in said


def test_a_die_is_ordered_to_the_measured_punch(bare: Session) -> None:
    add_piece(bare, "P-1", add_kind(bare, role="punch", width="13/16", seat_id=1))
    measure(bare, "P-1", 20.60)
    (line,) = ask(bare).order
    assert line.spec.width_mm == pytest.approx(20.60 + mm("1/32"))


def test_a_kind_that_is_on_record_is_named(bare: Session) -> None:
    kind = add_kind(bare, role="punch", width="13/16", seat_id=1, name="our 13/16 punch")
    punch, die = ask(bare).order
    assert (punch.kind, die.kind) == ("our 13/16 punch", None)
    assert kind


def test_what_is_too_thin_to_punch_gets_no_order(shop: Session) -> None:
    found = ask(shop, "hole 5/16 thru 3/8 A36")
    assert found.order == ()
    assert "the punch would be too thin; drill it" in found.why_no_order
    assert not any("order" in way.text for way in found.workarounds)


def test_what_no_station_can_push_gets_no_order(bare: Session) -> None:
    found = ask(bare, "hole 1-1/4 thru 1 A36")
    assert found.order == ()
    assert "100.0 US tons of 50.0 US tons" in found.why_no_order


def test_the_order_is_for_the_station_that_stands_it(bare: Session) -> None:
    add_station(bare, "Ironworker 2", "punch", 150 * N_PER_US_TON, [1])
    lines = ask(bare, "hole 1-1/4 thru 1 A36").order
    assert len(lines) == 2
    assert all("Ironworker 2 / punch" in one.text for one in lines)


def test_a_station_whose_rating_is_not_known_gets_no_order(bare: Session) -> None:
    change(bare, "UPDATE station SET rated_force_n = NULL")
    found = ask(bare)
    assert found.order == ()
    assert "no rated force" in found.why_no_order


def test_a_shop_with_seats_for_one_side_each_gets_its_order(bare: Session) -> None:
    """Punches seat in P, dies in D: neither seat has the numbers of the other side."""
    change(bare, "DELETE FROM station_seat")
    nothing: dict[str, Any] = dict.fromkeys(
        ("head_diameter_mm", "head_thickness_mm", "body_diameter_mm", "nut_bore_mm")
    )
    add_seat(bare, "D", **nothing, punch_length_mm=None)
    add_seat(bare, "P", die_diameter_mm=None, die_height_mm=None)
    change(bare, "INSERT INTO station_seat (station_id, seat_id)"
                 " SELECT 1, id FROM seat WHERE name IN ('D', 'P')")  # fmt: skip
    specs = [line.spec for line in ask(bare).order]
    assert [(one.role, one.seat_name) for one in specs] == [("punch", "P"), ("die", "D")]


def test_both_pieces_are_ordered_in_one_seat_where_a_station_takes_two(shop: Session) -> None:
    change(shop, "UPDATE machine SET in_service = 0 WHERE name = 'Ironworker 1'")
    lines = ask(shop, "hole 1 thru 3/8 A36").order
    assert [one.spec.role for one in lines] == ["punch", "die"]
    assert len({one.spec.seat_name for one in lines}) == 1


def test_a_shaped_order_says_its_key_and_both_sizes(bare: Session) -> None:
    punch, die = ask(bare, "slot 13/16 x 1-1/8 thru 3/8 A36").order
    assert punch.text.startswith("1 punch, obround 13/16 x 1-1/8 in overall, seat A:")
    assert "long axis keyed along (0°) and across (90°) the throat" in punch.text
    assert (die.spec.width_mm, die.spec.long_mm) == (mm("27/32"), mm("1-5/32"))


def test_a_piece_that_is_away_is_not_bought_again_without_being_fetched_first(
    bare: Session,
) -> None:
    pair(bare)
    move(bare, "D-1", "Sam", "person")
    found = ask(bare)
    assert [one.spec.role for one in found.order] == ["die"]
    texts = [way.text for way in found.workarounds]
    assert texts[0] == "fetch D-1 from Sam: it would serve"
    assert texts[-1] == "order what is missing (lines above), normal or rush"


def test_the_job_stands_in_the_order(bare: Session) -> None:
    assert "our job J-7" in ask(bare, HOLE, job="J-7").order[0].text


@pytest.mark.parametrize("phrase", [HOLE, "hole 1 thru 1/4 304", "slot 13/16 x 1-1/8 thru 3/8"])
def test_what_is_ordered_serves_when_it_arrives(bare: Session, phrase: str) -> None:
    for number, line in enumerate(ask(bare, phrase).order):
        with bare.writing():
            kind = add_kind_of(bare, f"kind {number}", line.spec)
        add_piece(bare, f"N-{number}", kind)
    assert ask(bare, phrase).serves


@pytest.mark.parametrize(
    ("opening", "ordered"),
    [
        ("7/8", "7/8"),
        ("57/64", "57/64"),
        ("53/64", "27/32"),
        ("15/16", "27/32"),
        ("1-1/16", "27/32"),
    ],
)
def test_a_die_on_record_within_the_band_comes_before_a_size_that_nobody_sells(
    bare: Session, opening: str, ordered: str
) -> None:
    """1/32 is the policy for 3/8; 8 to 25 % of it is 0.030 to 0.094, else it would be a caution."""
    add_piece(bare, "P-1", add_kind(bare, role="punch", width="13/16", seat_id=1))
    add_kind(bare, role="die", width=opening, seat_id=1, name="ours on record")
    (line,) = ask(bare).order
    assert line.spec.role == "die"
    assert line.spec.width_mm == pytest.approx(mm(ordered))
    assert line.kind == ("ours on record" if opening == ordered else None)
    assert ask(bare, HOLE, "P-1").order == ()


def test_of_dies_on_record_the_one_nearest_to_the_policy_is_ordered(bare: Session) -> None:
    add_piece(bare, "P-1", add_kind(bare, role="punch", width="13/16", seat_id=1))
    for opening in ("57/64", "55/64", "7/8"):
        add_kind(bare, role="die", width=opening, seat_id=1, name=f"die {opening}")
    assert [line.kind for line in ask(bare).order] == ["die 55/64"]


def test_a_die_on_record_that_the_rules_refuse_is_not_ordered(bare: Session) -> None:
    add_piece(bare, "P-1", add_kind(bare, role="punch", width="13/16", seat_id=1))
    other = add_seat(bare, "Z", die_diameter_mm=23.0, die_height_mm=28.0, body_diameter_mm=30.0)
    add_kind(bare, role="die", width="7/8", seat_id=other, name="thin wall")
    add_kind(bare, role="die", width="7/8", seat_id=1, shape="square", name="square")
    assert [line.kind for line in ask(bare).order] == [None]


def test_what_is_ordered_for_a_reamed_hole_is_under_size_and_says_so(bare: Session) -> None:
    found = ask(bare, "hole 15/16 thru 3/8 A36 ream")
    punch, die = found.order
    assert punch.spec.width_mm == pytest.approx(22.225)
    assert [line.spec.ream_to_mm for line in (punch, die)] == [pytest.approx(23.8125)] * 2
    assert "under size, its hole is reamed to 15/16 in" in punch.text
    assert die.spec.width_mm is not None
    assert die.spec.width_mm < 23.8125
