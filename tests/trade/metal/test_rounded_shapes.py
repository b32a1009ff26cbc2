"""Outlines with rounded corners against an independent geometry."""

from __future__ import annotations

from math import hypot

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import box

from crib.errors import BadValue
from crib.trade.metal.shapes import Outline, area_mm2, diagonal_mm, grown, perimeter_mm


@given(
    width=st.floats(min_value=5, max_value=60),
    more=st.floats(min_value=0, max_value=60),
    share=st.floats(min_value=0.05, max_value=0.95),
)
@settings(max_examples=60, deadline=None)
def test_perimeter_area_and_diagonal_are_those_of_the_drawn_shape(
    width: float, more: float, share: float
) -> None:
    corner = share * width / 2
    made = Outline("rectangle", width, width + more, corner)
    drawn = box(0, 0, width + more, width).buffer(-corner).buffer(corner, quad_segs=64)
    assert perimeter_mm(made) == pytest.approx(drawn.length, rel=1e-3)
    assert area_mm2(made) == pytest.approx(drawn.area, rel=1e-3)
    points = [(x - (width + more) / 2, y - width / 2) for x, y in drawn.exterior.coords]
    assert diagonal_mm(made) == pytest.approx(2 * max(hypot(x, y) for x, y in points), rel=1e-3)


def test_a_sharp_one_has_its_plain_figures() -> None:
    assert perimeter_mm(Outline("square", 10.0, 10.0)) == 40.0
    assert grown(Outline("square", 10.0, 10.0), 1.0).corner_mm == 0.0
    assert grown(Outline("square", 10.0, 10.0, 2.0), 1.0).corner_mm == 2.5


@pytest.mark.parametrize(("shape", "corner"), [("round", 1.0), ("square", -1.0), ("square", 5.1)])
def test_a_corner_that_cannot_be_is_refused(shape: str, corner: float) -> None:
    with pytest.raises(BadValue, match="corner_mm="):
        Outline(shape, 10.0, 10.0, corner)  # type: ignore[arg-type]
