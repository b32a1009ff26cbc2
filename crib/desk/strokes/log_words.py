"""Reading what is said of strokes: TAG COUNT [about] [thru ...] [with DIE] ... , again.

A line begins with a tag and a count; what follows belongs to it until the next tag with a count.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Container, Sequence
from dataclasses import dataclass, field

from crib.acts import Said
from crib.desk.strokes.log_book import KnownLine, StrokeLine, read_known_work
from crib.desk.strokes.manner_words import AS_USUAL, MANNER_WORDS, with_word
from crib.desk.strokes.weigh import Work
from crib.errors import BadInput, BadPhrase, UnknownName
from crib.spellings import is_bare, is_open, size_words
from crib.trade.life.wear import Manner
from crib.trade.shop.shop_rules import Rules
from crib.units import looks_like_length, read_count

EXAMPLE = "P-0137 400 thru 3/8 A36"
_THRU = ("thru", "through")
_ABOUT = ("about", "abt", "ca", "~")
_PARTS = dict.fromkeys(_THRU, "thru") | dict.fromkeys(_ABOUT, "about")
_PARTS |= {word: name for word, (name, _value) in MANNER_WORDS.items()}
_KEYWORDS = (*_PARTS, "with", "job")
_COUNT = re.compile(r"~?[0-9][0-9,.]*")
_LETTERS = re.compile("[A-Za-z]{1,3}")
_TAG = "a tag"
_MOST_MATERIAL_WORDS = 4


@dataclass(slots=True)
class _Line:
    """A line being read."""

    tag: str
    count: int = 0
    estimate: bool = False
    thickness: str = ""
    material: str = ""
    die_tag: str = ""
    manner: Manner = AS_USUAL
    job: str = ""
    start: int = 0
    said: set[str] = field(default_factory=set)


Known = Callable[[str], KnownLine | None]
"""What a word in a tag's place stands for, when it is no tag but the code of a printed line."""


def _nothing_known(_word: str) -> None:
    return None


def read_lines(
    words: Sequence[str], rules: Rules, tags: Container[str], known: Known = _nothing_known
) -> list[StrokeLine]:
    """The lines that the words say; ``tags`` are the words (in capitals) that are tags or codes.

    Raises:
        BadPhrase: pointing at the word that cannot be placed.
        BadInput: for a count, thickness or material that cannot be read.
    """
    reader = _Reader([word.strip() for word in words if word.strip()], rules, tags, known)
    lines = []
    while not reader.done:
        lines.append(reader.line())
    return lines


def read_plate_words(words: Sequence[str], rules: Rules) -> tuple[str, str, list[str]]:
    """The words after ``thru``: a thickness, a material or empty, and what is left over.

    Raises:
        BadPhrase: when no thickness stands there.
    """
    reader = _Reader(list(words), rules, ())
    thickness, material = reader.plate()
    return thickness, material, reader.rest()


class _Reader:
    def __init__(
        self,
        words: list[str],
        rules: Rules,
        tags: Container[str],
        known: Known = _nothing_known,
    ) -> None:
        self._words = words
        self._rules = rules
        self._tags = tags
        self._known = known
        self._at = 0

    @property
    def done(self) -> bool:
        return self._at >= len(self._words)

    def line(self) -> StrokeLine:
        line = _Line(tag=self._tag(), start=self._at)
        known = self._known_of(line)
        self._about(line)
        line.count = self._count(line)
        self._about(line)
        while not self.done and self._plain() in _KEYWORDS:
            self._part(line, self._take().casefold())
        return StrokeLine(
            tag=known.tag,
            count=line.count,
            work=self._work(line, known),
            die_tag=line.die_tag or known.die_tag,
            job=line.job or known.job,
            estimate=line.estimate,
            code=known.code,
            beside=known.beside,
        )

    def _known_of(self, line: _Line) -> KnownLine:
        """What is known of the line by its first word, which is taken already."""
        try:
            return self._known(line.tag) or KnownLine(line.tag)
        except UnknownName as error:
            self._at -= 1
            raise self._wrong(error.message, error.way_out) from error

    def _work(self, line: _Line, known: KnownLine) -> Work:
        return read_known_work(self._rules, known, line.thickness, line.material, line.manner)

    def plate(self) -> tuple[str, str]:
        """A thickness and the material behind it, as they are written."""
        thickness = self._thickness()
        material = self._material()
        if not material and not self.done and _in_doubt(thickness, self._words[self._at]):
            message = f"{self._words[self._at]!r} may belong to the thickness {thickness}"
            raise self._wrong(message, f"say its unit or its material: thru {thickness} A36")
        return thickness, material

    def rest(self) -> list[str]:
        """The words that are not read."""
        return self._words[self._at :]

    def _tag(self) -> str:
        word = self._take_tag(_TAG)
        counted = not self.done and (_is_count(self._words[self._at]) or self._plain() in _ABOUT)
        if word.upper() not in self._tags and not counted:
            self._at -= 1
            hint = f"thru {word}" if looks_like_length(word) else ""
            raise self._wrong(f"cannot place {word!r}" + (f": say {hint}?" if hint else ""))
        return word.upper()

    def _count(self, line: _Line) -> int:
        if self.done:
            message = f"how many strokes of {line.tag}? The line ends here"
            raise self._wrong(message)
        word = self._take()
        if word.startswith("~"):
            line.estimate = True
        try:
            return read_count(word.removeprefix("~"))
        except BadInput as error:
            self._at -= 1
            message = f"expected a count of strokes of {line.tag}: {error.message}"
            raise self._wrong(message, error.way_out) from error

    def _about(self, line: _Line) -> None:
        if not self.done and self._plain() in _ABOUT:
            self._at += 1
            line.estimate = True

    def _part(self, line: _Line, word: str) -> None:
        """Take one part of a line, its first word being taken already."""
        part = _PARTS.get(word, word)
        if part in line.said:
            self._at -= 1
            message = f"{word!r} stands twice in the line of {line.tag}"
            raise self._wrong(message)
        line.said.add(part)
        if part == "thru":
            line.thickness, line.material = self.plate()
        elif word == "with":
            line.die_tag = self._take_tag("a die's tag after `with`").upper()
        elif word == "job":
            line.job = self._take_after("the job's name after `job`")
        elif word in MANNER_WORDS:
            line.manner = with_word(line.manner, word)
        else:
            line.estimate = True

    def _thickness(self) -> str:
        """A thickness with its unit, which may stand in several words: ``1 3/16 in``."""
        first = self._take_after("a thickness after `thru`")
        if not looks_like_length(first):
            self._at -= 1
            message = f"expected a thickness after `thru`, found {first!r}"
            raise self._wrong(message)
        more = size_words([first, *self._words[self._at :]]) - 1
        self._at += more
        return " ".join([first, *self._words[self._at - more : self._at]])

    def _material(self) -> str:
        """As many of the next words as are a material's name; none when a new line begins."""
        end = self._at
        while end < len(self._words) and end - self._at < _MOST_MATERIAL_WORDS:
            if self._words[end].casefold() in _KEYWORDS or self._begins_line(end):
                break
            end += 1
        for stop in range(end, self._at, -1):
            name = " ".join(self._words[self._at : stop])
            if _is_material(name, self._rules):
                self._at = stop
                return name
        if end > self._at and not _is_count(" ".join(self._words[self._at + 1 : self._at + 2])):
            return self._take()
        return ""

    def _begins_line(self, at: int) -> bool:
        counted = at + 1 < len(self._words) and _is_count(self._words[at + 1])
        return self._words[at].upper() in self._tags and counted

    def _take_tag(self, what: str) -> str:
        """A tag, which may be typed as two words: ``p 120``."""
        word = self._take_after(what)
        split = _LETTERS.fullmatch(word) and word.upper() not in self._tags and not self.done
        if split and self._words[self._at].isdecimal():
            behind = " ".join(self._words[self._at + 1 : self._at + 2])
            if what != _TAG or _is_count(behind) or behind.casefold() in _ABOUT:
                return f"{word} {self._take()}"
        return word

    def _take_after(self, what: str) -> str:
        if self.done or self._plain() in _KEYWORDS:
            message = f"expected {what}"
            raise self._wrong(message)
        return self._take()

    def _take(self) -> str:
        self._at += 1
        return self._words[self._at - 1]

    def _plain(self) -> str:
        return self._words[self._at].casefold()

    def _wrong(self, message: str, way_out: Said = "") -> BadPhrase:
        """An error that points at the word where the reading stands."""
        text = " ".join(self._words)
        start = len(" ".join([*self._words[: self._at], ""]))
        end = start + (0 if self.done else len(self._words[self._at]))
        return BadPhrase(
            message, text=text, start=start, end=end, way_out=way_out or f"right: {EXAMPLE}"
        )


def _in_doubt(thickness: str, word: str) -> bool:
    """Whether figures behind a thickness could belong to it: ``1 3 16`` may be 1-3/16."""
    short = len(word) <= 2 or is_bare(thickness)
    return word.isdecimal() and short and is_open(thickness)


def _is_count(word: str) -> bool:
    return _COUNT.fullmatch(word) is not None


def _is_material(name: str, rules: Rules) -> bool:
    try:
        rules.material(name)
    except UnknownName:
        return False
    return True
