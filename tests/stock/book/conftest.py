"""What the laws of the book work on."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.shop import small_shop
from tests.stock.book.law_shops import Shops


@pytest.fixture(scope="module")
def blank(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A small shop whose opening entries lie before any day of the laws."""
    path = tmp_path_factory.mktemp("laws") / "blank.crib"
    session = small_shop(path)
    with session.writing():
        session.run("UPDATE entry SET shift_on = '2025-12-31'")
        session.run("UPDATE piece SET changed_on = '2025-12-31', latest_on = '2025-12-31'")
    session.connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    session.close()
    return path


@pytest.fixture
def shops(blank: Path, tmp_path: Path) -> Iterator[Shops]:
    made = Shops(blank, tmp_path)
    yield made
    made.close()
