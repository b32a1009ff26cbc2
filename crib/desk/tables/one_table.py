"""One table on its way in: each row is new, there already, to be changed, or a fault."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import partial
from typing import Any

from crib.acts import Said, act, saying
from crib.desk.tables.asked_words import bring_to_words, unknown_words
from crib.desk.tables.import_state import Intake, Tally, label_of
from crib.desk.tables.row_checks import check, complete
from crib.desk.tables.store_row import (
    store_again,
    store_changed,
    store_new,
    was_undone,
)
from crib.errors import BadInput
from crib.files.tables.cells import write_cell
from crib.files.tables.columns import Column, Table
from crib.files.tables.rows import Rows, TableRow
from crib.stock.book.totals import TOTAL_NAMES
from crib.stock.queries.table_rows import Key, crib_rows
from crib.stock.tables.row_check import RowRefused

Values = dict[str, Any]
Identity = tuple[Any, ...]

_STAMPED = ("person", "first at", "last at", "changed at")
_NOT_COMPARED = ("grinds",)
_OTHER_WAYS = saying(
    *(act("move"), ", ", act("measure"), ", ", act("grind"), " or ", act("retire")),
    " changes a piece; or leave the row out",
)


@dataclass(slots=True)
class _Taking:
    """The state of one table: what the crib has, what the file had so far, the counts."""

    intake: Intake
    rows: Rows
    kept: dict[Identity, tuple[Key, Values]] = field(default_factory=dict)
    equal: Counter[Identity] = field(default_factory=Counter)
    lines: dict[Identity, int] = field(default_factory=dict)
    counts: Counter[str] = field(default_factory=Counter)

    @property
    def table(self) -> Table:
        return self.rows.table


def take_table(intake: Intake, rows: Rows) -> Tally:
    """Take every row of a table that can be taken; the rest become faults of the intake."""
    taking = _Taking(intake, rows)
    _load(taking)
    for row in rows.rows:
        before = len(intake.faults)
        _leave_out(taking, row)
        _take_row(taking, row)
        if row.bad or len(intake.faults) > before:
            _remember_faulty(intake, rows.table.name, row.values)
    counts = taking.counts
    return Tally(counts["added"], counts["changed"], counts["already"])


def _leave_out(taking: _Taking, row: TableRow) -> None:
    """What only a full export can say means nothing in another file."""
    for column in taking.table.columns:
        if column.whole_only and not taking.intake.whole:
            row.values[column.name] = column.blank


def _remember_faulty(intake: Intake, table: str, values: Values) -> None:
    """Spare the rows that refer to a faulty one a second fault that would go with the first."""
    label = label_of(table, values)
    if label:
        intake.names(table).add(label, None)
    else:
        intake.unsure.add(table)


def _load(taking: _Taking) -> None:
    for key, values in crib_rows(taking.intake.session, taking.table):
        if taking.table.key:
            taking.kept[_identity(taking, values)] = (key, values)
        else:
            taking.equal[_identity(taking, values)] += 1


def _identity(taking: _Taking, values: Values) -> Identity:
    """What tells a row from others: its key, or all of it in a table without one."""
    names = taking.table.key or [
        column.name
        for column in taking.table.columns
        if taking.intake.whole or not column.whole_only
    ]
    if taking.intake.whole or not taking.table.key:
        return tuple(values[name] for name in names)
    return tuple(v.casefold() if isinstance(v, str) else v for v in map(values.get, names))


def _take_row(taking: _Taking, row: TableRow) -> None:
    intake, rows, values = taking.intake, taking.rows, row.values
    stated = {column.name for column in rows.columns if values[column.name] is not None}
    if not _resolve(taking, row) or row.bad:
        return
    if not intake.whole:
        bring_to_words(rows.table.name, values, intake.rules)
    try:
        complete(rows.table, values, intake)
    except BadInput as error:
        column = "tag" if rows.table.name == "pieces" else "value"
        intake.fault(rows, row, column, error.said("; "))
        return
    identity = _identity(taking, values)
    if not taking.table.key:
        _take_nameless(taking, row, identity)
    elif identity in taking.lines:
        text = f"it is in line {taking.lines[identity]} already; each row needs a name of its own"
        intake.fault(rows, row, rows.table.key[-1], text)
    else:
        taking.lines[identity] = row.line
        kept = taking.kept.get(identity)
        if kept is None:
            _add(taking, row)
        else:
            _compare(taking, row, kept, stated)


def _resolve(taking: _Taking, row: TableRow) -> bool:
    """Bring every reference to the name as it is kept. False when one cannot be."""
    sound = True
    for column in taking.table.columns:
        value = row.values[column.name]
        if not column.of or value is None:
            continue
        texts = _seat_names(taking, value) if column.reader == "references" else (value,)
        found = []
        for text in texts:
            name, fault = taking.intake.reference(column, text)
            found.append(name)
            if fault:
                taking.intake.fault(taking.rows, row, column.name, fault)
        sound = sound and None not in found
        row.values[column.name] = (
            found[0] if column.reader == "reference" else _sorted(taking, found)
        )
    return sound


def _sorted(taking: _Taking, found: list[str | None]) -> tuple[str, ...]:
    """Seats in the order in which the crib keeps them, each once."""
    names = taking.intake.names("seats")
    seats = {seat: names.number(seat) or 0 for seat in found if seat is not None}
    return tuple(sorted(seats, key=seats.__getitem__))


def _seat_names(taking: _Taking, text: str | tuple[str, ...]) -> tuple[str, ...]:
    """The seats in ``A; B`` or ``A/B``; a seat may have a slash in its own name."""
    if isinstance(text, tuple):
        return text
    known = taking.intake.names("seats")
    names: list[str] = []
    for at, part in enumerate(text.split(";")):
        # A blank stands between two names, but never before the first.
        exact, name = part.removeprefix(" ") if at else part, part.strip()
        if known.find(exact) or known.find(name):
            names.append(exact if known.find(exact) else name)
        elif name:
            names += re.split(r"\s*[/,]\s*", name)
    return tuple(names)


def _take_nameless(taking: _Taking, row: TableRow, identity: Identity) -> None:
    if taking.equal[identity] > 0:
        taking.equal[identity] -= 1
        taking.counts["already"] += 1
    else:
        _add(taking, row)


def _add(taking: _Taking, row: TableRow) -> None:
    def store() -> None:
        number = store_new(taking.intake, taking.rows, row.values)
        label = label_of(taking.table.name, row.values)
        if label:
            taking.intake.names(taking.table.name).add(label, number)

    _store(taking, row, row.values, "added", store)


def _store(
    taking: _Taking, row: TableRow, values: Values, how: str, store: Callable[[], None]
) -> None:
    faults: list[tuple[str, Said]] = list(check(taking.table, values, whole=taking.intake.whole))
    faults += _unknown(taking, values, dict(faults), is_new=how == "added")
    if not faults:
        try:
            store()
            taking.counts[how] += 1
        except RowRefused as error:
            faults = list(error.faults)
    for column, text in faults:
        taking.intake.fault(taking.rows, row, column, text)


def _unknown(
    taking: _Taking, values: Values, said: Mapping[str, Said], *, is_new: bool
) -> list[tuple[str, Said]]:
    """What no question would know of a row; of one that is there, only what the file says of it."""
    if taking.intake.whole:
        return []
    return [
        (column, text)
        for column, text in unknown_words(taking.table.name, values, taking.intake.rules)
        if column not in said and (is_new or taking.rows.has(column))
    ]


def _compare(taking: _Taking, row: TableRow, kept: tuple[Key, Values], stated: set[str]) -> None:
    """A row whose name the crib has: equal, to be changed, or a fault."""
    key, there = kept
    differing = _differing(taking, row, there, stated)
    if not differing:
        taking.counts["already"] += 1
    elif taking.table.name == "pieces" and was_undone(taking.intake, key[0]):
        again = partial(store_again, taking.intake, taking.rows, key[0], row.values)
        _store(taking, row, row.values, "added", again)
    elif _may_change(taking, differing):
        wanted = there | {column.name: row.values[column.name] for column in differing}
        change = partial(store_changed, taking.intake, taking.rows, key, wanted)
        _store(taking, row, wanted, "changed", change)
    else:
        for column in differing:
            taking.intake.fault(
                taking.rows, row, column.name, _other(taking, column, row.values, there)
            )


def _differing(taking: _Taking, row: TableRow, there: Values, stated: set[str]) -> list[Column]:
    if taking.table.name in ("rules", "site_rules") and row.values["value"] == there["value"]:
        return []
    return [
        column
        for column in taking.rows.columns
        if column.name not in taking.table.key
        and column.name not in _NOT_COMPARED
        and (column.name in stated or column.name not in _STAMPED)
        and row.values[column.name] != there[column.name]
    ]


def _may_change(taking: _Taking, differing: list[Column]) -> bool:
    if not taking.intake.update:
        return False
    if taking.table.name == "pieces":
        return all(c.field not in TOTAL_NAMES and c.name != "kind" for c in differing)
    return taking.table.changeable


def _other(taking: _Taking, column: Column, here: Values, there: Values) -> Said:
    crib = taking.intake.crib
    shown = [str(write_cell(column, values[column.name], crib)) for values in (there, here)]
    way_out: Said = "leave the row out"
    if taking.table.changeable:
        way_out = saying(act("say.update"), " changes it")
    if taking.table.name == "pieces":
        way_out = _OTHER_WAYS
    was, wanted = (text or "nothing" for text in shown)
    return saying(f"the crib has {was}, here it is {wanted}; ", way_out)
