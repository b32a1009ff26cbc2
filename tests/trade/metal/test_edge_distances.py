"""Metal beside a hole: the tooling's side and the codes' side."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue, Missing, UnknownName
from crib.trade.common.published_tables import read_table
from crib.trade.metal.bolt_holes import HoleType
from crib.trade.metal.edge_distances import (
    DistanceLimit,
    Edge,
    code_edge_limit,
    code_spacing_limit,
    edge_verdict,
    known_edge_standards,
    tooling_edge_verdict,
)

_MM = 25.4
_LENGTHS = st.floats(min_value=0.1, max_value=500.0)
_MORE = st.floats(min_value=1.0, max_value=3.0)
_RANK = {"ok": 0, "caution": 1, "refuse": 2}


@pytest.mark.parametrize(
    ("metal", "verdict"),
    [
        (-1.0, "refuse"),
        (0.0, "refuse"),
        (11.99, "refuse"),
        (12.0, "caution"),
        (13.0, "caution"),
        (17.99, "caution"),
        (18.0, "ok"),
        (60.0, "ok"),
    ],
)
def test_the_metal_decides_below_at_and_above_each_limit(metal: float, verdict: str) -> None:
    assert tooling_edge_verdict(metal, 12.0) == verdict


@given(_LENGTHS, _LENGTHS, _MORE)
def test_more_metal_is_never_worse_and_thicker_plate_never_better(
    metal: float, thickness: float, more: float
) -> None:
    verdict = _RANK[tooling_edge_verdict(metal, thickness)]
    assert _RANK[tooling_edge_verdict(metal * more, thickness)] <= verdict
    assert _RANK[tooling_edge_verdict(metal, thickness * more)] >= verdict


def test_a_shop_may_ask_for_more_metal() -> None:
    assert tooling_edge_verdict(18.0, 12.0, refuse_below=1.6, prefer=2.0) == "refuse"
    with pytest.raises(BadValue, match=r"prefer=1\.5 must be >= refuse_below=2"):
        tooling_edge_verdict(18.0, 12.0, refuse_below=2.0)


def test_two_22_holes_at_35_pitch_in_12_mm() -> None:
    """M11 of the trade's worked scenarios: a caution for the tooling, a stop by the code."""
    assert tooling_edge_verdict(35.0 - 22.0, 12.0) == "caution"
    limit = code_spacing_limit("EN 1993-1-8", hole_mm=22.0)
    assert limit.limit_mm == pytest.approx(48.4)
    assert limit.basis == "2.2 x hole diameter"
    assert edge_verdict(35.0, limit) == "refuse"


def test_every_standard_of_the_table_is_known() -> None:
    assert known_edge_standards() == (
        "AISC 360",
        "AISC 360-05",
        "AISC 360-10",
        "AISC 360-16",
        "AISC 360-22",
        "AS 4100",
        "EN 1993-1-8",
    )


def test_no_row_of_the_table_is_out_of_reach() -> None:
    for row in read_table("edge_distances"):
        assert bool(row["value"]) != bool(row["factor"])
        assert row["counts"] in ("", "bolt", "hole")
        assert bool(row["factor"]) == bool(row["counts"])
        assert set(row["standard"].split("|")) <= set(known_edge_standards())


def test_aisc_without_its_edition_is_the_newest() -> None:
    assert code_edge_limit("aisc 360", bolt="M12").standard == "AISC 360-22"
    assert code_edge_limit("AISC 360", bolt="M12").limit_mm == 18.0


@pytest.mark.parametrize(
    ("bolt", "limit_mm"),
    [
        ("3/4", 25.4),
        ('3/4"', 25.4),
        ("3/4 in", 25.4),
        ("1 1/4", 1.625 * _MM),
        ("1-1/4", 1.625 * _MM),
        ("1-3/8", 1.25 * 1.375 * _MM),
        ("2", 2.5 * _MM),
        ("m36", 46.0),
        ("M 42", 52.5),
    ],
)
def test_aisc_counts_by_the_bolt_and_by_formula_beyond_its_table(
    bolt: str, limit_mm: float
) -> None:
    assert code_edge_limit("AISC 360-22", bolt=bolt).limit_mm == pytest.approx(limit_mm)


@pytest.mark.parametrize(
    ("hole_type", "bolt", "limit_mm"),
    [
        ("standard", "7/8", 1.125 * _MM),
        ("oversize", "7/8", 1.1875 * _MM),
        ("short_slot", "7/8", 1.25 * _MM),
        ("long_slot", "7/8", (1.125 + 0.75 * 0.875) * _MM),
        ("oversize", "1", 1.375 * _MM),
        ("short_slot", "1-1/8", 1.6875 * _MM),
        ("short_slot", "1-1/2", (1.875 + 0.1875) * _MM),
        ("oversize", "M22", 30.0),
        ("short_slot", "M24", 33.0),
        ("short_slot", "M27", 39.0),
        ("long_slot", "M20", 41.0),
    ],
)
def test_aisc_adds_for_a_hole_longer_towards_the_edge(
    hole_type: HoleType, bolt: str, limit_mm: float
) -> None:
    limit = code_edge_limit("AISC 360-22", bolt=bolt, hole_type=hole_type)
    assert limit.limit_mm == pytest.approx(limit_mm)
    assert (" + " in limit.basis) == (hole_type != "standard")
    assert ("J3.5" in limit.source) == (hole_type != "standard")


@pytest.mark.parametrize(("edge", "limit_mm"), [("sheared", 34.0), ("cut", 26.0), ("rolled", 26.0)])
def test_the_edge_mattered_to_aisc_until_2005(edge: Edge, limit_mm: float) -> None:
    assert code_edge_limit("AISC 360-05", bolt="M20", edge=edge).limit_mm == limit_mm
    assert code_edge_limit("AISC 360-10", bolt="M20", edge=edge).limit_mm == 26.0


@pytest.mark.parametrize(("edge", "limit_mm"), [("sheared", 35.0), ("cut", 30.0), ("rolled", 25.0)])
def test_as_4100_counts_by_the_edge(edge: Edge, limit_mm: float) -> None:
    limit = code_edge_limit("AS 4100", bolt="M20", edge=edge)
    assert limit.limit_mm == pytest.approx(limit_mm)
    assert "from memory" in limit.source


@pytest.mark.parametrize(
    ("hole_type", "limit_mm"),
    [("standard", 26.4), ("oversize", 26.4), ("short_slot", 33.0), ("long_slot", 33.0)],
)
def test_en_counts_by_the_hole(hole_type: HoleType, limit_mm: float) -> None:
    limit = code_edge_limit("EN 1993-1-8", hole_mm=22.0, hole_type=hole_type)
    assert limit.limit_mm == pytest.approx(limit_mm)


def test_each_code_counts_from_its_own_size_when_both_are_given() -> None:
    by_hole = code_edge_limit("EN 1993-1-8", bolt="M20", hole_mm=22.0)
    by_bolt = code_edge_limit("AS 4100", bolt="M20", hole_mm=22.0)
    assert by_hole.limit_mm == pytest.approx(26.4)
    assert by_bolt.limit_mm == pytest.approx(35.0)


def test_en_wants_more_across_the_load_than_along_it() -> None:
    across = code_spacing_limit("EN 1993-1-8", hole_mm=22.0, direction="across")
    assert across.limit_mm == pytest.approx(52.8)
    assert across.preferred_mm is None


@pytest.mark.parametrize(
    ("distance_in", "verdict"),
    [(1.99, "refuse"), (2.0, "caution"), (2.24, "caution"), (2.25, "ok")],
)
def test_aisc_spacing_below_at_and_above_its_two_limits(distance_in: float, verdict: str) -> None:
    limit = code_spacing_limit("AISC 360-16", bolt="3/4")
    assert limit.limit_mm == pytest.approx(8 / 3 * 0.75 * _MM)
    assert edge_verdict(distance_in * _MM, limit) == verdict


@pytest.mark.parametrize("edition", ["AISC 360-16", "AISC 360-22"])
@pytest.mark.parametrize(
    ("hole_mm", "limit_mm"), [(None, 2 * _MM), (13 / 16 * _MM, 2 * _MM), (40.0, 40.0 + 0.75 * _MM)]
)
def test_aisc_keeps_a_clear_bolt_diameter_between_two_slots(
    edition: str, hole_mm: float | None, limit_mm: float
) -> None:
    limit = code_spacing_limit(edition, bolt="3/4", hole_mm=hole_mm)
    assert limit.limit_mm == pytest.approx(limit_mm)
    assert limit.preferred_mm == pytest.approx(max(limit_mm, 2.25 * _MM))


def test_aisc_before_2016_looks_at_the_bolt_alone() -> None:
    limit = code_spacing_limit("AISC 360-10", bolt="3/4", hole_mm=40.0)
    assert limit.limit_mm == pytest.approx(2 * _MM)


@given(_LENGTHS, _LENGTHS, _MORE)
def test_a_longer_distance_is_never_worse(distance: float, limit_mm: float, more: float) -> None:
    limit = DistanceLimit(limit_mm, "a code", "a rule", "a table", limit_mm * 1.2)
    longer = edge_verdict(distance * more, limit)
    assert _RANK[longer] <= _RANK[edge_verdict(distance, limit)]


@given(st.floats(min_value=5.0, max_value=60.0), _MORE)
def test_a_larger_hole_never_needs_less(hole: float, more: float) -> None:
    for limit in (code_edge_limit, code_spacing_limit):
        here = limit("EN 1993-1-8", hole_mm=hole).limit_mm
        assert limit("EN 1993-1-8", hole_mm=hole * more).limit_mm >= here


@pytest.mark.parametrize(
    "bolt", ["", "20", "11/8", "1-5/4", "4/4", "0", "3/0", "M0", "M20x2.5", "0.75", "-1"]
)
def test_a_bolt_that_cannot_be_read_is_refused(bolt: str) -> None:
    with pytest.raises(UnknownName, match=r"unknown bolt .*; a bolt is written 3/4, 1-1/8 or M20"):
        code_edge_limit("AISC 360-22", bolt=bolt)


@pytest.mark.parametrize("standard", ["", "AISC", "AISC 360-99", "EN 1090-2", "ISO 273"])
def test_a_standard_without_distances_is_refused(standard: str) -> None:
    with pytest.raises(UnknownName, match=r"no distances of .* are known; known: AISC 360, "):
        code_edge_limit(standard, bolt="M20", hole_mm=22.0)


@pytest.mark.parametrize(
    ("standard", "bolt", "hole_type", "edge", "message"),
    [
        ("AISC 360-16", "M12", "standard", "cut", r"360-16 prints no edge distance, M12"),
        ("AISC 360-22", "9/16", "standard", "cut", r"no edge distance, 9/16, cut edge"),
        ("AISC 360-05", "3/4", "standard", "rolled", r"edge distance, 3/4, rolled edge"),
        ("AS 4100", "M20", "oversize", "cut", r"edge distance for oversize holes, M20"),
        ("AISC 360-22", "M20", "coarse", "cut", r"edge distance for coarse holes, M20"),
    ],
)
def test_a_distance_that_the_code_does_not_print_is_refused(
    standard: str, bolt: str, hole_type: HoleType, edge: Edge, message: str
) -> None:
    with pytest.raises(BadValue, match=message):
        code_edge_limit(standard, bolt=bolt, hole_type=hole_type, edge=edge)


def test_the_size_that_the_code_counts_from_must_be_given() -> None:
    with pytest.raises(Missing, match=r"AISC 360-22 counts from the bolt, and its size is missing"):
        code_edge_limit("AISC 360-22", hole_mm=22.0)
    with pytest.raises(Missing, match=r"EN 1993-1-8 counts from the hole, and its size is missing"):
        code_spacing_limit("EN 1993-1-8", bolt="M20")


@pytest.mark.parametrize("bad", [0.0, -1.0, float("nan"), float("inf")])
def test_a_figure_that_is_none_is_refused(bad: float) -> None:
    limit = code_spacing_limit("AISC 360-22", bolt="3/4")
    with pytest.raises(BadValue, match=r"thickness_mm=.* must be > 0"):
        tooling_edge_verdict(10.0, bad)
    with pytest.raises(BadValue, match=r"hole_mm=.* must be > 0"):
        code_edge_limit("EN 1993-1-8", hole_mm=bad)
    with pytest.raises(BadValue, match=r"distance_mm=.* must be > 0"):
        edge_verdict(bad, limit)
