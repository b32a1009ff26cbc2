"""What somebody has in hand, and bringing it back to where it belongs."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from crib.desk.edges.broke import BreakRequest, report_break
from crib.desk.kit.hand_out import HandOut, hand_out, lend
from crib.desk.kit.hands import BroughtBack, InHand, at_machines, bring_back, home_of, in_hands
from crib.desk.shelf.move import Move, move_pieces
from crib.errors import AskBack, Refused, UnknownName
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
from tests.desk.kitting import FIRST, kit_shop
from tests.shop import add_kind, add_piece, small_shop

pytestmark = pytest.mark.both_engines


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    made = small_shop(tmp_path / "shop.crib")
    yield made
    made.close()


def tags(session: Session) -> list[str]:
    return [one.tag for one in in_hands(session, "nights").pieces]


def places(session: Session, *named: str) -> list[str | None]:
    return [piece_by_tag(session, tag).place for tag in named]


def test_what_was_taken_is_in_hand_with_its_home(shop: Session) -> None:
    assert in_hands(shop, "NIGHTS").pieces == ()
    lend(shop, ["P-0137", "D-0201"], HandOut("nights"), by="nights")
    found = in_hands(shop, "nights")
    assert found.person == "nights"
    assert [(one.tag, one.home, one.job) for one in found.pieces] == [
        ("D-0201", "A2", ""),
        ("P-0137", "A1", ""),
    ]
    assert isinstance(found.pieces[0], InHand)
    assert found.pieces[0].due_back


def test_each_goes_home_whether_lent_moved_or_mounted(shop: Session) -> None:
    lend(shop, ["P-0137"], HandOut("nights"))
    move_pieces(shop, Move(("D-0201",), "nights"))
    move_pieces(shop, Move(("D-0202",), "Ironworker 1 / punch"))
    assert tags(shop) == ["D-0201", "P-0137"]
    back = bring_back(shop, ["P-0137", "d201", "D-0202", "P-0140"], by="nights")
    assert [(one.tag, one.came_from, one.place) for one in back] == [
        ("P-0137", "nights", "A1"),
        ("D-0201", "nights", "A2"),
        ("D-0202", "Ironworker 1 / punch", "A2"),
        ("P-0140", "A2", "A2"),
    ]
    assert tags(shop) == []


def test_all_may_go_to_one_drawer(shop: Session) -> None:
    lend(shop, ["P-0137"], HandOut("nights"))
    back = bring_back(shop, ["P-0137", "D-0201"], "a 4")
    assert back[0] == BroughtBack("P-0137", piece_by_tag(shop, "P-0137").kind_name, "nights", "A4")
    assert places(shop, "P-0137", "D-0201") == ["A4", "A4"]


def test_a_piece_without_a_home_is_asked_for_and_nothing_moves(shop: Session) -> None:
    add_piece(shop, "P-1", add_kind(shop, role="punch", width="1/4"), place="Ironworker 2 / punch")
    lend(shop, ["P-0137"], HandOut("nights"))
    assert home_of(shop, piece_by_tag(shop, "P-1").id) == ""
    with pytest.raises(AskBack) as asked:
        bring_back(shop, ["P-0137", "P-1"])
    assert asked.value.choose == "drawer"
    assert tags(shop) == ["P-0137"]


@pytest.mark.parametrize(
    ("tag", "to", "error", "words"),
    [
        ("P-0137", "", Refused, "P-0137 is lost"),
        ("P-0999", "", UnknownName, "no piece with tag"),
        ("D-0201", "Z9", UnknownName, "no place called 'Z9'"),
    ],
)
def test_what_cannot_come_back_is_refused(
    shop: Session, tag: str, to: str, error: type[Exception], words: str
) -> None:
    report_break(shop, BreakRequest("P-0137", ["lost"]))
    with pytest.raises(error, match=words):
        bring_back(shop, [tag], to)


def test_a_kit_comes_back_whole_by_its_job(tmp_path: Path) -> None:
    shop = kit_shop(tmp_path / "kit.crib")
    hand_out(shop, FIRST, HandOut("window"))
    assert {one.job for one in in_hands(shop, "window").pieces} == {FIRST}
    with pytest.raises(Refused, match="P-0137 is out with window"):
        bring_back(shop, ["P-0137"])
    shop.close()


def test_nobody_has_nothing(shop: Session) -> None:
    with pytest.raises(UnknownName, match="nobody is called"):
        in_hands(shop, "stranger")


def test_what_stands_at_the_machines_can_be_chosen(shop: Session) -> None:
    move_pieces(shop, Move(("D-0201", "P-0137"), "Ironworker 1 / punch"))
    found = [(one.tag, one.place) for one in at_machines(shop)]
    assert found == [("D-0201", "Ironworker 1 / punch"), ("P-0137", "Ironworker 1 / punch")]
