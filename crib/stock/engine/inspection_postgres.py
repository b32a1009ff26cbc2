"""How a crib's database on a server is asked about itself: its catalogue, and every row once."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from operator import itemgetter

from crib.stock.engine.engine import Ask, Inspection

_HERE = "current_schema()::regnamespace"
_WRONG = (
    (
        "SELECT relname FROM pg_index JOIN pg_class ON pg_class.oid = indexrelid"
        f" WHERE relnamespace = {_HERE} AND NOT (indisvalid AND indisready)",
        "the index {} is not whole: REINDEX it",
    ),
    (
        f"SELECT conname FROM pg_constraint WHERE connamespace = {_HERE} AND NOT convalidated",
        "the rule {} was never proven of the rows that are there",
    ),
    (
        "SELECT DISTINCT relname FROM pg_trigger JOIN pg_class ON pg_class.oid = tgrelid"
        f" WHERE relnamespace = {_HERE} AND tgisinternal AND tgenabled = 'D'",
        "the rules of {} are switched off",
    ),
    (
        "SELECT checksum_failures FROM pg_stat_database"
        " WHERE datname = current_database() AND checksum_failures > 0",
        "the server read {} pages that its disk had changed",
    ),
)
_KEYS = (
    "SELECT conname, conrelid::regclass::text, confrelid::regclass::text, own.attname,"
    " other.attname, (SELECT attname FROM pg_index JOIN pg_attribute"
    " ON attrelid = conrelid AND attnum = indkey[0] WHERE indrelid = conrelid AND indisprimary)"
    " FROM pg_constraint"
    " CROSS JOIN LATERAL unnest(conkey, confkey) WITH ORDINALITY AS pair (own_number, number, at)"
    " JOIN pg_attribute AS own ON own.attrelid = conrelid AND own.attnum = own_number"
    " JOIN pg_attribute AS other ON other.attrelid = confrelid AND other.attnum = number"
    f" WHERE contype = 'f' AND connamespace = {_HERE}"
    " ORDER BY conrelid::regclass::text, conname, at"
)


def _faults(ask: Ask) -> Iterator[str]:
    """What the catalogue says is not whole; reading every value fails where one cannot be read."""
    for sql, told in _WRONG:
        yield from (told.format(row[0]) for row in ask(sql))
    for table in [*_table_names(ask)]:
        [*ask(f"SELECT count({table}::text) FROM {table}")]


def _orphans(ask: Ask) -> Iterator[tuple[str, int, str]]:
    for _rule, columns in groupby([*ask(_KEYS)], key=itemgetter(0)):
        every = [*columns]
        table, owner, first = every[0][1], every[0][2], every[0][5]
        same = " AND ".join(f"owner.{row[4]} = own.{row[3]}" for row in every)
        named = " AND ".join(f"own.{row[3]} IS NOT NULL" for row in every)
        for row in ask(
            f"SELECT own.{first} FROM {table} AS own WHERE {named}"
            f" AND NOT EXISTS (SELECT 1 FROM {owner} AS owner WHERE {same})"
        ):
            yield table, row[0], owner


def _table_names(ask: Ask) -> Iterator[str]:
    for row in ask(
        "SELECT table_name FROM information_schema.tables WHERE table_schema = current_schema()"
        " AND table_type = 'BASE TABLE' ORDER BY table_name"
    ):
        yield str(row[0])


def _column_names(ask: Ask, table: str) -> Iterator[str]:
    for row in ask(
        "SELECT column_name FROM information_schema.columns"
        f" WHERE table_schema = current_schema() AND table_name = '{table}'"
        " ORDER BY ordinal_position"
    ):
        yield str(row[0])


def _mark(ask: Ask) -> int:
    found = next(iter(ask("SELECT obj_description('alembic_version'::regclass, 'pg_class')")))[0]
    return int(found) if str(found or "").isdecimal() else 0


def _marking(number: int) -> str:
    return f"COMMENT ON TABLE alembic_version IS '{number:d}'"


INSPECTION = Inspection(_faults, _orphans, _table_names, _column_names, _mark, _marking)
