"""One cell: its text to a value, and a value to its text, so that each reads back as it was.

A text that a spreadsheet would take for a formula goes out with an apostrophe in front, and so
does one whose outer or doubled blanks would be lost; coming in, that apostrophe is taken off.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from crib import units
from crib.errors import BadQuantity, BadValue
from crib.files.tables.dialect import plain_count, plain_date, plain_length, plain_money
from crib.files.tables.table_shape import Column, Reader, plain_word
from crib.unseen import one_line

FORMULA_SIGNS = "=+-@'\t\r\n"
NOTHING = "nothing"
"""Written for a level that was taken back, where an empty cell says that none was given."""

_ONE_SPACED = frozenset({"name", "tag", "reference", "references"})
_YES_NO = {"yes": True, "y": True, "true": True, "1": True, "x": True}
_YES_NO |= {"no": False, "n": False, "false": False, "0": False}
_MONTH = r"(jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*\.?"
_LIKE_A_DATE = re.compile(
    rf"\d{{1,2}}[-. ]{_MONTH}([-. ]\d+)?|{_MONTH}[- ]\d{{1,4}}"
    r"|\d{4}-\d\d?-\d\d?.*|\d\d?[/.]\d\d?[/.]\d{2,4}",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Units:
    """What a bare number means in this crib, and how its sizes are written."""

    system: units.System = "in"
    force: units.ForceUnit = "US tons"
    currency: str = "USD"


def read_cell(column: Column, text: str, crib: Units) -> Any:
    """The value of a cell; an empty one is the column's ``blank``.

    Raises:
        BadInput: when it cannot be read; says what is expected.
    """
    words = one_line(unguarded(text))
    if column.reader in _ONE_SPACED and not _is_guarded(text):
        words = " ".join(words.split())
    return _READ[column.reader](words, column, crib) if words else column.blank


def write_cell(column: Column, value: Any, crib: Units) -> str | int:
    """A value as text that ``read_cell`` reads back equal; a count stays a number."""
    return "" if value is None else _WRITE[column.reader](value, crib)


def harmless_cell(text: str) -> str:
    """A text that no spreadsheet takes for a formula, and whose blanks are kept."""
    return f"'{text}" if _needs_guard(text) else text


def unguarded(cell: str) -> str:
    """A cell's text without the apostrophe that was put before it, else without outer blanks."""
    return cell[1:] if _is_guarded(cell) else cell.strip()


def _is_guarded(cell: str) -> bool:
    return cell[:1] == "'" and _needs_guard(cell[1:])


def _needs_guard(text: str) -> bool:
    return bool(text) and (text[0] in FORMULA_SIGNS or text != " ".join(text.split()))


def _read_tag(text: str, _column: Column, _crib: Units) -> str:
    return text.upper()


def _read_length(text: str, column: Column, crib: Units) -> float:
    try:
        plain = plain_length(text, None, crib.system)
        return units.read_length_mm(plain, crib.system, allow_zero=column.zero)
    except BadQuantity as error:
        if not _LIKE_A_DATE.fullmatch(text):
            raise
        message = f"length {text!r} is a date: a spreadsheet makes one of a fraction"
        hint = "set the cells to text and write the size again, such as 13/16 or 0.8125 in"
        raise BadQuantity(message, way_out=hint) from error


def _read_microns(text: str, column: Column, crib: Units) -> int:
    return round(_read_length(text, column, crib) * 1000)


def _read_force(text: str, _column: Column, _crib: Units) -> float:
    """A force with its unit: a bare 450 on a plate may be kN as well as tons."""
    return units.read_force_n(text)


def _read_stress(text: str, _column: Column, crib: Units) -> float:
    return units.read_stress_mpa(text, "ksi" if crib.system == "in" else "MPa")


def _read_percent(text: str, _column: Column, _crib: Units) -> float:
    return units.read_percent(text)


def _read_count(text: str, column: Column, _crib: Units) -> int:
    count = units.read_count(plain_count(text))
    if column.most is not None and count > column.most:
        message = f"{column.name} {count} must be at most {column.most:g}"
        raise BadValue(message)
    return count


def _read_change(text: str, column: Column, _crib: Units) -> int:
    if not re.fullmatch(r"-?[0-9]{1,9}", text):
        message = f"{column.name} {text[:40]!r} is not a whole number"
        raise BadQuantity(message, way_out="write it like 2, or -1 for one that went back")
    return int(text)


def _read_wear(text: str, column: Column, _crib: Units) -> int:
    written = re.fullmatch(r"([0-9]{1,9})(?:\.([0-9]{1,3}))?", text)
    if not written:
        message = f"{column.name} {text[:40]!r} is not a number with at most three decimals"
        raise BadQuantity(message, way_out="write it like 1200 or 1200.5")
    return int(written[1]) * 1000 + int((written[2] or "").ljust(3, "0"))


def _read_money(text: str, _column: Column, crib: Units) -> int:
    sign = rf"({re.escape(crib.currency)}|[€£¥])"
    bare = re.sub(rf"^{sign}\s*|\s*{sign}$", "", text, flags=re.IGNORECASE)
    return units.read_money_cents(plain_money(bare))


def _read_date(text: str, column: Column, _crib: Units) -> str:
    plain = plain_date(text)
    try:
        written = date.fromisoformat(plain) if len(plain) == 10 else None
    except ValueError:
        written = None
    if written is None:
        message = f"{column.name} {text[:40]!r} is not a date"
        raise BadValue(message, way_out="write it as YYYY-MM-DD, such as 2026-03-02")
    return written.isoformat()


def _read_moment(text: str, column: Column, _crib: Units) -> str:
    try:
        datetime.fromisoformat(text)
    except ValueError:
        message = f"{column.name} {text[:40]!r} is not a moment"
        raise BadValue(message, way_out="write it as 2026-03-02T14:30:00Z") from None
    return text


def _read_yes_no(text: str, column: Column, _crib: Units) -> bool:
    answer = _YES_NO.get(text.casefold())
    if answer is None:
        message = f"{column.name} {text[:40]!r} is not yes or no"
        raise BadValue(message, way_out="write yes or no")
    return answer


def _read_choice(text: str, column: Column, _crib: Units) -> str:
    wanted = plain_word(text)
    known = {plain_word(choice): choice for choice in column.choices}
    known |= {plain_word(spelling): choice for spelling, choice in column.spellings}
    if wanted not in known:
        message = f"{column.name} {text[:40]!r} is not known"
        raise BadValue(message, way_out=f"write one of: {', '.join(column.choices)}")
    choice = known[wanted]
    return choice if column.as_written else choice.replace(" ", "_")


def _read_angle(text: str, column: Column, _crib: Units) -> float:
    written = re.fullmatch(r"([0-9]{1,3}(?:\.[0-9]{1,12})?) ?(?:°|deg\.?|degrees)?", text)
    if not written or float(written[1]) >= 360:
        message = f"{column.name} {text[:40]!r} is not an angle from 0 to below 360 degrees"
        raise BadQuantity(message, way_out="write degrees, such as 45")
    return float(written[1])


def _read_angles(text: str, column: Column, crib: Units) -> str:
    parts = [part for part in re.split(r"[\s,;/]+", text.replace("°", " ")) if part]
    angles = {_read_angle(part, column, crib) for part in parts}
    if any(angle % 1 for angle in angles):
        message = f"{column.name} {text[:40]!r} is not in whole degrees"
        raise BadQuantity(message, way_out="write it like 0 or 0 90")
    return " ".join(f"{angle:.0f}" for angle in sorted(angles))


def _read_number(text: str, column: Column, _crib: Units) -> float:
    if not re.fullmatch(r"-?[0-9]+(\.[0-9]+)?(e[-+]?[0-9]{1,3})?", text):
        message = f"{column.name} {text[:40]!r} is not a number"
        raise BadQuantity(message, way_out="write it with a decimal point")
    return float(text)


def _read_level(text: str, _column: Column, _crib: Units) -> str:
    return "" if text == NOTHING else text


def _read_text(text: str, _column: Column, _crib: Units) -> str:
    return text


_READ: dict[Reader, Callable[[str, Column, Units], Any]] = {
    "text": _read_text,
    "name": _read_text,
    "tag": _read_tag,
    "length": _read_length,
    "microns": _read_microns,
    "force": _read_force,
    "stress": _read_stress,
    "percent": _read_percent,
    "count": _read_count,
    "change": _read_change,
    "wear": _read_wear,
    "money": _read_money,
    "date": _read_date,
    "moment": _read_moment,
    "yes/no": _read_yes_no,
    "choice": _read_choice,
    "angle": _read_angle,
    "angles": _read_angles,
    "number": _read_number,
    "level": _read_level,
    "reference": _read_text,
    "references": _read_text,
}


def _write_text(value: Any, _crib: Units) -> str:
    return harmless_cell(str(value))


def _write_force(value: float, crib: Units) -> str:
    """In the crib's force unit where that reads back exactly, else in newtons."""
    for digits in range(7):
        text = units.format_force(value, crib.force, digits)
        if float(text.split()[0]) and units.read_force_n(text) == value:
            return text
    return f"{_plain_decimal(value)} N"


def _write_percent(value: float, _crib: Units) -> str:
    text = f"{value * 100:.6g} %"
    return text if "e" not in text and units.read_percent(text) == value else _plain_decimal(value)


def _write_wear(value: int, _crib: Units) -> str:
    whole, part = divmod(value, 1000)
    return f"{whole}.{part:03d}".rstrip("0").rstrip(".")


def _plain_decimal(value: float) -> str:
    return format(Decimal(repr(float(value))), "f").removesuffix(".0")


_WRITE: dict[Reader, Callable[[Any, Units], str | int]] = {
    **dict.fromkeys(("text", "name", "tag", "date", "moment", "angles", "reference"), _write_text),
    "length": lambda value, crib: units.format_length(value, crib.system),
    "microns": lambda value, crib: units.format_length(value / 1000, crib.system),
    "force": _write_force,
    "stress": lambda value, _crib: f"{_plain_decimal(value)} MPa",
    "percent": _write_percent,
    "count": lambda value, _crib: int(value),
    "change": lambda value, _crib: int(value),
    "wear": _write_wear,
    "money": lambda value, _crib: units.format_amount(value),
    "yes/no": lambda value, _crib: "yes" if value else "no",
    "choice": lambda value, _crib: str(value).replace("_", " "),
    "angle": lambda value, _crib: _plain_decimal(value),
    "number": lambda value, _crib: repr(float(value)),
    "level": lambda value, _crib: harmless_cell(value) or NOTHING,
    "references": lambda value, _crib: harmless_cell("; ".join(value)),
}
