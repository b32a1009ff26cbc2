"""The demo data: making it twice, or taking it in again, makes nothing double."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import pytest

from crib.desk.book.demo import make_demo
from crib.desk.tables.import_tables import take_in
from crib.errors import Refused
from crib.stock.book import ledger
from crib.stock.engine.backup import verify
from crib.stock.engine.folders import seed_folder
from crib.stock.engine.opening import open_crib
from tests.demo_crib import NOW, demo_crib
from tests.schema.cribs import holdings

WITH_A_DAY = ("entries.csv", "pieces.csv", "jobs.csv", "wants.csv", "offers.csv", "orders.csv")
FOLDERS = {False: "inch", True: "metric"}

both_units = pytest.mark.parametrize("metric", [False, True], ids=["inch", "metric"])


def without_chance(path: Path) -> dict[str, list[dict[str, Any]]]:
    """What a crib holds, without the random names of its acts."""
    return {
        table: [{name: value for name, value in row.items() if name != "act"} for row in rows]
        for table, rows in holdings(path).items()
    }


@both_units
def test_the_demo_made_again_holds_the_same(tmp_path: Path, metric: bool) -> None:
    path = tmp_path / "demo.crib"
    demo_crib(path, metric).close()
    once = without_chance(path)
    make_demo(path, metric=metric, again=True, now=NOW)
    assert without_chance(path) == once


@both_units
def test_the_demo_is_not_made_over_another_unasked(tmp_path: Path, metric: bool) -> None:
    path = tmp_path / "demo.crib"
    demo_crib(path, metric).close()
    once = holdings(path)
    with pytest.raises(Refused, match="is there already"):
        make_demo(path, metric=metric, now=NOW)
    assert holdings(path) == once


@both_units
def test_taking_the_demos_shelf_in_again_adds_nothing(tmp_path: Path, metric: bool) -> None:
    path = tmp_path / "demo.crib"
    session = demo_crib(path, metric)
    once = holdings(path)
    shelf = tmp_path / "shelf"
    dated = shutil.ignore_patterns(*WITH_A_DAY)
    shutil.copytree(seed_folder() / FOLDERS[metric], shelf, ignore=dated)
    take_in(session, shelf, by="", now=NOW)
    session.close()
    assert holdings(path) == once


@both_units
def test_the_demo_is_whole_and_its_totals_are_what_the_ledger_says(
    tmp_path: Path, metric: bool
) -> None:
    path = tmp_path / "demo.crib"
    made = make_demo(path, metric=metric, now=NOW)
    assert verify(path).pieces == made.pieces
    session = open_crib(path)
    assert ledger.rebuild(session) == []
    session.close()
