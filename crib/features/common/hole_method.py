"""How a code wants a hole made: punched full size, punched under size and reamed, or drilled."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from crib.trade.metal.hole_method import known_codes

if TYPE_CHECKING:
    from crib.features.common.pair_case import PairCase


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


def hole_method(case: PairCase) -> HoleMethod | None:
    """The method for a punched hole; None when no code is named."""
    ruling = case.ruling
    if ruling is None:
        return None
    word = {True: "allowed", False: "not allowed", None: "undecided"}[ruling.allowed]
    return HoleMethod(
        code=_known(case.facts.code or case.rules.text("code.default")),
        ruling=word,
        chosen=_chosen(case),
        instead=ruling.instead,
        text=ruling.text,
        source=ruling.source,
        limit_mm=ruling.limit_mm,
        under_mm=ruling.subpunch_under_mm,
    )


def _known(code: str) -> str:
    """A code's name as it is known, however it was written."""
    plain = {"".join(name.split()).casefold(): name for name in known_codes()}
    return plain.get("".join(code.split()).casefold(), code)


def _chosen(case: PairCase) -> str:
    ruling = case.ruling
    if case.facts.to_ream:
        return "punch under size and ream"
    return "punch full size" if ruling is not None and ruling.allowed else "none yet"
