"""What an entry is about is looked up by its key; its note may say anything."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from crib.acts import yes_to
from crib.desk.book.undo import undo_act, undo_last
from crib.desk.kit import handing, open_jobs
from crib.desk.kit.hand_out import HandOut, hand_out
from crib.desk.kit.open_jobs import Closing, close, reopen
from crib.desk.kit.take_back import TakeBack, take_back
from crib.desk.shelf.move import Move, move_pieces
from crib.desk.strokes.log import LogOptions, log_words
from crib.desk.strokes.stroke_paper import PaperRequest, make_paper
from crib.desk.strokes.stroke_sheet import take_sheet
from crib.errors import AskBack
from crib.stock.engine.session import Session
from tests.desk.kitting import FIRST, SECOND, held, kit_shop, places

ALL = yes_to("whole-act")
BENCH = HandOut("bench 2")


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    """Two jobs that are planned."""
    session = kit_shop(tmp_path / "shop.crib")
    yield session
    session.close()


@pytest.fixture
def reworded(monkeypatch: pytest.MonkeyPatch) -> None:
    """Everything that the notes say is said otherwise."""
    monkeypatch.setattr(handing, "_NOTES", dict.fromkeys(("out", "back"), lambda _hold: "moved"))
    monkeypatch.setattr(open_jobs, "ASSUMED", "by the plan")


@pytest.mark.usefixtures("reworded")
def test_undo_of_a_kit_follows_whatever_the_notes_say(shop: Session) -> None:
    hand_out(shop, SECOND, BENCH)
    out = (places(shop), held(shop))
    back = take_back(shop, SECOND, TakeBack())
    assert held(shop) == {}
    undo_act(shop, back.act, "not back yet", confirmed=ALL)
    assert (places(shop), held(shop)) == out
    undo_last(shop, "not out either", confirmed=ALL)
    assert set(held(shop).values()) == {f"{SECOND} held"}


@pytest.mark.usefixtures("reworded")
def test_a_job_opened_again_names_what_was_assumed_whatever_the_notes_say(shop: Session) -> None:
    close(shop, FIRST, Closing(assume=True))
    assert any(
        "the 40 strokes assumed" in str(note) for note in reopen(shop, FIRST, "not done").notes
    )


def test_a_move_that_says_the_same_is_no_return_of_a_kit(shop: Session) -> None:
    hand_out(shop, SECOND, BENCH)
    take_back(shop, SECOND, TakeBack())
    note = shop.value("SELECT note FROM entry WHERE note LIKE 'back from%' LIMIT 1")
    move_pieces(shop, Move(("P-0140",), "A3", note=note))
    undo_last(shop, "the wrong drawer", confirmed=ALL)
    assert held(shop) == {}


def test_a_note_that_names_a_printed_line_is_not_typed_from_it(
    shop: Session, tmp_path: Path
) -> None:
    code = make_paper(shop, PaperRequest(tmp_path / "sheet.pdf")).lines[0].code
    text = f"tag,count,note\nP-0137,40,sheet line {code}\n"
    take_sheet(shop, text.encode(), "s.csv", LogOptions())
    log_words(shop, [code, "33"], LogOptions(confirmed=yes_to("many-strokes")))
    with pytest.raises(AskBack, match=f"line {code} was typed already"):
        log_words(shop, [code, "34"], LogOptions(confirmed=yes_to("many-strokes")))


def test_a_note_that_says_assumed_at_closing_was_not_assumed(shop: Session) -> None:
    text = f"tag,count,job,note\nP-0137,7,{FIRST},{open_jobs.ASSUMED}\n"
    take_sheet(shop, text.encode(), "s.csv", LogOptions())
    close(shop, FIRST, Closing(not_made=True))
    assert not any("assumed" in str(note) for note in reopen(shop, FIRST, "not done").notes)
