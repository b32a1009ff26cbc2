"""What is done to a punched hole afterwards: countersunk, counterbored, tapped.

A tapped hole is punched at the size of its tapping drill. Neither is made at the station, so the
answer, the plan and the papers say it.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace
from math import radians, tan
from typing import TYPE_CHECKING, Any

from crib.errors import BadInput
from crib.features.common.case import Plate
from crib.features.common.findings import Finding
from crib.features.common.phrase import SizeRead, Word, Words
from crib.features.common.plate_phrase import Reading
from crib.features.common.sizes import size_word
from crib.features.common.speech import Speech
from crib.features.common.spoken import (
    BORE_WORDS,
    COUNTERBORED,
    COUNTERSUNK,
    LATER,
    SINK_WORDS,
    TAPPED,
)
from crib.spellings import size_words
from crib.trade.common.verdicts import exceeds
from crib.trade.metal.shapes import Outline
from crib.trade.metal.tap_drills import TapDrill, tap_drill
from crib.units import System, looks_like_length, read_length_mm

if TYPE_CHECKING:
    from crib.features.common.picture import Picture

EXAMPLE = "hole 13/16 countersunk 1-1/4 at 82 thru 3/8 A36"
BORED_EXAMPLE = "hole 13/16 counterbored 1-1/4 deep 1/2 thru 3/4 A36"
TAPPED_EXAMPLE = "tapped 1/2-13 thru 1/4 A36"
_ANGLE = re.compile(r"(\d{1,3}(?:\.\d{1,3})?)(?:°|deg)?")
_LEAST_DEG, _MOST_DEG = 30.0, 150.0


@dataclass(frozen=True, slots=True)
class Counterbore:
    """How wide and how deep it is; None where the phrase does not say it."""

    across_mm: float | None
    deep_mm: float | None

    def phrase(self, system: System) -> str:
        """It as a phrase has it."""
        across = f" {size_word(self.across_mm, system)}" if self.across_mm else ""
        deep = f" deep {size_word(self.deep_mm, system)}" if self.deep_mm else ""
        return f" {COUNTERBORED}{across}{deep}"

    def words(self, say: Speech) -> str:
        """What is to be done."""
        across = f" to {say.size(self.across_mm)}" if self.across_mm else ", size by the drawing"
        deep = f", {say.size(self.deep_mm)} deep" if self.deep_mm else ", depth by the drawing"
        return f"counterbore{across}{deep}"

    def wrong_for(self, outline: Outline, plate: Plate, say: Speech) -> str:
        """Why it does not suit a hole; empty where it does."""
        if self.across_mm and not exceeds(self.across_mm, outline.width_mm):
            return f"a counterbore of {say.size(self.across_mm)} is not wider than its hole"
        if self.deep_mm and not exceeds(plate.thickness_mm, self.deep_mm):
            return f"a counterbore {say.size(self.deep_mm)} deep leaves nothing of the plate"
        return ""


@dataclass(frozen=True, slots=True)
class SecondOperation:
    """A countersink, of what the phrase says of its size and angle, a counterbore, a thread."""

    countersunk: bool = False
    across_mm: float | None = None
    angle_deg: float | None = None
    thread: TapDrill | None = None
    bore: Counterbore | None = None

    def phrase(self, system: System) -> str:
        """It as a phrase has it behind the hole's size."""
        made = f" {TAPPED} {self.thread.thread}" if self.thread else ""
        if self.countersunk:
            across = f" {size_word(self.across_mm, system)}" if self.across_mm else ""
            angle = f" at {self.angle_deg:g}" if self.angle_deg else ""
            made += f" {COUNTERSUNK}{across}{angle}"
        return f"{made}{self.bore.phrase(system) if self.bore else ''}"

    def as_json(self) -> dict[str, Any]:
        """It for programs, SI."""
        sink = {"across_mm": self.across_mm, "angle_deg": self.angle_deg}
        thread = (
            {"thread": self.thread.thread, "drill_mm": self.thread.drill_mm} if self.thread else {}
        )
        bored = {"counterbore": asdict(self.bore)} if self.bore else {}
        return {**({"countersink": sink} if self.countersunk else {}), **bored, **thread}

    def words(self, say: Speech) -> str:
        """What is to be done after punching."""
        todo = []
        if self.countersunk:
            across = f" to {say.size(self.across_mm)}" if self.across_mm else ""
            angle = f" at {self.angle_deg:g}°" if self.angle_deg else ""
            todo.append(f"countersink{across or ', size by the drawing,'}{angle}".rstrip(","))
        if self.bore:
            todo.append(self.bore.words(say))
        if self.thread:
            todo.append(f"tap {self.thread.thread}")
        return " and ".join(todo)

    def drawn(self, picture: Picture, say: Speech) -> Picture:
        """A picture of the pair with what is made later round the hole."""
        from crib.features.common.picture import Circle

        across_mm = self.across_mm or (self.thread.major_mm if self.thread else None)
        wide_mm = (across_mm, self.bore.across_mm if self.bore else None)
        ring = tuple(Circle(0.0, 0.0, mm / 2, "cut") for mm in wide_mm if mm)
        notes = (*picture.notes, f"afterwards: {self.words(say)}")
        return replace(picture, shapes=(*picture.shapes, *ring), notes=notes)

    def finding(self, say: Speech) -> Finding:
        """That it is not done when the hole is punched."""
        text = f"not done when it is punched: afterwards {self.words(say)}"
        source = "common practice, no source"
        if self.thread:
            text += (
                "; punched, the hole is wider on the die's side and its wall is hard:"
                " drill it where the thread must bear"
            )
            source = self.thread.source
        return Finding(LATER, "caution", text, source=source)


def take_second(words: Words, reading: Reading) -> SecondOperation | None:
    """Take what is done later out of a phrase, and put a tapped hole's size in its place.

    Raises:
        BadPhrase: for a size, an angle or a thread that cannot be read.
    """
    sink = _take_countersink(words, reading)
    bore = _take_counterbore(words, reading)
    thread = _take_thread(words)
    if sink is None and bore is None and thread is None:
        return None
    return SecondOperation(
        sink is not None,
        sink[0] if sink else None,
        sink[1] if sink else None,
        thread,
        bore,
    )


def checked(
    second: SecondOperation, outline: Outline, plate: Plate, words: Words, say: Speech
) -> SecondOperation:
    """The operation, where it suits the hole.

    Raises:
        BadPhrase: for a hole that is not round, a countersink or counterbore not wider than its
            hole or deeper than the plate, a hole that leaves no thread.
    """
    wrong = ""
    across_mm, thread = second.across_mm, second.thread
    if outline.shape not in ("round", "obround") or (outline.shape != "round" and thread):
        made = "counterbored" if second.bore else "countersunk or tapped"
        wrong = f"only a round hole is {made}, and this is {outline.shape}"
    elif across_mm and not exceeds(across_mm, outline.width_mm):
        wrong = f"a countersink of {say.size(across_mm)} is not wider than its hole"
    elif across_mm and second.angle_deg:
        deep_mm = (across_mm - outline.width_mm) / 2 / tan(radians(second.angle_deg / 2))
        if exceeds(deep_mm, plate.thickness_mm):
            wrong = (
                f"the countersink would be {say.length(deep_mm)} deep, more than the plate is thick"
            )
    elif thread and not exceeds(thread.major_mm, outline.width_mm):
        wrong = f"{say.size(outline.width_mm)} leaves no thread of {thread.thread}"
    elif second.bore:
        wrong = second.bore.wrong_for(outline, plate, say)
    if wrong:
        raise words.wrong(0, len(words.text), wrong, BORED_EXAMPLE if second.bore else EXAMPLE)
    return second


def _take_countersink(words: Words, reading: Reading) -> tuple[float | None, float | None] | None:
    said = words.rest()
    at = next((n for n, word in enumerate(said) if word.plain in SINK_WORDS), None)
    if at is None:
        return None
    end, angle_deg = at + 1, None
    across_mm, end = _size_at(words, said, end, reading)
    if end + 1 < len(said) and said[end].plain == "at":
        match = _ANGLE.fullmatch(said[end + 1].text)
        angle_deg = float(match[1]) if match else 0.0
        if not _LEAST_DEG <= angle_deg <= _MOST_DEG:
            place = said[end + 1]
            message = f"the angle of a countersink is {_LEAST_DEG:g} to {_MOST_DEG:g} degrees"
            raise words.wrong(place.start, place.end, message, EXAMPLE)
        end += 2
        if end < len(said) and said[end].plain in ("deg", "degrees", "°"):
            end += 1
    words.say((*said[:at], *said[end:]))
    return across_mm, angle_deg


def _take_counterbore(words: Words, reading: Reading) -> Counterbore | None:
    said = words.rest()
    at = next((n for n, word in enumerate(said) if word.plain in BORE_WORDS), None)
    if at is None:
        return None
    across_mm, end = _size_at(words, said, at + 1, reading)
    deep_mm = None
    if end < len(said) and said[end].plain == "deep":
        place = said[end]
        deep_mm, end = _size_at(words, said, end + 1, reading)
        if deep_mm is None:
            message = "expected how deep the counterbore is"
            raise words.wrong(place.start, place.end, message, BORED_EXAMPLE)
    words.say((*said[:at], *said[end:]))
    return Counterbore(across_mm, deep_mm)


def _size_at(
    words: Words, said: Sequence[Word], at: int, reading: Reading
) -> tuple[float | None, int]:
    """The size that stands there, if one does, and the place behind it."""
    if at >= len(said) or not looks_like_length(said[at].text):
        return None, at
    end = at + size_words([word.text for word in said[at:]])
    return _length(words, tuple(said[at:end]), reading), end


def _length(words: Words, said: tuple[Word, ...], reading: Reading) -> float:
    text, start, end = " ".join(word.text for word in said), said[0].start, said[-1].end
    try:
        size_mm = read_length_mm(text, reading.system)
    except BadInput as error:
        raise words.refused(start, end, error, EXAMPLE, "expected its size: ") from error
    words.sizes.append(SizeRead(text, start, end, size_mm))
    return size_mm


def _take_thread(words: Words) -> TapDrill | None:
    """The thread behind ``tapped``, which may be the first word; its drill stands for the size."""
    said = words.rest()
    first = words.first.plain == TAPPED
    at = next((n for n, word in enumerate(said) if word.plain == TAPPED), -1 if first else None)
    if at is None:
        return None
    named = said[at + 1 : at + (4 if at + 2 < len(said) and said[at + 2].plain == "x" else 2)]
    if not named or named[0].plain == "thru":
        raise words.wrong(
            *words.place(), "expected a thread, such as M12 or 1/2-13", TAPPED_EXAMPLE
        )
    start, end = named[0].start, named[-1].end
    try:
        thread = tap_drill("".join(word.text for word in named))
    except BadInput as error:
        raise words.refused(start, end, error, TAPPED_EXAMPLE) from error
    before, after = said[: max(at, 0)], said[at + 1 + len(named) :]
    if after and after[0].plain in ("unc", "unf"):
        after = after[1:]
    size = () if before else (Word(thread.drill, start, end),)
    words.say((*before, *size, *after))
    words.free = True
    return thread
