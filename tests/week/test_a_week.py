"""A week in a shop of a hundred pieces; the counts of each day were worked out by hand before."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
import time_machine

from tests.cli.asking import Window
from tests.week.a_shop import DIE, ROUND_A, ROUND_B, USED, write_tables
from tests.week.first_days import monday, tuesday, wednesday
from tests.week.last_days import friday, thursday
from tests.week.the_week import Week, counts, moment_at

PIECES = 100
OPENING_STROKES = 15 * (0 + 400 + 1000) * 2
"""Fifteen round sizes of three copies, a punch and a die each; all else is new."""
WEEK_STROKES = (
    2 * (240 + 240 + 48)  # the frame's holes, on punch and die
    + 2 * 60  # its cuts, on both blades
    + 12  # its notches
    + 2 * (50 + 96)  # the rails' holes
)


@pytest.fixture
def week(
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> Iterator[Week]:
    """The shop as its tables were taken in on the Friday before."""
    monkeypatch.chdir(tmp_path)
    with time_machine.travel(moment_at("2026-02-27 15:00"), tick=False) as clock:
        week = Week(Window(tmp_path / "shop.crib", capsys), tmp_path, monkeypatch, clock)
        write_tables(tmp_path / "tables")
        week.do("new --name 'Weir street'")
        week.do("import tables --by window")
        week.counted = counts(week.window.path)
        yield week


def test_the_tables_are_a_shop_of_a_hundred_pieces(week: Week) -> None:
    assert len(DIE) == len(ROUND_A) + len(ROUND_B)
    assert len(week.counted) == PIECES
    assert sum(one.total for one in week.counted.values()) == OPENING_STROKES
    assert {one.edge for one in week.counted.values()} == set(USED)


def test_every_piece_is_counted_right_to_the_last_stroke(
    week: Week, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for day in (monday, tuesday, wednesday, thursday, friday):
        day(week)
    assert sum(one.total for one in week.counted.values()) == OPENING_STROKES + WEEK_STROKES
    assert "everything is sound" in week.do("check").out
    week.do("export out")
    copy = Week(Window(tmp_path / "copy.crib", capsys), week.folder, week.patch, week.clock)
    copy.do("new --name Copy")
    copy.do("import out")
    copy.at_night(week.counted)
    assert "everything is sound" in copy.do("check").out
