"""The codes' limits on punched holes, in one table: edition, clause, and what each counts from."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal, cast

from crib.errors import UnknownName
from crib.trade.common.published_tables import printed_number, read_table, table_length_mm

CountedFrom = Literal["", "bolt", "hole", "punch", "yield"]
Measured = Literal["plate", "punch", "die"]


@dataclass(frozen=True, slots=True)
class CodeLimit:
    """One limit: ``figure`` over (or under, where negative) what it is counted from.

    The figure is [mm], but [MPa] for a yield strength, and [N/mm] where a thickness is counted
    from the yield strength.
    """

    measured: Measured
    counted_from: CountedFrom
    figure: float
    source: str

    def size_mm(self, base_mm: float = 0.0) -> float:
        """The greatest size that the limit allows [mm], from the size that it is counted from."""
        return base_mm + self.figure


def codes_in_table() -> tuple[str, ...]:
    """The codes that the table has limits of.

    Source: table code_limits.csv, each row with its edition and clause.

    Returns:
        Their names, in the order of the table [text].

    Example:
        >>> codes_in_table()[:3]
        ('AISC 360', 'UFGS', 'AASHTO')
    """
    return tuple(dict.fromkeys(code for code, _limit, _where in _limits()))


def code_limit(code: str, limit: str, where: str = "any") -> CodeLimit:
    """One limit of a code.

    Source: table code_limits.csv, each row with its edition and clause.

    Args:
        code: The code as the table names it [text].
        limit: ``thickness``, ``sub-punch``, ``die`` or ``yield`` [text].
        where: Where it holds, such as a material's family; ``any`` where no other row does [text].

    Returns:
        The limit, lengths in [mm].

    Raises:
        UnknownName: When the table has no such limit.

    Example:
        >>> code_limit("AASHTO", "sub-punch").size_mm(19.05)
        14.2875
    """
    found = _limits().get((code, limit, where))
    if found is None:
        message = f"no {limit} limit of {code} for {where!r}"
        raise UnknownName(message)
    return found


@cache
def _limits() -> dict[tuple[str, str, str], CodeLimit]:
    return {
        (row["code"], row["limit"], row["where"]): _limit(row) for row in read_table("code_limits")
    }


def _limit(row: dict[str, str]) -> CodeLimit:
    unit = row["unit"]
    figure = (
        table_length_mm(row["figure"], unit)
        if unit in ("in", "mm")
        else printed_number(row["figure"])
    )
    return CodeLimit(
        cast(Measured, row["measured"]),
        cast(CountedFrom, row["counted_from"]),
        -figure if row["side"] == "under" else figure,
        f"{row['code']}, {row['edition']}, {row['clause']}: {row['source']}",
    )
