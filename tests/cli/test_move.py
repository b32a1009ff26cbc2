"""``crib move`` and ``crib retire`` at the window."""

from __future__ import annotations

from pathlib import Path

import pytest

from crib.desk.common.cautions import short_cautions
from tests.cli.asking import Window
from tests.shop import small_shop


@pytest.fixture
def window(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Window:
    monkeypatch.setenv("COLUMNS", "80")
    small_shop(tmp_path / "shop.crib").close()
    return Window(tmp_path / "shop.crib", capsys)


def test_mounting_prints_the_cautions(window: Window) -> None:
    said = window.ask("move", "P-0137", "D-0201", "--to", "ironworker 1/punch", "--by", "nights")
    assert (said.status, said.err) == (0, "")
    assert said.lines == [
        "P-0137  A1 -> Ironworker 1 / punch",
        "D-0201  A2 -> Ironworker 1 / punch",
        "mounted there now: die D-0201, punch P-0137",
        "",
        *short_cautions(["punch"]),
    ]


def test_a_drawer_needs_no_caution(window: Window) -> None:
    assert window.ask("move", "P-0137", "P-0140", "--to", "A2").lines == [
        "P-0137  A1 -> A2",
        "P-0140  is there already",
    ]


def test_json_says_what_moved(window: Window) -> None:
    told = window.ask("move", "P-0137", "--to", "A9", "--new-drawer", "--json").json
    assert told["pieces"] == [
        {
            "tag": "P-0137",
            "kind": "round punch 13/16  #0",
            "came_from": "A1",
            "to": "A9",
            "swapped_out": False,
        }
    ]
    assert told["mounted"] == []


def test_a_hard_stop_exits_two_and_says_why(window: Window) -> None:
    said = window.ask("move", "P-0140", "D-0202", "--to", "Ironworker 1 / punch", "--swap")
    assert (said.status, said.out) == (2, "")
    assert "die D-0202 (7/8 in) is not bigger than punch P-0140 (7/8 in)" in said.err
    assert window.ask("show", "P-0140", "--json").json["place"] == "A2"


def test_retiring_says_what_it_did_in_its_life(window: Window) -> None:
    said = window.ask("retire", "P-0137", "--why", "cracked")
    assert (said.status, said.err) == (0, "")
    assert said.lines[0] == "P-0137 is retired: round punch 13/16  #0; cracked"
    assert "0 of this kind left" in said.lines[1]
    assert window.ask("retire", "P-0137", "--why", "cracked", "--json").status == 2
