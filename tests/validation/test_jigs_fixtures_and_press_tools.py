"""Design of Jigs, Fixtures and Press Tools (textbook), Section 4.2.3 punch design.

The formula is published, the numbers are ours: Euler's pinned column under pi d t S.
"""

from __future__ import annotations

from crib.trade.reference.unguided_punches import longest_unguided_punch_mm
from tests.validation.published import Printed, example


def test_section_4_2_3_longest_punch_has_no_printed_answer() -> None:
    assert example("BU-1").text == ""
    assert Printed("161.318").agrees_with(longest_unguided_punch_mm(15.0, 12.0, 345.0, 207_000.0))
