"""The big cribs are sound cribs: what is measured on them is worth something."""

from __future__ import annotations

from pathlib import Path

import pytest

from crib.stock.book import ledger
from crib.stock.engine.opening import open_crib
from crib.stock.engine.session import Session
from tests.bench.big_crib import Size, build
from tests.schema.cribs import structure
from tests.shop import new_crib


@pytest.fixture(scope="module")
def thousand(tmp_path_factory: pytest.TempPathFactory) -> Session:
    """A crib of a thousand pieces."""
    path = tmp_path_factory.mktemp("big") / "thousand.crib"
    return open_crib(build(path, Size(pieces=1_000, kinds=400, entries=10_000)))


def test_the_running_totals_are_what_the_ledger_says(thousand: Session) -> None:
    assert ledger.rebuild(thousand) == []


def test_it_has_the_rows_that_were_asked_for(thousand: Session) -> None:
    tables = ("piece", "kind", "entry")
    counts = [thousand.value(f"SELECT count(*) FROM {table}") for table in tables]
    assert counts == [1_000, 400, 10_000]


def test_a_few_kinds_run_high(thousand: Session) -> None:
    copies = "SELECT count(*) AS copies FROM piece GROUP BY kind_id ORDER BY copies DESC"
    counts = [row["copies"] for row in thousand.rows(copies)]
    assert counts[0] >= 10 * counts[-1]


def test_it_is_whole_and_has_every_index_of_a_new_crib(thousand: Session, tmp_path: Path) -> None:
    new_crib(tmp_path / "new.crib").close()
    assert structure(thousand.path) == structure(tmp_path / "new.crib")
    assert thousand.value("PRAGMA integrity_check") == "ok"
    assert thousand.rows("PRAGMA foreign_key_check") == []
