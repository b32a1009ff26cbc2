"""What is known while a folder is taken in: the names so far, the faults, the counts."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime
from difflib import get_close_matches
from typing import Any

from crib.acts import Said
from crib.errors import RowFault
from crib.files.tables.cells import Units
from crib.files.tables.columns import Column
from crib.files.tables.rows import Rows, TableRow
from crib.stock.book.ledger import NewEntry, Stamp, new_stamp
from crib.stock.book.people import person_id
from crib.stock.engine.session import Session
from crib.stock.queries.table_rows import LABELS, labels
from crib.trade.shop.shop_rules import Rules


class Names:
    """Names that rows can refer to, with their numbers; None for a row that has a fault itself.

    Capitals do not matter, except in a full export, which may hold names that differ only in them.
    """

    def __init__(self, pairs: Iterable[tuple[int, str]], *, exact: bool) -> None:
        self.exact = exact
        self._ids: dict[str, int | None] = {}
        self._folded: dict[str, str] = {}
        for number, name in pairs:
            self.add(name, number)

    def add(self, name: str, number: int | None) -> None:
        """Make a name known; a sound row's number is not forgotten for a faulty one's."""
        if number is not None or name not in self._ids:
            self._ids[name] = number
        self._folded.setdefault(name.casefold(), name)

    def find(self, text: str) -> str | None:
        """The name as it is kept, or None."""
        if text in self._ids:
            return text
        return None if self.exact else self._folded.get(text.casefold())

    def number(self, name: str) -> int | None:
        """The number of a name that is kept."""
        return self._ids[name]

    def near(self, text: str) -> str:
        """Names that look like the one wanted, or the first few."""
        found = get_close_matches(text, list(self._ids)[:5000], n=3, cutoff=0.6)
        names = found or list(self._ids)[:5]
        return f"; nearest: {', '.join(names)}" if names else "; there are none yet"


@dataclass(frozen=True, slots=True)
class Tally:
    """How many rows of a table were added, changed, or there already."""

    added: int = 0
    changed: int = 0
    already: int = 0


@dataclass(slots=True)
class Intake:
    """One taking in, on its way through the tables."""

    session: Session
    crib: Units
    rules: Rules
    by: str
    update: bool
    whole: bool
    now: datetime | None
    faults: list[RowFault] = field(default_factory=list)
    unsure: set[str] = field(default_factory=set)
    """Tables whose heading has a fault, so that no name of theirs can be called unknown."""
    openings: list[NewEntry] = field(default_factory=list)
    _names: dict[str, Names] = field(default_factory=dict)
    _stamp: Stamp | None = None

    def names(self, table: str) -> Names:
        """The names of a table, read from the crib when first asked for."""
        if table not in self._names:
            self._names[table] = Names(labels(self.session, table), exact=self.whole)
        return self._names[table]

    def stamp(self) -> Stamp:
        """The one act of this taking in."""
        if self._stamp is None:
            self._stamp = new_stamp(person_id(self.session, self.by), now=self.now)
        return self._stamp

    def fault(self, rows: Rows, row: TableRow, column: str, text: Said) -> None:
        """Note a fault of a row."""
        self.faults.append(RowFault(rows.file, row.line, column, text))

    def reference(self, column: Column, text: str) -> tuple[str | None, str]:
        """The kept name that a cell refers to and what is wrong; both empty when it cannot tell."""
        names = self.names(column.of)
        found = names.find(text)
        if found is not None:
            return (found, "") if names.number(found) is not None else (None, "")
        if column.of in self.unsure:
            return None, ""
        return None, f"{text!r} is not among the {column.of}{names.near(text)}"


def label_of(table: str, values: dict[str, Any]) -> str | None:
    """What other tables call a row, where they can name it."""
    if table not in LABELS:
        return None
    if table == "stations":
        return f"{values['machine']} / {values['name']}"
    if table == "bundles":
        return f"{values['supplier']} / {values['name']}"
    own = {"pieces": "tag", "purchases": "number"}.get(table, "name")
    label: str | None = values.get(own)
    return label
