"""ASME B36.10M, Welded and Seamless Wrought Steel Pipe: outside diameters and walls.

The millimetre columns are read from the package fluids, which holds the standard's tables; the
customary inch columns are a copy of our own, held from memory. The millimetre outside of a large
size is rounded by up to 0.05 mm, and a wall to 0.01 mm.
"""

from __future__ import annotations

import pytest
from fluids.piping import nearest_pipe

from crib.trade.common.published_tables import printed_number, read_table
from crib.trade.metal.pipes import SCHEDULES, PipeSize, known_pipe_sizes, pipe_size
from tests.validation.published import rows

_MM = 25.4
_SIZES = [pipe_size(row["nps"], row["schedule"]) for row in read_table("pipe_sizes")]


@pytest.mark.parametrize("size", _SIZES, ids=lambda size: f"{size.nps}-{size.schedule}")
def test_the_millimetre_columns(size: PipeSize) -> None:
    nominal, _, outside_m, wall_m = nearest_pipe(
        NPS=printed_number(size.nps),  # type: ignore[arg-type]
        schedule=size.schedule,
    )
    assert nominal == printed_number(size.nps)
    assert size.outside_mm == pytest.approx(outside_m * 1000, abs=1e-9)
    assert size.wall_mm == pytest.approx(wall_m * 1000, abs=1e-9)


@pytest.mark.parametrize("row", rows("asme_b36_10m_inch"), ids=lambda row: row["nps"])
def test_the_inch_columns_agree_within_the_rounding(row: dict[str, str]) -> None:
    for schedule in SCHEDULES:
        wall = row[f"wall_{schedule}_in"]
        if wall:
            size = pipe_size(row["nps"], schedule)
            assert size.dn == int(row["dn"])
            assert size.outside_mm == pytest.approx(float(row["outside_in"]) * _MM, abs=0.0501)
            assert size.wall_mm == pytest.approx(float(wall) * _MM, abs=0.0151)


def test_both_columns_have_the_same_sizes_and_walls() -> None:
    copied = rows("asme_b36_10m_inch")
    assert [row["nps"] for row in copied] == list(known_pipe_sizes())
    walls = sum(bool(row[f"wall_{schedule}_in"]) for row in copied for schedule in SCHEDULES)
    assert walls == len(_SIZES)
