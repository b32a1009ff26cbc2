"""How a code wants a hole made: punched full size, punched under size and reamed, or drilled."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from crib.features.common.sizes import clean_text
from crib.units import System

REAM = "ream"
"""The word for a hole that is punched under size and reamed to the size that was asked."""

Chosen = Literal["punch full size", "punch under size and ream", "none yet"]


def punched_words(figures: Mapping[str, float], system: System) -> str:
    """What is punched where it is not what is finished, from the figures of a pick; else empty."""
    punched_mm, finished_mm = figures.get("punched_mm"), figures.get("finished_mm")
    if punched_mm is None or finished_mm is None:
        return ""
    return f"punched {clean_text(punched_mm, system)}, reamed to {clean_text(finished_mm, system)}"


@dataclass(frozen=True, slots=True)
class HoleMethod:
    """What a code rules for one hole; ``code`` is empty where the job names none.

    ``chosen`` is how the answer takes it to be made: ``punched_mm`` is the punch that was really
    picked for it and ``tools`` the tags, none where nothing serves. ``subpunch_most_mm`` is the
    greatest punch or die (``subpunch_of``) to ream after.
    """

    code: str
    ruling: str
    chosen: Chosen
    instead: str
    text: str
    source: str
    limit_mm: float | None = None
    under_mm: float | None = None
    subpunch_of: str = ""
    subpunch_most_mm: float | None = None
    finished_mm: float | None = None
    punched_mm: float | None = None
    tools: tuple[str, ...] = ()

    def as_json(self) -> dict[str, Any]:
        """The method for programs; ``ruling`` is allowed, not allowed or undecided."""
        return {
            "code": self.code or None,
            "ruling": self.ruling,
            "chosen": self.chosen,
            "instead": self.instead or None,
            "text": self.text,
            "source": self.source,
            "limit_mm": self.limit_mm,
            "subpunch_under_mm": self.under_mm,
            "subpunch_of": self.subpunch_of or None,
            "subpunch_most_mm": self.subpunch_most_mm,
            "finished_mm": self.finished_mm,
            "punched_mm": self.punched_mm,
            "tools": list(self.tools),
        }

    def line(self, system: System) -> str:
        """The method in a line for the screen."""
        full = {
            "allowed": "punching it full size is allowed",
            "not allowed": "punching it full size is not allowed",
            "undecided": "whether it may be punched full size is not decided",
        }[self.ruling]
        told = f"{full} ({self.text})"
        if self.ruling != "allowed":
            told += f"; instead: {self.instead}" if self.instead else ""
        by = f" by {self.code}" if self.code else ""
        return f"Method{by}: {told}. Taken here: {self.made(system)}."

    def made(self, system: System) -> str:
        """How it is made, with the size that is punched where that is not the hole's own."""
        if self.chosen != "punch under size and ream" or self.punched_mm is None:
            return self.chosen
        punched = clean_text(self.punched_mm, system)
        return f"{self.chosen}, {punched} to {clean_text(self.finished_mm or 0.0, system)}"
