"""The crib's tables on a server: the declared ones, with the types that hold what a file holds.

A server's crib begins at the newest revision; later revisions bring it on as they do a file.
Whole numbers are of 64 bits and texts are sorted by their code points, as in a file.
"""

from __future__ import annotations

from typing import Any

import sqlalchemy as sa
from sqlmodel import SQLModel

from crib.acts import act, saying
from crib.errors import Refused
from crib.stock.engine.engine_postgres import open_database, tables_of
from crib.stock.engine.place import ServerPlace
from crib.stock.engine.revision import HEAD_REVISION
from crib.stock.tables import all_tables

assert all_tables.PieceRecord is not None  # the import is what fills SQLModel.metadata


def server_tables() -> sa.MetaData:
    """The declared tables with a server's types."""
    made = sa.MetaData()
    for table in SQLModel.metadata.sorted_tables:
        copied = table.to_metadata(made)
        for column in copied.columns:
            column.type = _server_type(column.type)
            if isinstance(column.type, sa.Boolean) and column.server_default is not None:
                column.server_default = sa.DefaultClause(_truth(column.server_default))
    return made


def _server_type(declared: Any) -> Any:
    if isinstance(declared, sa.Boolean):
        return sa.Boolean()
    if isinstance(declared, sa.Integer):
        return sa.BigInteger()
    if isinstance(declared, sa.Float):
        return sa.Double()
    if isinstance(declared, sa.LargeBinary):
        return declared
    return sa.Text(collation="C")


def _truth(default: Any) -> sa.TextClause:
    said = str(getattr(default.arg, "text", default.arg)).strip("'()").lower()
    return sa.text("true" if said in ("1", "true") else "false")


def create_server_tables(place: ServerPlace) -> None:
    """Make every table in an empty database, all or nothing.

    Raises:
        Refused: when the database holds tables already.
        DiskFault: when the server is away or gives no right.
    """
    with open_database(place) as connection:
        if next(tables_of(connection), None) is not None:
            message = f"{place} holds tables already"
            choose = saying("choose an empty database with ", act("say.crib"))
            raise Refused(message, way_out=saying(choose, "; nothing was changed"))
    engine = sa.create_engine(
        "postgresql+psycopg://", creator=lambda: _plain(place), poolclass=sa.NullPool
    )
    with engine.begin() as connection:
        server_tables().create_all(connection, checkfirst=False)
        revision = sa.Table(
            "alembic_version",
            sa.MetaData(),
            sa.Column("version_num", sa.String(32), primary_key=True),
        )
        revision.create(connection)
        connection.execute(revision.insert().values(version_num=HEAD_REVISION))
    engine.dispose()


def _plain(place: ServerPlace) -> Any:
    import psycopg

    return psycopg.connect(place.url)
