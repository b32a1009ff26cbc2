"""A hole's own tolerance in a phrase: ``hole 22 +0.5 -0 thru 12``, ``hole 13/16 ±1/64 thru 3/8``.

It stands right behind the size, or behind both sizes of a hole that has two, and counts for each.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import Any

from crib.errors import BadInput
from crib.features.common.phrase import SizeRead, Word, Words
from crib.features.common.plate_phrase import Reading
from crib.features.common.sizes import clean_text, size_word
from crib.spellings import VULGAR, is_unit
from crib.trade.common.verdicts import exceeds
from crib.units import System, read_length_mm

EXAMPLE = "hole 22mm +0.5 -0 thru 12mm"
RULE = "hole.most_tolerance_mm"

_MINUS = "[-−–]"
_FIGURES = rf"\d.{''.join(VULGAR)}"
# A plus between letters belongs to a material: S355J2+N.
_STARTS = re.compile(rf"±|[+](?=[{_FIGURES}/−–-]|$)|{_MINUS}(?=[{_FIGURES}])")
_GLUED = re.compile(rf"(?<=[{_FIGURES}nm\"″”])(?:±|[+](?=[{_FIGURES}/−–-]))")
_GOES_ON = re.compile(rf"[+±]|{_MINUS}|/|[.{_FIGURES}]")
_SIZE = rf"[.{_FIGURES}][^+±−–-]*?"
_BOTH = re.compile(rf"(?:±|\+ ?/ ?{_MINUS}|\+{_MINUS}) ?(?P<plus>{_SIZE})")
_EACH = re.compile(rf"\+ ?(?P<plus>{_SIZE}) ?/? ?{_MINUS} ?(?P<minus>{_SIZE})")
_TURNED = re.compile(rf"{_MINUS} ?(?P<minus>{_SIZE}) ?/? ?\+ ?(?P<plus>{_SIZE})")


@dataclass(frozen=True, slots=True)
class Tolerance:
    """How far over and under its size a hole may be [mm]; ``source`` says by whose word.

    ``stated`` is one that the phrase names: it holds to the last hundredth. Any other is never
    closer than what the shop calls the same size.
    """

    plus_mm: float
    minus_mm: float
    source: str = "the phrase"
    stated: bool = True

    def phrase(self, system: System) -> str:
        """It as a phrase has it, to be read back equal."""
        plus, minus = (_word(size, system) for size in (self.plus_mm, self.minus_mm))
        return f" ±{plus}" if plus == minus else f" +{plus} -{minus}"

    def as_json(self) -> dict[str, Any]:
        """It for programs, SI."""
        return {"plus_mm": self.plus_mm, "minus_mm": self.minus_mm}

    def within(self, most_mm: float) -> Tolerance:
        """The same, but on neither side wider than a limit [mm]."""
        plus_mm, minus_mm = min(self.plus_mm, most_mm), min(self.minus_mm, most_mm)
        return replace(self, plus_mm=plus_mm, minus_mm=minus_mm)


def take_tolerance(words: Words, reading: Reading) -> Tolerance | None:
    """Take a tolerance out of the words between a feature's word and its plate; None without one.

    Raises:
        BadPhrase: for one that cannot be read, stands elsewhere, or is out of reason.
    """
    said = _apart(words.rest())
    first = _starts_at(said)
    if first is None:
        return None
    after = first + 1
    while after < len(said) and (_GOES_ON.match(said[after].text) or is_unit(said[after].text)):
        after += 1
    start, end = said[first].start, said[after - 1].end
    rest = [word.plain for word in said[after:]]
    if "thru" not in rest or "x" in rest[: rest.index("thru")]:
        message = "a tolerance stands behind the hole's size, before 'thru'"
        raise words.wrong(start, end, message, EXAMPLE)
    made = _read(words, start, end, reading)
    words.say((*said[:first], *said[after:]))
    return made


def _apart(said: tuple[Word, ...]) -> list[Word]:
    """The words before the plate with a glued tolerance cut off: ``22±0.5`` is two words."""
    cut: list[Word] = []
    for word in said:
        glued = _GLUED.search(word.text)
        if glued is None:
            cut.append(word)
            continue
        at = glued.start()
        cut.append(Word(word.text[:at], word.start, word.start + at))
        cut.append(Word(word.text[at:], word.start + at, word.end))
    return cut


def _starts_at(said: list[Word]) -> int | None:
    """Where a sign stands behind a size; a minus alone only where the plate still follows."""
    plate = next((at for at, word in enumerate(said) if word.plain == "thru"), len(said))
    for at, word in enumerate(said[1:], 1):
        if _STARTS.match(word.text) and said[at - 1].plain not in ("x", "thru"):
            signed = word.text[0] in "+±"
            if signed or at < plate < len(said):
                return at
    return None


def _read(words: Words, start: int, end: int, reading: Reading) -> Tolerance:
    text = words.text[start:end]
    found = _BOTH.fullmatch(text) or _EACH.fullmatch(text) or _TURNED.fullmatch(text)
    if found is None:
        message = f"{text!r} is no tolerance: it names both sides, as ±0.5 or +0.5 -0"
        hint = "a size with a fraction is written as one: 1-1/8"
        raise words.wrong(start, end, message, way_out=hint)
    sides = found.groupdict()
    plus_mm = _side(words, sides["plus"], start + found.start("plus"), reading)
    minus_mm = plus_mm
    if "minus" in sides:
        minus_mm = _side(words, sides["minus"], start + found.start("minus"), reading)
    most_mm = reading.rules.number(RULE)
    if exceeds(max(plus_mm, minus_mm), most_mm) or max(plus_mm, minus_mm) <= 0:
        most = clean_text(most_mm, reading.system)
        message = f"a tolerance of {text} is out of reason: over 0 and at most {most}"
        raise words.wrong(start, end, message, EXAMPLE)
    return Tolerance(plus_mm, minus_mm)


def _side(words: Words, text: str, start: int, reading: Reading) -> float:
    plain = text.rstrip(" /")
    end = start + len(plain)
    try:
        size_mm = read_length_mm(plain, reading.system, allow_zero=True)
    except BadInput as error:
        raise words.refused(start, end, error, EXAMPLE, "expected a tolerance: ") from error
    words.sizes.append(SizeRead(plain, start, end, size_mm))
    return size_mm


def _word(size_mm: float, system: System) -> str:
    return size_word(size_mm, system) if size_mm else "0"
