"""Outlines: what is one, and the laws of their perimeters, areas and diagonals."""

from __future__ import annotations

from math import pi, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue, UnknownName
from crib.trade.metal.shapes import (
    SHAPES,
    Outline,
    Shape,
    area_mm2,
    diagonal_mm,
    grown,
    narrowest_mm,
    perimeter_mm,
)

_SIZES = st.floats(min_value=1.0, max_value=200.0)


@st.composite
def outlines(draw: st.DrawFn) -> Outline:
    shape = draw(st.sampled_from(SHAPES))
    width = draw(_SIZES)
    length = width if shape in ("round", "square", "hexagon") else width + draw(_SIZES)
    return Outline(shape, width, length)


@pytest.mark.parametrize(
    ("outline", "perimeter", "area", "diagonal"),
    [
        (Outline("round", 10, 10), 10 * pi, 25 * pi, 10),
        (Outline("square", 10, 10), 40, 100, 10 * sqrt(2)),
        (Outline("rectangle", 3, 4), 14, 12, 5),
        (Outline("rectangle", 4, 4), 16, 16, 4 * sqrt(2)),
        (Outline("hexagon", 10, 10), 34.641, 86.603, 11.547),
        (Outline("obround", 20, 50), 60 + 20 * pi, 600 + 100 * pi, 50),
        (Outline("obround", 20, 20), 20 * pi, 100 * pi, 20),
    ],
)
def test_an_outline_has_the_geometry_of_its_shape(
    outline: Outline, perimeter: float, area: float, diagonal: float
) -> None:
    assert perimeter_mm(outline) == pytest.approx(perimeter, rel=1e-5)
    assert area_mm2(outline) == pytest.approx(area, rel=1e-5)
    assert diagonal_mm(outline) == pytest.approx(diagonal, rel=1e-5)
    assert narrowest_mm(outline) == outline.width_mm


@pytest.mark.parametrize("shape", ["round", "square", "hexagon"])
def test_a_shape_of_one_size_has_equal_width_and_length(shape: Shape) -> None:
    with pytest.raises(BadValue, match=f"length_mm=11 must equal width_mm=10 for a {shape}"):
        Outline(shape, 10, 11)


@pytest.mark.parametrize("shape", ["rectangle", "obround"])
def test_the_width_is_the_shorter_size(shape: Shape) -> None:
    with pytest.raises(BadValue, match=r"length_mm=9 must be >= width_mm=10"):
        Outline(shape, 10, 9)


@pytest.mark.parametrize(("width", "length"), [(0, 5), (-1, 5), (5, float("nan"))])
def test_an_outline_without_size_is_refused(width: float, length: float) -> None:
    with pytest.raises(BadValue, match="must be > 0"):
        Outline("obround", width, length)


def test_an_unknown_shape_is_refused_with_the_known_ones() -> None:
    with pytest.raises(UnknownName, match="unknown shape 'oval'; known: round, square"):
        Outline("oval", 10, 20)  # type: ignore[arg-type]


def test_shrinking_below_nothing_is_refused() -> None:
    with pytest.raises(BadValue, match=r"width_mm=0 must be > 0"):
        grown(Outline("obround", 10, 20), -10)


@given(outlines(), st.floats(min_value=0.01, max_value=10.0))
def test_a_grown_outline_is_larger_in_every_way(outline: Outline, by_mm: float) -> None:
    bigger = grown(outline, by_mm)
    assert perimeter_mm(bigger) > perimeter_mm(outline)
    assert area_mm2(bigger) > area_mm2(outline)
    assert diagonal_mm(bigger) > diagonal_mm(outline)


@given(outlines())
def test_an_outline_lies_between_its_width_and_its_diagonal(outline: Outline) -> None:
    assert narrowest_mm(outline) <= diagonal_mm(outline) * (1 + 1e-12)
    inscribed = pi * outline.width_mm**2 / 4
    assert area_mm2(outline) >= inscribed * (1 - 1e-12)
    assert perimeter_mm(outline) ** 2 >= 4 * pi * area_mm2(outline) * (1 - 1e-12)


@given(outlines())
def test_an_outline_cannot_be_changed(outline: Outline) -> None:
    with pytest.raises(AttributeError, match=r"cannot assign|can't set"):
        outline.width_mm = 1.0  # type: ignore[misc]
