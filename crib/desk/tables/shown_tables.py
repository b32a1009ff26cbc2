"""The tables that a crib shows: one without sites says no word of any."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from crib.files.tables.columns import Table
from crib.stock.book.sites import has_sites
from crib.stock.engine.session import Session


def shown_tables(session: Session, tables: Iterable[Table]) -> tuple[Table, ...]:
    """Some tables as they go out of this crib."""
    if has_sites(session):
        return tuple(tables)
    return tuple(_without_sites(table) for table in tables if not table.record.startswith("site"))


def _without_sites(table: Table) -> Table:
    columns = tuple(column for column in table.columns if column.of != "sites")
    return replace(table, columns=columns)
