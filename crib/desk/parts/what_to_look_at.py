"""What a person should look at in parts that were read: the findings that are not plainly ok."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from crib.desk.parts.opening_checks import check_part
from crib.desk.parts.shown_phrase import part_system
from crib.features.common.findings import Finding
from crib.features.common.speech import Speech
from crib.files.drawings.parts import Part, PartFeature
from crib.trade.shop.shop_rules import Rules
from crib.units import System


@dataclass(frozen=True, slots=True)
class PartFinding:
    """A finding with the part and the feature that it is of, and the unit that it speaks in."""

    mark: str
    feature: PartFeature
    finding: Finding
    system: System

    def as_json(self) -> dict[str, Any]:
        """The finding for programs, with where on the part it is."""
        one = self.feature
        place = {"face": one.face, "x_mm": one.x_mm, "y_mm": one.y_mm}
        size = {"feature": one.feature, "size_mm": one.size_mm, "long_mm": one.long_mm}
        return {"mark": self.mark, **size, **place, **self.finding.as_json()}


def part_findings(parts: Sequence[Part], rules: Rules) -> tuple[PartFinding, ...]:
    """Every finding of every part that refuses or warns, the refusals of a part first."""
    return tuple(one for part in parts if part.has_places for one in _of(part, rules))


def _of(part: Part, rules: Rules) -> list[PartFinding]:
    speaking = rules.speaking(part_system(part, rules.system))
    found = [
        PartFinding(part.mark, feature, finding, speaking.system)
        for feature, findings in zip(part.features, check_part(part, speaking), strict=True)
        for finding in findings
        if finding.verdict != "ok"
    ]
    return sorted(found, key=lambda one: one.finding.verdict != "refuse")


def finding_lines(found: Sequence[PartFinding], rules: Rules) -> Iterator[str]:
    """The findings in words, those of features alike in one line with the first one's place."""
    alike: dict[tuple[object, ...], list[PartFinding]] = {}
    for one in found:
        feature, finding = one.feature, one.finding
        size = (feature.feature, feature.size_mm, feature.long_mm)
        alike.setdefault((one.mark, *size, finding.verdict, finding.text), []).append(one)
    say = {system: Speech(rules.speaking(system)) for system in {one.system for one in found}}
    for first, *others in alike.values():
        word = "STOP" if first.finding.verdict == "refuse" else "CAUTION"
        lead = f"{first.mark}: " if first.mark else ""
        features = [one.feature for one in (first, *others)]
        yield f"{word}, {lead}{_named(features, say[first.system])}: {first.finding.text}"


def _named(features: Sequence[PartFeature], say: Speech) -> str:
    """How many of what, and where the first of them is."""
    first = features[0]
    long = f" x {say.length(first.long_mm)}" if first.long_mm else ""
    count = f"{len(features)} x " if len(features) > 1 else ""
    at = f"{'the first ' if count else ''}at x {say.length(first.x_mm)}, y {say.length(first.y_mm)}"
    face = "" if first.face == "v" else f" of face {first.face}"
    return f"{count}{first.feature} {say.length(first.size_mm)}{long}, {at}{face}"
