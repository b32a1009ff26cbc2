"""The limits that tables repeat as CHECK constraints."""

from __future__ import annotations

from typing import Any

from sqlalchemy import CheckConstraint, Column, ForeignKey, Integer, text

EMPTY: dict[str, Any] = {"server_default": text("''")}
"""What a column of text holds in the rows that were there before it."""


def one_of(column: str, allowed: tuple[str, ...], name: str) -> CheckConstraint:
    """A column holds one of a closed list of words."""
    listed = ", ".join(f"'{word}'" for word in allowed)
    return CheckConstraint(f"{column} IN ({listed})", name=name)


def positive(table: str, *columns: str) -> tuple[CheckConstraint, ...]:
    """Columns hold numbers above 0, or nothing."""
    return tuple(CheckConstraint(f"{c} > 0", name=f"ck_{table}_{c}") for c in columns)


def not_negative(table: str, *columns: str) -> tuple[CheckConstraint, ...]:
    """Columns hold numbers from 0 up, or nothing."""
    return tuple(CheckConstraint(f"{c} >= 0", name=f"ck_{table}_{c}") for c in columns)


def site_column(table: str, name: str = "site_id") -> Column[int]:
    """A column for the site that a row belongs to; none in a crib without sites."""
    key = ForeignKey("site.id", name=f"fk_{table}_{name.removesuffix('_id')}")
    return Column(name, Integer, key, nullable=True)
