"""What an entry is about, as a key: the printed line it was typed from, its hold, its damage.

A note is for people and may say anything; these are what the program looks for.
"""

from __future__ import annotations

from typing import Literal

from crib.stock.engine.session import Session

HoldStep = Literal["out", "back", "over"]
"""Handed out, given back, or over without coming back: the piece was lost or retired meanwhile."""

_HOLD_STEPS: dict[str, HoldStep] = {"out": "out", "back": "back", "over": "over"}

DAMAGE = ("chipped", "snapped", "shattered", "cracked")
"""What may be reported of a piece that is there."""

CLOSING = "closing"
"""Strokes that were assumed when their job was closed."""

NO_JOB = "no job"
"""Strokes that a person said to be no job's, though only one open job needed them."""

BESIDE = "beside"
"""Strokes of a piece that cut with the one that strikes, stroke for stroke: one cut, two edges."""


def of_line(code: str) -> str:
    """Strokes that were typed from a printed line, by its code such as 7-3."""
    return f"line {code}" if code else ""


def of_hold(hold_id: int, step: HoldStep) -> str:
    """A move by which a hold's piece was handed out, came back, or was given up."""
    return f"hold {hold_id} {step}"


def hold_step_of(subject: str) -> tuple[int, HoldStep] | None:
    """Which hold a move is a step of, and which step; None for any other subject."""
    match subject.split():
        case ["hold", number, step] if number.isdecimal() and step in _HOLD_STEPS:
            return int(number), _HOLD_STEPS[step]
    return None


def of_damage(happened: str) -> str:
    """A report of damage; empty for a piece that got lost."""
    return f"damage {happened}" if happened in DAMAGE else ""


def damage_of(subject: str) -> str:
    """Which damage a report is of; empty for any other subject."""
    return subject.removeprefix("damage ") if subject.startswith("damage ") else ""


def carry_subjects(session: Session) -> None:
    """Read subjects from notes, as revision 0003 does, for entries that came from an older crib."""
    from crib.stock.engine.migrate import revision_file

    facts = revision_file("0003")
    for sql, values in facts.SUBJECTS:
        session.run_many(facts.CARRY, [dict(row) for row in session.rows(sql, values)])
