"""A plan of several hits on the screen: how many, how far apart, what each cuts."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.asking import Window
from tests.desk.notching import add_set, notch_shop, station_listed


@pytest.fixture
def window(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Window:
    """A shop with a notch set 4 x 4."""
    path = tmp_path / "notches.crib"
    shop = notch_shop(path)
    add_set(shop, "N-1", "notch", "4", 4, (4, 5 / 16))
    station_listed(shop, "notch", (6, 5 / 16))
    shop.close()
    return Window(path, capsys)


def test_the_hits_of_a_pick_are_told_and_fit_80_columns(window: Window) -> None:
    said = window.ask("find", "notch 7 x 3 thru 1/4")
    assert (said.status, said.err) == (0, "")
    told = " ".join(said.out.split())
    assert "2 hits (1 full, 1 chain) of a 4 in set" in told
    assert "each 3 in from the next" in told
    assert "cuts 10 in, then 6 in of edge" in told
    assert max(len(line) for line in said.lines) <= 80


def test_a_plan_that_fails_is_told_with_what_refuses_it(window: Window) -> None:
    said = window.ask("find", "notch 5 x 3 thru 1/4")
    assert said.status == 3
    told = " ".join(said.out.split())
    assert "each 1 in from the next" in told
    assert "chain hit 2 cuts 25 %" in told
