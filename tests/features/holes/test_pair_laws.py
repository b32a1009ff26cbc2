"""Laws that hold for every hole: thicker or stronger is never easier."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.features.common.findings import refusals
from crib.trade.common.verdicts import Verdict
from crib.units import MPA_PER_KSI, N_PER_US_TON
from tests.features.bench import (
    INCH_RULES,
    case,
    judged,
    mm,
    only,
    station,
    tool,
)

HOLE, PLATE = mm("13/16"), mm("3/8")
PUNCH, DIE = tool("punch", HOLE), tool("die", mm("27/32"))
RANK: dict[Verdict, int] = {"ok": 0, "caution": 1, "refuse": 2}


THICKNESS = st.floats(0.5, 50)


@given(
    width_mm=st.floats(5, 60),
    thin_mm=THICKNESS,
    more_mm=st.floats(0, 20),
    material=st.sampled_from(["A36", "304", "A514", "6061-T6"]),
    rated_n=st.floats(1e4, 1e6),
)
def test_a_thicker_plate_never_improves_force_ratio_or_stress(
    width_mm: float, thin_mm: float, more_mm: float, material: str, rated_n: float
) -> None:
    punch = tool("punch", width_mm)
    thin = judged(case(width_mm, thin_mm, material), punch, at=station(rated_n))
    thick = judged(case(width_mm, thin_mm + more_mm, material), punch, at=station(rated_n))
    for rule in ("force", "hole to thickness", "punch stress"):
        assert RANK[only(thick, rule).verdict] >= RANK[only(thin, rule).verdict]


@given(
    width_mm=st.floats(5, 60),
    thin_mm=THICKNESS,
    more_mm=st.floats(0, 20),
    weak=st.floats(0.85, 1.6),
    more=st.floats(0, 0.75),
    shape=st.sampled_from(["round", "square", "hexagon"]),
)
def test_more_thickness_or_strength_never_lowers_the_force(
    width_mm: float, thin_mm: float, more_mm: float, weak: float, more: float, shape: Any
) -> None:
    strong = min(weak + more, 1.6)
    rules = [
        INCH_RULES.with_changes({"material.A36.multiplier": str(one)}) for one in (weak, strong)
    ]
    base = case(width_mm, thin_mm, shape=shape, rules=rules[0]).force_n
    assert case(width_mm, thin_mm + more_mm, shape=shape, rules=rules[0]).force_n >= base
    assert case(width_mm, thin_mm, shape=shape, rules=rules[1]).force_n >= base * (1 - 1e-9)


def test_the_force_of_the_first_worked_example_is_24_4_us_tons_and_94_ksi() -> None:
    asked = case(HOLE, PLATE)
    assert asked.force_n / N_PER_US_TON == pytest.approx(13 / 16 * 3 / 8 * 80, rel=0.001)
    assert asked.stress_mpa / MPA_PER_KSI == pytest.approx(94, abs=0.5)


@given(
    width_mm=st.floats(5, 60),
    thickness_mm=THICKNESS,
    punch_mm=st.floats(5, 60),
    die_mm=st.floats(5, 60),
    rated_n=st.one_of(st.none(), st.floats(1e4, 1e6)),
    seat=st.sampled_from(["A", "B"]),
    shape=st.sampled_from(["round", "square", "special"]),
)
def test_what_refuses_a_tool_alone_refuses_every_pair_with_it(
    width_mm: float,
    thickness_mm: float,
    punch_mm: float,
    die_mm: float,
    rated_n: float | None,
    seat: str,
    shape: str,
) -> None:
    """The search leaves out a tool that is refused alone, so this must hold."""
    asked, at = case(width_mm, thickness_mm), station(rated_n, seats=frozenset({seat}))
    punch, die = tool("punch", punch_mm, shape=shape), tool("die", die_mm)
    both = {one.rule for one in refusals(judged(asked, punch, die, at=at))}
    for alone in (punch, die):
        assert {one.rule for one in refusals(judged(asked, alone, at=at))} <= both
