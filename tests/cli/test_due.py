"""``crib due``, ``crib look`` and ``crib broke`` on the screen and as JSON."""

from __future__ import annotations

from pathlib import Path

import pytest

from crib.stock.queries.pieces import piece_by_tag
from tests.cli.asking import Window
from tests.shop import add_piece, small_shop


@pytest.fixture
def window(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Window:
    session = small_shop(tmp_path / "shop.crib")
    kind = piece_by_tag(session, "P-0137").kind_id
    for number in range(7):
        add_piece(session, f"P-{number}", kind, wear=3600 + 300 * number)
    session.close()
    return Window(tmp_path / "shop.crib", capsys)


def test_five_lines_and_how_many_more(window: Window) -> None:
    said = window.ask("due")
    assert (said.status, said.err) == (0, "")
    assert [line.split()[0] for line in said.lines if line.startswith("P-")] == [
        *("P-6", "P-5", "P-4", "P-3", "P-2")
    ]
    assert "and 2 more: crib due --all" in said.out
    assert max(len(line) for line in said.lines) <= 80
    assert "more" not in window.ask("due", "--all").out


def test_json_carries_level_and_words(window: Window) -> None:
    said = window.ask("due", "--json")
    assert said.json["more"] == 2
    line = said.json["lines"][0]
    assert (line["tag"], line["level"], line["used"]) == ("P-6", "before_next_job", 1.08)
    assert line["words"] == "grind it before the next job"


def test_a_look_makes_a_line_silent(window: Window) -> None:
    said = window.ask("look", "P-6", "--sharp")
    assert (said.status, said.err) == (0, "")
    assert "still sharp" in said.out
    assert "its reminder is silent until the next level" in said.out
    assert "P-6" not in window.ask("due", "--all").out


def test_putting_off_needs_a_reason_and_works_once(window: Window) -> None:
    assert window.ask("look", "P-6", "--defer").status == 2
    assert window.ask("look", "P-6", "--defer", "--why", "job 12 must ship").status == 0
    said = window.ask("look", "P-6", "--defer", "--why", "job 13 too")
    assert said.status == 2
    assert "once is all" in said.err


def test_when_nothing_is_due_it_says_so(window: Window) -> None:
    said = window.ask("due", "--machine", "Ironworker 2")
    assert (said.status, said.lines) == (0, ["nothing that stands at Ironworker 2 is due"])


def test_when_a_person_has_nothing_due_it_says_whose(window: Window) -> None:
    assert window.ask("look", "P-6", "--sharp", "--by", "bench 2").status == 0
    said = window.ask("due", "--person", "Bench 2")
    assert (said.status, said.lines) == (0, ["nothing that bench 2 has is due"])
    both = window.ask("due", "--person", "bench 2", "--machine", "Ironworker 2")
    assert both.lines == ["nothing that bench 2 has and stands at Ironworker 2 is due"]
    assert (both.status, window.ask("due", "--person", "bench 2", "--json").json["by"]) == (
        0,
        "bench 2",
    )


def test_a_share_has_a_space_before_its_sign(window: Window) -> None:
    assert " 108 % " in window.ask("due").out
    said = window.ask("look", "P-6", "--sharp")
    assert "108 % of its interval used" in said.out


def test_a_break_says_first_what_to_do_with_the_hands(window: Window) -> None:
    said = window.ask("broke", "P-6", "snapped", "thru", "1/2", "A36")
    assert (said.status, said.err) == (0, "")
    assert said.lines[0].startswith("STOP: isolate, clear the fragments;")
    assert said.out.upper().count("STOP") == 1
    said_in_one = " ".join(said.out.split())
    assert "to go on with hole 13/16 thru 1/2 A36, in Ironworker" in said_in_one
    assert "to replace it, order: 1 punch, round 13/16 in, seat A" in said_in_one
    assert said_in_one.index("STOP") < said_in_one.index("to go on with")
    assert max(len(line) for line in said.lines) <= 80
    assert "P-6" not in window.ask("due", "--all").out
    assert window.ask("broke", "P-5", "blunt").status == 2


def test_a_break_as_json(window: Window) -> None:
    said = window.ask("broke", "P-6", "lost", "--json")
    assert said.json["condition"] == "lost"
    assert said.json["to_inspect"] == []
    assert said.json["order"]["text"].startswith("1 punch, round 13/16 in")
    assert (said.json["ask"], said.json["instead"]) == ("", None)
    other = window.ask("broke", "P-5", "snapped", "thru", "3/8", "--json").json
    assert [one["role"] for one in other["instead"]["pieces"]] == ["punch", "die"]


def test_a_break_without_a_word_asks_what_happened(window: Window) -> None:
    said = window.ask("broke", "P-6")
    assert (said.status, said.out) == (2, "")
    assert "say one of: chipped, snapped, shattered, cracked, lost" in said.err
    assert "right: `crib broke P-0137 snapped" in said.err
