"""How a code wants a hole made: punched full size, punched under size and reamed, or drilled."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class HoleMethod:
    """What a code rules for one hole. ``chosen`` is how the answer takes it to be made."""

    code: str
    ruling: str
    chosen: str
    instead: str
    text: str
    source: str
    limit_mm: float | None = None
    under_mm: float | None = None

    def as_json(self) -> dict[str, Any]:
        """The method for programs; ``ruling`` is allowed, not allowed or undecided."""
        return {
            "code": self.code,
            "ruling": self.ruling,
            "chosen": self.chosen,
            "instead": self.instead or None,
            "text": self.text,
            "source": self.source,
            "limit_mm": self.limit_mm,
            "subpunch_under_mm": self.under_mm,
        }

    def line(self) -> str:
        """The method in a line for the screen."""
        full = {
            "allowed": "punching it full size is allowed",
            "not allowed": "punching it full size is not allowed",
            "undecided": "whether it may be punched full size is not decided",
        }[self.ruling]
        told = f"{full} ({self.text})"
        if self.ruling != "allowed":
            told += f"; instead: {self.instead}" if self.instead else ""
        return f"Method by {self.code}: {told}. Taken here: {self.chosen}."
