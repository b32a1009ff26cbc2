"""Pipe by its name: what the table prints, and which pipe a measured outside can be."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue, UnknownName
from crib.trade.common.published_tables import read_table
from crib.trade.metal.pipes import SCHEDULES, known_pipe_sizes, pipe_of_outside, pipe_size

_MM = 25.4
_ROWS = read_table("pipe_sizes")


def test_every_row_of_the_table_is_reached_once() -> None:
    seen = {(row["nps"], row["schedule"]): pipe_size(row["nps"], row["schedule"]) for row in _ROWS}
    assert len(seen) == len(_ROWS)
    for (nps, schedule), size in seen.items():
        assert (size.nps, size.schedule) == (nps, schedule)
        assert 0 < size.wall_mm < size.outside_mm / 2
        assert size.source
    assert {schedule for _, schedule in seen} == set(SCHEDULES)


def test_the_inch_name_and_the_metric_name_are_the_same_pipe() -> None:
    for row in _ROWS:
        by_dn = pipe_size(f"DN{row['dn']}", row["schedule"])
        assert by_dn == pipe_size(row["nps"], row["schedule"])


@pytest.mark.parametrize(
    "name", ["1-1/2", "1 1/2", '1-1/2"', "1-1/2 in", "NPS 1-1/2", "nps1-1/2", "DN40", "dn 40"]
)
def test_case_spaces_and_inch_marks_do_not_matter(name: str) -> None:
    assert pipe_size(name).nps == "1-1/2"


@pytest.mark.parametrize(
    "name", ["", "1.5", "11/2", "40", "48.3", "DN 45", "DN4 0", "DN", "14", "1-1/2 tube", "-2"]
)
def test_a_size_that_the_table_does_not_print_is_refused(name: str) -> None:
    with pytest.raises(
        UnknownName, match=r"unknown pipe size .*; known: 1/8, .*, 12, DN6, .*DN300"
    ):
        pipe_size(name)


@pytest.mark.parametrize("schedule", ["40", "Sch 40", "sch. 40", "SCH40", "schedule 40", " 40 "])
def test_a_schedule_may_be_written_out(schedule: str) -> None:
    assert pipe_size("2", schedule).schedule == "40"


@pytest.mark.parametrize("schedule", ["", "20", "40S", "std wall", "sch"])
def test_a_schedule_that_the_table_does_not_hold_is_refused(schedule: str) -> None:
    with pytest.raises(UnknownName, match=r"unknown schedule .*; known: 5, 10, 40, .*, 10S"):
        pipe_size("2", schedule)


def test_a_wall_that_the_size_does_not_come_in_is_refused() -> None:
    with pytest.raises(
        BadValue, match=r"1/8 pipe has no schedule 160; it has 10, 40, 80, STD, XS, 10S$"
    ):
        pipe_size("1/8", "160")


def test_sizes_rise_and_walls_thicken_with_the_schedule() -> None:
    sizes = [pipe_size(nps) for nps in known_pipe_sizes()]
    assert [size.outside_mm for size in sizes] == sorted(size.outside_mm for size in sizes)
    assert all(pipe_size(size.nps, "80").wall_mm > size.wall_mm for size in sizes)
    assert all(pipe_size(size.nps, "10").wall_mm < size.wall_mm for size in sizes)
    assert all(
        pipe_size(size.nps, "5").wall_mm < pipe_size(size.nps, "10").wall_mm for size in sizes[3:]
    )


@pytest.mark.parametrize(
    ("outside_mm", "names"),
    [
        (1.900 * _MM, ["1-1/2"]),
        (1.500 * _MM, []),
        (48.3 - 0.81, []),
        (48.3 - 0.8, ["1-1/2"]),
        (48.3 + 0.8, ["1-1/2"]),
        (48.3 + 0.81, []),
        (0.1, []),
        (324.6, ["12"]),
    ],
)
def test_a_measured_outside_is_pipe_only_within_the_tolerance(
    outside_mm: float, names: list[str]
) -> None:
    assert [size.nps for size in pipe_of_outside(outside_mm)] == names


def test_the_nearest_size_comes_first() -> None:
    assert [size.nps for size in pipe_of_outside(12.5, 3.0)] == ["1/4", "1/8"]


@given(st.sampled_from(known_pipe_sizes()), st.floats(min_value=-0.79, max_value=0.79))
def test_a_pipe_is_known_again_by_its_outside(nps: str, off_mm: float) -> None:
    assert nps in [size.nps for size in pipe_of_outside(pipe_size(nps).outside_mm + off_mm)]


@given(
    st.floats(min_value=1.0, max_value=400.0),
    st.floats(min_value=0.0, max_value=5.0),
    st.floats(min_value=0.0, max_value=5.0),
)
def test_a_wider_tolerance_never_loses_a_size(
    outside: float, tolerance: float, more: float
) -> None:
    assert set(pipe_of_outside(outside, tolerance)) <= set(
        pipe_of_outside(outside, tolerance + more)
    )


@pytest.mark.parametrize("bad", [0.0, -1.0, float("nan")])
def test_an_outside_that_is_none_is_refused(bad: float) -> None:
    with pytest.raises(BadValue, match=r"outside_mm=.* must be > 0"):
        pipe_of_outside(bad)


def test_a_negative_tolerance_is_refused() -> None:
    with pytest.raises(BadValue, match=r"tolerance_mm=-1 must be >= 0"):
        pipe_of_outside(48.3, -1.0)
