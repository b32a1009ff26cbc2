"""What is typed behind a command is understood whole, or refused at the word that is not."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from crib.stock.engine.opening import open_crib
from crib.stock.queries.pieces import piece_by_tag
from tests.cli.asking import Window
from tests.shop import add_piece, small_shop

FREE = [
    ("find", "hole 13/16 thru 3/8 A36 for 40 ream", ()),
    ("find", "slot 13/16 x 2 thru 3/8 A36 edge 2 sideways", ()),
    ("compare", "hole 13/16 thru 3/8 A36 for 40", ()),
    ("log", "P-0137 40 about thru 3/8 A36 with D-0201 chain dry job J-1", ()),
    ("log", "P-0137 40 D-0201 20 thru 3/8", ()),
    ("broke", "P-0137 snapped thru 1/2 A36", ()),
    ("stock", "die round 27/32 seat A sound", ()),
    ("show", "P-0137", ()),
    ("look", "P-0137", ("--sharp",)),
    ("measure", "P-0137", ("--size", "0.811", "--why", "small")),
    ("retire", "P-0137", ("--why", "worn")),
    ("history", "P-0137", ()),
    ("grind", "P-0137", ("--length", "2.7in")),
    ("move", "P-0137 D-0201", ("--to", "A3")),
    ("chart", "P-0137", ()),
    ("life", "P-0137", ()),
    ("kit lend", "P-0137", ("--to", "bench 2")),
    ("order", "K1 K2", ()),
    ("receive", "2026-0001 1=2", ("--to", "A3")),
    ("undo", "1", ("--why", "wrong")),
]


@pytest.fixture
def window(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Window:
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.setenv("NO_COLOR", "1")
    small_shop(tmp_path / "shop.crib").close()
    return Window(tmp_path / "shop.crib", capsys)


def written(window: Window) -> list[tuple[object, ...]]:
    """What acts leave behind: entries, wants and promises."""
    session = open_crib(window.path)
    found = [
        tuple(row)
        for table in ("entry", "want", "hold")
        for row in session.rows(f"SELECT * FROM {table}")
    ]
    session.close()
    return found


@pytest.mark.parametrize(("command", "words", "options"), FREE)
def test_a_word_that_is_not_understood_is_named_and_nothing_is_done(
    window: Window, command: str, words: str, options: tuple[str, ...]
) -> None:
    before, right = written(window), words.split()
    for at in range(len(right) + 1):
        if right[at - 1 : at] == ["job"]:
            continue
        said = window.ask(*command.split(), *right[:at], "banana", *right[at:], *options)
        assert (said.status, said.out) == (2, ""), (right[:at], said.out)
        assert "banana" in said.err, said.err
    assert written(window) == before


@pytest.mark.parametrize("tag", [("p-0137",), ("P137",), ("p", "137"), ("p 137",), ("137",)])
@pytest.mark.parametrize(
    ("command", "options"),
    [
        ("show", ()),
        ("history", ()),
        ("chart", ()),
        ("life", ()),
        ("look", ("--sharp",)),
        ("measure", ("--size", "0.812", "--why", "checked")),
        ("retire", ("--why", "worn")),
        ("grind", ("--off", "0.01in")),
        ("move", ("--to", "A3")),
        ("broke", ("snapped",)),
        ("log", ("40", "thru", "3/8")),
        ("kit lend", ("--to", "bench 2")),
    ],
)
def test_a_tag_is_taken_as_it_is_said_and_shown_back_as_it_is(
    window: Window, command: str, options: tuple[str, ...], tag: tuple[str, ...]
) -> None:
    said = window.ask(*command.split(), *tag, *options)
    assert (said.status, said.err) == (0, "")
    assert "P-0137" in said.out


def test_a_tag_that_may_be_several_is_asked_back_with_each(window: Window) -> None:
    session = open_crib(window.path)
    add_piece(session, "D-137", piece_by_tag(session, "D-0201").kind_id)
    session.close()
    said = window.ask("show", "137", "--json")
    told = json.loads(said.err)["error"]
    assert (said.status, told["code"]) == (2, "ask-back")
    assert told["readings"] == ["D-137", "P-0137"]
