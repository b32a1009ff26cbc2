"""The codes' rulings on punching to full size."""

from __future__ import annotations

from typing import TypedDict

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue, UnknownName
from crib.trade.metal.hole_method import Ruling, full_size_punching, known_codes


class _Case(TypedDict, total=False):
    thickness_mm: float
    least_hole_mm: float
    bolt_mm: float | None
    yield_mpa: float | None
    family: str
    execution_class: int | None
    dynamic: bool


def _ruling(code: str, case: _Case) -> Ruling:
    full: _Case = {
        "thickness_mm": 12.0,
        "least_hole_mm": 22.0,
        "bolt_mm": 20.0,
        "yield_mpa": 250.0,
        "family": "mild",
        "execution_class": None,
        "dynamic": False,
        **case,
    }
    return full_size_punching(code, **full)


@pytest.mark.parametrize(
    ("code", "case", "allowed", "limit", "under"),
    [
        ("AISC 360", {"thickness_mm": 60}, True, None, None),
        ("AISC 360", {"dynamic": True}, None, None, None),
        ("UFGS", {"thickness_mm": 19.9}, True, 20, 3.175),
        ("UFGS", {"thickness_mm": 20}, True, 20, 3.175),
        ("UFGS", {"thickness_mm": 20.1}, False, 20, 3.175),
        ("UFGS", {"bolt_mm": None}, None, None, 3.175),
        ("AASHTO", {"thickness_mm": 19.05}, None, 19.05, 4.7625),
        ("AASHTO", {"thickness_mm": 19.1}, False, 19.05, 4.7625),
        ("AASHTO", {"family": "hsla", "thickness_mm": 15.9}, False, 15.875, 4.7625),
        ("AASHTO", {"family": "quenched", "thickness_mm": 12.7}, None, 12.7, 4.7625),
        ("AASHTO", {"family": "stainless"}, None, None, 4.7625),
        ("AASHTO", {"dynamic": True}, False, 19.05, 4.7625),
        ("CSA S16", {"thickness_mm": 24}, True, 24, 4),
        ("CSA S16", {"thickness_mm": 24.1}, False, 24, 4),
        ("CSA S16", {"bolt_mm": None}, None, None, 4),
        ("CSA S16", {"family": "quenched"}, False, None, None),
        ("EN 1090-2", {"execution_class": 2, "thickness_mm": 22}, True, 22, 2),
        ("EN 1090-2", {"execution_class": 1, "thickness_mm": 22.1}, False, 22, 2),
        ("EN 1090-2", {"execution_class": 3, "thickness_mm": 3}, True, 3, 2),
        ("EN 1090-2", {"execution_class": 4, "thickness_mm": 3.1}, False, 3, 2),
        ("EN 1090-2", {"execution_class": 3, "thickness_mm": 2.5, "least_hole_mm": 2}, False, 2, 2),
        ("EN 1090-2", {"thickness_mm": 3}, True, 22, 2),
        ("EN 1090-2", {"thickness_mm": 12}, None, None, 2),
        ("EN 1090-2", {"thickness_mm": 23}, False, 22, 2),
        ("AS 4100", {"yield_mpa": 350, "thickness_mm": 14}, True, 16, 3),
        ("AS 4100", {"yield_mpa": 350, "thickness_mm": 16}, True, 16, 3),
        ("AS 4100", {"yield_mpa": 300, "thickness_mm": 20}, False, 5600 / 300, 3),
        ("AS 4100", {"yield_mpa": 360, "thickness_mm": 10}, True, 5600 / 360, 3),
        ("AS 4100", {"yield_mpa": 400, "thickness_mm": 10}, False, None, 3),
        ("AS 4100", {"yield_mpa": 250, "thickness_mm": 12, "dynamic": True}, True, 12, 3),
        ("AS 4100", {"yield_mpa": 250, "thickness_mm": 12.1, "dynamic": True}, False, 12, 3),
        ("AS 4100", {"yield_mpa": None}, None, None, 3),
    ],
)
def test_a_code_rules_below_at_and_above_its_limit(
    code: str, case: _Case, allowed: bool | None, limit: float | None, under: float | None
) -> None:
    ruling = _ruling(code, case)
    assert ruling.allowed is allowed
    assert ruling.limit_mm == (limit if limit is None else pytest.approx(limit))
    assert ruling.subpunch_under_mm == (under if under is None else pytest.approx(under))
    assert ruling.text
    assert ruling.source
    assert bool(ruling.instead) == (allowed is not True)


@pytest.mark.parametrize(
    ("code", "case", "word"),
    [
        ("UFGS", {"bolt_mm": None}, "say which bolt"),
        ("CSA S16", {"bolt_mm": None}, "say which bolt"),
        ("AS 4100", {"yield_mpa": None}, "say which steel"),
        ("EN 1090-2", {}, "say which execution class"),
        ("AASHTO", {}, "does not carry primary load"),
        ("AASHTO", {"family": "copper"}, "no thickness limit is known for copper"),
        ("AISC 360", {"dynamic": True}, "ask the engineer"),
    ],
)
def test_what_cannot_be_decided_says_what_is_missing(code: str, case: _Case, word: str) -> None:
    ruling = _ruling(code, case)
    assert ruling.allowed is None
    assert word in ruling.text


def test_a_refused_hole_says_what_to_do_instead() -> None:
    ruling = _ruling("UFGS", {"thickness_mm": 25})
    assert ruling.text == "thickness to the bolt's diameter: 25 mm > 20 mm"
    assert ruling.instead == "punch at least 3.17 mm under size and ream, or drill"
    assert _ruling("CSA S16", {"family": "quenched"}).instead == "drill"


@pytest.mark.parametrize("code", ["AASHTO", "CSA S16", "EN 1090-2", "AS 4100"])
def test_a_ruling_held_from_memory_says_so(code: str) -> None:
    assert _ruling(code, {"execution_class": 2}).source.endswith("from memory")


@pytest.mark.parametrize("written", ["as 4100", "AS4100", "AS  4100"])
def test_case_and_spaces_of_a_code_do_not_matter(written: str) -> None:
    assert _ruling(written, {}) == _ruling("AS 4100", {})


def test_an_unknown_code_is_refused() -> None:
    with pytest.raises(UnknownName, match="unknown code 'BS 5950'; known: AISC 360, UFGS, AASHTO"):
        _ruling("BS 5950", {})


@pytest.mark.parametrize("execution_class", [0, 5, -1])
def test_an_execution_class_that_is_none_is_refused(execution_class: int) -> None:
    with pytest.raises(BadValue, match=f"execution_class={execution_class} must be 1 to 4"):
        _ruling("EN 1090-2", {"execution_class": execution_class})


@pytest.mark.parametrize(
    ("case", "name"),
    [
        ({"thickness_mm": 0.0}, "thickness_mm"),
        ({"least_hole_mm": -1.0}, "least_hole_mm"),
        ({"bolt_mm": 0.0}, "bolt_mm"),
        ({"yield_mpa": float("nan")}, "yield_mpa"),
    ],
)
def test_a_size_that_is_none_is_refused(case: _Case, name: str) -> None:
    with pytest.raises(BadValue, match=f"{name}=.* must be > 0"):
        _ruling("AS 4100", case)


@given(
    st.sampled_from(known_codes()),
    st.floats(min_value=1, max_value=60),
    st.floats(min_value=0.1, max_value=30),
    st.sampled_from([None, 1, 2, 3, 4]),
    st.sampled_from(["mild", "hsla", "quenched", "stainless"]),
    st.booleans(),
)
def test_thicker_plate_is_never_allowed_where_thinner_is_not(
    code: str, thickness: float, more: float, execution_class: int | None, family: str, dyn: bool
) -> None:
    case: _Case = {"execution_class": execution_class, "family": family, "dynamic": dyn}
    thin = _ruling(code, {**case, "thickness_mm": thickness})
    thick = _ruling(code, {**case, "thickness_mm": thickness + more})
    order = {True: 0, None: 1, False: 2}
    assert order[thick.allowed] >= order[thin.allowed]
