"""A feature made in several hits: which hit where, how much of the punch cuts, with what tool."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from crib.features.common.findings import Finding
from crib.trade.life.wear import Hit as HitKind

if TYPE_CHECKING:
    from crib.features.common.ask import Ask


@dataclass(frozen=True, slots=True)
class Hit:
    """One stroke of a plan.

    ``x_mm`` and ``y_mm`` are the tool's centre from the feature's centre (from the middle of the
    edge for a notch, depth positive into the plate). ``bite`` is the share of the tool's area that
    cuts. ``pair`` says which of the plan's tools makes it, ``turned`` by 90 degrees or not.
    """

    number: int
    x_mm: float
    y_mm: float
    bite: float
    kind: HitKind = "full"
    pair: int = 0
    turned: bool = False

    def as_json(self) -> dict[str, Any]:
        """The hit for programs."""
        return {
            "number": self.number,
            "x_mm": round(self.x_mm, 6),
            "y_mm": round(self.y_mm, 6),
            "bite": round(self.bite, 6),
            "kind": self.kind,
            "pair": self.pair,
            "turned": self.turned,
        }


@dataclass(frozen=True, slots=True)
class HitPlan:
    """All hits of a feature in their order, and the asks of a single hit, one for each pair.

    The union of the hits is the feature within ``cusp_mm``. The findings hold the bite, overlap
    and web limits; a plan with a refusal is shown as a near miss only.
    """

    asks: tuple[Ask, ...]
    hits: tuple[Hit, ...]
    findings: tuple[Finding, ...]
    text: str
    cusp_mm: float = 0.0

    def of_pair(self, pair: int) -> tuple[Hit, ...]:
        """The hits that one pair makes."""
        return tuple(hit for hit in self.hits if hit.pair == pair)

    def as_json(self) -> dict[str, Any]:
        """The plan for programs."""
        return {
            "text": self.text,
            "cusp_mm": round(self.cusp_mm, 6),
            "hits": [hit.as_json() for hit in self.hits],
        }
