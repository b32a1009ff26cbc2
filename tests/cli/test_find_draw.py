"""``crib find ... --draw FILE`` at the shell."""

from __future__ import annotations

from pathlib import Path

import pytest

from crib.stock.engine.opening import open_crib
from tests.cli.asking import Window
from tests.shop import small_shop

HOLE = ("find", "hole", "13/16", "thru", "3/8", "A36")


@pytest.fixture
def window(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Window:
    small_shop(tmp_path / "shop.crib").close()
    return Window(tmp_path / "shop.crib", capsys)


@pytest.mark.parametrize("ending", ["svg", "pdf"])
def test_the_pick_is_drawn_beside_the_answer(window: Window, tmp_path: Path, ending: str) -> None:
    place = tmp_path / f"hole.{ending}"
    said = window.ask(*HOLE, "--draw", str(place))
    assert (said.status, said.err) == (0, "")
    assert place.stat().st_size > 1000
    assert "Note: drawn" in said.out


def test_the_json_names_the_drawing(window: Window, tmp_path: Path) -> None:
    place = tmp_path / "hole.pdf"
    assert window.ask(*HOLE, "--draw", str(place), "--json").json["drawing"] == str(place)
    assert window.ask(*HOLE, "--json").json["drawing"] is None


def test_a_miss_is_drawn_with_the_status_of_a_miss(window: Window, tmp_path: Path) -> None:
    place = tmp_path / "miss.svg"
    said = window.ask("find", "hole", "13/16", "thru", "1", "A514", "--draw", str(place))
    assert said.status == 3
    assert "WILL NOT DO" in place.read_text("utf-8")


@pytest.mark.parametrize("name", ["hole.png", "there.svg", "none/hole.svg"])
def test_a_wrong_place_is_a_wrong_request_and_changes_nothing(
    window: Window, tmp_path: Path, name: str
) -> None:
    (tmp_path / "there.svg").write_text("mine")
    said = window.ask("find", "hexagon", "1", "thru", "1/4", "--draw", str(tmp_path / name))
    assert (said.status, said.out) == (2, "")
    assert "->" in said.err
    session = open_crib(window.path)
    wants = session.value("SELECT count(*) FROM want")
    session.close()
    assert wants == 0
    assert (tmp_path / "there.svg").read_text() == "mine"


def test_the_method_of_a_code_is_said_on_the_screen(window: Window) -> None:
    said = window.ask("find", "bolt", "3/4", "thru", "3/8", "--code", "AISC 360")
    assert "Method by AISC 360: punching it full size is allowed" in said.out
    assert max(map(len, said.lines)) <= 80


def test_distances_are_read_at_the_shell(window: Window) -> None:
    said = window.ask(*HOLE, "edge", "7/8", "pitch", "1-1/2", "--checks")
    assert said.status == 0
    assert "CAUTION   metal to edge" in said.out
