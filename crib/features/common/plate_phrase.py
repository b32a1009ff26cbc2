"""Reading a plate and the sizes before it, as a crib writes them: ``thru 3/8 A36``."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from crib.errors import BadInput, BadPhrase, UnsureName
from crib.features.common.case import Plate
from crib.features.common.phrase import TAIL_WORDS, SizeRead, Words
from crib.features.common.spoken import PLATE_WORDS
from crib.spellings import is_bare, whole_and_fraction
from crib.trade.metal.gauges import gauge_thickness_mm
from crib.trade.metal.materials import Material
from crib.trade.shop.shop_rules import Rules
from crib.units import System, looks_like_length, read_length_mm


@dataclass(frozen=True, slots=True)
class Reading:
    """The crib's own way of reading: its unit and its rules."""

    rules: Rules

    @property
    def system(self) -> System:
        """The unit of a bare number."""
        return self.rules.system


def read_plate(words: Words, reading: Reading, example: str) -> Plate:
    """Read ``thru THICKNESS [MATERIAL]``.

    Raises:
        BadPhrase: for a thickness or a material that cannot be read.
    """
    take_thru(words, reading, example)
    start = words.place()[0]
    thickness_mm, gauge = words.take_thickness(reading.system, "a thickness", example)
    end = words.taken_to
    words.take_if(*PLATE_WORDS)
    assumed = words.done or words.peek() in TAIL_WORDS
    if assumed:
        material = reading.rules.material(reading.rules.text("material.default"))
    else:
        material = take_material(words, reading, example)
    try:
        if gauge is not None:
            thickness_mm = gauge_thickness_mm(gauge, material.gauge_system)
    except BadInput as error:
        raise words.wrong(start, end, error.message, example, way_out=error.way_out) from error
    return Plate(thickness_mm, material, assumed, gauge)


def late_plate(plate: Plate, words: Words, reading: Reading, example: str) -> Plate:
    """The plate with a material that stands behind other parts: ``thru 3/8 edge 2 A36``.

    Raises:
        BadPhrase: for a number there, and for the material of a gauge.
    """
    if words.done or words.peek() in TAIL_WORDS or not plate.assumed:
        return plate
    if plate.gauge is not None or not words.peek()[:1].isalpha():
        word = words.take()
        hint = "the material stands right behind the thickness"
        raise words.wrong(word.start, word.end, f"cannot place {word.text!r}", way_out=hint)
    return replace(plate, material=take_material(words, reading, example), assumed=False)


def read_two_sizes(words: Words, reading: Reading, what: str, example: str) -> tuple[float, float]:
    """Read ``SIZE x SIZE`` and give the smaller first [mm].

    Raises:
        BadPhrase: for sizes that cannot be read.
    """
    first_mm = words.take_length_mm(reading.system, what, example)
    words.expect("x", example)
    second_mm = words.take_length_mm(reading.system, what, example)
    return min(first_mm, second_mm), max(first_mm, second_mm)


def take_thru(words: Words, reading: Reading, example: str) -> None:
    """Take ``thru``; a size in its place is the thickness: ``hole 13/16 3/8``.

    Raises:
        UnsurePhrase: where what is written may be one size or two.
        BadPhrase: where no thickness follows.
    """
    if words.take_if("thru"):
        return
    _take_in(words)
    last, word = words.sizes[-1] if words.sizes else None, words.peek()
    if not looks_like_length(word) or _is_material(word, reading):
        if last is not None and whole_and_fraction(last.text) and not words.free:
            _ask_if_two(words, last)
        words.expect("thru", example)
    if last is not None and last.text.isdecimal() and word.isdecimal():
        _ask_if_numbers(words, last, word)
    if last is not None and reading.system == "mm" and _in_the_plate(last.text):
        number = last.text.split()[0]
        message = f"`in` behind {number} may be inches, or the word before the plate"
        raise words.doubted(last.start, last.end, message, (f"{number}mm thru", f"{number}in thru"))
    words.free = True


def take_material(words: Words, reading: Reading, example: str, *stops: str) -> Material:
    """Take as many words as name a material; ``plate`` may stand behind them.

    Raises:
        UnsurePhrase: for a word that may mean several materials.
        BadPhrase: for one that is not known, and for what may be the rest of a number.
    """
    start = words.place()[0]
    name, _start, end = words.take_until(*TAIL_WORDS, *stops)
    said = name.split()
    for count in range(len(said), 0, -1):
        if _is_material(" ".join(said[:count]), reading):
            words.give_back(len(said) - count)
            words.take_if(*PLATE_WORDS)
            return reading.rules.material(" ".join(said[:count]))
    return read_material(name, (start, end), words, reading, example)


def read_material(
    name: str, place: tuple[int, int], words: Words, reading: Reading, example: str
) -> Material:
    """The material of a name that stands at a place of the phrase.

    Raises:
        UnsurePhrase: for a word that may mean several materials.
        BadPhrase: for one that is not known, and for what may be the rest of a number.
    """
    try:
        return reading.rules.material(name)
    except BadInput as error:
        if words.sizes and not name[:1].isalpha() and not isinstance(error, UnsureName):
            raise _rest_of_size(name, place, words, reading) from error
        raise words.refused(*place, error, example) from error


def _ask_if_two(words: Words, last: SizeRead) -> None:
    """``hole 1 3/8``: one size without a thickness, or a size and a thickness."""
    whole, fraction = last.text.split(" ", 1)
    message = f"{last.text} may be one size without a thickness, or {whole} thru {fraction}"
    before, behind = words.text[: last.start], words.text[last.end :]
    two = f"{before}{whole} thru {fraction}{behind}"
    one = f"{before}{whole}-{fraction} thru THICKNESS{behind}"
    raise words.unsure(last.start, last.end, message, [two], f"say `{two}` or `{one}`")


def _ask_if_numbers(words: Words, last: SizeRead, word: str) -> None:
    """``hole 13 20``: two bare numbers may be a size and a thickness, or one with its sign lost."""
    end = words.place()[1]
    message = f"{last.text} {word} may be two sizes, or one whose bar or point is missing"
    before, behind = words.text[: last.start], words.text[end:]
    two = f"{before}{last.text} thru {word}{behind}"
    raise words.unsure(last.start, end, message, [two], f"say `{two}`, or write the one size out")


def _take_in(words: Words) -> None:
    """Take ``in`` where it stands before the plate and is no unit: ``hole 1 in in 3/8 plate``."""
    first = words.rest()[:2]
    if len(first) > 1 and first[0].plain == "in" and looks_like_length(first[1].text):
        words.take()


def _in_the_plate(text: str) -> bool:
    """Whether a number has the word ``in`` behind it, apart."""
    return re.fullmatch(r"[0-9.,]+ in", text, re.IGNORECASE) is not None


def _rest_of_size(name: str, place: tuple[int, int], words: Words, reading: Reading) -> BadPhrase:
    """What stands in a material's place and may be the rest of the size before it: ``1 3-16``."""
    size, figures = words.sizes[-1], re.findall("[0-9]+", name)
    message = f"{name!r} is no material, and may belong to the size {size.text}"
    ways = []
    if size.text.isdecimal() and len(figures) == 2:
        ways.append(f"{size.text}-{'/'.join(figures)}")
    if size.text.isdecimal() and len(figures) == 1:
        ways.append(f"{size.text}/{figures[0]}")
    ways = [way for way in ways if _is_size(way)]
    if is_bare(size.text) and _is_material("".join(figures), reading):
        ways.append(f"{size.text}{reading.system} {''.join(figures)}")
    if ways:
        return words.doubted(size.start, place[1], message, ways)
    hint = "write the size as one, such as 1-3/16, and its unit behind it: 1in"
    return words.wrong(*place, message, way_out=hint)


def _is_size(text: str) -> bool:
    try:
        read_length_mm(text, "in")
    except BadInput:
        return False
    return True


def _is_material(word: str, reading: Reading) -> bool:
    try:
        reading.rules.material(word)
    except BadInput:
        return False
    return True
