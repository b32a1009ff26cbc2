"""What stands bold on an order and what stands under it: together all that the line says."""

from __future__ import annotations

import pytest

from crib.features.common.order_text import bold_text, order_text, particulars
from crib.features.common.speech import Speech
from crib.features.common.tool_spec import ToolSpec
from crib.trade.shop.shop_rules import Rules

SAY = Speech(Rules.defaults())
ROUND = ToolSpec(
    "punch",
    *(2, "round", 20.6375),
    seat_name="A",
    seat_numbers=(("head", 34.925),),
    length_mm=69.85,
    for_thickness_mm=9.525,
    for_material="A36",
    for_station="Ironworker 1",
    needed_by="2026-05-01",
    job="24-1",
    note="as before",
)


def test_the_size_stands_out_and_the_rest_is_one_line() -> None:
    assert bold_text(ROUND, SAY) == "round punch 13/16 in"
    assert particulars(ROUND, SAY) == (
        "seat A: head 1-3/8 in, length 2-3/4 in, flat face, unkeyed, to punch 3/8 in A36, as before"
    )


def test_a_die_says_its_opening_and_the_clearance() -> None:
    die = ToolSpec(
        *("die", 1, "obround", 21.43125, 40.48125),
        seat_name="A",
        punch_width_mm=20.6375,
        punch_long_mm=39.6875,
    )
    assert bold_text(die, SAY) == "obround die 27/32 x 1-19/32 in opening overall"
    assert particulars(die, SAY).startswith(
        "total clearance 1/32 in over a 13/16 x 1-9/16 in punch"
    )


@pytest.mark.parametrize(
    "spec",
    [
        ROUND,
        ToolSpec("set", profile="notch", width_mm=101.6, depth_mm=76.2, seat_name="N"),
        ToolSpec("set", profile="vee", width_mm=76.2, angle_deg=90.0),
        ToolSpec("brake", profile="vee die", width_mm=25.4, work_length_mm=500.0),
        ToolSpec("blade", work_length_mm=300.0),
        ToolSpec("nut", width_mm=50.0, seat_name="A"),
    ],
)
def test_every_word_of_a_line_is_in_the_one_or_the_other(spec: ToolSpec) -> None:
    both = f"{bold_text(spec, SAY)}, {particulars(spec, SAY)}"
    for part in order_text(spec, SAY).split(", ")[2:]:
        if not part.startswith(("for ", "needed by", "our job")):
            assert part in both
