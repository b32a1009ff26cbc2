"""``crib add`` and ``crib measure`` at the window."""

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


def test_a_new_kind_and_piece_in_one_line(window: Window) -> None:
    words = "--role punch --shape obround --size 13/16 --long 1-7/8 --seat A --place A4"
    words += " --key-angles 0"
    said = window.ask("add", "P-0150", *words.split(), "--strokes", "12", "--by", "nights")
    assert (said.status, said.err) == (0, "")
    assert said.lines == [
        "P-0150 is in the crib: obround punch 13/16 x 1-7/8 seat A key 0, A4",
        "  a new kind was made for it; `crib import` can add length, price, supplier",
        "  12 strokes since new, 12 since grind, 12 weighted",
        "  wrong? crib undo 6 --why TEXT",
    ]
    assert window.ask("show", "P-0150", "--json").json["entries"][0]["who"] == "nights"


def test_json_says_what_was_added(window: Window) -> None:
    said = window.ask("add", "P-1", "--kind", "round punch 7/8  #3", "--json")
    assert said.json == {
        "tag": "P-1",
        "kind": "round punch 7/8  #3",
        "kind_is_new": False,
        "place": None,
        "strokes_since_new": 0,
        "strokes_since_grind": 0,
        "wear": 0.0,
        "entry": 6,
    }


def test_a_taken_tag_exits_two(window: Window) -> None:
    said = window.ask("add", "P-0137", "--kind", "round punch 7/8  #3")
    assert (said.status, said.out) == (2, "")
    assert "stamp another tag" in said.err


def test_a_measured_size_is_told_with_the_one_before(window: Window) -> None:
    said = window.ask("measure", "P-0137", "--size", "0.811", "--length", "2.7", "--why", "small")
    assert (said.status, said.err) == (0, "")
    assert "  size 0.811 in (20.6 mm); before: not measured" in said.lines
    assert "  12 grinds left" in said.lines


def test_an_odd_size_asks_back_and_takes_it_when_sure(window: Window) -> None:
    words = ("measure", "P-0137", "--size", "0.75", "--why", "small")
    said = window.ask(*words)
    assert (said.status, said.out) == (2, "")
    assert "1/16 in off the nominal 13/16 in" in said.err
    assert "--sure" in said.err
    assert window.ask(*words, "--sure", "--json").json["width_mm"] == pytest.approx(19.05)
