"""The published tables, kept as CSV beside this file and read once, when first asked for."""

from __future__ import annotations

import csv
import os
import re
from collections.abc import Iterable
from functools import cache

# Exact by definition (international yard and pound agreement, 1959). Only the tables printed in
# inches need it here; what a person types is converted before it comes to this room.
MM_PER_INCH = 25.4

_DATA = os.path.join(os.path.dirname(os.path.dirname(os.path.abspath(__file__))), "data")


@cache
def read_table(name: str) -> tuple[dict[str, str], ...]:
    """The rows of one of the published tables, as text, in the order of the file.

    Source: each row names its own, in the column ``source``.

    Args:
        name: File name without its ending, such as ``materials`` [text].

    Returns:
        One mapping of column to text for each row [text].

    Example:
        >>> read_table("clearance_steps")[0]["system"]
        'inch'
    """
    with open(os.path.join(_DATA, f"{name}.csv"), encoding="utf-8", newline="") as file:
        return tuple(csv.DictReader(file))


def known_name(written: str, known: Iterable[str]) -> str | None:
    """The name that is written, whatever its capitals, blanks and hyphens.

    Source: common practice (``EN 1090-2``, ``en1090-2`` and ``EN-1090-2`` are one document).

    Args:
        written: The name as somebody wrote it [text].
        known: The names as the tables print them [text].

    Returns:
        The name as the tables print it, or ``None`` [text].

    Example:
        >>> known_name("en1090-2", ["ISO 273", "EN 1090-2"])
        'EN 1090-2'
    """
    names = {_close(name): name for name in known}
    return names.get(_close(written))


def _close(name: str) -> str:
    """A name with its words closed up; a sign by itself stays, so that it is no name."""
    return re.sub(r"(?<=\w)[- ](?=\w)", "", " ".join(name.casefold().split()))


def printed_number(text: str) -> float:
    """The number that a table prints: ``27``, ``0.1345``, ``13/16`` or ``1-1/16``.

    Source: common practice (inch sizes are printed as whole inches, a hyphen and a fraction).

    Args:
        text: The figure as the table prints it, in the table's unit [text].

    Returns:
        The same figure as one number, in the table's unit [-].

    Example:
        >>> printed_number("1-1/16")
        1.0625
    """
    whole, _, fraction = text.rpartition("-") if "/" in text else (text, "", "")
    if not fraction:
        return float(text)
    upper, lower = fraction.split("/")
    return (float(whole) if whole else 0.0) + int(upper) / int(lower)


def table_length_mm(text: str, unit: str) -> float:
    """A length as a table prints it, in millimetres.

    Source: international yard and pound agreement of 1959 (1 in = 25.4 mm exactly).

    Args:
        text: The figure as printed, in the table's unit [text].
        unit: The table's unit, ``in`` or ``mm`` [text].

    Returns:
        The length [mm].

    Example:
        >>> table_length_mm("13/16", "in")
        20.6375
    """
    # Not a product with 25.4: that misses 1-1/16 in by the last bit.
    return printed_number(text) * 254 / 10 if unit == "in" else printed_number(text)
