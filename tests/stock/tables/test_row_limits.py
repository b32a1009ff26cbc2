"""No figure of the shop without a bound: kinds, seats, stations and what they are proven for."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from crib.stock.tables.row_check import RecordColumn, columns_of

_TABLES = ("kind", "seat", "station", "envelope_point")
_ELSEWHERE = {"id", "edges", "price_cents", "learned_strokes"}
"""Keys, a closed list, money (bounded where it is read) and what the crib works out itself."""


def _numbers() -> Iterator[tuple[str, str, RecordColumn]]:
    for table in _TABLES:
        for name, column in columns_of(table).items():
            plain = name not in _ELSEWHERE and not name.endswith("_id")
            if column.type in ("int", "float") and plain:
                yield table, name, column


@pytest.mark.parametrize(("table", "name", "column"), list(_numbers()))
def test_every_figure_has_a_least_and_a_most(table: str, name: str, column: RecordColumn) -> None:
    least = column.above if column.above is not None else column.least
    most = column.below if column.below is not None else column.most
    assert least is not None, (table, name)
    assert most is not None, (table, name)
    assert "must be" in column.fault(most * 1.01 if column.type == "float" else int(most) + 1)
    assert "must be" in column.fault(least - 1 if column.type == "float" else int(least) - 1)


@pytest.mark.parametrize(
    ("table", "name", "value"),
    [
        ("kind", "stress_limit_mpa", 10_000.0),
        ("kind", "stress_limit_mpa", 240.0),  # ksi, without its unit
        ("station", "rated_force_n", 1e8),
        ("seat", "die_diameter_mm", 54_000.0),
    ],
)
def test_a_slip_of_unit_or_finger_is_refused(table: str, name: str, value: float) -> None:
    assert "must be" in columns_of(table)[name].fault(value)
