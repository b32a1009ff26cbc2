"""When nothing serves: what came nearest, why, and how many pieces were left after each step."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from crib.acts import act
from crib.desk.answer.near_misses import MOST_MISSES
from crib.stock.engine.session import Session
from crib.trade.metal.hole_method import known_codes
from tests.desk.asks import HOLE, ask, change, enter, move, one_station, pair, stops
from tests.shop import add_kind, add_piece, add_seat, small_shop


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    """The small shop."""
    with closing(small_shop(tmp_path / "shop.crib")) as session:
        yield session


@pytest.fixture
def bare(tmp_path: Path) -> Iterator[Session]:
    """One station and an empty shelf."""
    with closing(one_station(tmp_path / "bare.crib")) as session:
        yield session


def steps(found: Any) -> list[tuple[int, str, str]]:
    """The funnel: left, step, why."""
    return [(one.left, one.step, one.failed) for one in found.funnel]


def test_the_funnel_stops_at_the_figure_that_failed(shop: Session) -> None:
    assert steps(ask(shop, "hole 15/16 thru 3/8 A36")) == [
        (2, "punches in the crib", ""),
        (2, "of them round", ""),
        (0, "of that size", "wanted 15/16 in, nearest 7/8 in"),
        (3, "dies in the crib", ""),
        (3, "of them round", ""),
        (0, "a little larger than the punch", "wanted 31/32 in, nearest 7/8 in"),
        (0, "that every rule passes", "punch round 13/16 in (nominal), wanted round 15/16 in"),
    ]


def test_the_funnel_of_a_long_slot_says_the_longest_there_is(bare: Session) -> None:
    """As the trade puts it: so many punches, so many obround, of that width, none that long."""
    for long in ("1-1/4", "1"):
        shape: dict[str, Any] = {"shape": "obround", "key_angles": "0", "seat_id": 1}
        add_piece(
            bare, f"P-{long}", add_kind(bare, role="punch", width="13/16", long=long, **shape)
        )
    add_piece(bare, "P-9", add_kind(bare, role="punch", width="13/16", seat_id=1))
    found = ask(bare, "slot 13/16 x 1-7/8 thru 3/8 A36")
    assert steps(found)[:6] == [
        (3, "punches in the crib", ""),
        (2, "of them obround", ""),
        (2, "of that width", ""),
        (0, "of that length", "wanted 1-7/8 in, nearest 1-1/4 in"),
        (0, "dies in the crib", "no die at all"),
        (0, "that every rule passes", ""),
    ]


@pytest.mark.parametrize(
    ("how", "words"),
    [
        ("broken", "broken, locked, lost, away, or kept for another material"),
        ("away", "broken, locked, lost, away, or kept for another material"),
    ],
)
def test_the_funnel_says_when_the_right_piece_is_there_and_not_at_hand(
    bare: Session, how: str, words: str
) -> None:
    pair(bare)
    if how == "broken":
        enter(bare, "P-1", "break", condition="broken")
    else:
        move(bare, "P-1", "Sam", "person")
    assert steps(ask(bare))[3] == (0, "sound and at hand", words)


def test_an_empty_crib_still_answers(bare: Session) -> None:
    found = ask(bare)
    assert steps(found) == [
        (0, "punches in the crib", "no punch at all"),
        (0, "dies in the crib", "no die at all"),
        (0, "that every rule passes", ""),
    ]
    assert found.near_misses == ()
    assert len(found.order) == 2


def test_a_crib_without_any_station_says_so_and_orders_nothing(bare: Session) -> None:
    pair(bare)
    change(bare, "DELETE FROM place WHERE sort = 'station'")
    change(bare, "DELETE FROM station_seat")
    change(bare, "DELETE FROM station")
    found = ask(bare)
    assert found.notes == ("no station in service does punch work",)
    assert found.why_no_order == "no station and seat in service that a tool could be ordered for"


def test_a_miss_is_left_out_when_a_nearer_one_fails_for_less(shop: Session) -> None:
    found = ask(shop, "hole 5/16 thru 3/8 A36")
    why = [set(stops(one)) for one in found.near_misses]
    assert why == [{"hole to thickness", "size", "punch stress"}]


def test_misses_that_fail_for_other_reasons_are_shown_and_not_too_many(shop: Session) -> None:
    change(shop, "UPDATE station SET rated_force_n = 200000 WHERE id = 1")
    change(shop, "DELETE FROM station_seat WHERE station_id = 2 AND seat_id = 1")
    found = ask(shop)
    assert [set(stops(one)) for one in found.near_misses] == [{"force"}, {"seat"}]
    assert len(found.near_misses) <= MOST_MISSES


def test_what_is_away_is_not_hidden_by_many_that_cannot_serve(bare: Session) -> None:
    """The seat that would do is with Sam; a dozen of another seat lie in the drawer."""
    pair(bare)
    move(bare, "P-1", "Sam", "person")
    other = add_kind(bare, role="punch", width="13/16", seat_id=add_seat(bare, "Z"))
    for number in range(12):
        add_piece(bare, f"P-9{number:02d}", other)
    found = ask(bare)
    assert set(stops(found.near_misses[0])) == {"place"}
    assert found.workarounds[0].text == "fetch P-1 from Sam: it would serve"


def test_two_things_to_do_are_said_together(bare: Session) -> None:
    pair(bare)
    move(bare, "P-1", "Sam", "person")
    enter(bare, "D-1", "break", condition="inspect")
    way = ask(bare).workarounds[0]
    said = "fetch P-1 from Sam; inspect D-1, and if it is sound say so: it would serve"
    assert (way.text, way.acts) == (said, (act("look.inspected", tag="D-1"),))


def test_not_every_piece_that_is_away_is_listed(bare: Session) -> None:
    pair(bare)
    kind = bare.value("SELECT kind_id FROM piece WHERE tag = 'P-1'")
    for number in range(6):
        add_piece(bare, f"P-9{number}", kind)
        move(bare, f"P-9{number}", "Sam", "person")
    move(bare, "P-1", "Sam", "person")
    assert sum("fetch" in way.text for way in ask(bare).workarounds) <= 4


def test_a_broken_piece_is_not_to_be_fetched(bare: Session) -> None:
    pair(bare)
    move(bare, "P-1", "Sam", "person")
    enter(bare, "P-1", "break", condition="broken")
    assert not any("fetch" in way.text for way in ask(bare).workarounds)


def test_a_role_that_is_missing_altogether_is_named(bare: Session) -> None:
    add_piece(bare, "P-1", add_kind(bare, role="punch", width="13/16", seat_id=1))
    found = ask(bare)
    assert stops(found.near_misses[0])["die"].text == "no die at hand to go with it"
    assert [line.spec.role for line in found.order] == ["die"]


def test_workarounds_stand_cheapest_first_and_each_once(shop: Session) -> None:
    found = ask(shop, "hole 15/16 thru 3/8 A36")
    texts = [way.text for way in found.workarounds]
    assert texts == [
        "punch it under size and ream to 15/16 in",
        "drill 15/16 in, or cut it with an annular cutter",
        "have the holes made outside: ask price, freight and days",
        "order what is missing (lines above), normal or rush",
    ]
    ranks = [way.cost_rank for way in found.workarounds]
    assert ranks == sorted(ranks)


def test_the_phrase_of_a_workaround_can_be_asked(shop: Session) -> None:
    (phrase,) = {way.ask for way in ask(shop, "hole 15/16 thru 3/8 A36").workarounds} - {None}
    found = ask(shop, str(phrase))
    assert found.serves
    assert found.to_ream
    assert found.phrase == "hole 15/16 thru 3/8 A36 ream"
    assert found.picks[0].figures["punched_mm"] == pytest.approx(20.6375)


def test_a_reamed_hole_gets_past_the_code_that_sent_it_there(shop: Session) -> None:
    """EN 1090-2, EXC3: 15/16 is refused, 2 mm under it a 13/16 punch is left to be reamed."""
    facts: dict[str, Any] = {"code": "EN 1090-2", "execution_class": 3}
    found = ask(shop, "hole 15/16 thru 3/8 A36", **facts)
    assert "method" in stops(found.near_misses[0])
    assert found.order == ()
    assert found.why_no_order.startswith("EXC3")
    (phrase,) = {way.ask for way in found.workarounds} - {None}
    assert phrase == "hole 15/16 thru 3/8 A36 ream"
    reamed = ask(shop, str(phrase), **facts)
    assert reamed.picks[0].figures["punched_mm"] <= 23.8125 - 2
    assert not ask(shop, HOLE, **facts).serves


@pytest.mark.parametrize("dynamic", [False, True])
@pytest.mark.parametrize("code", ["", *known_codes()])
def test_no_way_is_offered_that_its_own_answer_refuses(
    shop: Session, code: str, dynamic: bool
) -> None:
    """Asked itself with the same flags it serves, or says what to order that would."""
    sizes = ("9/16", "13/16", "15/16", "1-1/16")
    asks = [f"hole {size}" for size in sizes]
    asks += [f"bolt {size} per AISC 360-22" for size in ("1/2", "3/4", "7/8", "1")]
    facts: dict[str, Any] = {"code": code, "dynamic": dynamic}
    for one in asks:
        for plate in ("1/8 A36", "3/8 A36", "5/8 A572-50", "3/4 A514"):
            found = ask(shop, f"{one} thru {plate}", **facts)
            for way in found.workarounds:
                if way.ask is None:
                    continue
                again = ask(shop, way.ask, **facts)
                assert again.serves or again.order, (one, plate, way.ask)
                assert not again.serves or again.method is not None
