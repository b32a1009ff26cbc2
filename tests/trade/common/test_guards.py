"""The refusals that every formula shares."""

from __future__ import annotations

import re
from math import inf, nan

import pytest

from crib.errors import BadValue
from crib.trade.common.guards import require_not_negative, require_positive


@pytest.mark.parametrize("value", [1e-9, 1.0, 1e9])
def test_a_value_above_zero_passes_both_guards(value: float) -> None:
    require_positive(thickness_mm=value)
    require_not_negative(thickness_mm=value)


def test_zero_passes_only_where_zero_has_a_meaning() -> None:
    require_not_negative(bevel_depth_mm=0.0)
    with pytest.raises(BadValue, match=re.escape("bevel_depth_mm=0 must be > 0")):
        require_positive(bevel_depth_mm=0.0)


@pytest.mark.parametrize(
    ("value", "written"), [(-1.5, "-1.5"), (nan, "nan"), (inf, "inf"), (-inf, "-inf")]
)
def test_what_is_not_a_size_is_refused_by_both(value: float, written: str) -> None:
    with pytest.raises(BadValue, match=re.escape(f"force_n={written} must be > 0")):
        require_positive(force_n=value)
    with pytest.raises(BadValue, match=re.escape(f"force_n={written} must be >= 0")):
        require_not_negative(force_n=value)


def test_the_first_wrong_value_is_named() -> None:
    with pytest.raises(BadValue, match=r"^b=0 must be > 0$"):
        require_positive(a=1.0, b=0.0, c=-1.0)
