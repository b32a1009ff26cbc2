"""Pairs of one seat and of two, as a crib has them: which are taken, ordered, and in what order."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from itertools import count
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crib.desk.answer.find import Found
from crib.desk.answer.rank import Candidate
from crib.features.common.findings import cautions, refusals
from crib.stock.engine.session import Session
from tests.desk.asks import HOLE, ask, change, say, stops, tags
from tests.shop import add_kind, add_piece, add_seat, add_station, made_once, new_crib

LENGTHS: dict[str, tuple[float, float]] = {"S": (57.15, 22.225), "L": (69.85, 28.575)}


@made_once
def two_seats(path: Path, /, **columns: Any) -> Session:
    """One station that takes seats S and L, with nothing on the shelf."""
    shop = new_crib(path)
    seats = [
        add_seat(shop, name, punch_length_mm=punch_mm, die_height_mm=die_mm)
        for name, (punch_mm, die_mm) in LENGTHS.items()
    ]
    add_station(shop, "Old Green", "punch", 4.5e5, seats, **columns)
    return shop


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    with closing(two_seats(tmp_path / "two.crib")) as session:
        yield session


def add(shop: Session, tag: str, seat: str, **columns: Any) -> None:
    """A 13/16 punch or a 27/32 die of a seat, by the letter of its tag."""
    role, width = ("punch", "13/16") if tag[0] == "P" else ("die", "27/32")
    number = list(LENGTHS).index(seat) + 1
    kind = add_kind(shop, name=f"{role} {tag}", role=role, width=width, seat_id=number)
    add_piece(shop, tag, kind, **columns)


def measured(shop: Session, daylight_mm: float, stroke_mm: float) -> None:
    """Record what the station leaves."""
    change(shop, "UPDATE station SET daylight_mm = ?, stroke_mm = ?", daylight_mm, stroke_mm)


def test_a_punch_over_a_die_of_another_seat_is_refused_until_it_is_shown_to_close(
    shop: Session,
) -> None:
    add(shop, "P-1", "L")
    add(shop, "D-1", "S")
    found = ask(shop)
    assert set(stops(found.near_misses[0])) == {"entry"}
    assert [(line.spec.role, line.spec.seat_name) for line in found.order] == [("die", "L")]
    measured(shop, 200.0, 110.0)
    (pick,) = ask(shop).picks
    assert [one.rule for one in cautions(pick.findings)] == ["stack"]
    assert say(pick, "entry").value == pytest.approx(69.85 + 22.225 - 90.0)


def test_a_pair_of_one_seat_comes_before_every_mixed_one_whatever_is_said_of_it(
    shop: Session,
) -> None:
    measured(shop, 200.0, 109.5)
    for tag in ("P-1", "D-2"):
        add(shop, tag, "L")
    add(shop, "D-1", "S")
    change(shop, "UPDATE piece SET length_mm = 27.0 WHERE tag = 'D-2'")
    change(shop, "UPDATE piece SET wear_milli = 5100000 WHERE tag = 'D-2'")
    found = ask(shop)
    assert tags(found) == ["P-1+D-2", "P-1+D-1"]
    assert [bool(cautions(pick.findings)) for pick in found.picks] == [True, True]
    assert found.decided_by == "punch and die of one seat"
    (chosen,) = ask(shop, HOLE, "P-1", "D-1").picks
    assert chosen.tooling.mixed


def test_a_die_that_is_ground_too_low_for_a_punch_gives_way_to_the_next_copy(
    shop: Session,
) -> None:
    add(shop, "P-1", "L", length_mm=66.5)
    add(shop, "D-1", "L")
    kind = shop.value("SELECT kind_id FROM piece WHERE tag = 'D-1'")
    change(shop, "UPDATE piece SET length_mm = 27 WHERE tag = 'D-1'")
    assert set(stops(ask(shop).near_misses[0])) == {"entry"}
    add_piece(shop, "D-9", kind)
    assert tags(ask(shop)) == ["P-1+D-9"]


def test_the_strongest_adapters_that_close_are_taken(tmp_path: Path) -> None:
    with closing(new_crib(tmp_path / "adapted.crib")) as shop:
        for name, (punch_mm, die_mm) in LENGTHS.items():
            add_seat(shop, name, punch_length_mm=punch_mm, die_height_mm=die_mm)
        add_station(shop, "Old Green", "punch", 4.5e5, [2])
        for tag in ("P-1", "D-1"):
            add(shop, tag, "S")
        held = {"width": "1", "shape": "", "width_mm": None, "seat_id": 2, "presents_seat_id": 1}
        for tag, side, rated_n, adds_mm in (
            ("X-1", "punch", 9e5, None),
            ("X-2", "punch", 8e5, 30.0),
            ("X-3", "punch", 3e5, 12.7),
            ("X-4", "die", 3e5, 6.35),
        ):
            adapter: dict[str, Any] = {**held, "rated_force_n": rated_n}
            kind = add_kind(shop, name=tag, role=f"{side}_adapter", **adapter)
            change(shop, "UPDATE kind SET added_height_mm = ? WHERE id = ?", adds_mm, kind)
            add_piece(shop, tag, kind)
        (pick,) = ask(shop).picks
        assert {one.tag for one in pick.tooling.adapters.values()} == {"X-3", "X-4"}
        assert say(pick, "stack").verdict == "ok"


PIECES = st.lists(
    st.tuples(
        st.sampled_from(("P", "D")),
        st.sampled_from("SL"),
        st.none() | st.integers(200, 720).map(lambda tenths: tenths / 10),
        st.sampled_from((0.0, 0.0, 4800.0)),
    ),
    min_size=2,
    max_size=7,
)
STATION = st.none() | st.tuples(st.sampled_from((150.0, 200.0)), st.integers(50, 125))
_cribs = count()


def _closes(pick: Candidate, station: tuple[float, int] | None) -> bool:
    """Whether a pick's stack closes, by plain arithmetic."""
    height_mm, left = 0.0, set()
    for role, tool in pick.tooling.tools.items():
        seat = tool.seat.name if tool.seat else ""
        punch_mm, die_mm = LENGTHS[seat]
        height_mm += tool.length_mm or (punch_mm if role == "punch" else die_mm)
        left.add(punch_mm + die_mm - 4.5)
    if station is not None:
        left = {station[0] - station[1]}
        if station[0] - height_mm < 9.525 - 1e-6:
            return False
    return all(0 < height_mm - one <= 6.5 + 1e-6 for one in left)


@settings(max_examples=40, deadline=None)
@given(PIECES, STATION)
def test_every_pick_of_any_shelf_closes_and_one_seat_comes_first(
    tmp_path_factory: pytest.TempPathFactory,
    pieces: list[tuple[str, str, float | None, float]],
    station: tuple[float, int] | None,
) -> None:
    path = tmp_path_factory.getbasetemp() / f"any-{next(_cribs)}.crib"
    with closing(two_seats(path)) as shop:
        if station is not None:
            measured(shop, *station)
        for number, (letter, seat, length_mm, wear) in enumerate(pieces):
            add(shop, f"{letter}-{number}", seat)
            change(
                shop,
                "UPDATE piece SET length_mm = ?, wear_milli = ? WHERE tag = ?",
                length_mm,
                int(1000 * wear),
                f"{letter}-{number}",
            )
        found = ask(shop)
        _require_sound(found, station)
        if not found.picks:
            assert not any(_one_seat_closes(pieces, station))
        ordered = {(one.spec.role[0].upper(), one.spec.seat_name) for one in found.order}
        at_hand = {(letter, seat) for letter, seat, *_rest in pieces}
        for letter, seat in ordered:
            assert ("D" if letter == "P" else "P", seat) in ordered | at_hand


def _require_sound(found: Found, station: tuple[float, int] | None) -> None:
    mixed = [pick.tooling.mixed for pick in found.picks]
    assert mixed == sorted(mixed)
    for pick in found.picks:
        assert not refusals(pick.findings)
        assert _closes(pick, station)
        assert not pick.tooling.mixed or say(pick, "stack").verdict == "caution"
    for miss in found.near_misses:
        if len(miss.tools) == 2 and set(stops(miss)) <= {"stack", "entry", "daylight"}:
            assert not _closes(miss, station)


def _one_seat_closes(
    pieces: list[tuple[str, str, float | None, float]], station: tuple[float, int] | None
) -> Iterator[bool]:
    """For each pair of one seat, whether it closes."""
    for punch in (one for one in pieces if one[0] == "P"):
        for die in (one for one in pieces if one[0] == "D" and one[1] == punch[1]):
            punch_mm, die_mm = LENGTHS[punch[1]]
            height_mm = (punch[2] or punch_mm) + (die[2] or die_mm)
            left_mm = punch_mm + die_mm - 4.5
            roomy = True
            if station is not None:
                left_mm, roomy = station[0] - station[1], station[0] - height_mm >= 9.525
            yield roomy and 0 < height_mm - left_mm <= 6.5
