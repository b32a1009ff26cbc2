"""What one rule says of one choice of tooling."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from crib.acts import Act, Said, saying
from crib.trade.common.verdicts import Verdict


@dataclass(frozen=True, slots=True)
class Finding:
    """One rule's verdict: the figure, its limit, both in ``unit``, the reason and its source.

    ``chance`` is how likely it is that what the finding fears comes true, where that is known;
    ``final`` marks what nobody may override: it destroys tools or hurts people; ``remedy`` is what
    lifts a refusal.
    """

    rule: str
    verdict: Verdict
    text: str
    value: float | None = None
    limit: float | None = None
    unit: str = ""
    source: str = ""
    final: bool = False
    chance: float | None = None
    remedy: Act | None = None

    def said(self) -> Said:
        """The reason, and what lifts it."""
        return self.text if self.remedy is None else saying(self.text, ": then ", self.remedy)

    def as_json(self) -> dict[str, Any]:
        """The finding for programs."""
        known = {} if self.chance is None else {"chance": _rounded(self.chance)}
        return {
            "rule": self.rule,
            "verdict": self.verdict,
            "value": _rounded(self.value),
            "limit": _rounded(self.limit),
            "unit": self.unit,
            "text": self.said(),
            "source": self.source,
            "final": self.final,
            **known,
        }


def refusals(findings: Iterable[Finding]) -> list[Finding]:
    """The findings that refuse."""
    return [finding for finding in findings if finding.verdict == "refuse"]


def cautions(findings: Iterable[Finding]) -> list[Finding]:
    """The findings that allow with a caution."""
    return [finding for finding in findings if finding.verdict == "caution"]


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, 6)
