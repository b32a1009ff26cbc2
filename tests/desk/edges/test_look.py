"""Looking at a piece closes its reminder, for a while and with a name."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from crib.acts import act, acts_in, yes_to
from crib.desk.edges.broke import BreakRequest, report_break
from crib.desk.edges.grind import GrindRequest, record_grind
from crib.desk.edges.look import Looked, LookRequest, record_look
from crib.desk.strokes.log import LogOptions, log_words
from crib.errors import BadInput, BadValue, Refused
from crib.stock.book import ledger
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
from tests.desk.rows import nothing_changes
from tests.shop import add_piece, small_shop


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    session = small_shop(tmp_path / "shop.crib")
    yield session
    assert ledger.rebuild(session) == []
    session.close()


def piece(session: Session, wear: float, condition: str = "sound") -> None:
    kind = piece_by_tag(session, "P-0137").kind_id
    add_piece(session, "P-1", kind, wear=wear, condition=condition)


def put_off(session: Session, why: str = "job 12 must ship") -> Looked:
    return record_look(session, LookRequest("P-1", defer=True, why=why))


def test_still_sharp_is_kept_with_the_level_it_was_said_at(shop: Session) -> None:
    piece(shop, 4600)
    looked = record_look(shop, LookRequest("P-1", sharp=True, by="nights"))
    assert (looked.level, looked.found, looked.silent) == ("after_this_job", "still sharp", True)
    assert piece_by_tag(shop, "P-1").acknowledged == "after_this_job"
    entry = shop.row("SELECT action, found, note FROM entry ORDER BY id DESC LIMIT 1")
    assert entry is not None
    assert tuple(entry) == ("look", "sharp", "still sharp")


def test_wear_goes_on_after_a_look(shop: Session) -> None:
    piece(shop, 4600)
    record_look(shop, LookRequest("P-1", sharp=True))
    assert piece_by_tag(shop, "P-1").wear == 4600.0


@pytest.mark.parametrize(("wear", "left"), [(3500, 2250), (5000, 750), (5740, 10), (5750, 0)])
def test_a_grind_may_be_put_off_to_the_limit(shop: Session, wear: float, left: int) -> None:
    piece(shop, wear)
    looked = put_off(shop)
    assert (looked.found, looked.left) == ("put off", left)
    assert piece_by_tag(shop, "P-1").deferred


@pytest.mark.parametrize(
    ("wear", "match"),
    [(3499, "there is nothing to put off"), (5751, "can be put off to 115 % at most")],
)
def test_outside_its_limits_nothing_is_put_off(shop: Session, wear: float, match: str) -> None:
    piece(shop, wear)
    with pytest.raises(Refused, match=match):
        put_off(shop)


def test_putting_off_needs_a_reason(shop: Session) -> None:
    piece(shop, 4600)
    with pytest.raises(BadValue, match="no reason given"):
        put_off(shop, " ")


def test_once_for_each_level(shop: Session) -> None:
    piece(shop, 4600)
    put_off(shop)
    with pytest.raises(Refused, match="put off at this level"):
        put_off(shop)
    log_words(shop, ["P-1", "500"], LogOptions())
    assert put_off(shop).level == "before_next_job"


def test_a_grind_allows_it_again(shop: Session) -> None:
    piece(shop, 4600)
    put_off(shop)
    record_grind(shop, GrindRequest("P-1", off="0.2mm"))
    log_words(shop, ["P-1", "4600"], LogOptions(confirmed=yes_to("many-strokes")))
    assert put_off(shop).level == "after_this_job"


def test_an_inspected_piece_is_sound_again(shop: Session) -> None:
    piece(shop, 0, "inspect")
    looked = record_look(shop, LookRequest("P-1", inspected=True))
    assert looked.condition == "sound"


def test_still_sharp_does_not_clear_an_inspection(shop: Session) -> None:
    piece(shop, 0, "inspect")
    looked = record_look(shop, LookRequest("P-1", sharp=True))
    assert looked.condition == "inspect"
    assert acts_in(looked.notes[0]) == (act("look.inspected", tag="P-1"),)


def test_of_a_locked_piece_it_says_that_clearing_it_needs_a_reason(shop: Session) -> None:
    piece(shop, 0, "locked")
    (note,) = record_look(shop, LookRequest("P-1", sharp=True, why=" new  stones ")).notes
    assert acts_in(note) == (act("look.inspected", tag="P-1", why=None),)
    assert shop.value("SELECT max(note) FROM entry WHERE action = 'look'") == (
        "still sharp: new stones"
    )


def test_a_locked_piece_is_unlocked_with_a_reason_only(shop: Session) -> None:
    piece(shop, 0, "locked")
    with pytest.raises(BadValue, match="unlock P-1: no reason given"):
        record_look(shop, LookRequest("P-1", inspected=True))
    looked = record_look(shop, LookRequest("P-1", inspected=True, why="dye test clean"))
    assert looked.condition == "sound"


def test_a_sound_piece_has_nothing_to_inspect(shop: Session) -> None:
    with pytest.raises(Refused, match="there is nothing to inspect"):
        record_look(shop, LookRequest("P-0137", inspected=True))


@pytest.mark.parametrize("condition", ["broken", "lost", "retired"])
def test_looking_does_not_bring_a_piece_back(shop: Session, condition: str) -> None:
    piece(shop, 0, condition)
    with pytest.raises(Refused, match="looking does not bring it back"):
        record_look(shop, LookRequest("P-1", inspected=True))


@pytest.mark.parametrize(
    "request_", [LookRequest("P-0137"), LookRequest("P-0137", sharp=True, defer=True)]
)
def test_exactly_one_finding_is_said(shop: Session, request_: LookRequest) -> None:
    with pytest.raises(BadInput, match="one of sharp, put off and inspected"):
        record_look(shop, request_)


@pytest.mark.parametrize("by", ["", "nights"])
def test_a_crack_is_not_inspected_by_who_reported_it_or_by_nobody(shop: Session, by: str) -> None:
    piece(shop, 10)
    report_break(shop, BreakRequest("P-1", ["cracked"], by="nights"))
    with nothing_changes(shop), pytest.raises(Refused, match="who did not report it") as refused:
        record_look(shop, LookRequest("P-1", inspected=True, by=by))
    assert act("look.inspected-by", tag="P-1", by=None) in acts_in(refused.value.way_out)


def test_a_crack_that_another_person_does_not_find_brings_the_piece_back(shop: Session) -> None:
    piece(shop, 10)
    report_break(shop, BreakRequest("P-1", ["cracked"], by="nights"))
    with nothing_changes(shop), pytest.raises(Refused, match="is broken; looking does not"):
        record_look(shop, LookRequest("P-1", sharp=True, by="bench 2"))
    looked = record_look(shop, LookRequest("P-1", inspected=True, by="bench 2"))
    assert (looked.condition, looked.found) == ("sound", "inspected, sound")


@pytest.mark.parametrize("happened", ["chipped", "snapped", "shattered", "lost"])
def test_no_inspection_brings_any_other_broken_piece_back(shop: Session, happened: str) -> None:
    piece(shop, 10)
    report_break(shop, BreakRequest("P-1", [happened], by="nights"))
    with nothing_changes(shop), pytest.raises(Refused):
        record_look(shop, LookRequest("P-1", inspected=True, by="bench 2"))
