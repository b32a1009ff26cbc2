"""An order as its supplier gets it: PDF, CSV or XLSX, each line complete."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from crib.acts import act, saying
from crib.errors import BadInput
from crib.files.common.whole_file import require_free, whole_file, write_csv
from crib.files.paper.shop_paper import PaperFrame, write_paper
from crib.files.paper.shop_paper_parts import BODY, SMALL, gap, ruled, side_by_side, text, to_sign
from crib.files.tables.cells import harmless_cell
from crib.units import format_amount

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

COLUMNS = (
    "line",
    "quantity",
    "text",
    "price each",
    "price",
    "currency",
    "needed by",
    "job",
    "to be settled",
)
ENDINGS = (".pdf", ".csv", ".xlsx")
ASK = (
    "Please confirm prices and delivery. Where a line says a die opening it is the opening itself:"
    " add no clearance to it. Ask before shipping anything that differs from its line."
)


@dataclass(frozen=True, slots=True)
class PaperOrderLine:
    """One line; prices are cents of one piece, None where they are to be quoted.

    ``what`` is the thing and its size, ``particulars`` all else of it; ``text`` is both and more.
    """

    line: int
    quantity: int
    what: str
    particulars: str
    text: str
    price_cents: int | None
    needed_by: str
    job: str
    ask: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PaperOrder:
    """One order to one supplier. ``shop`` is what the crib is called.

    Of an address commas part the lines.
    """

    number: str
    shop: str
    shop_address: str
    supplier: str
    supplier_address: str
    made_on: str
    needed_by: str
    person: str
    currency: str
    lines: tuple[PaperOrderLine, ...]


def write_order(order: PaperOrder, path: Path) -> None:
    """Write an order as PDF, CSV or XLSX by the file's ending, whole or not at all.

    Raises:
        BadInput: for another ending.
        Refused: when the file is there already.
    """
    ending = path.suffix.lower()
    if ending not in ENDINGS:
        message = f"{path.name} must end in {', '.join(ENDINGS)}"
        raise BadInput(message, way_out=saying("such as ", act("say.draw", file="order.pdf")))
    require_free(path)
    if ending == ".pdf":
        write_paper(_frame(order), partial(_body, order), path)
    elif ending == ".csv":
        write_csv(path, COLUMNS, _rows(order))
    else:
        _write_workbook(order, path)


def _rows(order: PaperOrder) -> Iterator[list[str | int]]:
    for line in order.lines:
        total = None if line.price_cents is None else line.price_cents * line.quantity
        yield [
            line.line,
            line.quantity,
            harmless_cell(line.text),
            format_amount(line.price_cents),
            format_amount(total),
            order.currency,
            line.needed_by,
            harmless_cell(line.job),
            harmless_cell("; ".join(line.ask)),
        ]


def _write_workbook(order: PaperOrder, path: Path) -> None:
    from openpyxl import Workbook

    book = Workbook()
    page: Any = book.active
    page.title = f"order {order.number}"[:31]
    page.append(list(COLUMNS))
    for row in _rows(order):
        page.append(row)
    for column, width in (("C", 90), ("D", 12), ("E", 12), ("G", 12), ("H", 20), ("I", 60)):
        page.column_dimensions[column].width = width
    with whole_file(path) as partial:
        book.save(partial)


def _frame(order: PaperOrder) -> PaperFrame:
    facts = (
        f"Date {order.made_on}",
        f"Needed by {order.needed_by}" if order.needed_by else "",
        f"Ordered by {order.person}",
    )
    return PaperFrame(f"Order {order.number}", facts, (ASK,))


def _body(order: PaperOrder, width: float) -> list[Flowable]:
    money = f"Each {order.currency}", f"Price {order.currency}"
    widths = (26, 32, width - 258, 60, 70, 70)
    heading = ("No.", "Qty", "What", "Needed by", *money)
    table = ruled(heading, [_row(line) for line in order.lines], widths)
    return [
        _addresses(order, width),
        gap(10),
        table,
        gap(8),
        text(_sum(order), BODY, bold=True, right=True),
        gap(16),
        to_sign(("Signed",), 260),
    ]


def _row(line: PaperOrderLine) -> list[Any]:
    job = f"our job{'s' if ',' in line.job else ''} {line.job}" if line.job else ""
    small = [one for one in (line.particulars, job) if one]
    open_ends = [f"To be settled: {point}" for point in line.ask]
    return [
        text(str(line.line), BODY, bold=True),
        text(str(line.quantity), BODY, bold=True, right=True),
        [text(line.what, BODY, bold=True), *(text(words, SMALL) for words in (*small, *open_ends))],
        text(line.needed_by, SMALL),
        text(format_amount(line.price_cents) or "quote", right=True),
        text(format_amount(_price(line)) or "quote", right=True),
    ]


def _addresses(order: PaperOrder, width: float) -> Flowable:
    """Whom it goes to and whom it comes from, side by side."""
    return side_by_side(
        [
            _address("To", order.supplier, order.supplier_address),
            _address("From", order.shop, order.shop_address),
        ],
        width,
    )


def _address(head: str, name: str, address: str) -> list[Flowable]:
    lines = [line.strip() for line in address.split(",") if line.strip()]
    return [text(head, SMALL), text(name, BODY, bold=True), *(text(line) for line in lines)]


def _price(one: PaperOrderLine) -> int | None:
    return None if one.price_cents is None else one.price_cents * one.quantity


def _sum(order: PaperOrder) -> str:
    known = sum(_price(line) or 0 for line in order.lines)
    unknown = sum(line.price_cents is None for line in order.lines)
    more = f", and {unknown} to be quoted" if unknown else ""
    return f"Sum of the known prices: {format_amount(known)} {order.currency}{more}"
