"""Whether whoever opened a crib on a server owns its tables, and so may change them."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

_OWNS_TABLES = (
    "SELECT pg_has_role(relowner, 'USAGE') FROM pg_class WHERE oid = 'alembic_version'::regclass"
)


def owns_tables(ask: Callable[[str], Iterable[Any]]) -> bool:
    """Whether whoever asks owns the tables of the crib that is asked."""
    return bool(next(iter(ask(_OWNS_TABLES)))[0])
