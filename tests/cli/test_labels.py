"""``crib labels`` at the shell."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.asking import Window
from tests.shop import add_kind, add_piece, small_shop


@pytest.fixture
def window(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Window:
    monkeypatch.setenv("COLUMNS", "80")
    shop = small_shop(tmp_path / "shop.crib")
    for number in range(8):
        name = f"saddle set number {number} for the long rails of the north bay, and for posts too"
        kind = add_kind(shop, role="set", width="1-1/2", profile="saddle", name=name)
        add_piece(shop, f"S-{number}", kind, place="A4")
    shop.close()
    return Window(tmp_path / "shop.crib", capsys)


def test_the_screen_says_how_many_and_on_what(window: Window, tmp_path: Path) -> None:
    file = str(tmp_path / "a.pdf")
    said = window.ask("labels", file, "P-0137", "D-0201", "--sheet", "a4 3x8", "--skip", "3")
    assert (said.status, said.err) == (0, "")
    assert said.lines == [
        "2 for tools",
        f"{file}: 1 page of a4 3x8 70x37 mm, after 3 used labels",
        "print at 100 %, on plain paper first (--frames), held against a sheet of labels",
    ]


def test_long_words_are_told_a_few_at_a_time(window: Window, tmp_path: Path) -> None:
    said = window.ask("labels", str(tmp_path / "a.pdf"), "--drawers", "--drawer", "A4")
    assert said.lines[0] == "8 for drawers"
    assert sum(line.startswith("Note: too long for its label") for line in said.lines) == 5
    assert "Note: and 3 more (--json lists them all)" in said.lines
    assert max(len(line) for line in said.lines if str(tmp_path) not in line) <= 80


def test_json_is_one_object(window: Window, tmp_path: Path) -> None:
    file = str(tmp_path / "a.pdf")
    said = window.ask("labels", file, "--all", "--sheet", "letter 2x5", "--json")
    assert said.json == {
        "file": file,
        "sheet": "letter 2x5 101.6x50.8",
        "paper": "letter",
        "labels": 13,
        "tools": 13,
        "drawers": 0,
        "pages": 2,
        "skipped": 0,
        "shortened": said.json["shortened"],
        "address": "",
        "short_codes": [],
    }


def test_a_request_that_is_wrong_says_the_way_out(window: Window, tmp_path: Path) -> None:
    said = window.ask("labels", str(tmp_path / "a.pdf"))
    assert (said.status, said.out) == (2, "")
    assert "name tags, or say --drawer NAME, --all or --drawers" in said.err


def test_the_screen_says_which_page_the_codes_open(window: Window, tmp_path: Path) -> None:
    window.ask(
        "rules",
        "page.address",
        "http://crib.north-bay.local:8321",
        "--why",
        "shop",
        "--by",
        "nights",
    )
    sheet = ("--sheet", "letter 4x20")
    said = window.ask("labels", str(tmp_path / "a.pdf"), "P-0137", *sheet)
    assert said.lines[1:3] == [
        "the codes open http://crib.north-bay.local:8321",
        "Note: too low for that, 1 code of the name alone",
    ]
    said = window.ask("labels", str(tmp_path / "b.pdf"), "P-0137", *sheet, "--plain")
    assert "the codes open" not in said.out
