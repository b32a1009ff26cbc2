"""How far a search is, on one line of the terminal that is wiped when it is over."""

from __future__ import annotations

import sys
from typing import TextIO

from crib.unseen import SeenStream

_QUIET_S, _EVERY_S = 1.0, 0.5


class HowFar:
    """Writes the seconds gone and the most there will be; nothing into a file or a pipe."""

    def __init__(self) -> None:
        stream = sys.stderr
        self._stream: TextIO | None = None
        if isinstance(stream, SeenStream) and stream.isatty():
            self._stream = stream.below
        self._next_s, self._width = _QUIET_S, 0

    def __call__(self, gone_s: float, most_s: float) -> None:
        """Say it, at most twice a second, and not at all in the first second."""
        if gone_s >= most_s:
            self._wipe()
        if self._stream is None or not self._next_s <= gone_s < most_s:
            return
        self._next_s = gone_s + _EVERY_S
        line = f"looking for the best order: {gone_s:.0f} of at most {most_s:.0f} s"
        self._stream.write(f"\r{line:<{self._width}}")
        self._stream.flush()
        self._width = len(line)

    def _wipe(self) -> None:
        """Leave the line as it was."""
        if self._stream is not None and self._width:
            self._stream.write(f"\r{'':<{self._width}}\r")
            self._stream.flush()
            self._width = 0
