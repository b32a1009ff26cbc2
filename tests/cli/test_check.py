"""``crib check``, ``crib backup`` and ``crib restore`` at the window."""

from __future__ import annotations

from pathlib import Path

import pytest

from crib.stock.engine.opening import open_crib
from tests.cli.asking import Window
from tests.shop import small_shop


@pytest.fixture
def window(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Window:
    monkeypatch.setenv("COLUMNS", "80")
    small_shop(tmp_path / "shop.crib").close()
    return Window(tmp_path / "shop.crib", capsys)


def spoil(window: Window) -> None:
    session = open_crib(window.path)
    with session.writing():
        session.run("UPDATE piece SET wear_milli = 7000 WHERE id = 1")
    session.close()


def test_a_sound_crib_says_so_check_by_check(window: Window) -> None:
    said = window.ask("check")
    assert (said.status, said.err) == (0, "")
    assert said.lines[0] == "ok     what is stored is whole"
    assert said.lines[-1] == "everything is sound"
    assert max(len(line) for line in said.lines) <= 80


def test_a_fault_exits_one_and_says_the_way_out(window: Window) -> None:
    spoil(window)
    said = window.ask("check")
    assert said.status == 1
    assert "FAULT  the ledger bears out every total" in said.lines
    assert "         P-0137 wear_milli: running 7000, by the ledger 0" in said.lines
    assert "--mend" in said.out
    told = window.ask("check", "--json")
    assert (told.status, told.json["sound"]) == (1, False)


def test_mending_says_where_the_crib_before_lies(window: Window) -> None:
    spoil(window)
    said = window.ask("check", "--mend")
    assert said.status == 0
    assert "1 pieces mended; the crib before that: " in said.out
    assert len(list(window.path.parent.glob("shop.crib.backup-*"))) == 1


def test_a_backup_is_made_and_brought_back(window: Window, tmp_path: Path) -> None:
    copy = tmp_path / "copy.crib"
    said = window.ask("backup", str(copy))
    assert (said.status, said.err) == (0, "")
    assert said.lines[1] == "  verified: 5 pieces, 5 entries, 0 strokes"
    window.ask("move", "P-0137", "--to", "A4")
    asked = window.ask("restore", str(copy))
    assert (asked.status, asked.out) == (2, "")
    assert "say --yes" in asked.err
    restored = window.ask("restore", str(copy), "--yes", "--json")
    assert restored.status == 0
    assert restored.json["entries"] == 5
    assert Path(restored.json["set_aside"]).is_file()
    assert window.ask("show", "P-0137", "--json").json["place"] == "A1"


def test_the_screen_of_a_restore_names_both_files(window: Window, tmp_path: Path) -> None:
    copy = tmp_path / "copy.crib"
    window.ask("backup", str(copy))
    said = window.ask("restore", str(copy), "--yes")
    assert said.lines[0] == f"brought back: {window.path}"
    assert said.lines[2].startswith(f"  the crib before it: {window.path}.before-restore-")


def test_a_backup_never_overwrites(window: Window) -> None:
    said = window.ask("backup", str(window.path))
    assert (said.status, said.out) == (2, "")
    assert "a safe copy is never overwritten" in said.err


def test_a_copy_that_is_no_crib_exits_one(window: Window, tmp_path: Path) -> None:
    letter = tmp_path / "letter.txt"
    letter.write_text("dear sir")
    said = window.ask("restore", str(letter), "--yes")
    assert (said.status, said.out) == (1, "")
    assert "cannot be read" in said.err
