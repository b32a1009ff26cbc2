"""A full export on its way into an empty crib: making room for it, and proving its totals."""

from __future__ import annotations

from collections import defaultdict
from typing import Any

from crib.acts import act, saying
from crib.errors import Refused, RowFault
from crib.files.tables.columns import find_table
from crib.files.tables.rows import Rows
from crib.stock.book.ledger import Difference, rebuild
from crib.stock.engine.session import Session
from crib.stock.queries.table_rows import pieces_and_entries, tags_never_added
from crib.stock.writers.table_rows import drop_first_rules, set_totals


def become_empty(session: Session) -> None:
    """Take out what making the crib has set, since the export brings its own.

    Raises:
        Refused: when the crib has a life of its own already.
    """
    pieces, entries = pieces_and_entries(session)
    if pieces or entries:
        message = (
            f"entries.csv is the ledger of a whole crib, and this one holds {pieces}"
            f" pieces and {entries} entries"
        )
        way_out = saying("take it into a new crib (", act("new"), "), or leave it out")
        raise Refused(message, way_out=way_out)
    # These entries are only the rules that a new crib got a moment ago; the export has its own.
    drop_first_rules(session)


def prove_totals(session: Session, pieces: Rows | None) -> list[RowFault]:
    """Fold the ledger; fill in what the pieces' table left out, list what it says otherwise."""
    table = find_table("pieces")
    columns = {column.field: column for column in table.columns}
    said = {row.values["tag"]: row for row in pieces.rows} if pieces else {}
    file = pieces.file if pieces else ""
    faults = [
        RowFault(file, said[tag].line, "tag", f"{tag} has no add entry in entries")
        for tag in tags_never_added(session)
        if tag in said
    ]
    left_out: dict[str, list[tuple[Any, str]]] = defaultdict(list)
    for one in rebuild(session):
        column = columns.get(one.total)
        row = said.get(one.tag)
        stated = column and pieces and pieces.has(column.name)
        if stated and column and row and row.values[column.name] != column.blank:
            faults.append(RowFault(file, row.line, column.name, _disagreeing(one)))
        else:
            left_out[one.total].append((one.rebuilt, one.tag))
    for total, changes in left_out.items():
        set_totals(session, total, changes)
    return faults


def _disagreeing(difference: Difference) -> str:
    return (
        f"{difference.tag} has {difference.running!r} here and {difference.rebuilt!r} by its"
        " entries; a total cannot be edited in an export"
    )
