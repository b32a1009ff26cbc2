"""What is said of an order and of what it brought: an order's number, lines, counts."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from crib.acts import act, saying
from crib.desk.buying.line_names import is_line_name
from crib.errors import BadInput
from crib.units import read_count, read_money_cents

_NUMBER = re.compile(r"[0-9]{4}-[0-9]{4,}")


@dataclass(frozen=True, slots=True)
class CameOfLine:
    """How many came of a line of an order, and the price of one [cents] where it was said."""

    line: int
    count: int
    price_cents: int | None = None


def read_order_words(words: Sequence[str]) -> tuple[str, tuple[int, ...], tuple[str, ...]]:
    """An order's number and numbers of its lines, or names of lines to buy.

    Raises:
        BadQuantity: for a line of an order that is not a whole number.
        BadInput: for a word that is no line's name.
    """
    if words and _NUMBER.fullmatch(words[0].strip()):
        return words[0], tuple(read_count(word) for word in words[1:]), ()
    for word in words:
        if not is_line_name(word):
            message = f"{word[:40]!r} names no line to buy, nor an order"
            raise BadInput(message, way_out=saying(act("buy"), " shows each line with its name"))
    return "", (), tuple(words)


def read_share(text: str) -> tuple[str, int]:
    """A site and how many of a line it gets: ``North=2``.

    Raises:
        BadInput: for a word of another form.
        BadQuantity: for a count that is not a whole number.
    """
    site, sign, count = text.rpartition("=")
    if not sign or not site.strip():
        message = f"{text[:40]!r} is not a site with its count"
        raise BadInput(message, way_out="write North=2 for two that North gets")
    return site.strip(), read_count(count)


def read_delivery_words(words: Sequence[str]) -> tuple[str, tuple[CameOfLine, ...]]:
    """An order's number and what came of its lines: ``2026-0007 1=2 3=1@48.50``.

    Raises:
        BadInput: without a number, or for a word of another form.
        BadQuantity: for a count that is not a whole number, or no price.
    """
    if not words:
        message = "no order given"
        example = act("receive", order="2026-0007")
        raise BadInput(message, way_out=saying("such as ", example, ", or with counts: 1=2 3=1"))
    if words[1:] and not _NUMBER.fullmatch(words[0].strip()):
        message = f"{words[0][:40]!r} is not the number of an order"
        raise BadInput(message, way_out="the number stands on the order, such as 2026-0007")
    counts = []
    for word in words[1:]:
        line, sign, count = word.partition("=")
        if not sign:
            message = f"{word[:40]!r} is not a line with its count"
            raise BadInput(
                message, way_out="write 1=2 for two of line 1, 1=2@48.50 with the price of one"
            )
        count, at, price = count.partition("@")
        cents = read_money_cents(price) if at else None
        counts.append(CameOfLine(read_count(line), read_count(count), cents))
    return words[0], tuple(counts)
