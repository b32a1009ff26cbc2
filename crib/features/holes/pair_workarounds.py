"""What to do about a hole when the crib does not serve it, cheapest first."""

from __future__ import annotations

from dataclasses import replace

from crib.features.common.ask import Workaround
from crib.features.common.findings import refusals
from crib.features.holes.pair_case import PairCase
from crib.features.holes.pair_checks import judge_bare
from crib.trade.metal import shapes

NO_SMALLER = frozenset({"hole to thickness", "punch stress", "material", "force"})
"""Where one of these refuses, a hole a little smaller would be refused as well."""


WHICH_BOLT = "say which bolt the hole is for: ask `bolt SIZE` instead of the hole"


def may_be_reamed(case: PairCase) -> bool:
    """Whether the very rules would let the hole be punched under size and reamed."""
    if case.to_ream or case.outline.shape != "round":
        return False
    reamed = replace(case, to_ream=True, struck=None)
    return reamed.under_size is not None and not refusals(judge_bare(reamed))


def pair_workarounds(
    case: PairCase, refused: frozenset[str], phrase_to_ream: str
) -> list[Workaround]:
    """Drill, ream, cut or ask: what a hole of this size allows, given the rules that refused."""
    ways: list[Workaround] = []
    width = case.say.size(shapes.narrowest_mm(case.outline))
    round_hole = case.outline.shape == "round"
    if may_be_reamed(case) and not refused & NO_SMALLER:
        ways.append(Workaround(f"punch it under size and ream to {width}", phrase_to_ream, 30))
    elif round_hole and case.ruled.which_bolt:
        ways.append(Workaround(WHICH_BOLT, None, 1))
    if round_hole:
        ways.append(Workaround(f"drill {width}, or cut it with an annular cutter", None, 40))
    else:
        if case.outline.corner_mm:
            from crib.features.holes.corner_checks import rounded_ways

            ways += rounded_ways(case)
        ways.append(Workaround("drill the ends or corners and saw or file between", None, 45))
        ways.append(
            Workaround(
                "cut it thermally and grind, where the code and the engineer allow", None, 50
            )
        )
    if refused & {"hole to thickness", "punch stress"}:
        ways.append(
            Workaround("ask the engineer whether a larger hole or thinner plate serves", None, 55)
        )
    ways.append(Workaround("have the holes made outside: ask price, freight and days", None, 70))
    return ways
