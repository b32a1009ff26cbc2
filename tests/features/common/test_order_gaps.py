"""A line for a set, a vee or an adapter names every figure that it lacks."""

from __future__ import annotations

from dataclasses import replace

import pytest

from crib.features.common.order_gaps import order_gaps
from crib.features.common.order_text import order_text, short_text
from crib.features.common.speech import Speech
from crib.features.common.tool_spec import ToolSpec
from tests.features.bench import INCH_RULES
from tests.features.common.test_tool_match import CASES, READ, ordered

IN = Speech(INCH_RULES)
SET = {name: next(iter(ordered(ask).values())) for name, ask in READ.items()}


@pytest.mark.parametrize("spec", [spec for _ask, spec in CASES], ids=lambda spec: spec.role)
def test_what_is_ordered_for_an_ask_has_no_gap(spec: ToolSpec) -> None:
    assert order_gaps(spec) == ()


@pytest.mark.parametrize(
    ("name", "field", "gap"),
    [
        ("notch", "width_mm", "its width along the edge"),
        ("notch", "depth_mm", "how deep it cuts"),
        ("notch", "for_thickness_mm", "the thickness and material that it cuts"),
        ("vee", "width_mm", "how wide it opens"),
        ("vee", "angle_deg", "its included angle"),
        ("corner", "width_mm", "its size along one edge"),
        ("corner", "depth_mm", "along the other"),
        ("tube saddle", "width_mm", "the outside that its nest holds"),
        ("tube saddle", "header_mm", "the outside of the header"),
        ("pipe saddle", "most_wall_mm", "the walls it takes"),
        ("tube", "width_mm", "the outside of the tube"),
        ("tube", "least_wall_mm", "the thinnest wall"),
        ("tube", "most_wall_mm", "the thickest wall"),
        ("picket", "width_mm", "the size of the bar"),
        ("vee die", "width_mm", "its opening"),
        ("vee die", "angle_deg", "the angle between its sides"),
        ("vee die", "work_length_mm", "its working length"),
        ("vee die", "line_limit_n_mm", "what it must bear along its length"),
    ],
)
def test_each_figure_that_is_lacking_is_named_and_not_made_up(
    name: str, field: str, gap: str
) -> None:
    spec = replace(SET[name], **{field: None})  # type: ignore[arg-type]
    assert order_gaps(spec) == (gap,)
    assert "None" not in order_text(spec, IN)


@pytest.mark.parametrize("name", [name for name in SET if SET[name].role != "punch"])
def test_a_seat_without_numbers_is_a_gap(name: str) -> None:
    assert order_gaps(replace(SET[name], seat_numbers=())) == ("the numbers of seat A",)
    assert order_gaps(replace(SET[name], seat_name="")) == ("which seat it fits",)


def test_a_set_for_nothing_says_that_first() -> None:
    bare = ToolSpec("set", shape="round", width_mm=38.1, seat_name="S")
    assert order_gaps(bare) == ("the numbers of seat S", "what it is made for")


def test_an_attachment_presents_a_seat_and_stands_a_force() -> None:
    bare = ToolSpec("attachment", seat_name="T", seat_numbers=(("die OD", 254.0),))
    assert order_gaps(bare) == ("which seat it presents", "the force it must stand")
    whole = replace(bare, presents_seat="S", rated_force_n=222_411.0, added_height_mm=50.8)
    assert order_gaps(whole) == ()
    assert order_text(whole, IN) == (
        "1 attachment, rated for at least 25.0 US tons, adds 2 in of height, seat T: die OD 10 in,"
        " presents seat S"
    )


@pytest.mark.parametrize(
    ("name", "short"),
    [
        ("notch", "notch set 4 in, 5 in deep, seat A"),
        ("vee", "vee set 2 in, 1.7321 in deep, 60°, seat A"),
        ("corner", "corner set 3 in, 4 in deep, seat A"),
        ("tube saddle", "saddle set 1.500 in, header 1.500 in, seat A"),
        ("pipe saddle", "saddle set 1.900 in, header 2.375 in, seat A"),
        ("tube", "tube set rectangle 1 x 2 in, seat A"),
        ("picket", "picket set square 3/4 in, seat A"),
        ("vee die", "vee die 2-1/4 in, 85°, 10 in long, seat A"),
    ],
)
def test_the_short_form_tells_one_set_from_the_next(name: str, short: str) -> None:
    assert short_text(SET[name], IN) == short


def test_a_blade_says_what_it_shears() -> None:
    blade = ToolSpec("blade", profile="flat", length_mm=381.0, work_length_mm=381.0, edges=4)
    assert order_text(blade, IN) == (
        "1 flat shear blade, working length at least 15 in, length 15 in, 4 edges"
    )
