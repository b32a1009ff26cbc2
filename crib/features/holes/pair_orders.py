"""The punch or die one would order for a hole."""

from __future__ import annotations

from collections.abc import Mapping

from crib.features.common.sizes import natural_system
from crib.features.common.tooling import Seat, Tool
from crib.features.holes.pair_case import PairCase
from crib.trade.metal.clearance import ClearanceStep
from crib.trade.metal.shapes import grown

SIXTY_FOURTH_MM = 25.4 / 64
TENTH_MM = 0.1
DEFAULT_KEY = (0, 90)


def ideal_tool(case: PairCase, seat: Seat, role: str, beside: Mapping[str, Tool]) -> Tool | None:
    """The tool to order: the punch of the hole's size, or the die of the policy's clearance.

    A die is made to the punch that is there, measured, if there is one. None when the seat has no
    numbers for that role.
    """
    if not seat.numbers(role):
        return None
    shape = case.outline.shape
    outline = case.outline
    if role == "die":
        punch = beside.get("punch")
        outline = grown(punch.outline if punch else outline, order_clearance_mm(case))
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
    )


def order_clearance_mm(case: PairCase) -> float:
    """The clearance to order: the policy's, on the step that dies for such a hole are made in."""
    step: ClearanceStep = case.step
    made = natural_system(case.outline.width_mm, case.say.system)
    clean_hole = case.policy == "clean_hole"
    if clean_hole and made == case.say.system:
        return step.middle_mm
    wanted_mm = step.middle_mm if clean_hole else case.policy_clearance_mm
    pitch_mm = TENTH_MM if made == "mm" else SIXTY_FOURTH_MM
    return max(pitch_mm, round(wanted_mm / pitch_mm) * pitch_mm)
