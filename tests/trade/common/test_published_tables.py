"""The published tables: readable, cached, and a source in every row."""

from __future__ import annotations

from pathlib import Path

import pytest

import crib.trade
from crib.trade.common.published_tables import printed_number, read_table, table_length_mm

_DATA = Path(crib.trade.__file__).with_name("data")
_NAMES = sorted(path.stem for path in _DATA.glob("*.csv"))


def test_the_tables_are_the_ones_we_know() -> None:
    assert _NAMES == [
        "bend_radii",
        "bolt_holes",
        "clearance_steps",
        "code_limits",
        "edge_distances",
        "hole_tolerances",
        "materials",
        "pipe_sizes",
        "plate_tolerances",
        "plate_yields",
        "sheet_gauges",
        "shop_rules",
        "tap_drills",
    ]


@pytest.mark.parametrize("name", _NAMES)
def test_every_row_of_a_table_names_its_source(name: str) -> None:
    rows = read_table(name)
    assert rows
    assert [row for row in rows if not row["source"].strip()] == []


@pytest.mark.parametrize("name", _NAMES)
def test_no_row_of_a_table_has_a_cell_too_many_or_too_few(name: str) -> None:
    for row in read_table(name):
        assert None not in row
        assert None not in row.values()


def test_a_table_is_read_once() -> None:
    assert read_table("materials") is read_table("materials")


@pytest.mark.parametrize(
    ("text", "number"),
    [("27", 27.0), ("0.1345", 0.1345), ("13/16", 0.8125), ("1-1/16", 1.0625), ("2-13/16", 2.8125)],
)
def test_a_printed_figure_becomes_a_number(text: str, number: float) -> None:
    assert printed_number(text) == number


@pytest.mark.parametrize(
    ("text", "unit", "length_mm"), [("13/16", "in", 20.6375), ("1", "in", 25.4), ("22", "mm", 22.0)]
)
def test_a_printed_length_becomes_millimetres(text: str, unit: str, length_mm: float) -> None:
    assert table_length_mm(text, unit) == pytest.approx(length_mm, rel=1e-15)
