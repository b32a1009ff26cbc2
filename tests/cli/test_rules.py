"""``crib rules`` at the window."""

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
    small_shop(tmp_path / "shop.crib").close()
    return Window(tmp_path / "shop.crib", capsys)


def test_the_whole_list_fits_eighty_columns_and_explains_its_tags(window: Window) -> None:
    said = window.ask("rules")
    assert (said.status, said.err) == (0, "")
    assert max(len(line) for line in said.lines) <= 80
    assert any(line.startswith("[C] public chart; [CP] common practice") for line in said.lines)


def test_a_change_is_told_and_starred_in_the_list(window: Window) -> None:
    said = window.ask("rules", "wear.plan", "0.6", "--why", "early", "--by", "nights")
    assert said.lines[0] == "wear.plan: 0.7 -> 0.6"
    listed = window.ask("rules", "wear.plan")
    assert listed.lines[0] == "wear.plan  0.6* (0.3 to 1)  [J]"
    assert "default 0.7; nights" in " ".join(listed.out.split())


def test_a_change_without_a_name_says_how_to_give_one(window: Window) -> None:
    said = window.ask("rules", "wear.plan", "0.6", "--why", "early")
    assert (said.status, said.out) == (2, "")
    assert "nobody's name given" in said.err
    assert "--by NAME" in said.err


def test_json_has_value_default_and_tag(window: Window) -> None:
    (rule,) = window.ask("rules", "crib.unit", "--json").json["rules"]
    assert (rule["value"], rule["default"], rule["tag"]) == ("in", "in", "J")


def test_a_wrong_value_exits_two(window: Window) -> None:
    said = window.ask("rules", "crib.unit", "feet", "--why", "x", "--by", "nights")
    assert (said.status, said.out) == (2, "")
    assert "must be one of: in, mm" in said.err
