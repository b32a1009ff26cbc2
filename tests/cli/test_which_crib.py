"""Every answer says which crib it is from, and the demo never answers for the shop unsaid."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from crib.cli.door import shop_crib
from crib.cli.main import main
from crib.stock.engine.folders import home_folder
from tests.cli.asking import Window
from tests.demo_crib import demo_crib
from tests.shop import small_shop

READS = (
    "find hole 13/16 thru 3/8 A36",
    "find hole 1-3/16 thru 3/8 A36",
    "due",
    "forecast",
    "life P-0137",
    "chart P-0137",
    "stock punch round",
    "show P-0137",
    "history P-0137",
    "buy",
    "compare hole 13/16 thru 3/8 A36 for 20",
    "jobs",
    "kit",
    "kit late",
    "plan",
    "holes",
    "rules",
    "check",
    "wants",
    "order",
    "log P-0140 12 thru 3/8",
    "log P-0140 13 thru 3/8 --key abc-1",
    "log P-0140 13 thru 3/8 --key abc-1",
    "undo --last --why typo",
)
DEMO = "crib: Nowhere Bay Steelwork (demo), an invented shop (shop.crib)"


@pytest.fixture
def demo(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Window:
    monkeypatch.setenv("COLUMNS", "80")
    demo_crib(tmp_path / "shop.crib").close()
    return Window(tmp_path / "shop.crib", capsys)


def test_every_screen_says_in_one_line_that_the_demo_answered(demo: Window) -> None:
    for words in READS:
        said = demo.ask(*words.split())
        assert said.status in (0, 1, 3), said.err
        assert said.crib == DEMO, words


def test_every_answer_for_programs_says_it_in_one_field(demo: Window) -> None:
    facts = {"name": "Nowhere Bay Steelwork (demo)", "file": str(demo.path), "demo": True}
    for words in READS:
        said = json.loads(demo.ask(*words.split(), "--json").out)
        assert said["answered_from"] == {**facts, "cannot_write": ""}, words


def test_a_shop_of_ones_own_is_named_and_no_demo(demo: Window, tmp_path: Path) -> None:
    assert main(["new", "--name", "Quay works", "--crib", str(tmp_path / "own.crib")]) == 0
    demo.path = tmp_path / "own.crib"
    assert demo.ask("stock").crib == "crib: Quay works (own.crib)"
    small_shop(tmp_path / "unnamed.crib").close()
    demo.path = tmp_path / "unnamed.crib"
    assert demo.ask("stock").crib == "crib: unnamed.crib"


def test_a_new_crib_is_the_shops_own_even_beside_the_demo(
    capsys: pytest.CaptureFixture[str],
) -> None:
    demo_crib(home_folder() / "demo.crib").close()
    assert main(["stock"]) == 0
    assert "an invented shop (demo.crib)" in capsys.readouterr().out
    assert main(["new", "--name", "Quay works"]) == 0
    assert shop_crib().is_file()
    assert main(["stock"]) == 0
    assert capsys.readouterr().out.endswith("crib: Quay works (shop.crib)\n")


def test_a_request_that_failed_names_no_crib_to_the_next(
    demo: Window, capsys: pytest.CaptureFixture[str]
) -> None:
    assert demo.ask("show", "P-9999").status == 2
    assert main(["cautions"]) == 0
    assert "crib: " not in capsys.readouterr().out
