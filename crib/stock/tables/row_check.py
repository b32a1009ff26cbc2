"""A row before it goes in: every default in place, every limit of its declared table kept.

The limits stand in ``rows.json``, drawn from the declared tables by ``tests.schema.declared_rows``,
because importing these to look at a row costs more than answering a question. What joins several
columns or rows (CHECK, UNIQUE, an owner) only the database can see.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from math import isfinite
from pathlib import Path
from typing import Any

from crib.acts import Said
from crib.errors import BadValue
from crib.unseen import unseen_in

FILE = Path(__file__).with_name("rows.json")
_REQUIRED: Any = object()
_TYPES: dict[str, tuple[type, ...]] = {
    "int": (int,),
    "float": (float, int),
    "str": (str,),
    "bool": (bool,),
}
_CALLED = {"int": "a whole number", "float": "a number", "str": "text", "bool": "yes or no"}
_BIGGEST = 2**63 - 1


class RowRefused(BadValue):
    """A row that its table does not allow; each fault with its column, empty for several."""

    def __init__(self, faults: Sequence[tuple[str, Said]], table: str = "") -> None:
        said = "; ".join(f"{column} {text!s}".strip() for column, text in faults)
        whose = f"{table.replace('_', ' ')}: " if table else ""
        super().__init__(f"{whose}{said}", way_out="nothing of it was written")
        self.faults = tuple(faults)


@dataclass(frozen=True, slots=True)
class RecordColumn:
    """What one column holds: its type, whether it may be empty, its default and its limits."""

    type: str
    optional: bool = False
    default: Any = _REQUIRED
    above: float | None = None
    least: float | None = None
    most: float | None = None
    below: float | None = None
    fewest_letters: int = 0
    most_letters: int | None = None
    one_of: Sequence[Any] | None = None

    def fault(self, value: Any) -> str:
        """What speaks against a value; empty when it may stand."""
        if value is None:
            return "" if self.optional else "is missing"
        if type(value) not in _TYPES[self.type]:
            return f"{value!r:.60} must be {_CALLED[self.type]}"
        if self.one_of is not None and value not in self.one_of:
            words = ", ".join(str(word) for word in self.one_of)
            return f"{value!r:.60} must be one of: {words}"
        return self._text_fault(value) if self.type == "str" else self._number_fault(value)

    def _number_fault(self, value: float) -> str:
        if not isfinite(value) or abs(value) > _BIGGEST:
            return f"{value!r:.60} must be a finite number"
        limits = (
            (self.above, ">", self.above is None or value > self.above),
            (self.least, ">=", self.least is None or value >= self.least),
            (self.most, "<=", self.most is None or value <= self.most),
            (self.below, "<", self.below is None or value < self.below),
        )
        broken = [f"{sign} {limit:g}" for limit, sign, holds in limits if not holds]
        return f"{value!r:.60} must be {' and '.join(broken)}" if broken else ""

    def _text_fault(self, value: str) -> str:
        unseen = unseen_in(value)
        if unseen:
            return f"{value!a:.60} has a character that is not seen, {unseen}"
        most = self.most_letters
        if len(value) < self.fewest_letters or (most is not None and len(value) > most):
            size = f"{self.fewest_letters} to {most}" if most else f"at least {self.fewest_letters}"
            return f"{value[:40]!r} has {len(value)} letters, must have {size}"
        return ""


def declared_tables() -> tuple[str, ...]:
    """The names of all tables."""
    return tuple(_declared())


@cache
def columns_of(table: str) -> Mapping[str, RecordColumn]:
    """The columns of a table."""
    return {name: RecordColumn(**said) for name, said in _declared()[table]["columns"].items()}


def refused_by(table: str, sort: str, names: str) -> RowRefused:
    """The error for a rule that the database found broken: its sort, its name or columns."""
    if sort == "CHECK":
        rule = _declared()[table]["rules"].get(names, names)
        return RowRefused([("", f"it must hold that {rule}")], table)
    if sort == "UNIQUE":
        called = names.replace("_id", "").replace("_", " ")
        return RowRefused([("", f"there is one of the same {called} already")], table)
    return RowRefused([("", "it names a row of another table that is not there")], table)


@cache
def _declared() -> dict[str, dict[str, dict[str, Any]]]:
    declared: dict[str, dict[str, dict[str, Any]]] = json.loads(FILE.read_text("utf-8"))
    return declared


def checked_row(table: str, values: Mapping[str, Any]) -> dict[str, Any]:
    """The row with every default in place; without a number where it has none yet.

    Raises:
        RowRefused: naming every column that cannot stand, its value and its limit.
    """
    row = {**_defaults(table), **values}
    columns = columns_of(table)
    faults = [(name, text) for name, at in columns.items() if (text := at.fault(row.get(name)))]
    faults += [(name, "is no column of this table") for name in row.keys() - columns.keys()]
    if faults:
        raise RowRefused(faults, table)
    if row.get("id", 0) is None:
        del row["id"]
    return row


def check_rows(table: str, names: Sequence[str], rows: Sequence[Sequence[Any]]) -> None:
    """Check many rows at once, each different value of a column once.

    Raises:
        RowRefused: naming every column and value that cannot stand.
    """
    columns, faults = columns_of(table), list[tuple[str, str]]()
    for name, values in zip(names, zip(*rows, strict=True), strict=True):
        faults += [(name, text) for one in _different(values) if (text := columns[name].fault(one))]
    if faults:
        raise RowRefused(faults, table)


def defaults_beside(table: str, names: Sequence[str]) -> dict[str, Any]:
    """The columns of a table that are not among some names, with their defaults.

    Raises:
        RowRefused: when one of them has none.
    """
    others = [name for name in columns_of(table) if name not in names and name != "id"]
    missing = [(name, "is missing") for name in others if name not in _defaults(table)]
    if missing:
        raise RowRefused(missing, table)
    return {name: _defaults(table)[name] for name in others}


def _different(values: Sequence[Any]) -> Iterable[Any]:
    """Each value once; 1 and True and 1.0 are different."""
    if len(set(map(type, values)) - {type(None)}) == 1:
        return set(values)
    return {(type(value), value): value for value in values}.values()


@cache
def _defaults(table: str) -> dict[str, Any]:
    columns = columns_of(table).items()
    return {name: column.default for name, column in columns if column.default is not _REQUIRED}
