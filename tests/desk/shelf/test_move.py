"""Moving pieces: drawers, stations with their hard stops, swapping, adapters."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from crib.acts import act, acts_in, yes_to
from crib.desk.common.acting import stamp_for
from crib.desk.common.mounting import pair_fault
from crib.desk.shelf.move import MountedPiece, Move, Moved, move_pieces
from crib.errors import AskBack, BadValue, CribError, Refused, UnknownName
from crib.stock.book import ledger
from crib.stock.book.ledger import rebuild
from crib.stock.engine.opening import open_crib
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
from crib.stock.queries.places import last_drawer, place_by_name
from crib.stock.tables.all_tables import PlaceRecord
from tests.desk.rows import nothing_changes
from tests.shop import add_kind, add_piece, add_seat, add_station, insert, small_shop

ONE = "Ironworker 1 / punch"
TWO = "Ironworker 2 / punch"


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    session = small_shop(tmp_path / "shop.crib")
    yield session
    session.close()


def move(shop: Session, tags: str, to: str, *, swap: bool = False, new: bool = False) -> Moved:
    yes = yes_to("station-taken") if swap else yes_to()
    return move_pieces(shop, Move(tuple(tags.split()), to, new, yes), by="nights")


def place_of(shop: Session, tag: str) -> str | None:
    return piece_by_tag(shop, tag).place


def shaped(shop: Session, role: str, tag: str, width: str, long: str, key: str = "0") -> None:
    kind = add_kind(
        shop, role=role, width=width, long=long, shape="obround", seat_id=1, key_angles=key
    )
    add_piece(shop, tag, kind)


def test_several_pieces_move_in_one_act(shop: Session) -> None:
    moved = move(shop, "P-0137 p-0140 P-0137", "a4")
    assert [(one.tag, one.came_from, one.to) for one in moved.pieces] == [
        ("P-0137", "A1", "A4"),
        ("P-0140", "A2", "A4"),
    ]
    entries = shop.rows("SELECT * FROM entry WHERE act = ?", (moved.act,))
    assert [row["action"] for row in entries] == ["move", "move"]
    assert rebuild(shop) == []


def test_what_lies_there_already_gets_no_entry(shop: Session) -> None:
    with nothing_changes(shop):
        moved = move(shop, "P-0137", "A1")
    assert (moved.pieces, moved.there_already) == ((), ("P-0137",))


@pytest.mark.parametrize(
    "to", [ONE, "ironworker 1/punch", "IRONWORKER 1 PUNCH", " Ironworker1/punch"]
)
def test_a_station_is_found_however_its_name_is_typed(shop: Session, to: str) -> None:
    moved = move(shop, "P-0137 D-0201", to)
    assert moved.mounted == (MountedPiece("die", "D-0201"), MountedPiece("punch", "P-0137"))
    assert place_of(shop, "P-0137") == ONE


def test_an_unknown_place_names_the_nearest(shop: Session) -> None:
    with nothing_changes(shop), pytest.raises(UnknownName, match="no place called 'A5'") as caught:
        move(shop, "P-0137", "A5")
    assert "A1" in str(caught.value.way_out)
    assert [one.name for one in acts_in(caught.value.way_out)] == ["move.new-drawer"]


def test_a_place_like_no_other_lists_what_there_is(shop: Session) -> None:
    with pytest.raises(UnknownName, match="no place called") as caught:
        place_by_name(shop, "zzzzzzzz")
    assert str(caught.value.way_out).startswith("known: ")


def test_a_new_drawer_is_made_at_the_end_of_the_walk(shop: Session) -> None:
    move(shop, "P-0137", " B  7 ", new=True)
    assert place_of(shop, "P-0137") == "B 7"
    assert shop.value("SELECT walk_order FROM place WHERE name = 'B 7'") == 4
    with nothing_changes(shop), pytest.raises(Refused, match="a place called 'B 7' already"):
        move(shop, "P-0140", "b7", new=True)
    with nothing_changes(shop), pytest.raises(BadValue, match="must be 1 to 80 letters"):
        move(shop, "P-0140", " ", new=True)


def test_a_second_punch_names_the_one_that_is_mounted(shop: Session) -> None:
    move(shop, "P-0137", ONE)
    with nothing_changes(shop), pytest.raises(AskBack, match="has punch P-0137 mounted") as caught:
        move(shop, "P-0140", ONE)
    assert caught.value.confirm == "station-taken"


def test_a_swap_sends_the_mounted_one_to_the_drawer_it_came_from(shop: Session) -> None:
    move(shop, "P-0137", "A3")
    move(shop, "P-0137", ONE)
    moved = move(shop, "P-0140", ONE, swap=True)
    assert [(one.tag, one.to, one.swapped_out) for one in moved.pieces] == [
        ("P-0137", "A3", True),
        ("P-0140", ONE, False),
    ]
    assert rebuild(shop) == []


def test_a_swap_leaves_the_other_role_where_it_is(shop: Session) -> None:
    move(shop, "P-0137 D-0201", ONE)
    move(shop, "D-0202", ONE, swap=True)
    assert place_of(shop, "P-0137") == ONE
    assert place_of(shop, "D-0201") == "A2"


def test_a_swap_needs_a_drawer_that_the_ledger_knows(shop: Session) -> None:
    kind = piece_by_tag(shop, "P-0137").kind_id
    piece_id = add_piece(shop, "P-0900", kind, place=ONE)
    assert last_drawer(shop, piece_id) is None
    with nothing_changes(shop), pytest.raises(AskBack, match="P-0900 never lay in a drawer"):
        move(shop, "P-0140", ONE, swap=True)


def test_a_drawer_that_was_taken_back_is_not_the_last_one(shop: Session) -> None:
    move(shop, "P-0137", "A3")
    ledger.reverse(shop, stamp_for(shop, ""), [6], "wrong drawer")
    drawer = last_drawer(shop, 1)
    assert drawer is not None
    assert drawer.name == "A1"


def test_two_punches_at_once_are_refused_even_with_a_swap(shop: Session) -> None:
    with nothing_changes(shop), pytest.raises(Refused, match="takes one punch, not 2"):
        move(shop, "P-0137 P-0140", ONE, swap=True)


@pytest.mark.parametrize("condition", ["locked", "broken", "retired"])
def test_a_piece_that_is_unfit_is_not_mounted(shop: Session, condition: str) -> None:
    add_piece(shop, "P-0900", piece_by_tag(shop, "P-0137").kind_id, condition=condition)
    with nothing_changes(shop), pytest.raises(Refused, match=f"P-0900 is {condition}"):
        move(shop, "P-0900", ONE)
    move(shop, "P-0900", "A4")
    assert place_of(shop, "P-0900") == "A4"


def test_a_lost_piece_is_found_by_a_count_not_by_a_move(shop: Session) -> None:
    add_piece(shop, "P-0900", piece_by_tag(shop, "P-0137").kind_id, condition="lost")
    with nothing_changes(shop), pytest.raises(Refused, match="P-0900 is lost") as caught:
        move(shop, "P-0900", "A4")
    assert acts_in(caught.value.way_out)[0].name == "count.found"


def test_a_piece_to_be_looked_at_is_mounted_with_a_caution(shop: Session) -> None:
    add_piece(shop, "P-0900", piece_by_tag(shop, "P-0137").kind_id, condition="inspect")
    moved = move(shop, "P-0900", ONE)
    (caution,) = moved.cautions
    assert acts_in(caution) == (act("look.inspected", tag="P-0900"),)


def test_a_seat_that_the_station_does_not_accept_is_refused(shop: Session) -> None:
    with nothing_changes(shop), pytest.raises(Refused, match=r"D-0301 is seat B.*accepts A"):
        move(shop, "D-0301", ONE)
    move(shop, "D-0301", TWO)
    assert place_of(shop, "D-0301") == TWO


def test_an_adapter_presents_its_seat_and_must_not_leave_before_its_tool(shop: Session) -> None:
    kind = add_kind(
        shop,
        role="die_adapter",
        width="1",
        shape="",
        width_mm=None,
        seat_id=1,
        presents_seat_id=2,
        rated_force_n=3e5,
    )
    add_piece(shop, "AD-1", kind)
    move(shop, "AD-1", ONE)
    move(shop, "D-0301", ONE)
    with nothing_changes(shop), pytest.raises(Refused, match="D-0301 is seat B"):
        move(shop, "AD-1", "A4")
    move(shop, "D-0301 AD-1", "A4")
    assert place_of(shop, "AD-1") == "A4"


def test_an_adapter_of_the_punch_side_does_not_hold_a_die(shop: Session) -> None:
    kind = add_kind(
        shop,
        role="punch_adapter",
        width="1",
        shape="",
        width_mm=None,
        seat_id=1,
        presents_seat_id=2,
    )
    add_piece(shop, "AD-1", kind)
    move(shop, "AD-1", ONE)
    with nothing_changes(shop), pytest.raises(Refused, match="D-0301 is seat B"):
        move(shop, "D-0301", ONE)


def test_a_punch_without_a_seat_is_never_guessed_into_a_station(shop: Session) -> None:
    add_piece(shop, "P-0900", add_kind(shop, role="punch", width="1/2"))
    with nothing_changes(shop), pytest.raises(Refused, match="P-0900 has no seat on record"):
        move(shop, "P-0900", ONE)


def test_a_station_without_seats_takes_no_punch(shop: Session) -> None:
    add_station(shop, "Ironworker 3", "punch", None, [])
    with nothing_changes(shop), pytest.raises(Refused, match="accepts no seat on record"):
        move(shop, "P-0137", "Ironworker 3 / punch")


def test_blades_and_brake_tools_go_where_they_work(shop: Session) -> None:
    add_station(shop, "Ironworker 3", "flat", None, [], does="flat_shear")
    blade = add_kind(shop, role="blade", width="1", shape="", width_mm=None, edges=4)
    add_piece(shop, "B-1", blade)
    add_piece(shop, "B-2", blade)
    with nothing_changes(shop), pytest.raises(Refused, match=r"B-1 is a blade; .* does punch"):
        move(shop, "B-1", ONE)
    assert len(move(shop, "B-1 B-2", "Ironworker 3 / flat").mounted) == 2
    tool = add_kind(shop, role="brake_tool", width="1", shape="", width_mm=None)
    add_piece(shop, "V-1", tool)
    with nothing_changes(shop), pytest.raises(Refused, match=r"V-1 is a brake tool; .* flat shear"):
        move(shop, "V-1", "Ironworker 3 / flat")


@pytest.mark.parametrize(
    ("die", "fits"),
    [("13/16", False), ("3/4", False), ("20.64mm", True), ("27/32", True)],
)
def test_a_die_must_be_bigger_than_the_punch(shop: Session, die: str, fits: bool) -> None:
    add_piece(shop, "D-0900", add_kind(shop, role="die", width=die, seat_id=1))
    move(shop, "P-0137", ONE)
    if not fits:
        with nothing_changes(shop), pytest.raises(Refused, match="is not bigger than punch P-0137"):
            move(shop, "D-0900", ONE)
        return
    assert len(move(shop, "D-0900", ONE).mounted) == 2


def test_measured_sizes_decide_whether_a_pair_may_run(shop: Session) -> None:
    kind = piece_by_tag(shop, "D-0201").kind_id
    add_piece(shop, "D-0900", kind, measured_width_mm=20.6)
    move(shop, "P-0137", ONE)
    with nothing_changes(shop), pytest.raises(Refused, match=r"measured.* is not bigger"):
        move(shop, "D-0900", ONE)


@pytest.mark.parametrize(
    ("width", "long", "key", "said"),
    [
        ("27/32", "1-29/32", "90", "the shaped pair would not line up"),
        ("27/32", "1-29/32", "", "die D-0900 unkeyed"),
        ("27/32", "1-7/8", "0", "is not bigger than"),
        ("13/16", "1-29/32", "0", "is not bigger than"),
    ],
)
def test_a_shaped_pair_must_be_bigger_both_ways_and_keyed_alike(
    shop: Session, width: str, long: str, key: str, said: str
) -> None:
    shaped(shop, "punch", "P-0900", "13/16", "1-7/8")
    shaped(shop, "die", "D-0900", width, long, key)
    with nothing_changes(shop), pytest.raises(Refused, match=said):
        move(shop, "P-0900 D-0900", ONE)


def test_a_shaped_pair_that_shares_a_key_angle_is_mounted(shop: Session) -> None:
    shaped(shop, "punch", "P-0900", "13/16", "1-7/8", "0,90")
    shaped(shop, "die", "D-0900", "27/32", "1-29/32", "90")
    assert len(move(shop, "P-0900 D-0900", ONE).mounted) == 2


def test_a_square_pair_a_quarter_turn_apart_is_mounted(shop: Session) -> None:
    for role, tag, width, key in (("punch", "P-900", "1/2", "0"), ("die", "D-900", "17/32", "90")):
        square: dict[str, Any] = {"shape": "square", "seat_id": 1, "key_angles": key}
        add_piece(shop, tag, add_kind(shop, role=role, width=width, **square))
    assert len(move(shop, "P-900 D-900", ONE).mounted) == 2


def test_a_shaped_tool_is_not_mounted_where_it_could_turn(shop: Session) -> None:
    shaped(shop, "punch", "P-0900", "13/16", "1-7/8")
    with shop.writing():
        shop.run("UPDATE seat SET keyed = 0 WHERE name = 'A'")
    with nothing_changes(shop), pytest.raises(Refused, match="seat A holds no key: a shaped punch"):
        move(shop, "P-0900", ONE)


def test_a_pair_that_does_not_close_is_not_mounted(shop: Session) -> None:
    with shop.writing():
        shop.run("UPDATE seat SET die_height_mm = 22 WHERE name = 'B'")
    move(shop, "P-0137", TWO)
    with nothing_changes(shop), pytest.raises(Refused, match="does not reach the die") as caught:
        move(shop, "D-0301", TWO)
    assert acts_in(caught.value.way_out) == (act("import.change", file="stations.csv"),)
    with shop.writing():
        shop.run("UPDATE station SET daylight_mm = 150, stroke_mm = 60 WHERE id = 2")
    (caution,) = move(shop, "D-0301", TWO).cautions
    assert "P-0137 (seat A, 2.7559 in) over D-0301 (seat B, 0.8661 in) stand 3.622 in" in str(
        caution
    )


def test_the_adapters_that_stand_there_count_in_the_stack(shop: Session) -> None:
    kind = add_kind(shop, role="die_adapter", width="1", shape="", width_mm=None,
                    seat_id=1, presents_seat_id=2, rated_force_n=3e5)  # fmt: skip
    add_piece(shop, "AD-1", kind)
    move(shop, "P-0137 AD-1", ONE)
    with nothing_changes(shop), pytest.raises(Refused, match="the height that AD-1 adds"):
        move(shop, "D-0301", ONE)
    with shop.writing():
        shop.run("UPDATE kind SET added_height_mm = 30 WHERE id = ?", (kind,))
    with nothing_changes(shop), pytest.raises(Refused, match="into the die, at most"):
        move(shop, "D-0301", ONE)
    with shop.writing():
        shop.run("UPDATE kind SET added_height_mm = 0 WHERE id = ?", (kind,))
    assert len(move(shop, "D-0301", ONE).cautions) == 1


def test_shapes_must_be_the_same(shop: Session) -> None:
    shaped(shop, "die", "D-0900", "27/32", "1-29/32")
    fault = pair_fault(piece_by_tag(shop, "P-0137"), piece_by_tag(shop, "D-0900"), "in")
    assert fault is not None
    assert fault.what == "punch P-0137 is round, die D-0900 is obround"


def test_hands_and_the_grinder_take_anything(shop: Session) -> None:
    insert(shop, PlaceRecord, name="grinder", sort="grinder")
    insert(shop, PlaceRecord, name="J. on nights", sort="person")
    move(shop, "P-0137 P-0140 D-0201", "Grinder")
    move(shop, "P-0137", "j. on nights")
    assert place_of(shop, "P-0137") == "J. on nights"


@pytest.mark.parametrize(
    ("tags", "error", "said"),
    [("", BadValue, "no tag given"), ("P-0137 P-9", UnknownName, "no piece with tag 'P-9'")],
)
def test_one_wrong_tag_moves_nothing(
    shop: Session, tags: str, error: type[CribError], said: str
) -> None:
    with nothing_changes(shop), pytest.raises(error, match=said):
        move(shop, tags, "A4")


def test_a_seat_and_its_size_are_not_needed_for_a_nut(shop: Session) -> None:
    add_seat(shop, "C")
    add_piece(shop, "N-1", add_kind(shop, role="nut", width="1", shape="", width_mm=None))
    assert move(shop, "N-1", ONE).mounted == (MountedPiece("nut", "N-1"),)
    move(shop, "N-1", "A1")
    assert entries_of(shop, "N-1") == 3


def entries_of(shop: Session, tag: str) -> int:
    count: int = shop.value(
        "SELECT count(*) FROM entry WHERE piece_id = ?", (piece_by_tag(shop, tag).id,)
    )
    return count


def test_a_note_stands_in_the_entry(shop: Session) -> None:
    move_pieces(shop, Move(("P-0137",), "A2", note=" for  the bridge job "))
    note = shop.value("SELECT note FROM entry ORDER BY id DESC LIMIT 1")
    assert note == "for the bridge job"


def test_two_people_at_once_mount_one_punch(shop: Session) -> None:
    said: list[str] = []

    def mount(tag: str) -> None:
        session = open_crib(shop.path)
        try:
            move(session, tag, ONE)
            said.append("mounted")
        except AskBack:
            said.append("asked")
        finally:
            session.close()

    threads = [threading.Thread(target=mount, args=(tag,)) for tag in ("P-0137", "P-0140")]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(said) == ["asked", "mounted"]
    assert rebuild(shop) == []
