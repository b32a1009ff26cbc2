"""Who has a piece is said wherever the piece is: when it is looked for, shown, or checked."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from crib.acts import act, acts_in, saying
from crib.desk.answer.find import find
from crib.desk.book.check import check_crib
from crib.desk.book.show import show_piece
from crib.desk.edges.broke import BreakRequest, report_break
from crib.desk.kit.hand_out import HandOut, hand_out
from crib.desk.kit.hold import hold_kit
from crib.desk.shelf.move import Move, move_pieces
from crib.features.common.case import Circumstances
from crib.features.common.findings import cautions
from crib.stock.engine.session import Session
from tests.desk.kitting import DUE, FIRST, SECOND, kit_shop

HOLE = "hole 13/16 thru 3/8 A36"


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    """Two jobs, and a second punch."""
    session = kit_shop(tmp_path / "shop.crib", "P-0138")
    yield session
    session.close()


def told(session: Session, job: str = "") -> list[str]:
    """What is said of promised pieces in the first pick with the punch that both jobs want."""
    facts = Circumstances(job=job)
    found = find(session, HOLE, facts, chosen=["P-0137"], record=False)
    return [one.text for one in cautions(found.picks[0].findings) if one.rule == "promised"]


def test_find_says_of_a_promised_piece_whose_it_is(shop: Session) -> None:
    assert told(shop) == []
    hold_kit(shop, FIRST)
    due = f"promised to job {FIRST}, due {DUE}"
    assert told(shop)[0] == f"P-0137 is {due}"
    assert told(shop, SECOND)[0] == f"P-0137 is {due}"
    assert told(shop, FIRST) == []
    assert told(shop, f" {FIRST} ") == []


def test_find_takes_the_copy_that_is_free(shop: Session) -> None:
    before = find(shop, HOLE, record=False).picks[0].tools[0].tag
    hold_kit(shop, FIRST)
    after = find(shop, HOLE, record=False).picks[0].tools[0].tag
    assert (before, after) == ("P-0137", "P-0138")
    assert find(shop, HOLE, Circumstances(job=FIRST), record=False).picks[0].tools[0].tag == before


def test_show_says_who_has_a_piece(shop: Session) -> None:
    assert show_piece(shop, "P-0137").hold is None
    hold_kit(shop, FIRST)
    made = show_piece(shop, "P-0137").as_json()["hold"]
    assert (made["job"], made["state"], made["words"]) == (
        FIRST,
        "held",
        f"promised to job {FIRST}, due {DUE}",
    )


def test_check_remarks_on_what_is_out_and_lies_in_a_drawer(shop: Session) -> None:
    hand_out(shop, FIRST, HandOut("bench 2"))
    assert check_crib(shop).remarks == ()
    move_pieces(shop, Move(("P-0137",), "A1"))
    report = check_crib(shop)
    (remark,) = report.remarks
    assert report.sound
    assert remark == saying(
        f"P-0137 is out with bench 2 for job {FIRST} until {DUE}, and lies in A1: ",
        act("kit.back", job=FIRST),
    )


def test_check_remarks_on_what_is_promised_and_lost(shop: Session) -> None:
    hold_kit(shop, FIRST)
    report_break(shop, BreakRequest("P-0137", ["lost"]))
    (remark,) = check_crib(shop).remarks
    assert acts_in(remark) == (act("kit.hold", job=FIRST),)
