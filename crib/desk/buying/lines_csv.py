"""The order lines as a CSV that goes to a supplier or into a spreadsheet."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from crib.acts import Wording
from crib.desk.buying.buy import BuyLine, BuyPlan
from crib.files.common.whole_file import write_csv
from crib.files.tables.cells import harmless_cell
from crib.units import format_amount

COLUMNS = (
    "line",
    "buy",
    "role",
    "quantity",
    "text",
    "supplier",
    "price each",
    "price",
    "currency",
    "lead days",
    "kind",
    "worth a year",
    "reasons",
    "bought with",
    "to be settled",
)


def write_order_sheet(plan: BuyPlan, path: Path, worded: Wording = str) -> int:
    """Write every line of a plan; returns how many.

    ``buy`` says now, next, by its name alone, or ask the price.

    ``worded`` puts the door's own words to the reasons.

    Raises:
        Refused: when the file is there already.
    """
    return write_csv(path, COLUMNS, (_cells(line, plan.currency, worded) for line in plan.lines))


def when(line: BuyLine) -> str:
    """Whether a line is bought now, next, by its name alone, or after its price was asked."""
    if line.is_idle:
        return "by name"
    if line.price_cents is None:
        return "ask price"
    return "now" if line.within_budget else "next"


def _cells(line: BuyLine, currency: str, worded: Wording) -> Iterator[str | int]:
    yield line.name
    yield when(line)
    yield line.role.replace("_", " ")
    yield line.quantity
    yield harmless_cell(line.text)
    yield harmless_cell(line.supplier)
    yield format_amount(line.unit_price_cents)
    yield format_amount(line.price_cents)
    yield currency
    yield "" if line.lead_days is None else line.lead_days
    yield harmless_cell(line.kind or "")
    yield format_amount(line.value_cents_per_year)
    yield harmless_cell("; ".join(map(worded, line.reasons)))
    yield " ".join(line.bought_with)
    yield harmless_cell("; ".join(line.gaps))
