"""``crib cautions`` on the screen and as JSON."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.asking import Window


def test_the_page_fits_eighty_columns_and_needs_no_crib(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    said = Window(tmp_path / "none.crib", capsys).ask("cautions")
    assert (said.status, said.err) == (0, "")
    assert said.lines[0] == "WHO DECIDES"
    assert "29 CFR 1910.147" in said.out
    assert max(len(line) for line in said.lines) <= 80


def test_json_carries_the_short_form_and_the_sections(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    said = Window(tmp_path / "none.crib", capsys).ask("cautions", "--json")
    assert said.status == 0
    assert len(said.json["by_work"]["shear"]) == 3
    assert said.json["sections"][0]["heading"] == "Who decides"
