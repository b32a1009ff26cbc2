"""The punch or die one would order for a hole."""

from __future__ import annotations

from collections.abc import Mapping

from crib.features.common.tooling import Seat, Tool
from crib.features.holes.pair_case import PairCase
from crib.trade.metal.shapes import grown

DEFAULT_KEY = (0, 90)


def ideal_tool(case: PairCase, seat: Seat, role: str, beside: Mapping[str, Tool]) -> Tool | None:
    """The tool to order: the punch of the hole's size, or the die of the policy's clearance.

    A die is made to the punch that is there, measured, if there is one. None when the seat has no
    numbers for that role.
    """
    if not seat.numbers(role):
        return None
    shape = case.outline.shape
    outline = case.punched
    if role == "die":
        punch = beside.get("punch")
        outline = grown(punch.outline if punch else outline, case.ordered_clearance_mm)
    keyed = shape != "round"
    partner = beside.get("die" if role == "punch" else "punch")
    angles = partner.key_angles if partner and partner.key_angles else DEFAULT_KEY
    return Tool(
        role=role,
        shape=shape,
        width_mm=outline.width_mm,
        long_mm=outline.length_mm,
        seat=seat,
        kind=f"{role} to order",
        key_angles=angles if keyed else (),
        length_mm=seat.punch_length_mm if role == "punch" else seat.die_height_mm,
        to_order=True,
        corner_radius_mm=outline.corner_mm or None,
    )
