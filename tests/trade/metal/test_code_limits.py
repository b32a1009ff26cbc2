"""The codes' limits in one table: known figures, and whence each is counted."""

from __future__ import annotations

import pytest

from crib.errors import UnknownName
from crib.trade.common.published_tables import read_table
from crib.trade.metal.code_limits import code_limit, codes_in_table
from crib.trade.metal.hole_method import known_codes

_ROWS = read_table("code_limits")


def test_every_code_that_rules_has_its_limits_in_the_table() -> None:
    assert set(codes_in_table()) == set(known_codes())


@pytest.mark.parametrize("row", _ROWS, ids=lambda row: f"{row['code']} {row['limit']}")
def test_every_limit_has_edition_clause_and_what_it_counts_from(row: dict[str, str]) -> None:
    assert row["edition"]
    assert row["clause"]
    assert row["measured"] in ("plate", "punch", "die")
    assert row["counted_from"] in ("", "bolt", "hole", "punch", "yield")
    assert row["side"] in ("over", "under")
    limit = code_limit(row["code"], row["limit"], row["where"])
    assert (limit.figure < 0) == (row["side"] == "under")
    assert row["clause"] in limit.source


def test_no_limit_stands_in_the_table_twice() -> None:
    keys = [(row["code"], row["limit"], row["where"]) for row in _ROWS]
    assert len(set(keys)) == len(keys)


@pytest.mark.parametrize(
    ("code", "bolt_mm", "most_mm"),
    [("UFGS", 19.05, 15.875), ("AASHTO", 19.05, 14.2875), ("AASHTO", 25.4, 20.6375)],
)
def test_a_sub_punch_counts_from_the_bolt(code: str, bolt_mm: float, most_mm: float) -> None:
    """UFGS-05055A 2.2.3.1 (3) 1/8 in, the bridge text 3/16 in under the bolt, both as read."""
    limit = code_limit(code, "sub-punch")
    assert (limit.measured, limit.counted_from) == ("punch", "bolt")
    assert limit.size_mm(bolt_mm) == pytest.approx(most_mm)


def test_a_limit_that_the_table_lacks_is_refused() -> None:
    with pytest.raises(UnknownName, match="no die limit of UFGS for 'any'"):
        code_limit("UFGS", "die")
