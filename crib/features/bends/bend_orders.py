"""The vee one would order for a bend, and what to do when no brake serves."""

from __future__ import annotations

from math import ceil

from crib.features.bends.bend_case import BendCase
from crib.features.common.ask import Workaround
from crib.features.common.tooling import Seat, Tool
from crib.trade.common.verdicts import falls_short

CORNER_VEE_DEG = 85.0
"""The included angle of the vee to order for a corner: below 90, so that it springs back to it."""


def ideal_vee(case: BendCase, seat: Seat) -> Tool:
    """The vee to order for a seat: by rule or narrower for the flange, strong enough for it."""
    vee_mm = case.order_vee_mm()
    bearing_n_mm = case.line_n_mm(vee_mm) / case.rules.number("force.caution_load")
    angle_deg = min(CORNER_VEE_DEG, case.included_deg - (90.0 - CORNER_VEE_DEG))
    return Tool(
        role="brake_tool",
        shape="special",
        width_mm=vee_mm,
        long_mm=vee_mm,
        seat=seat,
        kind="vee to order",
        profile="vee die",
        angle_deg=angle_deg if angle_deg > 0 else None,
        work_length_mm=case.length_mm,
        line_limit_n_mm=ceil(bearing_n_mm),
        to_order=True,
    )


def bend_workarounds(
    case: BendCase, refused: frozenset[str], longer_mm: float, longer_phrase: str
) -> list[Workaround]:
    """A longer leg, a wider vee, another brake, or outside, given the rules that refused."""
    found = [Workaround("have it bent outside on a larger brake: ask price and days", None, 70)]
    if "material" in refused:
        name = case.plate.material.name
        found.append(Workaround(f"ask the engineer whether {name} may be bent, and how", None, 20))
        return found
    if "inside radius" in refused and case.least_radius is not None:
        vee, flange = case.say.size(case.least_vee_mm), case.say.size(case.longer_flange_mm())
        text = f"a vee of {vee} or wider leaves the radius it wants; legs at least {flange}"
        found.append(Workaround(text, None, 22))
    if case.flange_mm is not None and falls_short(case.flange_mm, longer_mm):
        leg = case.say.size(longer_mm)
        text = f"bend it with a longer leg, at least {leg}, and trim it afterwards"
        found.append(Workaround(text, longer_phrase, 20))
    elif "force" in refused:
        text = "a wider vee takes less force, where the larger radius and flange are allowed"
        found.append(Workaround(text, None, 25))
    found.append(Workaround("another machine with a stronger or longer brake", None, 30))
    text = "make it of two plates welded, where the engineer allows"
    found.append(Workaround(text, None, 60))
    return found
