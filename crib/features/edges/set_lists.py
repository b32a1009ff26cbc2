"""What the lists of a station and of a set say of a cut: its size, its thickness and its depth."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from crib.features.common.chain_checks import PLATE, envelope_finding, envelope_points
from crib.features.common.findings import Finding
from crib.features.common.speech import Speech
from crib.features.common.tooling import EnvelopeRow, Station, Tool
from crib.features.edges.set_case import SetCase
from crib.trade.common.verdicts import falls_short

SET = "the set"
"""The owner of a set's own list, as it is told."""


@dataclass(frozen=True, slots=True)
class Lists:
    """What the lists of a station and of a set hold for one operation, by their owner."""

    by_owner: dict[str, tuple[EnvelopeRow, ...]]

    def has(self, owner: str) -> bool:
        """Whether the owner has a list for it."""
        return bool(self.by_owner[owner])

    def findings(self, case: SetCase) -> Iterator[Finding]:
        """What each list says of size, thickness and depth."""
        for owner, rows in self.by_owner.items():
            reaching = tuple(row for row in rows if _reaches(row, case, unless_said=True))
            if rows and not reaching:
                yield _too_shallow(case, owner, rows)
            elif rows:
                yield _in_list(case, owner, reaching)

    def says_how_deep(self, owner: str, case: SetCase) -> bool:
        """Whether an owner's list proves this very cut, its depth included."""
        deep = tuple(row for row in self.by_owner[owner] if _reaches(row, case, unless_said=False))
        return bool(deep) and _in_list(case, owner, deep).verdict == "ok"


def lists_of(case: SetCase, station: Station, tool: Tool) -> Lists:
    """The points of both lists for what is cut."""
    owned = {station.label: station.envelope, SET: tool.envelope}
    operation = case.cut.operation
    return Lists(
        {
            owner: tuple(row for row in rows if row.operation == operation)
            for owner, rows in owned.items()
        }
    )


def _reaches(row: EnvelopeRow, case: SetCase, *, unless_said: bool) -> bool:
    """Whether a point goes as deep as the cut, or ``unless_said`` where it does not say."""
    return unless_said if row.depth_mm is None else not falls_short(row.depth_mm, case.depth_mm)


def _in_list(case: SetCase, owner: str, rows: tuple[EnvelopeRow, ...]) -> Finding:
    cut, plate = case.cut, case.plate
    return envelope_finding(
        envelope_points(rows, cut.operation, 0.0),
        cut.size_mm,
        plate.thickness_mm,
        case.material,
        case.rules,
        owner=owner,
        operation=cut.operation,
    )


def _too_shallow(case: SetCase, owner: str, rows: tuple[EnvelopeRow, ...]) -> Finding:
    deepest_mm = max(row.depth_mm or 0.0 for row in rows)
    say = case.say.near(Speech.length, case.depth_mm, deepest_mm)
    text = (
        f"{owner}: {say.length(case.depth_mm)} deep is beyond its list for {case.cut.operation}"
        f" (at most {say.length(deepest_mm)} deep)"
    )
    return Finding("envelope", "refuse", text, case.depth_mm, deepest_mm, "mm", PLATE)
