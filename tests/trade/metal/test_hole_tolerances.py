"""How far a hole may be from its size, by its standard."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue
from crib.trade.metal.hole_tolerances import hole_tolerance


@pytest.mark.parametrize(
    ("standard", "size_mm", "hole_type", "plus_mm", "minus_mm"),
    [
        # RCSC Table 3.1, footnote: 1/32 in over.
        ("AISC 360", 20.6375, "standard", 25.4 / 32, 0.0),
        ("aisc 360-22", 20.6375, "oversize", 25.4 / 32, 0.0),
        ("AISC 360 (10, 16 and 22 agree)", 20.6375, "standard", 25.4 / 32, 0.0),
        # EN 1090-2 6.6.2, from memory.
        ("EN 1090-2", 22.0, "standard", 0.5, 0.5),
        # ISO 273 with H12, H13, H14 of ISO 286-1, from memory.
        ("ISO 273", 21.0, "fine", 0.21, 0.0),
        ("ISO 273", 22.0, "standard", 0.33, 0.0),
        ("ISO 273", 24.0, "coarse", 0.52, 0.0),
        ("ISO 273", 18.0, "standard", 0.27, 0.0),
        ("ISO 273", 18.1, "standard", 0.33, 0.0),
    ],
)
def test_a_standard_has_its_tolerance(
    standard: str, size_mm: float, hole_type: str, plus_mm: float, minus_mm: float
) -> None:
    found = hole_tolerance(standard, size_mm, hole_type)
    assert found is not None
    assert found.plus_mm == pytest.approx(plus_mm)
    assert found.minus_mm == pytest.approx(minus_mm)
    assert found.source


@pytest.mark.parametrize(
    ("standard", "size_mm", "hole_type"),
    [("CSA S16", 22.0, "standard"), ("", 22.0, "standard"), ("ISO 273", 60.0, "standard"),
     ("ISO 273", 22.0, "oversize")],
)  # fmt: skip
def test_what_no_table_has_is_not_made_up(standard: str, size_mm: float, hole_type: str) -> None:
    assert hole_tolerance(standard, size_mm, hole_type) is None


def test_a_size_that_is_none_is_refused() -> None:
    with pytest.raises(BadValue, match="size_mm"):
        hole_tolerance("ISO 273", 0.0)


@given(st.floats(1, 50), st.floats(0, 10))
def test_a_finer_hole_is_held_closer_and_a_larger_one_never_closer(
    size_mm: float, more_mm: float
) -> None:
    plus = [
        hole_tolerance("ISO 273", size, sort)
        for size in (size_mm, min(size_mm + more_mm, 50.0))
        for sort in ("fine", "standard", "coarse")
    ]
    fine, medium, coarse, *larger = (one.plus_mm if one else -1.0 for one in plus)
    assert 0 < fine < medium < coarse
    assert all(more >= less for less, more in zip((fine, medium, coarse), larger, strict=True))
