"""Lists of values in statements: each once, parts of a size, and a table of what is asked."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from crib.stock.engine import in_lists as lists
from crib.stock.engine.in_lists import asked_tables, in_lists, marks
from crib.stock.engine.session import Session
from tests.shop import small_shop


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    session = small_shop(tmp_path / "shop.crib")
    yield session
    session.close()


@pytest.fixture
def two_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(lists, "MOST_AT_ONCE", 4)


def test_marks_stand_for_values() -> None:
    assert marks("abc") == "(?, ?, ?)"


@pytest.mark.usefixtures("two_at_once")
def test_a_list_comes_in_parts_each_value_once_in_order() -> None:
    parts = list(in_lists([7, 3, 3, 5, 1, 9, 7]))
    assert parts == [("(?, ?, ?, ?)", [1, 3, 5, 7]), ("(?)", [9])]
    assert list(in_lists(list[int]())) == []


@pytest.mark.usefixtures("two_at_once")
def test_what_is_asked_joins_in_parts_as_a_table(shop: Session) -> None:
    rows = [(1, "P-0137"), (2, "none"), (3, "D-0201")]
    found = [
        tuple(row)
        for asked, values in asked_tables({"n": "INTEGER", "tag": "TEXT"}, rows)
        for row in shop.rows(
            f"{asked} SELECT asked.n, piece.tag FROM asked JOIN piece ON piece.tag = asked.tag",
            values,
        )
    ]
    assert found == [(1, "P-0137"), (3, "D-0201")]
    assert len(list(asked_tables({"n": "INTEGER", "tag": "TEXT"}, rows))) == 2
    assert list(asked_tables({"n": "INTEGER"}, [])) == []
