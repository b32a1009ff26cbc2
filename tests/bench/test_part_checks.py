"""Checking a part of very many holes: the time grows as their number, not as their pairs."""

from __future__ import annotations

import pytest

from crib.desk.parts.opening_checks import check_part
from crib.trade.shop.shop_rules import Rules
from tests.bench.ratios import compare, timed
from tests.desk.drawn_parts import square_of_holes

pytestmark = pytest.mark.bench


def test_a_hundred_times_the_holes_take_little_more_than_a_hundred_times_as_long() -> None:
    rules = Rules.defaults().with_changes({"crib.unit": "mm"})
    many, few = square_of_holes(100), square_of_holes(10)
    found = compare(
        "checking a part of 10,000 holes",
        lambda: timed(lambda: check_part(many, rules)),
        ("checking one of 100", lambda: timed(lambda: check_part(few, rules))),
        limit=150.0,
        rounds=5,
    )
    assert found.ratio <= found.limit, found.line
