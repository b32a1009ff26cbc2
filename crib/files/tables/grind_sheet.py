"""A list of what came back from the grinder: one line a piece."""

from __future__ import annotations

from crib.errors import BadInput, BadRows
from crib.files.tables.cells import Units
from crib.files.tables.rows import TableRow, read_rows
from crib.files.tables.sheets import read_csv
from crib.files.tables.table_shape import Column, Table

GRINDS = Table(
    "grinds",
    "grind",
    "What was ground, one line a piece.",
    columns=(
        Column("tag", "", "The piece.", "P-0137", needed=True, aliases=("tool", "piece", "tool #")),
        Column(
            "length",
            "",
            "Its length or height after the grind.",
            "2.685 in",
            blank="",
            aliases=("length after", "height", "length now"),
        ),
        Column("off", "", "What was taken off.", "0.3 mm", blank="", aliases=("taken off",)),
        Column("found", "", "How its edge was.", "right", blank=""),
        Column(
            "to",
            "",
            "Where it was put, or home for the drawer that it came from.",
            "home",
            blank="",
            aliases=("place", "drawer", "home", "location"),
        ),
        Column("note", "", "Anything worth keeping.", blank="", aliases=("notes", "remark")),
    ),
)


def read_grind_sheet(content: bytes, name: str) -> list[TableRow]:
    """The lines of a list, each cell as it was written.

    Raises:
        BadInput: for an empty file.
        BadRows: for headings that are not known, or lines without a tag.
    """
    # Every cell stays a text, so that no unit is needed to read it.
    sheets = read_csv(GRINDS, name, content)
    if not sheets:
        message = f"{name} is empty"
        raise BadInput(message, way_out="columns: tag, length, off, found, to, note")
    rows = read_rows(sheets[0], Units("in"))
    if rows.faults:
        message = f"{name} was not taken"
        way_out = "columns: tag, length, off, found, to, note"
        raise BadRows(message, rows.faults, way_out=way_out)
    if not rows.rows:
        message = f"{name} has no line under its heading"
        raise BadInput(message, way_out="write a line for each piece")
    return rows.rows
