"""What a shop may write for a setting: by the setting's kind, within its limits."""

from __future__ import annotations

import re
from collections.abc import Mapping
from math import isfinite

from crib.errors import BadValue
from crib.trade.shop.workdays import tidy_closed_days, tidy_work_days

_LONGEST_TEXT = 60
_PAGE_ADDRESS = re.compile(
    r"https?://(?:[a-z0-9][a-z0-9.-]{0,60}|\[[0-9a-f:]{2,39}\])(?::[0-9]{1,5})?"
)
_LONGEST_NAMES = 200


def kept_value(row: Mapping[str, str], key: str, value: str) -> str:
    """A value in its one way of writing, refused when it cannot stand.

    Source: table shop_rules.csv, where each setting names its own limits or choices.

    Args:
        row: The setting's row of the table [-].
        key: The setting as it was named [text].
        value: What a person wrote, in the setting's own unit [text].

    Returns:
        The value as it is kept [text].

    Raises:
        BadValue: When the value is not of its kind, or outside its limits or choices.

    Example:
        >>> kept_value({"kind": "number", "least": "0", "most": "1"}, "force.caution_load", "0.90")
        '0.9'
    """
    kind = row["kind"]
    if kind == "choice":
        return _choice(key, value, row["choices"].split("|"))
    if kind == "currency":
        return _currency(key, value)
    if kind == "text":
        return _short_text(key, value)
    if kind == "address":
        return _address(key, value)
    if kind == "names":
        return _names(key, value)
    if kind == "work_days":
        return tidy_work_days(_names(key, value))
    if kind == "closed_days":
        return tidy_closed_days(_names(key, value))
    return _number_text(row, key, value)


def nearest_value(row: Mapping[str, str], value: str) -> str | None:
    """A number of before, brought to the limit that it lies beyond.

    Source: shop rule (limits were wider once; nothing outside the limits of today is worked with).

    Args:
        row: The setting's row of the table [-].
        value: The number as a crib holds it, in the setting's own unit [text].

    Returns:
        The nearest number within the limits, ``None`` for what is no number [text].

    Example:
        >>> nearest_value({"kind": "number", "least": "0.5", "most": "1"}, "0.3")
        '0.5'
    """
    if row["kind"] not in ("number", "whole"):
        return None
    try:
        number = float(value)
    except ValueError:
        return None
    return written(min(max(number, float(row["least"])), float(row["most"])))


def _choice(key: str, value: str, choices: list[str]) -> str:
    wanted = "".join(value.split()).casefold()
    for choice in choices:
        if "".join(choice.split()).casefold() == wanted:
            return choice
    known = ", ".join(choice or '""' for choice in choices)
    message = f"{key}={value} must be one of: {known}"
    raise BadValue(message)


def _currency(key: str, value: str) -> str:
    letters = value.strip().upper()
    if len(letters) == 3 and letters.isascii() and letters.isalpha():
        return letters
    message = f"{key}={value} must be three letters, such as USD"
    raise BadValue(message)


def _short_text(key: str, value: str) -> str:
    text = " ".join(value.split())
    if text and len(text) <= _LONGEST_TEXT and text.isprintable():
        return text
    message = f"{key}={value!r} must be 1 to {_LONGEST_TEXT} letters on one line"
    raise BadValue(message)


def _address(key: str, value: str) -> str:
    """Where the page is reached, without a path; none at all where there is no page."""
    text = value.strip().rstrip("/").lower()
    if not text or _PAGE_ADDRESS.fullmatch(text):
        return text
    message = f"{key}={value[:60]!r} must be an address without a path"
    raise BadValue(message, way_out="such as https://crib.local:8321 or http://192.168.1.20:8321")


def _names(key: str, value: str) -> str:
    """Names with a comma between them; none at all is a list too."""
    names = [" ".join(name.split()) for name in value.split(",")]
    text = ", ".join(name for name in names if name)
    if len(text) <= _LONGEST_NAMES and text.isprintable():
        return text
    message = f"{key} must be at most {_LONGEST_NAMES} letters on one line, names with commas"
    raise BadValue(message, way_out="a pattern such as *dim* stands for many names")


def _number_text(row: Mapping[str, str], key: str, value: str) -> str:
    number = _as_number(key, value)
    least, most = float(row["least"]), float(row["most"])
    if not least <= number <= most:
        message = f"{key}={written(number)} must be {written(least)} to {written(most)}"
        raise BadValue(message)
    if row["kind"] == "whole" and number != int(number):
        message = f"{key}={written(number)} must be a whole number"
        raise BadValue(message)
    return written(number)


def _as_number(key: str, value: str) -> float:
    try:
        number = float(value.strip())
    except ValueError:
        number = float("nan")
    if isfinite(number):
        return number
    message = f"{key}={value} is not a number"
    raise BadValue(message, way_out="write it with a decimal point, without a unit")


def written(number: float) -> str:
    """A number as settings are kept: no zeros behind, twelve figures at most.

    Source: shop rule (one way of writing, so that two equal settings are the same text).

    Args:
        number: The number, in its setting's own unit [-].

    Returns:
        The number as text [text].

    Example:
        >>> written(0.50)
        '0.5'
    """
    return format(number, ".12g")
