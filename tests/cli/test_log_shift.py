"""``crib log`` at a terminal: lines filled in from what is mounted and planned."""

from __future__ import annotations

import io
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from crib.stock.book import ledger
from crib.stock.book.ledger import NewEntry
from crib.stock.book.people import person_id
from crib.stock.queries.pieces import piece_by_tag
from tests.cli.asking import Answer, Window
from tests.desk.planned import plan_job, run
from tests.shop import small_shop

FIRST, SECOND = "Ironworker 1 / punch", "Ironworker 2 / punch"


class _Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.fixture
def window(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Window:
    """A pair with a planned run at the first machine, a punch without one at the second."""
    session = small_shop(tmp_path / "shop.crib")
    for place, tags in ((FIRST, ("P-0137", "D-0201")), (SECOND, ("P-0140",))):
        place_id = session.value("SELECT id FROM place WHERE name = ?", (place,))
        moves = [NewEntry("move", piece_by_tag(session, tag).id, place_id=place_id) for tag in tags]
        ledger.write(session, ledger.new_stamp(person_id(session, "")), moves)
    planned = run(session, "P-0137", 380, die="D-0201", material="304", thickness_mm=6.35)
    plan_job(session, "J-1", planned, now=datetime.now(UTC) - timedelta(days=9))
    session.close()
    return Window(tmp_path / "shop.crib", capsys)


def typed(monkeypatch: pytest.MonkeyPatch, *lines: str, terminal: bool = True) -> None:
    text = "".join(f"{line}\n" for line in lines)
    monkeypatch.setattr(sys, "stdin", _Terminal(text) if terminal else io.StringIO(text))


def logged(said: Answer) -> list[tuple[str, int, bool, float | None, str, str]]:
    names = ("tag", "count", "estimate", "thickness_mm", "material", "job")
    return [tuple(one[name] for name in names) for one in said.json["lines"]]


PAIR = [("P-0137", 380, False, 6.35, "304", "J-1"), ("D-0201", 380, False, 6.35, "304", "J-1")]


def test_enter_and_yes_are_enough_for_what_was_planned(
    window: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    typed(monkeypatch, "", "", "y")
    said = window.ask("log", "--json")
    assert said.status == 0
    assert logged(said) == PAIR
    assert "strokes [380]: " in said.err
    assert "  job J-1: B1: hole 13/16 thru 3/8 A36" in said.err
    assert "  1. P-0137 380 thru 1/4 304 with D-0201 job J-1\n  1 line, 380 strokes\n" in said.err
    assert max(len(line) for line in said.err.splitlines()) <= 80


@pytest.mark.parametrize(
    ("answer", "count", "estimate", "thickness_mm"),
    [
        ("200", 200, False, 6.35),
        ("~400", 400, True, 6.35),
        ("400 about", 400, True, 6.35),
        ("400 thru 3/8", 400, False, 9.525),
    ],
)
def test_a_number_changes_what_was_planned(
    window: Window,
    monkeypatch: pytest.MonkeyPatch,
    answer: str,
    count: int,
    estimate: bool,
    thickness_mm: float,
) -> None:
    typed(monkeypatch, answer, "q", "y")
    found = logged(window.ask("log", "--json"))
    assert found[0] == ("P-0137", count, estimate, thickness_mm, "304", "J-1")


def test_a_dash_skips_and_a_question_explains(
    window: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    typed(monkeypatch, "?", "-", "60 about", "1/2 A36", "y")
    said = window.ask("log", "--json")
    assert logged(said) == [("P-0140", 60, True, 12.7, "A36", "")]
    assert "380 strokes of P-0137 are planned for job J-1: B1" in said.err
    # What is typed ends a line at a terminal; here the next text stands right behind the question.
    lines = said.err.replace(": ", ":\n").splitlines()
    assert max(len(line) for line in lines) <= 80


def test_a_wrong_answer_is_asked_again(window: Window, monkeypatch: pytest.MonkeyPatch) -> None:
    typed(monkeypatch, "many", "", "380", "q", "y")
    said = window.ask("log", "--json")
    assert logged(said) == PAIR
    assert "expected a count of strokes of P-0137" in said.err


def test_what_was_logged_is_not_planned_the_next_time(
    window: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    typed(monkeypatch, "300", "q", "y")
    window.ask("log")
    typed(monkeypatch, "", "q", "y")
    said = window.ask("log", "--json")
    assert "strokes [80]: " in said.err
    assert logged(said)[0][:2] == ("P-0137", 80)


def test_one_machine_and_a_late_day(window: Window, monkeypatch: pytest.MonkeyPatch) -> None:
    yesterday = (datetime.now().astimezone() - timedelta(days=1)).date().isoformat()
    typed(monkeypatch, "60", "3/8 A36", "y")
    late = ("log", "--machine", "ironworker 2", "--on", yesterday)
    said = window.ask(*late, "--before-it-came", "--json")
    assert logged(said) == [("P-0140", 60, False, 9.525, "A36", "")]
    assert said.json["shift_on"] == yesterday
    assert f"Strokes of {yesterday}." in said.err
    assert "P-0137" not in said.err


def test_a_machine_that_is_not_known_or_has_lines_beside_it_is_refused(window: Window) -> None:
    said = window.ask("log", "--machine", "Press")
    assert (said.status, said.out) == (2, "")
    assert "no machine called 'Press'; known: Ironworker 1, Ironworker 2" in said.err
    said = window.ask("log", "P-0137", "5", "--machine", "Ironworker 1")
    assert said.status == 2
    assert "narrows the questions" in said.err


def test_a_machine_with_nothing_mounted_says_so(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    small_shop(tmp_path / "empty.crib").close()
    said = Window(tmp_path / "empty.crib", capsys).ask("log", "--machine", "Ironworker 1")
    assert said.status == 2
    assert "nothing is mounted at Ironworker 1" in said.err


def test_without_a_terminal_nothing_is_taken_for_granted(
    window: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    typed(monkeypatch, "", "", terminal=False)
    said = window.ask("log")
    assert said.status == 2
    assert "[380]" not in said.err
    assert "no strokes were given, nothing was counted" in said.err


def test_nothing_is_counted_without_a_yes(window: Window, monkeypatch: pytest.MonkeyPatch) -> None:
    typed(monkeypatch, "", "", "n")
    said = window.ask("log")
    assert (said.status, said.out) == (0, "")
    assert "nothing was counted" in said.err
