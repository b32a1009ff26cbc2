"""The line that says how far a search is: on a terminal only, and gone at the end."""

from __future__ import annotations

import io
import sys

import pytest

from crib.cli.screens.how_far import HowFar
from crib.unseen import SeenStream


class Terminal(io.StringIO):
    """A stream that a person looks at."""

    def isatty(self) -> bool:
        return True


def test_it_counts_on_a_terminal_and_is_wiped(monkeypatch: pytest.MonkeyPatch) -> None:
    terminal = Terminal()
    monkeypatch.setattr(sys, "stderr", SeenStream(terminal))
    how_far = HowFar()
    for tenths in range(25):
        how_far(tenths / 10, 12.0)
    lines = terminal.getvalue().split("\r")
    assert lines == ["", *(f"looking for the best order: {n} of at most 12 s" for n in (1, 2, 2))]
    how_far(12.0, 12.0)
    assert terminal.getvalue().endswith(f"\r{' ' * len(lines[-1])}\r")


def test_a_quick_search_and_a_pipe_hear_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    for stream, gone_s in ((Terminal(), 0.9), (io.StringIO(), 5.0)):
        monkeypatch.setattr(sys, "stderr", SeenStream(stream))
        how_far = HowFar()
        how_far(gone_s, 12.0)
        how_far(12.0, 12.0)
        assert stream.getvalue() == ""
