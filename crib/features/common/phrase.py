"""Reading a feature phrase word by word, so that an error can point at the word at fault."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from crib import units
from crib.acts import Said
from crib.errors import AskBack, BadInput, BadPhrase, UnsurePhrase
from crib.spellings import LOWERED, RAISED, VULGAR, plain_spelling, size_words
from crib.units import System

LONGEST_PHRASE = 300
FEW_WAYS = 3
"""Readings up to so many are written out behind a question; more are only counted up."""

TAIL_WORDS = ("thru", "for", "at", "onto", "per", "edge", "end", "pitch", "ream")
"""Words that begin the next part of a phrase, whatever stood before them."""

_MEANS = {"mitre": "at", "by": "x"}
_SPLIT = re.compile(r"[^\s×]+|×")
_BEGINS, _ENDS = rf"\d{''.join(VULGAR)}{RAISED}", rf"\d{''.join(VULGAR)}{LOWERED}"
"""What a size may begin and end with, beside a point, a quote and its unit."""

# An x between two sizes: 13/16x2, or glued to one of them only: 13/16x 2, 13/16 x2.
_GLUED_X = re.compile(
    rf"(?<=[nm\"'.″”{_ENDS}])x(?=[.{_BEGINS}])"
    rf"|(?<=[\"″”{_ENDS}])x$|(?<=\din)x$|(?<=\dmm)x$|^x(?=[.{_BEGINS}])",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Word:
    """One word of a phrase and where it stands."""

    text: str
    start: int
    end: int

    @property
    def plain(self) -> str:
        """The word in lower case and in its one spelling; × is x."""
        plain = plain_spelling(self.text)
        return _MEANS.get(plain, plain)


@dataclass(frozen=True, slots=True)
class SizeRead:
    """A size or count that was read: its words, where they stand, and what came of them."""

    text: str
    start: int
    end: int
    value: float


class Words:
    """A phrase being read from left to right.

    ``sizes`` are those that were read; ``free`` says that it left out a word, or had an order of
    its own, so that what it means should be shown back.
    """

    def __init__(self, text: str) -> None:
        self.text = " ".join(text.split()) if len(text) <= LONGEST_PHRASE else text[:40] + "..."
        if len(text) > LONGEST_PHRASE:
            message = f"the phrase has {len(text)} characters; at most {LONGEST_PHRASE}"
            raise BadPhrase(message, text=self.text, start=0, end=len(self.text))
        self._words = _split(self.text)
        self._at = 0
        self.sizes: list[SizeRead] = []
        self.free = False

    @property
    def done(self) -> bool:
        """Whether every word is read."""
        return self._at >= len(self._words)

    @property
    def first(self) -> Word:
        """The first word, read or not; an empty one of an empty phrase."""
        return self._words[0] if self._words else Word("", 0, 0)

    def peek(self) -> str:
        """The next word in lower case, or empty at the end."""
        return "" if self.done else self._words[self._at].plain

    def take(self) -> Word:
        """The next word; at the end an empty one."""
        if self.done:
            return Word("", len(self.text), len(self.text))
        self._at += 1
        return self._words[self._at - 1]

    def take_if(self, *wanted: str) -> bool:
        """Take the next word when it is one of these."""
        if self.peek() in wanted:
            self._at += 1
            return True
        return False

    def take_until(self, *stops: str) -> tuple[str, int, int]:
        """The words up to one of the stops or the end, joined, with their place."""
        first = self._at
        while not self.done and self.peek() not in stops:
            self._at += 1
        taken = self._words[first : self._at]
        if not taken:
            return "", self._start(), self._start()
        return " ".join(word.text for word in taken), taken[0].start, taken[-1].end

    def give_back(self, count: int) -> None:
        """Take so many of the last words as not read."""
        self._at -= count

    def take_quantity(self, read: Callable[[str], float], what: str, example: str) -> float:
        """Read a size that may stand in up to three words (``1 3/16 in``).

        Raises:
            BadPhrase: pointing at the words, with what was expected.
        """
        first = self._at
        start = self._start()
        if self.done or (self.peek() in TAIL_WORDS):
            word = self.take()
            said = f"found {word.text!r}" if word.text else "the phrase ends here"
            raise self.wrong(word.start, word.end, f"expected {what}, {said}", example)
        taken = self._words[first : first + size_words([word.text for word in self._words[first:]])]
        self._at += len(taken)
        text = " ".join(word.text for word in taken)
        try:
            return read(text)
        except BadInput as error:
            raise self.refused(
                start, taken[-1].end, error, example, f"expected {what}: "
            ) from error

    def take_length_mm(self, bare: System, what: str, example: str) -> float:
        """Read a length [mm]; a bare number is in the crib's own unit."""
        return self._take_size(lambda text: units.read_length_mm(text, bare), what, example)

    def take_thickness(self, bare: System, what: str, example: str) -> tuple[float, int | None]:
        """Read a thickness [mm], or a gauge, which is a thickness only with its material."""
        gauges: list[int] = []

        def read(text: str) -> float:
            gauge = units.read_gauge(text)
            if gauge is None:
                return units.read_length_mm(text, bare)
            gauges.append(gauge)
            return 0.0

        thickness_mm = self._take_size(read, what, example)
        return thickness_mm, gauges[0] if gauges else None

    def _take_size(self, read: Callable[[str], float], what: str, example: str) -> float:
        start = self._start()
        value = self.take_quantity(read, what, example)
        end = self.taken_to
        self.sizes.append(SizeRead(self.text[start:end], start, end, value))
        return value

    def expect(self, wanted: str, example: str) -> None:
        """Take a word that must stand here.

        Raises:
            BadPhrase: when another word, or none, stands here.
        """
        if not self.take_if(wanted):
            word = self.take()
            said = f"found {word.text!r}" if word.text else "the phrase ends here"
            raise self.wrong(word.start, word.end, f"expected {wanted!r}, {said}", example)

    def must_be_done(self, example: str) -> None:
        """Refuse words that nothing has read.

        Raises:
            BadPhrase: when words are left.
        """
        if not self.done:
            word = self.take()
            raise self.wrong(word.start, word.end, f"cannot place {word.text!r}", example)

    def wrong(
        self, start: int, end: int, message: str, example: str = "", *, way_out: Said = ""
    ) -> BadPhrase:
        """An error that points into this phrase; where nothing else helps, an example does."""
        hint = way_out or f"right: {example}"
        return BadPhrase(message, text=self.text, start=start, end=end, way_out=hint)

    def refused(
        self, start: int, end: int, error: BadInput, example: str, before: str = ""
    ) -> BadPhrase:
        """Another error as one that points into this phrase; its readings become whole phrases."""
        message = f"{before}{error.message}"
        if isinstance(error, AskBack) and error.readings:
            return self.doubted(start, end, message, error.readings, error.way_out)
        return self.wrong(start, end, message, example, way_out=error.way_out)

    def doubted(
        self, start: int, end: int, message: str, ways: Sequence[str], way_out: Said = ""
    ) -> UnsurePhrase:
        """A question back; each way would stand in the place of the words from start to end."""
        whole = [f"{self.text[:start]}{way}{self.text[end:]}" for way in ways]
        return self.unsure(start, end, message, whole, way_out if len(ways) > FEW_WAYS else "")

    def unsure(
        self, start: int, end: int, message: str, readings: Sequence[str], way_out: Said = ""
    ) -> UnsurePhrase:
        """A question back, with the whole phrases that may have been meant."""
        return UnsurePhrase(
            message, text=self.text, start=start, end=end, readings=readings, way_out=way_out
        )

    def rest(self) -> tuple[Word, ...]:
        """The words that are not read."""
        return tuple(self._words[self._at :])

    def say(self, rest: Sequence[Word]) -> None:
        """Put other words, or another order, in the place of those that are not read."""
        self._words[self._at :] = rest

    def part(self, words: Sequence[Word]) -> Words:
        """Some words of this phrase to be read by themselves."""
        made = Words(self.text)
        made._words = list(words)
        return made

    def place(self) -> tuple[int, int]:
        """Where the next word stands; the end of the phrase when every word is read."""
        if self.done:
            return len(self.text), len(self.text)
        return self._words[self._at].start, self._words[self._at].end

    @property
    def taken_to(self) -> int:
        """Where the last word that was taken ends."""
        return self._words[self._at - 1].end if self._at else 0

    def _start(self) -> int:
        return self._words[self._at].start if not self.done else len(self.text)


def _split(text: str) -> list[Word]:
    """Words with their places; a × or an x glued between two sizes is a word of its own."""
    words = []
    for match in _SPLIT.finditer(text):
        start = match.start()
        for part in _parts(match.group()):
            words.append(Word(part, start, start + len(part)))
            start += len(part)
    return words


def _parts(text: str) -> list[str]:
    cut = _GLUED_X.search(text)
    if cut is None:
        return [text]
    before, after = text[: cut.start()], text[cut.end() :]
    return [*([before] if before else []), cut.group(), *(_parts(after) if after else [])]
