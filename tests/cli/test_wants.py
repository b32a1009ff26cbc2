"""``crib wants`` at the window."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.asking import Window
from tests.shop import small_shop


@pytest.fixture
def window(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Window:
    monkeypatch.setenv("COLUMNS", "80")
    small_shop(tmp_path / "shop.crib").close()
    return Window(tmp_path / "shop.crib", capsys)


def test_a_slip_is_seen_and_struck_out_as_the_answer_said(window: Window) -> None:
    missed = window.ask("find", "hole", "1-3/16", "thru", "3/8", "for", "60")
    assert "not meant? `crib wants strike 1 --why TEXT`" in " ".join(missed.out.split())
    (row,) = [line for line in window.ask("wants").lines if "1-3/16" in line]
    assert row.split()[:7] == ["1", "hole", "1-3/16", "thru", "3/8", "A36", "60"]
    said = window.ask("wants", "strike", "1", "--why", "3/4 was meant", "--by", "nights")
    assert said.lines[:2] == [
        "struck out 1 want; wanted again when somebody asks again",
        "1  hole 1-3/16 thru 3/8 A36: 60, struck out",
    ]
    assert said.lines[-1].startswith("    struck out by nights on ")
    assert said.lines[-1].endswith(": 3/4 was meant")
    assert window.ask("wants").lines == [
        "nothing is wanted; crib find PHRASE remembers what is missed"
    ]
    assert "struck out" in window.ask("wants", "--all").out


def test_one_is_shown_by_its_number_merged_and_opened_again(window: Window) -> None:
    for size in ("1-3/16", "1-1/16"):
        window.ask("find", "hole", size, "thru", "3/8")
    assert "    lacks punch round 1-3/16 in, seat A" in window.ask("wants", "1").lines
    assert window.ask("wants", "merge", "1", "--into", "2").lines[0] == "merged 1 want into 2"
    assert window.ask("wants", "--json").json["lines"][0]["card"]["times_asked"] == 2
    assert window.ask("wants", "reopen", "1").lines[0] == "wanted again: 1 want"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("strike 9 --why x", "no want 9"),
        ("strike 1", "no reason given"),
        ("strike x --why x", "'x' cannot be read"),
        ("merge 1", "Missing option '--into'"),
        ("7", "no want 7"),
    ],
)
def test_what_is_wrong_is_said_and_changes_nothing(window: Window, words: str, said: str) -> None:
    window.ask("find", "hole", "1-3/16", "thru", "3/8")
    told = window.ask("wants", *words.split())
    assert (told.status, told.out) == (2, "")
    assert said in told.err
    assert len(window.ask("wants", "--json").json["lines"]) == 1
