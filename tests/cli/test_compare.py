"""``crib compare`` on an 80-column screen and as JSON."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.asking import Window
from tests.shop import small_shop

WORDS = ("compare", "hole", "13/16", "thru", "3/8", "A36", "for", "120")


@pytest.fixture
def window(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Window:
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.setenv("NO_COLOR", "1")
    small_shop(tmp_path / "shop.crib").close()
    return Window(tmp_path / "shop.crib", capsys)


def test_the_screen_shows_each_way_and_the_break_even(window: Window) -> None:
    said = window.ask(*WORDS)
    assert (said.status, said.err) == (0, "")
    assert max(len(line) for line in said.lines) <= 80
    assert said.lines[0] == "hole 13/16 thru 3/8 A36, 120 of them, at USD 60.00 an hour"
    assert "punch       10.00   0.25       -     40.00     0.7      -   cheapest" in said.lines
    assert "drill       10.00   1.65       -    208.00     3.2      -" in said.lines
    assert "punch against drill: pays from the first; each saves USD 1.40" in said.lines


def test_json_has_whole_cents_and_every_way(window: Window) -> None:
    made = window.ask(*WORDS, "--json").json
    assert (made["best"], made["quantity"], made["serves"]) == ("punch", 120, True)
    assert [one["way"] for one in made["ways"]] == ["punch", "drill", "thermal", "farm out"]
    assert [one["total_cents"] for one in made["ways"]] == [4000, 20_800, 29_100, 69_000]
    assert made["break_even"][0]["least"] == 1


def test_a_price_to_ask_for_shows_as_a_question(window: Window) -> None:
    said = window.ask("compare", "hole", "11/16", "thru", "1/4", "for", "50")
    assert said.status == 0
    assert "price not known: say it with --price" in said.out
    row = next(one for one in said.lines if one.startswith("punch "))
    assert row.split()[3:5] == ["?", "?"]
    assert "cheapest known" in said.out
    assert max(len(line) for line in said.lines) <= 80
    priced = window.ask("compare", "hole", "11/16", "thru", "1/4", "--price", "210")
    assert "210.00" in priced.out


def test_a_code_that_must_be_asked_stands_in_the_line(window: Window) -> None:
    said = window.ask(*WORDS, "--code", "EN 1090-2")
    assert sum(line.endswith("ASK FIRST") for line in said.lines) == 2
    assert max(len(line) for line in said.lines) <= 80


def test_what_must_not_be_punched_says_no(window: Window) -> None:
    said = window.ask("compare", "hole", "5/16", "thru", "3/8", "A36")
    assert said.status == 0
    (row,) = [one for one in said.lines if one.startswith("punch ")]
    assert row.endswith("NO")


def test_a_price_that_cannot_be_read_is_a_wrong_request(window: Window) -> None:
    said = window.ask(*WORDS, "--price", "cheap")
    assert said.status == 2
    assert "money" in said.err
