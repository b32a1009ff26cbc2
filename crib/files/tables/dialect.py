"""Figures as shops write them: ``24 pcs``, ``24,0``, ``1.234,50``, ``15.03.2024``, ``Ø18``.

Each function gives the plain spelling where the text can mean one figure only. What may mean two is
asked back; what is no such figure comes back as it was, for its reader to refuse.
"""

from __future__ import annotations

import re
from datetime import date

from crib.errors import UnsureQuantity
from crib.spellings import is_bare, without_comma
from crib.units import System

_PIECES = re.compile(
    r"\s*(?:pcs?|pieces?|ea|each|off|x|nos?|stk|stck|st|stücke?|stueck|teile?)\.?", re.IGNORECASE
)
_WHOLE = re.compile(r"([0-9]+)[.,](0+)")
_THOUSANDS = re.compile(r"[1-9][0-9]{0,2}([.,])[0-9]{3}(?:\1[0-9]{3})*")
_BOTH_SIGNS = re.compile(r"[1-9][0-9]{0,2}(?:(?:\.[0-9]{3})+,|(?:,[0-9]{3})+\.)([0-9]+)")
_DOTTED = re.compile(r"([0-9]{1,2})\.\s?([0-9]{1,2})\.\s?([0-9]{4}|[0-9]{2})")
_WITH_UNIT = re.compile(r"([0-9.]*,[0-9]+)(\s*(?:mm|cm|in|inch|inches|zoll|\"))", re.IGNORECASE)
_ROUND = re.compile(r"(?:[Øø⌀∅]|dia\.?|d\s*=|t\s*=)\s*(?=[.,]?[0-9])", re.IGNORECASE)


def plain_count(text: str) -> str:
    """A whole number without its word for pieces, its decimals of nothing, and its groups.

    Raises:
        UnsureQuantity: for 1.000 and 2,000, which may be thousands or decimals of nothing.
    """
    figure = text.strip()
    if behind := re.fullmatch(rf"([0-9][0-9.,]*){_PIECES.pattern}", figure, re.IGNORECASE):
        figure = behind[1]
    if both := _BOTH_SIGNS.fullmatch(figure):
        return _digits(figure[: -1 - len(both[1])]) if not both[1].strip("0") else text
    whole = _WHOLE.fullmatch(figure)
    if _THOUSANDS.fullmatch(figure):
        if whole:
            _ask(text, "count", [whole[1], _digits(figure)])
        return _digits(figure)
    return whole[1] if whole else figure


def plain_money(text: str) -> str:
    """An amount with a point for its decimals, where it has one or two of them."""
    if re.fullmatch(r"[0-9]*,[0-9]{1,2}", text) or _BOTH_SIGNS.fullmatch(text):
        return without_comma(text)[0]
    return text


def plain_date(text: str) -> str:
    """A day with points, which stands first: ``15.3.24`` is 2024-03-15."""
    written = _DOTTED.fullmatch(text)
    if not written:
        return text
    year = int(written[3]) + (2000 if len(written[3]) == 2 else 0)
    try:
        return date(year, int(written[2]), int(written[1])).isoformat()
    except ValueError:
        return text


def plain_length(text: str, unit: System | None, crib: System) -> str:
    """A size without the sign of a diameter, with its decimal point and the unit of its heading.

    Args:
        text: The cell.
        unit: What the heading says; None where it says none.
        crib: The crib's own unit, in which a comma is read as decimals only where it is mm.
    """
    figure = _ROUND.sub("", text.strip(), count=1) if _ROUND.match(text.strip()) else text.strip()
    figure = re.sub(r"(?<=[0-9])\s*[Øø⌀∅]$", "", figure)
    if said := _WITH_UNIT.fullmatch(figure):
        ways = without_comma(said[1])
        return f"{ways[0]}{said[2]}" if len(ways) == 1 else figure
    has_both = _BOTH_SIGNS.fullmatch(figure) is not None
    if has_both or is_bare(figure):
        ways = without_comma(figure)
        if len(ways) == 1 and (unit or has_both or crib == "mm"):
            figure = ways[0]
        return f"{figure}{unit}" if unit else figure
    return figure


def _digits(figure: str) -> str:
    return re.sub("[.,]", "", figure)


def _ask(text: str, what: str, readings: list[str]) -> None:
    message = f"{what} {text[:40]!r} may be {' or '.join(readings)}"
    raise UnsureQuantity(message, readings=readings, way_out=f"write {' or '.join(readings)}")
