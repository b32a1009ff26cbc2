"""M. P. Groover, Fundamentals of Modern Manufacturing, 5th ed., Wiley, Section 19.2: bending.

Example 19.2 is Example 20.2 of the 4th edition: a sheet of 3.2 mm turned by 60 degrees, the
included angle being 120, in a V-die of 25 mm.
"""

from __future__ import annotations

from crib.trade.metal.bending import V_DIE_TEXTBOOK, bend_allowance_mm, bend_force_n
from tests.validation.published import Printed, rows


def _printed(identity: str) -> Printed:
    found = {row["id"]: row["published_value"] for row in rows("groover_bending")}
    return Printed(found[identity])


def test_example_19_2_bend_allowance() -> None:
    assert _printed("G-2a").agrees_with(bend_allowance_mm(180.0 - 120.0, 4.75, 3.2))


def test_example_19_2_length_of_the_blank() -> None:
    assert _printed("G-2b").agrees_with(38.0 + bend_allowance_mm(60.0, 4.75, 3.2) + 25.0)


def test_example_19_2_bending_force() -> None:
    assert _printed("G-2c").agrees_with(bend_force_n(450.0, 44.5, 3.2, 25.0, V_DIE_TEXTBOOK))
