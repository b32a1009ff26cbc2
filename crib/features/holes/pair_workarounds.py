"""What to do about a hole when the crib does not serve it, cheapest first."""

from __future__ import annotations

from crib.features.common.ask import Workaround
from crib.features.common.pair_case import PairCase
from crib.trade.metal import shapes

NO_SMALLER = frozenset({"hole to thickness", "punch stress", "material", "force"})
"""Where one of these refuses, a hole a little smaller would be refused as well."""


def pair_workarounds(
    case: PairCase, refused: frozenset[str], smaller_phrase: str | None
) -> list[Workaround]:
    """Drill, ream, cut or ask: what a hole of this size allows, given the rules that refused."""
    found: list[Workaround] = []
    width = case.say.size(shapes.narrowest_mm(case.outline))
    round_hole = case.outline.shape == "round"
    if smaller_phrase and not refused & NO_SMALLER:
        found.append(
            Workaround(
                f"punch it smaller and ream to {width}, where the code allows", smaller_phrase, 30
            )
        )
    if round_hole:
        found.append(Workaround(f"drill {width}, or cut it with an annular cutter", None, 40))
    else:
        found.append(Workaround("drill the ends or corners and saw or file between", None, 45))
        found.append(
            Workaround(
                "cut it thermally and grind, where the code and the engineer allow", None, 50
            )
        )
    if refused & {"hole to thickness", "punch stress"}:
        found.append(
            Workaround("ask the engineer whether a larger hole or thinner plate serves", None, 55)
        )
    found.append(Workaround("have the holes made outside: ask price, freight and days", None, 70))
    return found
