"""Taking tables in: a folder, a CSV file or a workbook, whole or not at all.

Each row is added, found there already, changed when that is asked for, or a fault. With a ledger
in it (``entries``) a source is a full export: it goes into an empty crib, which then becomes the
crib that was exported, and its totals are proven from the ledger.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from crib.acts import Said
from crib.desk.life.relearn import relearn_all
from crib.desk.tables.crib_units import units_of
from crib.desk.tables.import_state import Intake, Tally
from crib.desk.tables.one_table import take_table
from crib.desk.tables.store_row import ensure_station_places
from crib.desk.tables.whole_export import become_empty, prove_totals
from crib.errors import BadInput, BadRows, RowFault
from crib.files.tables.columns import TABLES
from crib.files.tables.rows import EXAMPLE, Rows, read_rows
from crib.files.tables.sheets import read_source
from crib.files.tables.table_lines import TableLines
from crib.stock.book import ledger
from crib.stock.book.people import person_id
from crib.stock.book.seals import seal_all
from crib.stock.book.settings import require_agreeing, shop_rules
from crib.stock.book.subjects import carry_subjects
from crib.stock.engine.session import Session
from crib.stock.tables.row_check import RowRefused
from crib.stock.writers.kinds import forget_unsaid_heights

__all__ = ["TakenIn", "Tally", "take_in", "take_sheets"]


@dataclass(frozen=True, slots=True)
class TakenIn:
    """What was taken in, table by table; with ``dry_run`` what would have been."""

    source: str
    dry_run: bool
    tables: dict[str, Tally]
    notes: tuple[Said, ...]

    def as_json(self) -> dict[str, Any]:
        """The result as one JSON object."""
        tables = {name: asdict(tally) for name, tally in self.tables.items()}
        return {
            "source": self.source,
            "dry_run": self.dry_run,
            "tables": tables,
            "notes": list(self.notes),
        }


class _DryRun(Exception):
    """Ends the transaction of a dry run, so that nothing of it stays."""


def take_in(
    session: Session,
    source: Path,
    *,
    by: str,
    update: bool = False,
    dry_run: bool = False,
    now: datetime | None = None,
) -> TakenIn:
    """Take every table of a source into the crib, in one transaction.

    Args:
        session: The crib.
        source: A folder of CSV or XLSX files, one CSV file, or one workbook.
        by: Who says so: a badge name; empty is the window.
        update: Change rows that the crib has with other values.
        dry_run: Do everything, say what came of it, and leave the crib as it was.
        now: The moment, when not the machine's clock.

    Raises:
        BadInput: when there is nothing to take.
        BadRows: when anything is wrong with any row; nothing is taken then.
        Refused: for a full export into a crib that is not empty.
        UnknownName: when nobody is called ``by``.
    """
    sheets = read_source(source)
    return take_sheets(session, str(source), sheets, by=by, update=update, dry_run=dry_run, now=now)


def take_sheets(
    session: Session,
    source: str,
    sheets: Sequence[TableLines],
    *,
    by: str,
    update: bool = False,
    dry_run: bool = False,
    now: datetime | None = None,
) -> TakenIn:
    """Take tables that were read already, by the rules of ``take_in`` and with its errors."""
    crib = units_of(session)
    found = {sheet.table.name: read_rows(sheet, crib) for sheet in sheets}
    _require_rows(source, found)
    whole = "entries" in found
    intake = Intake(session, crib, shop_rules(session), by, update or whole, whole, now)
    try:
        with session.writing():
            tallies = _take_all(intake, found)
            _require_no_faults(source, _by_line(intake.faults))
            if dry_run:
                raise _DryRun
    except _DryRun:
        pass
    return TakenIn(source, dry_run, tallies, (*_told(sheets), *_notes(found)))


def _take_all(intake: Intake, found: dict[str, Rows]) -> dict[str, Tally]:
    if intake.whole:
        become_empty(intake.session)
    tallies = {}
    for table in TABLES:
        rows = found.get(table.name)
        if rows is not None:
            _collect_faults(intake, rows)
            tallies[table.name] = take_table(intake, rows)
        if table.name == "people":
            person_id(intake.session, intake.by)
        if table.name == "places":
            _add_station_places(intake, found)
    _finish(intake, found)
    return tallies


def _collect_faults(intake: Intake, rows: Rows) -> None:
    intake.faults += rows.faults
    if rows.faults and not rows.rows:
        intake.unsure.add(rows.table.name)
    if rows.table.only_whole and rows.rows and not intake.whole:
        text = "it is taken in only together with entries, into an empty crib"
        intake.faults.append(RowFault(rows.file, 1, "", text))


def _add_station_places(intake: Intake, found: dict[str, Rows]) -> None:
    try:
        ensure_station_places(intake)
    except RowRefused as error:
        file = next(found[name].file for name in ("stations", "places") if name in found)
        intake.faults += [RowFault(file, 1, column, text) for column, text in error.faults]


def _finish(intake: Intake, found: dict[str, Rows]) -> None:
    """What only all rows together can tell, once each of them is sound."""
    if intake.faults:
        return
    if intake.openings:
        ledger.write(intake.session, intake.stamp(), intake.openings)
    if "rules" in found and not intake.whole:
        _require_agreeing_rules(intake, found["rules"])
    if intake.whole:
        if not found["entries"].has("subject"):
            carry_subjects(intake.session)
        if "stations" in found and not found["stations"].has("stroke"):
            forget_unsaid_heights(intake.session)
        seal_all(intake.session)
        intake.faults += prove_totals(intake.session, found.get("pieces"))
    if not intake.faults and (intake.whole or "rules" in found or intake.update):
        relearn_all(intake.session)


def _require_agreeing_rules(intake: Intake, rows: Rows) -> None:
    try:
        require_agreeing(intake.session)
    except BadInput as error:
        intake.faults.append(RowFault(rows.file, 1, "value", error.message))


def _require_rows(source: str, found: dict[str, Rows]) -> None:
    if any(rows.rows or rows.faults for rows in found.values()):
        return
    examples = sum(rows.examples for rows in found.values())
    message = f"{source} holds no rows to take in"
    way_out = "fill in at least one row"
    if examples:
        message += f"; {examples} rows are examples"
        way_out = f"write rows of your own under the headings, without {EXAMPLE.strip()}"
    raise BadInput(message, way_out=way_out)


def _by_line(faults: list[RowFault]) -> list[RowFault]:
    """The faults file by file, each file's in the order of its lines."""
    files = list(dict.fromkeys(fault.file for fault in faults))
    return sorted(faults, key=lambda fault: (files.index(fault.file), fault.line))


def _require_no_faults(source: str, faults: list[RowFault]) -> None:
    if not faults:
        return
    count = f"{len(faults)} fault{'s' if len(faults) > 1 else ''}"
    message = f"{source} has {count}; nothing of it was taken"
    raise BadRows(message, faults, way_out="put the rows right and take it in again")


def _told(sheets: Sequence[TableLines]) -> Iterator[str]:
    """What the files had that was not read, or read otherwise than it looks."""
    for sheet in sheets:
        yield from (f"{sheet.file}: {note}" for note in sheet.notes)


def _notes(found: dict[str, Rows]) -> Iterator[str]:
    for rows in found.values():
        if rows.examples:
            some = "s" if rows.examples > 1 else ""
            yield f"{rows.file}: {rows.examples} example row{some} left out"
        # A full export has empty cells where something has no such figure at all.
        for name, count in rows.blanks.items() if not rows.table.only_whole else ():
            if count:
                read_as = f"{rows.table.column(name).blank:g}"
                some = "s" if count > 1 else ""
                yield f"{rows.file}: {name}: {count} empty cell{some} read as {read_as}"
