"""The tables that go in and out of a crib as CSV or XLSX, and the columns of each.

The declarations stand beside this file, by what they are about. A cell's value is the record's
own: mm, N, MPa, whole cents, ISO dates; a reference is the name it writes.
"""

from __future__ import annotations

from crib.errors import UnknownName
from crib.files.tables.columns_buying import BUYING
from crib.files.tables.columns_pieces import PIECES
from crib.files.tables.columns_plans import PLANS
from crib.files.tables.columns_shop import SHOP
from crib.files.tables.columns_tools import TOOLS
from crib.files.tables.columns_work import LEDGER, WORK
from crib.files.tables.table_shape import Column, Reader, Table, plain_word

__all__ = ["TABLES", "Column", "Reader", "Table", "find_column", "find_table", "plain_word"]

TABLES: tuple[Table, ...] = (*SHOP, *TOOLS, PIECES, *WORK, *BUYING, *PLANS, *LEDGER)
"""Every table, in an order in which each comes after those that it names."""

_TABLE_WORDS = {
    plain_word(word): table for table in TABLES for word in (table.name, *table.aliases)
}


def find_table(word: str) -> Table:
    """The table that a file or a sheet is named for; capitals, blanks and ``_-.`` do not matter.

    Raises:
        UnknownName: when no table is called that; names the nearest ones, or all.
    """
    found = _TABLE_WORDS.get(plain_word(word))
    if found:
        return found
    from difflib import get_close_matches

    near = get_close_matches(plain_word(word), list(_TABLE_WORDS), n=3, cutoff=0.7)
    names = dict.fromkeys(_TABLE_WORDS[one].name for one in near) or [one.name for one in TABLES]
    message = f"no table is called {word[:40]!r}"
    raise UnknownName(message, way_out=f"name the file for its table: {', '.join(names)}")


def find_column(table: Table, heading: str) -> Column | None:
    """The column that a heading means, by its name or another accepted spelling; or None."""
    return table.words().get(plain_word(heading))
