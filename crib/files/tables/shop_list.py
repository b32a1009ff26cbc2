"""A list as a shop has it, whatever its headings: lines of cells by what they are about."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import zip_longest
from pathlib import Path

from crib.errors import BadInput, UnknownName
from crib.files.common.decoded import decoded
from crib.files.tables.columns import find_column, find_table
from crib.files.tables.sheets import CSV_ENDINGS, cells_of, with_numbers
from crib.files.tables.table_lines import Line, heading_at
from crib.files.tables.workbook_in import WORKBOOK_ENDINGS, pages_of

HEADINGS = {
    "tag": "tag tool# toolno toolnumber toolid id # no number tag# tagno item# itemno code"
    " nr werkzeugnr",
    "what": "what tool description desc item type name kind tooling"
    " werkzeug bezeichnung beschreibung art",
    "shape": "shape form outline kontur",
    "size": "size dia diameter dim dims dimension dimensions sizeacross width"
    " ø durchmesser größe maß abmessung",
    "count": "qty quantity count pcs pieces howmany onhand amount stk stück anzahl menge bestand",
    "drawer": "drawer place location loc where bin shelf cabinet home"
    " fach lagerort ort platz schublade",
    "condition": "condition cond state status zustand",
    "date": "date bought boughton purchased datebought datum gekauft",
    "seat": "seat fits station family holder aufnahme sitz",
    "length": "length oal overalllength height länge höhe",
    "note": "note notes remark remarks comment comments bemerkung notiz",
}
"""What a column is about, and the headings it goes by, without blanks and points."""

_BY_HEADING = {
    name.casefold(): about for about, names in HEADINGS.items() for name in names.split()
}
_HEADING_WITHIN = 12
_SEPARATORS = ",;\t|"


@dataclass(frozen=True, slots=True)
class ListLine:
    """One line below the heading: its number, its cells by what they are about, all of it."""

    number: int
    cells: dict[str, str]
    text: str
    has_count: bool = False
    """Whether the list has a column that says how many."""


@dataclass(frozen=True, slots=True)
class ShopList:
    """A list: its name, the lines above its heading and the heading itself, and the tools."""

    name: str
    above: tuple[tuple[int, str], ...]
    lines: tuple[ListLine, ...]
    notes: tuple[str, ...] = ()


def is_shop_list(source: Path) -> bool:
    """Whether a file is a shop's own list and no table of the crib, by its name and heading."""
    ending = source.suffix.lower()
    if not source.is_file() or ending not in (*CSV_ENDINGS, *WORKBOOK_ENDINGS):
        return False
    if ending in WORKBOOK_ENDINGS:
        pages = pages_of(source)
        names = [page.title for page in pages] + [source.stem]
        return len(pages) == 1 and not any(_is_table(name, pages[0].lines) for name in names)
    return not _is_table(source.stem, _csv_lines(source))


def read_shop_list(source: Path) -> ShopList:
    """Every line of a list; without a heading that is known each line is one text.

    Raises:
        BadInput: for a file with nothing on it.
        BadRows: for a CSV file whose quotes are not closed.
    """
    is_book = source.suffix.lower() in WORKBOOK_ENDINGS
    pages = pages_of(source) if is_book else []
    lines = [line for page in pages for line in page.lines] if is_book else _csv_lines(source)
    if not lines:
        message = f"{source} is empty"
        raise BadInput(message, way_out="write a line for each tool")
    shared = frozenset(cell for page in pages for cell in page.repeated)
    at = _heading_at(lines)
    headings = lines[at][1] if at is not None else []
    abouts = _abouts(headings)
    below = lines[at + 1 :] if at is not None else lines
    above = tuple((number, _text(cells)) for number, cells in lines[: len(lines) - len(below)])
    return ShopList(
        source.name,
        above,
        tuple(
            ListLine(
                number,
                _cells(_once(number, cells, abouts, shared), abouts),
                _text(cells),
                "count" in abouts,
            )
            for number, cells in below
        ),
        tuple(note for page in pages for note in page.notes),
    )


def _is_table(name: str, lines: Sequence[Line]) -> bool:
    """Whether a name is a table's and half of the heading its columns."""
    try:
        table = find_table(name)
    except UnknownName:
        return False
    cells = lines[heading_at(table, lines)][1] if lines else []
    heading = [cell for cell in cells if cell.strip()]
    known = sum(find_column(table, cell) is not None for cell in heading)
    return 2 * known >= len(heading)


def _csv_lines(source: Path) -> list[Line]:
    text = decoded(source.read_bytes())
    first = [line for line in text.splitlines() if line.strip()][:_HEADING_WITHIN]
    separator = max(
        _SEPARATORS,
        key=lambda sign: max((_known(cells_of(line, sign)) for line in first), default=0),
    )
    return list(with_numbers(source.name, text, separator))


def _plain(heading: str) -> str:
    return re.sub(r"[\s.:_\-]+", "", heading.replace("\N{NUMERO SIGN}", "#")).casefold()


def _known(cells: Sequence[str]) -> int:
    return len({_BY_HEADING[_plain(cell)] for cell in cells if _plain(cell) in _BY_HEADING})


def _heading_at(lines: Sequence[Line]) -> int | None:
    """The line that most cells of are headings, two at least or all there are; or None."""
    found = [(_known(cells), -at) for at, (_number, cells) in enumerate(lines[:_HEADING_WITHIN])]
    known, behind = max(found)
    filled = sum(bool(cell.strip()) for cell in lines[-behind][1])
    return -behind if known >= 2 or known == filled else None


def _abouts(headings: Sequence[str]) -> list[str]:
    """What each column is about; the heading itself with a blank behind where nobody knows it."""
    abouts: list[str] = []
    for heading in headings:
        about = _BY_HEADING.get(_plain(heading), "")
        unread = f"{heading.strip()} " if heading.strip() else ""
        abouts.append(about if about and about not in abouts else unread)
    return abouts


def _once(
    number: int, cells: Sequence[str], abouts: Sequence[str], shared: frozenset[tuple[int, int]]
) -> list[str]:
    """The cells; a count that a merged cell gives to several lines is none of each line."""
    return [
        f"{cell} for several lines" if about == "count" and (number, at) in shared else cell
        for at, (cell, about) in enumerate(zip_longest(cells, abouts[: len(cells)], fillvalue=""))
    ]


def _cells(cells: Sequence[str], abouts: Sequence[str]) -> dict[str, str]:
    """Cells by what they are about; those that nobody knows go behind the note, none is lost."""
    found = dict.fromkeys(HEADINGS, "")
    if not abouts:
        return found | {"what": _text(cells)}
    rest = []
    for at, cell in enumerate(cells):
        text, about = " ".join(cell.split()), abouts[at] if at < len(abouts) else ""
        if about in found:
            found[about] = text
        elif text:
            rest.append(f"{about.strip()}: {text}" if about else text)
    found["note"] = "; ".join(filter(None, [found["note"], *rest]))
    return found


def _text(cells: Sequence[str]) -> str:
    return ", ".join(_filled(cells))


def _filled(cells: Sequence[str]) -> Iterator[str]:
    return (" ".join(cell.split()) for cell in cells if cell.strip())
