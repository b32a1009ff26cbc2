"""The stroke sheet on paper, filled in by hand at the machine and typed in next morning.

Every line has a short code such as ``7-3`` (sheet 7, line 3): the code is all that is typed back.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class PaperLine:
    """One line that is known before the shift; ``planned`` are its planned strokes, if any."""

    code: str
    tags: str
    what: str
    thru: str
    job: str
    planned: int | None


@dataclass(frozen=True, slots=True)
class StrokePaper:
    """The whole sheet; ``blank_lines`` are for what nobody planned."""

    title: str
    code: str
    made_on: str
    machine: str
    lines: tuple[PaperLine, ...]
    blank_lines: int = 4
