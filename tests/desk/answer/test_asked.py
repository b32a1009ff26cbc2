"""A phrase as it was understood: parts in any order, shown back where it was typed otherwise."""

from __future__ import annotations

from pathlib import Path

import pytest

from crib.desk.answer.asked import read_asked
from crib.desk.answer.find import find
from crib.errors import BadPhrase, UnsurePhrase
from crib.features.common.case import Circumstances
from tests.desk.asks import one_station
from tests.features.bench import IN

HOLE = "hole 13/16 thru 3/8 A36"


@pytest.mark.parametrize(
    ("phrase", "understood"),
    [
        (HOLE, ""),
        ("HOLE  13/16 Thru 3/8 a36 FOR 300", ""),
        ("slot 13/16x2 thru 3/8 A36", ""),
        ("hole 13/16 thru 3/8", HOLE),
        ("hole 20.6375mm through 3/8 A36", HOLE),
        ("hole 13/16 3/8 for 300", f"{HOLE} for 300"),
        ("hole 13/16 thru 3/8 for 300 A36", f"{HOLE} for 300"),
        ("hole 13/16 for 300 holes thru 3/8 A36", f"{HOLE} for 300"),
        ("hole 13/16 thru 3/8 ream for 4 edge 2 A36", f"{HOLE} edge 2 ream for 4"),
        ("hole 13/16 thru 3/8 A36 for 4 reamed pitch 3", f"{HOLE} pitch 3 ream for 4"),
        ("cut angle 3 x 3 x 1/4 for 4 cuts at 45", "cut angle 3 x 3 x 1/4 at 45 A36 for 4"),
        ("13/16 hole 3/8 plate", HOLE),
    ],
)
def test_what_was_understood_is_said_where_it_is_not_what_was_typed(
    phrase: str, understood: str
) -> None:
    asked = read_asked(phrase, IN, Circumstances())
    assert asked.understood == understood
    if understood:
        again = read_asked(understood, IN, Circumstances())
        assert again.ask.phrase("in") == asked.ask.phrase("in")
        assert (again.facts, again.understood) == (asked.facts, "")


@pytest.mark.parametrize(
    ("phrase", "free"),
    [(HOLE, False), ("hole 13/16 through 3/8", False), ("hole 13/16 3/8", True)],
)
def test_a_word_left_out_makes_it_free(phrase: str, free: bool) -> None:
    assert read_asked(phrase, IN, Circumstances()).free == free


@pytest.mark.parametrize(
    ("phrase", "at_fault"),
    [
        ("hole 13/16 thru 1 ream 3/16", "3/16"),
        ("hole 13/16 thru 1 for 300 3/16", "300 3/16"),
        ("hole 13/16 thru 1 for 3 316", "316"),
        ("hole 13/16 thru 1 ream mm", "mm"),
        (f"{HOLE} for 300 slots", "slots"),
        (f"{HOLE} for 300 banana", "banana"),
        (f"{HOLE} for banana 300", "banana"),
        (f"{HOLE} ream banana", "banana"),
        (f"{HOLE} for 3 for 4", "for"),
        ("cut flat 4 x 3/8 ream", "ream"),
    ],
)
def test_what_stands_round_a_part_never_runs_together(phrase: str, at_fault: str) -> None:
    with pytest.raises(BadPhrase) as caught:
        read_asked(phrase, IN, Circumstances())
    said = caught.value.text[caught.value.start : caught.value.end]
    assert said == at_fault


def test_what_was_read_freely_is_shown_back_before_it_becomes_a_want(tmp_path: Path) -> None:
    session = one_station(tmp_path / "bare.crib")
    count = "SELECT count(*) FROM want"
    for phrase in ("hole 13/16 3/8", "13/16 hole 3/8 plate"):
        found = find(session, phrase)
        assert (found.serves, found.understood, session.value(count)) == (False, HOLE, 0)
        assert any("not remembered" in str(note) for note in found.notes)
    assert find(session, found.understood).understood == ""
    assert session.value(count) == 1
    session.close()


def test_a_unit_that_nobody_can_mean_is_asked_back_and_nothing_is_remembered(
    tmp_path: Path,
) -> None:
    session = one_station(tmp_path / "bare.crib")
    with pytest.raises(UnsurePhrase, match="has no unit"):
        find(session, "hole 20.6 thru 12")
    assert session.value("SELECT count(*) FROM want") == 0
    session.close()
