"""The drawing of the tables, made from their declarations: ``python -m tests.schema.drawing``."""

from __future__ import annotations

from pathlib import Path

from sqlmodel import SQLModel

from crib.stock.tables import all_tables

FILE = Path(__file__).resolve().parents[2] / "schema" / "tables.md"

_HEAD = """# The tables of a crib

Made from the declarations in `crib/stock/tables/`; a test holds the two
equal. PK is a primary key,
FK a key of another table, UK unique. Lengths are mm, forces N, stresses MPa, money cents.

```mermaid
erDiagram
"""


def drawing() -> str:
    """Every table with its columns, and every key from one to another."""
    assert all_tables.PieceRecord is not None
    every = sorted(SQLModel.metadata.tables.values(), key=lambda table: table.name)
    parts = [_HEAD]
    for table in every:
        parts.append(f"    {table.name} {{\n")
        for column in table.columns:
            marks = [
                mark
                for mark, holds in (
                    ("PK", column.primary_key),
                    ("FK", bool(column.foreign_keys)),
                    ("UK", bool(column.unique)),
                )
                if holds
            ]
            kind = str(column.type).split("(")[0].lower()
            parts.append(f"        {kind} {column.name} {','.join(marks)}".rstrip() + "\n")
        parts.append("    }\n")
    for table in every:
        for column in table.columns:
            for key in column.foreign_keys:
                owner = key.column.table.name
                parts.append(f"    {owner} ||--o{{ {table.name} : {column.name}\n")
    return "".join(parts) + "```\n"


if __name__ == "__main__":
    FILE.write_text(drawing(), "utf-8")
