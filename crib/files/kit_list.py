"""The kit list of a job: what to take from which drawer, in walking order, and what is missing.

Every text is ready to print; the lines stand in the order in which they are walked.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class KitLine:
    """One piece to take; ``for_what`` names the work, ``state`` its condition or where it is."""

    place: str
    tag: str
    what: str
    role: str
    for_what: str
    spare: bool
    state: str
    edge: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class KitList:
    """The whole list; ``missing`` says what nothing serves and what to order for it."""

    title: str
    job: str
    made_on: str
    due_on: str
    lines: tuple[KitLine, ...]
    missing: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
