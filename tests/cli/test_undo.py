"""``crib count`` and ``crib undo`` at the window."""

from __future__ import annotations

import json
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


def test_a_list_to_take_along(window: Window) -> None:
    assert window.ask("count", "a1").lines == [
        "A1: 1 expected",
        "  [ ] P-0137  round punch 13/16  #0, 13/16 in",
    ]


def test_a_blind_list_has_only_lines(window: Window) -> None:
    said = window.ask("count", "A2", "--blind")
    assert "P-0140" not in said.out
    assert len(said.lines) == 11


def test_differences_are_told_settled_and_taken_back(window: Window) -> None:
    told = window.ask("count", "A1", "--there", "D-0201,X-9")
    assert told.status == 0
    assert told.lines[0] == "A1: 0 of 1 expected are here"
    assert "MISSING: P-0137" in told.out
    assert "BELONGS ELSEWHERE: D-0201" in told.out
    assert "NOT IN THE CRIB: X-9; crib add X-9 ..." in told.out
    settled = window.ask(
        *"count A1 --there D-0201 --settle --why yearly --by nights --json".split()
    )
    assert settled.json["settled"] is True
    whole = ("undo", "--act", settled.json["act"], "--why", "wrong drawer")
    shown = window.ask(*whole)
    assert (shown.status, shown.out) == (2, "")
    assert "  D-0201: 7 counted, to A1, yearly" in shown.err.splitlines()
    undone = window.ask(*whole, "--yes")
    assert undone.status == 0
    assert "taken back: 7  D-0201  counted, to A1, yearly" in undone.lines
    assert window.ask("show", "P-0137", "--json").json["condition"] == "sound"


def test_settling_needs_what_was_found(window: Window) -> None:
    said = window.ask("count", "A1", "--settle", "--why", "yearly")
    assert (said.status, said.out) == (2, "")
    assert "--settle without --found" in said.err


def test_an_undo_shows_the_totals_before_and_after(window: Window) -> None:
    window.ask("move", "P-0137", "--to", "A4")
    said = window.ask("undo", "6", "--why", "wrong drawer", "--by", "nights")
    assert (said.status, said.err) == (0, "")
    assert said.lines[0] == "taken back: 6  P-0137  moved, to A4"
    (row,) = [line.split() for line in said.lines if "place" in line]
    assert row == ["P-0137", "place", "A4", "A1"]


def test_the_last_act_as_json(window: Window) -> None:
    window.ask("move", "P-0137", "P-0140", "--to", "A4", "--by", "nights")
    last = ("undo", "--last", "--why", "wrong", "--by", "nights", "--json")
    asked = window.ask(*last)
    assert (asked.status, json.loads(asked.err)["error"]["confirm"]) == (2, "whole-act")
    assert json.loads(asked.err)["error"]["told"] == [
        "P-0137: 6 moved, to A4",
        "P-0140: 7 moved, to A4",
    ]
    told = window.ask(*last, "--yes").json
    assert [one["tag"] for one in told["pieces"]] == ["P-0137", "P-0140"]
    assert told["pieces"][0]["after"]["place"] == "A1"


@pytest.mark.parametrize("words", ["", "6 --last", "--last --act 6"])
def test_one_way_of_naming_what_to_take_back(window: Window, words: str) -> None:
    said = window.ask("undo", *words.split(), "--why", "x")
    assert (said.status, said.out) == (2, "")
    assert "say one of: entry numbers, --last, --act ENTRY" in said.err


def test_an_unknown_entry_exits_two(window: Window) -> None:
    said = window.ask("undo", "99", "--why", "x")
    assert (said.status, said.out) == (2, "")
    assert "no entry 99 in the ledger" in said.err
