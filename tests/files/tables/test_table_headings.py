"""The heading of a table of the crib, titles above it, and what an empty figure stands for."""

from __future__ import annotations

from pathlib import Path

import pytest

from crib.files.tables.cells import Units
from crib.files.tables.rows import read_rows
from crib.files.tables.sheets import read_source

TITLES = "Punches of the north bay,,\nas of week 12,,\n"
ROWS = "tag,kind,grinds\nP-1,round punch,\nP-2,round punch,3\n"


@pytest.mark.parametrize("above", ["", TITLES, "\n" + TITLES])
def test_titles_above_the_heading_are_told_and_not_read(tmp_path: Path, above: str) -> None:
    (tmp_path / "pieces.csv").write_text(above + ROWS)
    (sheet,) = read_source(tmp_path / "pieces.csv")
    assert sheet.heading == ["tag", "kind", "grinds"]
    assert [" is above the heading, and not read" in note for note in sheet.notes] == [True] * (
        2 if above else 0
    )
    rows = read_rows(sheet, Units("in"))
    assert not rows.faults
    assert [row.values["tag"] for row in rows.rows] == ["P-1", "P-2"]
    assert rows.rows[0].line == above.count("\n") + 2


def test_a_first_line_of_slips_is_the_heading_still(tmp_path: Path) -> None:
    (tmp_path / "pieces.csv").write_text("tga,knid,gridns\nP-1,round punch,\n")
    (sheet,) = read_source(tmp_path / "pieces.csv")
    faults = read_rows(sheet, Units("in")).faults
    assert "no such column; nearest: tag" in str(faults[0])


def test_an_empty_figure_is_counted_with_what_it_stands_for(tmp_path: Path) -> None:
    (tmp_path / "pieces.csv").write_text(ROWS + "P-3,round punch, \n")
    (sheet,) = read_source(tmp_path / "pieces.csv")
    rows = read_rows(sheet, Units("in"))
    assert [row.values["grinds"] for row in rows.rows] == [0, 3, 0]
    assert rows.blanks == {"grinds": 2}
