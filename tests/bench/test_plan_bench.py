"""A plan of two hundred parts against one of twenty, each part with twenty features."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product
from pathlib import Path

import pytest

from crib.stock.engine.session import Session
from tests.bench.ratios import compare, timed
from tests.desk.planning import DIE_OVER, hole, one_machine, part_list, plan

pytestmark = pytest.mark.bench

FEW, MANY, FEATURES = 20, 200, 20
LIMIT = 15.0
SECONDS = 0.05
"""The search for the order has its own limit of time; here the rest is measured."""


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Session]:
    """A turret of three stations and a pair of each size."""
    session = one_machine(tmp_path_factory.mktemp("shop") / "s.crib", slots=3)
    yield session
    session.close()


def parts(path: Path, count: int) -> Path:
    """A list of parts, each with twenty holes of a few sizes and thicknesses."""
    phrases = [hole(size, thick) for size, thick in product(DIE_OVER, ("1/4", "3/8", "5/16"))]
    lines = [
        (f"B{number}", phrases[(number + 3 * turn) % len(phrases)], 10, 1)
        for number in range(count)
        for turn in range(FEATURES)
    ]
    return part_list(path, *lines)


def test_ten_times_the_parts_cost_little_more_than_ten_times(shop: Session, tmp_path: Path) -> None:
    few, many = (parts(tmp_path / f"{count}.csv", count) for count in (FEW, MANY))
    made = plan(shop, many, seconds=SECONDS)
    assert made.strokes == MANY * FEATURES * 10
    found = compare(
        f"crib plan, {MANY} parts of {FEATURES} features",
        lambda: timed(lambda: plan(shop, many, seconds=SECONDS)),
        (f"{FEW} parts", lambda: timed(lambda: plan(shop, few, seconds=SECONDS))),
        limit=LIMIT,
        rounds=5,
    )
    assert found.ratio <= found.limit, found.line
