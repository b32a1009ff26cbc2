"""The order line says everything, and never both an opening and a clearance without labels."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue
from crib.features.common.order_gaps import order_gaps
from crib.features.common.order_sizes import counted_tools
from crib.features.common.order_text import order_text, short_text
from crib.features.common.speech import Speech
from crib.features.common.tool_spec import ToolSpec
from tests.features.bench import INCH_RULES, METRIC_RULES

INCH = 25.4
IN, MM = Speech(INCH_RULES), Speech(METRIC_RULES)

DIE = ToolSpec(
    role="die",
    quantity=1,
    shape="round",
    width_mm=27 / 32 * INCH,
    long_mm=27 / 32 * INCH,
    punch_width_mm=13 / 16 * INCH,
    punch_long_mm=13 / 16 * INCH,
    seat_name="A",
    seat_numbers=(("die OD", 2.125 * INCH), ("height", 1.125 * INCH)),
    for_thickness_mm=3 / 8 * INCH,
    for_material="A36",
    for_station="Ironworker 1 / punch",
)
PUNCH = ToolSpec(
    role="punch",
    quantity=2,
    shape="obround",
    width_mm=13 / 16 * INCH,
    long_mm=1.875 * INCH,
    seat_name="A",
    seat_numbers=(("head", 1.5 * INCH), ("body", 1.25 * INCH)),
    key_angles=(0, 90),
    length_mm=2.75 * INCH,
    for_station="Ironworker 1 / punch",
)


def test_a_die_says_opening_clearance_and_punch() -> None:
    assert order_text(DIE, IN) == (
        "1 die, round 27/32 in opening (total clearance 1/32 in over a 13/16 in punch),"
        " seat A: die OD 2-1/8 in, height 1-1/8 in, unkeyed, to punch 3/8 in A36,"
        " for Ironworker 1 / punch"
    )


def test_a_shaped_punch_says_its_long_axis_and_its_face() -> None:
    assert order_text(PUNCH, IN) == (
        "2 punches, obround 13/16 x 1-7/8 in overall, seat A: head 1-1/2 in, body 1-1/4 in,"
        " length 2-3/4 in, flat face, long axis keyed along (0°) and across (90°)"
        " the throat, for Ironworker 1 / punch"
    )


def test_a_metric_line_is_in_millimetres() -> None:
    die = replace(
        DIE,
        width_mm=24.0,
        long_mm=None,
        punch_width_mm=22.0,
        punch_long_mm=None,
        seat_numbers=(("die OD", 54.0), ("height", 29.0)),
        for_thickness_mm=12.0,
        for_material="S355",
    )
    assert order_text(die, MM) == (
        "1 die, round 24 mm opening (total clearance 2 mm over a 22 mm punch),"
        " seat A: die OD 54 mm, height 29 mm, unkeyed, to punch 12 mm S355,"
        " for Ironworker 1 / punch"
    )


def test_a_metric_punch_in_an_inch_crib_is_ordered_in_millimetres() -> None:
    punch = replace(PUNCH, width_mm=22.0, long_mm=50.0, for_thickness_mm=20.0, for_material="S355")
    text = order_text(punch, IN)
    assert "obround 22 x 50 mm (0.866 x 1.969 in) overall, seat A: head 1-1/2 in" in text
    assert "to punch 20 mm (0.787 in) S355" in text
    mixed = replace(PUNCH, width_mm=22.0)
    assert "obround 22 mm (0.866 in) x 1-7/8 in overall" in order_text(mixed, IN)


def test_a_die_is_in_the_unit_of_its_punch() -> None:
    die = replace(DIE, width_mm=26.6, long_mm=26.6, punch_width_mm=25.0, punch_long_mm=25.0)
    assert order_text(die, IN).startswith(
        "1 die, round 26.6 mm (1.047 in) opening"
        " (total clearance 1.6 mm (0.063 in) over a 25 mm (0.984 in) punch), seat A"
    )
    assert short_text(die, IN) == "die round 26.6 mm (1.047 in), seat A"


def test_an_inch_die_in_a_metric_crib_is_ordered_in_inches() -> None:
    assert order_text(replace(DIE, seat_numbers=()), MM).startswith(
        "1 die, round 27/32 in (21.43 mm) opening"
        " (total clearance 1/32 in (0.79 mm) over a 13/16 in (20.64 mm) punch), seat A"
    )


def test_the_rest_of_the_order_stands_at_the_end() -> None:
    full = replace(
        PUNCH,
        quantity=1,
        dedicated_to="stainless",
        needed_by="2026-05-29",
        job="24-118",
        note="replaces P-0137",
        face="roof",
    )
    text = order_text(full, IN)
    assert text.startswith("1 punch, ")
    assert "roof-shaped face" in text
    assert text.endswith(
        "kept for stainless only, needed by 2026-05-29, our job 24-118, replaces P-0137"
    )


def test_a_die_without_its_punch_says_the_size_is_the_opening() -> None:
    alone = replace(DIE, punch_width_mm=None, punch_long_mm=None)
    assert "27/32 in opening (the opening itself, add no clearance)" in order_text(alone, IN)


def test_unequal_clearance_is_said_for_both_sides() -> None:
    die = replace(
        PUNCH,
        role="die",
        width_mm=27 / 32 * INCH,
        long_mm=1.9375 * INCH,
        punch_width_mm=13 / 16 * INCH,
        punch_long_mm=1.875 * INCH,
    )
    text = order_text(die, IN)
    assert "(total clearance 1/32 in across and 1/16 in along over a 13/16 x 1-7/8 in punch)" in (
        text
    )


@pytest.mark.parametrize("opening", [13 / 16, 25 / 32])
def test_a_die_that_is_not_bigger_is_never_ordered(opening: float) -> None:
    wrong = replace(DIE, width_mm=opening * INCH, long_mm=None)
    with pytest.raises(BadValue, match="must be bigger than its punch"):
        order_text(wrong, IN)


def test_a_die_that_is_too_short_for_its_punch_is_never_ordered() -> None:
    wrong = replace(
        PUNCH,
        role="die",
        width_mm=0.9 * INCH,
        punch_width_mm=13 / 16 * INCH,
        punch_long_mm=1.875 * INCH,
    )
    with pytest.raises(BadValue, match="on every side"):
        order_text(wrong, IN)


def test_nothing_is_not_an_order() -> None:
    nothing = replace(DIE, quantity=0)
    with pytest.raises(BadValue, match="quantity=0 must be >= 1"):
        order_text(nothing, IN)


@pytest.mark.parametrize(
    ("role", "quantity", "text"),
    [
        ("punch", 1, "1 punch"),
        ("punch", 2, "2 punches"),
        ("die", 3, "3 dies"),
        ("punch_adapter", 1, "1 punch adapter"),
        ("brake_tool", 2, "2 brake tools"),
        ("other", 2, "2 pieces"),
    ],
)
def test_roles_are_counted_in_plain_words(role: str, quantity: int, text: str) -> None:
    assert counted_tools(role, quantity) == text


def test_the_short_form_names_role_outline_size_seat_and_key() -> None:
    assert short_text(PUNCH, IN) == "punch obround 13/16 x 1-7/8 in, seat A, along or across"
    assert short_text(replace(DIE, seat_name=""), IN) == "die round 27/32 in"


@pytest.mark.parametrize(
    ("spec", "gaps"),
    [
        (DIE, ()),
        (PUNCH, ()),
        (replace(DIE, seat_name=""), ("which seat it fits",)),
        (replace(PUNCH, key_angles=()), ("the key angle to the throat",)),
        (replace(PUNCH, length_mm=None), ("the length",)),
        (replace(DIE, seat_numbers=(("die OD", 54.0),)), ("the height",)),
        (replace(PUNCH, seat_numbers=()), ("the numbers of seat A on the punch side",)),
        (replace(PUNCH, for_station=""), ("the machine and station",)),
        (
            replace(PUNCH, shape="special"),
            ("a dimensioned drawing: corners, tolerance, face, key",),
        ),
    ],
)
def test_a_gap_is_named(spec: ToolSpec, gaps: tuple[str, ...]) -> None:
    assert order_gaps(spec) == gaps


def test_a_die_of_its_own_height_says_that_height_once() -> None:
    text = order_text(replace(DIE, length_mm=1.0 * INCH), IN)
    assert text.count("height") == 1
    assert "height 1 in" in text


def test_a_blade_says_its_length_and_its_name() -> None:
    blade = ToolSpec("blade", 1, "", None, length_mm=12 * INCH, note="as our flat shear blade")
    assert order_text(blade, IN) == "1 blade, length 12 in, as our flat shear blade"


@given(st.integers(2, 6400), st.integers(1, 640), st.sampled_from(["in", "mm"]))
def test_an_opening_never_stands_without_its_label(
    punch_64: int, clearance_64: int, system: str
) -> None:
    die = replace(
        DIE,
        width_mm=(punch_64 + clearance_64) / 64 * INCH,
        long_mm=None,
        punch_width_mm=punch_64 / 64 * INCH,
        punch_long_mm=None,
    )
    text = order_text(die, MM if system == "mm" else IN)
    assert text.count(" opening (total clearance ") == 1
    assert text.count(" punch)") == 1
