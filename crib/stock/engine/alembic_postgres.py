"""The revisions on a server: what they make gets a server's types, as the declared tables do."""

from __future__ import annotations

from typing import Any

import sqlalchemy as sa
from alembic.ddl.postgresql import PostgresqlImpl

from crib.stock.engine.tables_postgres import fit_column, fit_for_server


class ServerRevisions(PostgresqlImpl):
    """How Alembic makes and changes tables on a server; loading this file puts it in use."""

    __dialect__ = "postgresql"

    def create_table(self, table: sa.Table, **options: Any) -> None:
        """Make a table."""
        fit_for_server(table)
        super().create_table(table, **options)

    def add_column(self, table_name: str, column: sa.Column[Any], **options: Any) -> None:
        """Add a column."""
        fit_column(column)
        super().add_column(table_name, column, **options)
