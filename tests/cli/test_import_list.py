"""A shop's own list at the window: shown, asked about, taken."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.asking import Window
from tests.shop import small_shop

TEXT = "Tool #,What,Size,Qty\n12,punch,1/2,2\n13,die,17/32,1\n14,shear blade,12,1\n"


@pytest.fixture
def shop(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Window:
    monkeypatch.chdir(tmp_path)
    small_shop(tmp_path / "shop.crib").close()
    Path("tooling.csv").write_text(TEXT)
    return Window(tmp_path / "shop.crib", capsys)


def test_a_dry_run_shows_how_each_line_is_read(shop: Window) -> None:
    said = shop.ask("import", "tooling.csv", "--dry-run")
    assert (said.status, said.err) == (0, "")
    assert "  -> 2 x round punch 1/2; not said, taken for it: round" in said.lines
    assert "3 lines: 2 taken (3 pieces), 1 left" in said.lines
    assert max(map(len, said.lines)) <= 80


def test_what_must_be_said_is_asked_with_the_way_to_say_it(shop: Window) -> None:
    said = shop.ask("import", "tooling.csv")
    assert said.status == 2
    assert "--seat 'round punches=A'" in said.err
    said = shop.ask("import", "tooling.csv", "--seat", "A")
    assert "leave them out with --leave" in said.err
    said = shop.ask(
        "import", "tooling.csv", "--seat", "A", "--leave", "--length", "2.7in", "--json"
    )
    assert (said.json["taken"], said.json["left"], said.json["pieces"]) == (2, 1, 3)
    tags = [line["tags"] for line in said.json["lines"]]
    assert tags == [["12", "P-0141"], ["13"], []]
    assert "2.7" in shop.ask("show", "12").out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["tooling.csv", "--update"], "only adds tools"),
        (["people.csv", "--seat", "A"], "the crib's own tables"),
        (["tooling.csv", "--dates", "soon"], "say us or european"),
    ],
)
def test_an_option_that_does_not_belong_is_refused(
    shop: Window, words: list[str], said: str
) -> None:
    Path("people.csv").write_text("name\nbench 9\n")
    answer = shop.ask("import", *words)
    assert answer.status == 2
    assert said in answer.err
