"""Nothing that was typed at the questions is lost: it is counted, kept as a draft, or dropped."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from crib.stock.book import ledger
from crib.stock.book.ledger import NewEntry
from crib.stock.book.people import person_id
from crib.stock.engine.opening import open_crib
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
from tests.cli.asking import Answer, Window
from tests.desk.planned import plan_job, run
from tests.shop import add_piece, small_shop

FIRST, SECOND = "Ironworker 1 / punch", "Ironworker 2 / punch"
ANSWERS = ["380", "40", "60 about dry", "1/2 A36", "y"]
"""Two planned runs, then a punch without one with its plate, then the end."""
PLATE = 3
"""The answer that is a plate."""
LEFT = ["stop", "gone"]
"""Ctrl-C, and a terminal that is closed."""


class _Typing:
    """A terminal at which some lines are typed, and then something happens."""

    def __init__(self, lines: Sequence[str], then: str = "gone") -> None:
        self._lines, self._then = list(lines), then

    def isatty(self) -> bool:
        return True

    def readline(self) -> str:
        if self._lines:
            return f"{self._lines.pop(0)}\n"
        if self._then == "stop":
            raise KeyboardInterrupt
        return ""


@pytest.fixture
def window(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Window:
    """A pair with two planned runs at the first machine, a punch without one at the second."""
    session = small_shop(tmp_path / "shop.crib")
    for place, tags in ((FIRST, ("P-0137", "D-0201")), (SECOND, ("P-0140",))):
        place_id = session.value("SELECT id FROM place WHERE name = ?", (place,))
        moves = [NewEntry("move", piece_by_tag(session, tag).id, place_id=place_id) for tag in tags]
        ledger.write(session, ledger.new_stamp(person_id(session, "")), moves)
    runs = [
        run(session, "P-0137", count, die="D-0201", mark=mark)
        for mark, count in (("B1", 380), ("B2", 90))
    ]
    plan_job(session, "J-1", *runs, now=datetime.now(UTC) - timedelta(days=9))
    session.close()
    return Window(tmp_path / "shop.crib", capsys)


def log(
    window: Window,
    monkeypatch: pytest.MonkeyPatch,
    *lines: str,
    then: str = "gone",
    options: Sequence[str] = (),
) -> Answer:
    """Answer the questions."""
    monkeypatch.setattr(sys, "stdin", _Typing(lines, then))
    return window.ask("log", *options)


def strokes(window: Window) -> dict[str, int]:
    """Strokes of every piece that made any."""
    with closing(open_crib(window.path)) as session:
        rows = session.rows("SELECT tag, strokes_total FROM piece WHERE strokes_total > 0")
        return {row[0]: row[1] for row in rows}


def kept(window: Window) -> int:
    """Drafts that are kept."""
    with closing(open_crib(window.path)) as session:
        return drafts(session)


def drafts(session: Session) -> int:
    return int(session.value("SELECT count(*) FROM stroke_draft"))


WHOLE = {"P-0137": 420, "D-0201": 420, "P-0140": 60}


@pytest.mark.parametrize("then", LEFT)
@pytest.mark.parametrize("typed", range(len(ANSWERS)))
def test_left_after_any_answer_it_is_gone_on_with_and_counts_the_same(
    window: Window, monkeypatch: pytest.MonkeyPatch, typed: int, then: str
) -> None:
    left = log(window, monkeypatch, *ANSWERS[:typed], then=then)
    assert strokes(window) == {}
    # A count without its plate is no line yet: it stands in its question, and Enter takes it.
    rest = ["", *ANSWERS[3:]] if typed == PLATE else ANSWERS[typed:]
    if typed:
        assert "kept as a draft. Go on: crib log" in left.err
        assert kept(window) == 1
        rest = ["y", *rest]
    done = log(window, monkeypatch, *rest)
    assert (done.status, strokes(window), kept(window)) == (0, WHOLE, 0)
    with closing(open_crib(window.path)) as session:
        rows = session.rows(
            "SELECT thickness_mm, estimate FROM entry JOIN piece ON piece.id = piece_id"
            " WHERE tag = 'P-0140' AND action = 'strokes'"
        )
    assert [tuple(row) for row in rows] == [(12.7, 1)]


def test_enter_at_the_end_asks_again_and_no_keeps_it(
    window: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    said = log(window, monkeypatch, *ANSWERS[:4], "", "n")
    assert (said.status, said.out, strokes(window), kept(window)) == (0, "", {}, 1)
    assert "nothing was counted; 3 lines kept as a draft. Go on: crib log" in said.err
    done = log(window, monkeypatch, "y", "y")
    assert (done.status, strokes(window), kept(window)) == (0, WHOLE, 0)


def test_a_draft_is_left_for_later_or_thrown_away_in_so_many_words(
    window: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    log(window, monkeypatch, "380", then="stop")
    later = log(window, monkeypatch, "n", "-", "-", "-")
    assert "A draft of 1 line" in later.err
    assert kept(window) == 1
    log(window, monkeypatch, "d", "-", "-", "-")
    assert (strokes(window), kept(window)) == ({}, 0)


def test_a_shift_is_thrown_away_only_when_told(
    window: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    said = log(window, monkeypatch, *ANSWERS[:4], "d")
    assert (said.status, strokes(window), kept(window)) == (0, {}, 0)
    assert said.err.rstrip().endswith("nothing was counted")


def test_a_line_is_typed_anew_or_taken_out_before_it_is_counted(
    window: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    log(
        window,
        monkeypatch,
        *ANSWERS[:4],
        "1",
        "P-0137 x",
        "P-0137 200 thru 3/8 job J-1",
        "3",
        "-",
        "2",
        "",
        "y",
    )
    assert strokes(window) == {"P-0137": 240, "D-0201": 240}


def test_the_day_and_the_job_of_a_draft_are_kept_with_it(
    window: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    yesterday = (datetime.now().astimezone() - timedelta(days=1)).date().isoformat()
    late = ("--on", yesterday, "--job", "J-9", "--about", "--before-it-came")
    log(window, monkeypatch, "-", "-", "60", "1/2", then="stop", options=late)
    done = log(window, monkeypatch, "y", "y", options=["--before-it-came", "--json"])
    assert done.json["shift_on"] == yesterday
    line = done.json["lines"][0]
    assert (line["tag"], line["count"], line["job"], line["estimate"]) == (
        "P-0140",
        60,
        "J-9",
        True,
    )


def test_what_is_asked_back_and_not_meant_stays_a_draft(
    window: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    said = log(window, monkeypatch, "38000", "-", "-", "y", "n")
    assert (said.status, strokes(window), kept(window)) == (0, {}, 1)
    assert "kept as a draft" in said.err
    done = log(window, monkeypatch, "y", "1", "P-0137 380 thru 3/8 A36 with D-0201 job J-1", "y")
    assert (done.status, strokes(window)) == (0, {"P-0137": 380, "D-0201": 380})


def test_what_is_asked_back_can_be_changed_at_once(
    window: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    line = "P-0137 380 thru 3/8 A36 with D-0201 job J-1"
    said = log(window, monkeypatch, "38000", "-", "-", "y", "n", "1", line, "y")
    assert (said.status, strokes(window), kept(window)) == (0, {"P-0137": 380, "D-0201": 380}, 0)


def test_a_draft_that_was_counted_elsewhere_meanwhile_counts_once(
    window: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    log(window, monkeypatch, "380", then="stop")

    class _Meanwhile(_Typing):
        """Somebody else goes on with the draft before this one says yes."""

        def readline(self) -> str:
            if len(self._lines) == 1:
                with closing(open_crib(window.path)) as session, session.writing():
                    session.run("DELETE FROM stroke_draft")
            return super().readline()

    monkeypatch.setattr(sys, "stdin", _Meanwhile(["y", "q", "y"]))
    said = window.ask("log")
    assert (said.status, strokes(window)) == (2, {})
    assert "counted or thrown away meanwhile" in said.err


def test_a_question_without_a_plan_says_that_enter_skips(
    window: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    said = log(window, monkeypatch, "", "", "", "y")
    assert "  strokes (Enter skips): " in said.err
    assert strokes(window) == {"P-0137": 470, "D-0201": 470}


def test_enter_behind_a_plate_that_was_not_read_keeps_the_count(
    window: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    said = log(window, monkeypatch, "-", "-", "60", "3/8 A63", "3/8 A36", "y")
    assert "A63" in said.err
    assert strokes(window) == {"P-0140": 60}


def test_a_copy_that_did_the_planned_work_is_named_before_its_count(
    window: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    with closing(open_crib(window.path)) as session:
        kind = session.value("SELECT kind_id FROM piece WHERE tag = 'P-0137'")
        add_piece(session, "P-0150", kind, place=FIRST)
        away = session.value("SELECT id FROM place WHERE name = 'A1'")
        moves = [NewEntry("move", piece_by_tag(session, "P-0137").id, place_id=away)]
        ledger.write(session, ledger.new_stamp(person_id(session, "")), moves)
    said = log(window, monkeypatch, "-", "?", "p-0150 370", "-", "-", "y")
    assert "P-0137 round punch 13/16" in said.err
    assert "(not mounted now, P-0150 is)" in " ".join(said.err.split())
    assert "If P-0150 did it, say so: P-0150 380." in " ".join(said.err.split())
    assert strokes(window) == {"P-0150": 370, "D-0201": 370}
