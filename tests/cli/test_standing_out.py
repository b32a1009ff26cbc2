"""What stands out on a terminal, and that it is the same words as in a file."""

from __future__ import annotations

import re
import sys
from io import StringIO
from pathlib import Path

import pytest

from crib.cli.door import console, say, table
from crib.cli.main import main
from crib.unseen import IN_ITS_PLACE, SeenStream
from tests.shop import small_shop

_LOOK = re.compile(r"\x1b\[[0-9;]*m")
_COLOUR = re.compile(r"\x1b\[[0-9;]*3[0-7]")


class Terminal(StringIO):
    """A terminal that keeps what is written on it."""

    def isatty(self) -> bool:
        return True


@pytest.fixture
def terminal(monkeypatch: pytest.MonkeyPatch) -> Terminal:
    for name in ("NO_COLOR", "FORCE_COLOR"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("TERM", "xterm-256color")
    monkeypatch.setenv("COLUMNS", "80")
    return Terminal()


def shown(stream: StringIO, monkeypatch: pytest.MonkeyPatch) -> str:
    """A caution, a tag in words and a row of a table, as the stream gets them."""
    monkeypatch.setattr(sys, "stdout", SeenStream(stream))
    screen = console()
    say(screen, "STOP: P-0137 is cracked. CAUTION: L5 \x1b[2J next")
    rows = table("tag", "what", "from")
    rows.add_row("X 7", "round \x1b[31m die", "L5")
    screen.print(rows)
    return stream.getvalue()


def test_a_terminal_gets_the_same_words_in_bold_and_colour(
    terminal: Terminal, monkeypatch: pytest.MonkeyPatch
) -> None:
    said = shown(terminal, monkeypatch)
    assert _LOOK.sub("", said) == shown(StringIO(), monkeypatch)
    assert "\x1b[1;31mSTOP\x1b[0m" in said
    assert "\x1b[1;33mCAUTION\x1b[0m" in said
    for bold in ("P-0137", "X 7", "L5"):
        assert f"\x1b[1m{bold}" in said


def test_no_color_keeps_the_bold_and_leaves_the_colour_out(
    terminal: Terminal, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    said = shown(terminal, monkeypatch)
    assert not _COLOUR.search(said)
    assert "\x1b[1mSTOP" in said


def test_a_file_a_pipe_and_a_plain_terminal_get_no_escape(
    terminal: Terminal, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("FORCE_COLOR", "1")
    assert "\x1b" not in shown(StringIO(), monkeypatch)
    monkeypatch.delenv("FORCE_COLOR")
    monkeypatch.setenv("TERM", "dumb")
    assert "\x1b" not in shown(terminal, monkeypatch)


def test_what_is_stored_brings_no_escape_of_its_own(
    terminal: Terminal, monkeypatch: pytest.MonkeyPatch
) -> None:
    said = shown(terminal, monkeypatch)
    assert said.count(IN_ITS_PLACE) == 2
    assert "\x1b[2J" not in said


def test_an_answer_at_the_window_names_its_pieces_in_bold(
    terminal: Terminal, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    small_shop(tmp_path / "shop.crib").close()
    monkeypatch.setattr(sys, "stdout", terminal)
    asked = ["find", "hole", "13/16", "thru", "3/8", "A36", "--crib", str(tmp_path / "shop.crib")]
    assert main(asked) == 0
    assert "\x1b[1mP-0137" in terminal.getvalue()
