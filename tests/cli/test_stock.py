"""``crib stock`` on an 80-column screen and as JSON."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.asking import Window
from tests.shop import small_shop


@pytest.fixture
def window(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Window:
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.setenv("NO_COLOR", "1")
    small_shop(tmp_path / "shop.crib").close()
    return Window(tmp_path / "shop.crib", capsys)


def test_the_screen_lists_tag_size_seat_place_edge_and_wear(window: Window) -> None:
    said = window.ask("stock", "punch", "13/16")
    assert (said.status, said.err) == (0, "")
    (row,) = [line.split() for line in said.lines if "P-0137" in line]
    assert row == "P-0137 round punch 13/16 A A1 sharp 0 %".split()
    assert said.lines[-1] == "1 in all: 1 punch"
    assert max(len(line) for line in said.lines) <= 80


def test_json_carries_millimetres(window: Window) -> None:
    said = window.ask("stock", "punch", "13/16", "--json")
    assert said.json["total"] == 1
    (row,) = said.json["pieces"]
    assert row["width_mm"] == pytest.approx(20.6375)
    assert (row["tag"], row["edge"], row["used"]) == ("P-0137", "sharp", 0.0)


def test_an_unknown_word_is_a_wrong_request(window: Window) -> None:
    said = window.ask("stock", "flange")
    assert (said.status, said.out) == (2, "")
    assert "no role, shape, size, condition or place" in said.err
