"""The metal left beside a hole: what the tooling needs, and apart from it what the code asks.

The tooling's side counts the metal from the hole's rim, a code counts from the hole's centre. The
tooling may bear what the engineer may not, so each distance gets a finding of each side.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from crib.errors import BadValue, Missing
from crib.features.common.ask import Workaround
from crib.features.common.case import Case
from crib.features.common.findings import Finding
from crib.features.common.speech import Speech
from crib.features.holes.distances import Distance, Distances
from crib.trade.common.verdicts import remains
from crib.trade.metal import shapes
from crib.trade.metal.bolt_holes import HoleType
from crib.trade.metal.edge_distances import (
    Direction,
    DistanceLimit,
    code_edge_limit,
    code_spacing_limit,
    edge_verdict,
    tooling_edge_verdict,
)
from crib.trade.metal.shapes import Outline

CP = "common practice, no source"
MOST_CASES = 64
BESIDE = {"edge": "the edge", "end": "the end", "pitch": "the next hole"}
STANDARDS = {
    "AISC 360": "AISC 360-22",
    "EN 1090-2": "EN 1993-1-8",
    "AS 4100": "AS 4100",
    "AS/NZS 5131": "AS 4100",
}
"""Which standard prints the distances that belong to a code of practice."""

WHICH_BOLT = "which bolt"
_BY_EDGE = ("AS 4100",)
"""Whose distances differ by how the edge was made; a sheared edge, the worst, is taken."""
_ENGINEER = "ask the engineer"


@dataclass(frozen=True)
class DistanceCase(Case):
    """A hole and its distances; ``bolt`` is its size as printed, when a bolt asked for it."""

    outline: Outline
    distances: Distances
    bolt: str | None = None
    hole_type: HoleType = "standard"

    def size_mm(self, distance: Distance) -> float:
        """The hole's size on the line to the edge or the next hole; the corner of a hexagon."""
        if self.outline.shape == "hexagon":
            return shapes.diagonal_mm(self.outline)
        return self.outline.width_mm if distance.sideways else self.outline.length_mm

    def metal_mm(self, word: str, distance: Distance) -> float:
        """The metal from the hole's rim to the edge, the end or the next hole's rim."""
        rims = 1.0 if word == "pitch" else 0.5
        return distance.mm - rims * self.size_mm(distance)


def distance_findings(case: DistanceCase) -> tuple[Finding, ...]:
    """What the tooling and the code say of every distance that the phrase named."""
    return _findings(case) if case.distances.named() else ()


def code_rule(word: str) -> str:
    """What the code's finding of a distance is called."""
    return f"code {word}"


def distance_workarounds(refused: frozenset[str]) -> list[Workaround]:
    """What to do when a code refuses where the hole stands: no other tool or method mends that."""
    if WHICH_BOLT in refused:
        text = "say which bolt the hole is for: ask `bolt SIZE` instead of the hole"
        return [Workaround(text, None, 1)]
    if not refused & {code_rule(word) for word in BESIDE}:
        return []
    text = "ask the engineer for another distance, a smaller bolt or a written exception"
    return [Workaround(text, None, 20)]


@lru_cache(maxsize=MOST_CASES)
def _findings(case: DistanceCase) -> tuple[Finding, ...]:
    return tuple(_each(case))


def _each(case: DistanceCase) -> Iterator[Finding]:
    for word, distance in case.distances.named():
        yield _tooling(case, word, distance)
        if case.code:
            yield _code(case, word, distance)


def _tooling(case: DistanceCase, word: str, distance: Distance) -> Finding:
    say, thickness_mm = case.say, case.plate.thickness_mm
    least, better = case.rules.number("edge.refuse_t"), case.rules.number("edge.prefer_t")
    metal_mm = case.metal_mm(word, distance)
    verdict = tooling_edge_verdict(metal_mm, thickness_mm, least, better)
    limit_mm = (least if verdict == "refuse" else better) * thickness_mm
    rule, final = f"metal to {word}", not remains(metal_mm)
    if final:
        told = "the holes run into each other" if word == "pitch" else f"no metal to {BESIDE[word]}"
        text = f"{told}: {word} {say.length(distance.mm)}{_lying(case, distance)}"
        return Finding(rule, "refuse", text, metal_mm, limit_mm, "mm", CP, final=True)
    ratio = metal_mm / thickness_mm
    written = say.near(Speech.ratio, ratio, least, better).ratio(ratio)
    text = (
        f"{say.length(metal_mm)} of metal to {BESIDE[word]}{_lying(case, distance)}"
        f" = {written} t, at least {least:g} t, better {better:g} t"
    )
    text += {"ok": "", "caution": ": it may bulge", "refuse": ": it bulges or tears"}[verdict]
    return Finding(rule, verdict, text, metal_mm, limit_mm, "mm", CP)


def _lying(case: DistanceCase, distance: Distance) -> str:
    """How a long hole was taken to lie: the phrase decides, and the worse way when it is silent."""
    if case.outline.shape not in ("obround", "rectangle"):
        return ""
    if distance.sideways:
        return " (narrow side towards it)"
    return " (long side towards it; or else say sideways)"


def _code(case: DistanceCase, word: str, distance: Distance) -> Finding:
    rule, asked_mm = code_rule(word), distance.mm
    standard = STANDARDS.get(_known(case.code))
    if standard is None:
        text = f"the crib holds no distances of {case.code}: read them in the contract's copy"
        return Finding(rule, "caution", text, asked_mm, None, "mm", case.code)
    if case.outline.shape not in ("round", "obround"):
        text = f"{standard} prints distances of round and slotted holes only: {_ENGINEER}"
        return Finding(rule, "caution", text, asked_mm, None, "mm", standard)
    try:
        limit = _limit(case, word, distance, standard)
    except Missing as error:
        return Finding(WHICH_BOLT, "refuse", error.message, asked_mm, None, "mm", standard)
    except BadValue as error:
        text = f"{error.message}: {_ENGINEER}"
        return Finding(rule, "refuse", text, asked_mm, None, "mm", standard)
    return _held_against(case, word, distance, limit)


def _known(code: str) -> str:
    plain = {"".join(name.split()).casefold(): name for name in STANDARDS}
    return plain.get("".join(code.split()).casefold(), code)


def _limit(case: DistanceCase, word: str, distance: Distance, standard: str) -> DistanceLimit:
    if word == "pitch":
        return _spacing_limit(case, distance, standard)
    lies_along = distance.sideways and not _is_european(standard)
    return code_edge_limit(
        standard,
        bolt=case.bolt,
        hole_mm=case.outline.width_mm,
        hole_type="standard" if lies_along else _type(case),
    )


def _spacing_limit(case: DistanceCase, distance: Distance, standard: str) -> DistanceLimit:
    """The least pitch; where nobody said how it lies to the load, the stricter of the two."""
    ways: tuple[Direction, ...] = (distance.load,) if distance.load else ("across", "along")
    limits = [
        code_spacing_limit(
            standard, bolt=case.bolt, hole_mm=case.size_mm(distance), direction=direction
        )
        for direction in ways
    ]
    return max(limits, key=lambda limit: limit.limit_mm)


def _type(case: DistanceCase) -> HoleType:
    """The code's name for the hole; a slot that no bolt asked for counts as a long one."""
    slotted = case.outline.shape == "obround" and not case.hole_type.endswith("slot")
    return "long_slot" if slotted else case.hole_type


def _is_european(standard: str) -> bool:
    return standard.startswith("EN ")


def _held_against(
    case: DistanceCase, word: str, distance: Distance, limit: DistanceLimit
) -> Finding:
    counted_mm, from_where = distance.mm, ""
    stands = case.outline.shape == "obround" and not distance.sideways
    if word != "pitch" and stands and _is_european(limit.standard):
        # EN 1993-1-8 counts a slot that stands towards the edge from the centre of its round end.
        counted_mm -= (case.outline.length_mm - case.outline.width_mm) / 2
        from_where = " from the slot's end centre"
    if not remains(counted_mm):
        text = f"{limit.standard}: no metal is left to {BESIDE[word]}: {_ENGINEER}"
        return Finding(
            code_rule(word), "refuse", text, counted_mm, limit.limit_mm, "mm", limit.source
        )
    verdict = edge_verdict(counted_mm, limit)
    limit_mm, better_mm = limit.limit_mm, limit.preferred_mm
    shown_mm = [limit_mm, *([] if better_mm is None else [better_mm])]
    say = case.say.near(Speech.length, counted_mm, *shown_mm)
    wants = f"at least {say.length(limit_mm)} ({limit.basis})"
    if better_mm is not None and verdict != "refuse":
        limit_mm, wants = better_mm, f"{wants}, better {say.length(better_mm)}"
    counted = f"{say.length(counted_mm)}{from_where}"
    edge = ", sheared edge" if word != "pitch" and limit.standard in _BY_EDGE else ""
    text = f"{limit.standard}{edge}: {counted} to {BESIDE[word]}, {wants}"
    if word == "pitch" and _is_european(limit.standard) and distance.load is None:
        text += "; the load's direction is not said (p1 along it, p2 across)"
    text += f": {_ENGINEER}" if verdict == "refuse" else ""
    return Finding(code_rule(word), verdict, text, counted_mm, limit_mm, "mm", limit.source)
