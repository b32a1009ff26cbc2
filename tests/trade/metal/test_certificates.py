"""What a mill certificate of a grade can say."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue
from crib.trade.metal.certificates import certified_tensile_mpa, certified_yield_mpa
from crib.trade.metal.materials import Material, find_material, known_materials

_KNOWN = [one for one in known_materials() if one.tensile_mpa is not None]


@given(st.sampled_from(_KNOWN), st.floats(0, 20), st.floats(0, 20))
def test_a_range_holds_the_grades_own_and_grows_with_the_share(
    grade: Material, less_pct: float, more_pct: float
) -> None:
    narrow = certified_tensile_mpa(grade, min(less_pct, more_pct))
    wide = certified_tensile_mpa(grade, max(less_pct, more_pct))
    assert narrow is not None
    assert wide is not None
    assert wide[0] <= narrow[0] <= (grade.tensile_mpa or 0.0) + 1e-6
    assert (grade.upper_tensile_mpa or 0.0) - 1e-6 <= narrow[1] <= wide[1]


def test_a_yield_range_begins_where_the_thickness_says() -> None:
    assert certified_yield_mpa(find_material("S275"), 16.0, 0.0) == (275.0, 560.0)
    assert certified_yield_mpa(find_material("S275"), 20.0, 0.0) == (265.0, 560.0)


def test_a_grade_without_a_least_begins_with_the_softest_of_its_family() -> None:
    assert certified_tensile_mpa(find_material("Galvanized"), 0.0) == (303.0, 500.0)


def test_what_has_no_yield_strength_on_record_has_no_range() -> None:
    assert certified_yield_mpa(find_material("AR400"), 10.0, 10.0) is None


@pytest.mark.parametrize("beyond_pct", [-1.0, 100.0, float("nan")])
def test_a_share_that_is_none_is_refused(beyond_pct: float) -> None:
    with pytest.raises(BadValue, match="must be 0 to below 100"):
        certified_tensile_mpa(find_material("A36"), beyond_pct)
