"""How people write sizes and words: where a size ends, and the one plain spelling of each.

A size is one number with its unit: ``13/16``, ``1 3 / 16 in``, ``1-3⁄16"``, ``2 ½``, ``1³⁄₁₆``,
``.8125``, ``20,6 mm``, ``10 ga``. Everything that reads a size, be it in a phrase, a line of
strokes, a table's cell or a prompt, goes by these functions, so that one spelling never means two
plates.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import accumulate

VULGAR = {"¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
BARS = "/⁄∕"
"""The slash of the keyboard, the fraction slash and the division slash."""

RAISED, LOWERED = "⁰¹²³⁴⁵⁶⁷⁸⁹", "₀₁₂₃₄₅₆₇₈₉"
"""The small figures above and below a fraction slash."""

_ALIKE = {"×": "x", "through": "thru", "reamed": "ream"}
"""Words that are said in two ways and mean one."""

_BRITISH = (("center", "centre"), ("miter", "mitre"), ("aluminum", "aluminium"))
_DASHES = "‐‑–"
_MOST_WORDS = 5
"""Words of the longest size: ``1 3 / 16 in``."""

_BLANKS = dict.fromkeys("\t\u00a0\u2009\u202f", " ")
# The blanks around a fraction sign keep it apart from digits: ½5 must not become 1/25.
_SIGNS = str.maketrans({**_BLANKS, **{sign: f" {VULGAR[sign]} " for sign in VULGAR}})
_LEVEL = str.maketrans(RAISED + LOWERED, "0123456789" * 2)
_SMALL_FRACTION = re.compile(f"([{RAISED}]+)[{BARS}]([{LOWERED}]+)")
_DASH = re.compile(f"(?<=[0-9])[{_DASHES}](?=[ 0-9])")
_BAR = re.compile(f" *[{BARS}] *")

_FRACTION = rf"[0-9]+ ?[{BARS}] ?[0-9]+|[{''.join(VULGAR)}]|[{RAISED}]+[{BARS}][{LOWERED}]+"
# A point with a blank beside it belongs to the size, which is refused: 5. 304 is not 5 of 304.
_DECIMAL = r"[0-9]+[.,] [0-9]+|[0-9]+ [.,][0-9]+|[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+"
_NUMBER = rf"(?:[0-9]+[-{_DASHES}]? ?)?(?:{_FRACTION})|{_DECIMAL}"
_UNIT = r"(?:in|inch|inches|mm|cm|m|ft|ga|gauge|gage|\"|″|”)\.?"
_SIZE = re.compile(rf"(?:{_NUMBER})(?: ?{_UNIT})?(?= |$)", re.IGNORECASE)
_APART = re.compile(rf"[0-9]+ (?:{_FRACTION})(?: ?{_UNIT})?", re.IGNORECASE)
_OPEN = re.compile(_NUMBER)
_BARE = re.compile(r"[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+")
_GROUPED_BY_COMMAS = re.compile(r"[1-9][0-9]{0,2}(,[0-9]{3})+(\.[0-9]+)?")
_DECIMAL_COMMA = re.compile(r"([0-9]*|[1-9][0-9]{0,2}(\.[0-9]{3})+),[0-9]+")


def plain_spelling(word: str) -> str:
    """A word in lower case and in its one spelling: ``Through`` is ``thru``."""
    plain = word.casefold()
    for other, ours in _BRITISH:
        plain = plain.replace(other, ours)
    return _ALIKE.get(plain, plain)


def same_words(text: str, other: str) -> bool:
    """Whether two texts are written alike, case and spacing aside."""
    return "".join(text.split()).casefold() == "".join(other.split()).casefold()


def plain_size(text: str) -> str:
    """A size with plain slashes, dashes, figures and single blanks: ``1 3 ⁄ 16`` is ``1 3/16``."""
    level = _SMALL_FRACTION.sub(_small_fraction, text.translate(_SIGNS))
    single = re.sub(" +", " ", _DASH.sub("-", _BAR.sub("/", level)))
    return single.replace("- ", "-").strip()


def size_words(words: Sequence[str]) -> int:
    """How many of the first words are one size with its unit; one where none is written there."""
    written = _SIZE.match(" ".join(words[:_MOST_WORDS]))
    ends = accumulate((1 + len(word) for word in words[:_MOST_WORDS]), initial=-1)
    return max(1, sum(end <= written.end() for end in ends) - 1) if written else 1


def whole_and_fraction(text: str) -> bool:
    """Whether a size is a whole number and a fraction with a blank between: it may be two sizes."""
    return _APART.fullmatch(text) is not None


def is_open(text: str) -> bool:
    """Whether a size has no unit behind it, so that figures which follow could belong to it."""
    return _OPEN.fullmatch(text.strip()) is not None


def is_unit(word: str) -> bool:
    """Whether a word is a unit of length that may stand behind a number."""
    return re.fullmatch(_UNIT, word, re.IGNORECASE) is not None


def is_bare(text: str) -> bool:
    """Whether a size is a number without a unit and without a fraction, which would be inches."""
    return _BARE.fullmatch(text.strip()) is not None


def without_comma(number: str) -> list[str]:
    """The numbers that one with commas may be, each with a point for its decimals.

    ``20,6`` is 20.6, ``1,200`` is 1200 or 1.200, ``1,234.50`` and ``1.234,50`` are 1234.50; one
    that is none, such as ``1,2,3``, gives nothing.
    """
    written = []
    if _GROUPED_BY_COMMAS.fullmatch(number):
        written.append(number.replace(",", ""))
    if _DECIMAL_COMMA.fullmatch(number):
        whole, part = number.replace(".", "").split(",")
        written.append(f"{whole or '0'}.{part}")
    return written


def _small_fraction(written: re.Match[str]) -> str:
    return f" {written[1].translate(_LEVEL)}/{written[2].translate(_LEVEL)} "
