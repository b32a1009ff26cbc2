"""Reading ``saddle 1-1/2 pipe sch 40 onto 2 pipe at 60``: the size, then parts in any order."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field

from crib import units
from crib.errors import BadInput, BadQuantity
from crib.features.common.phrase import TAIL_WORDS, Words
from crib.features.common.plate_phrase import Reading, read_material
from crib.features.common.sizes import size_word
from crib.features.common.tool_match import NEST_RULE
from crib.features.saddles.tubular import (
    Sort,
    Tubular,
    by_measure,
    either,
    pipe_named,
    said_outside,
    scheduled_wall,
    tube_named,
)
from crib.trade.common.verdicts import falls_short
from crib.trade.metal.pipes import SCHEDULES
from crib.units import looks_like_length

EXAMPLE = "saddle 1-1/2 pipe sch 40"
TUBE_EXAMPLE = "saddle 1-1/2 tube 0.120 wall onto 2 pipe"

_SORTS: dict[str, Sort] = {
    "pipe": "pipe",
    "pipes": "pipe",
    "tube": "tube",
    "tubes": "tube",
    "tubing": "tube",
}
_EITHER = ("rail", "rails", "railing", "handrail", "handrails", "post", "posts", "conduit")
"""Words for what may be pipe or tube: only its measured outside tells."""
_SPLIT_NAMES = ("dn", "nps")
_OWN_TAIL = ("at", "onto")
_ENDS = tuple(word for word in TAIL_WORDS if word not in _OWN_TAIL)
_WALL_CLASSES = ("std", "xs", "xxs")
_SCHEDULE_WORDS = (
    *_WALL_CLASSES,
    *(
        f"{word}{known.lower()}"
        for word in ("sch", "sch.", "schedule")
        for known in ("", *SCHEDULES)
    ),
)
_GLUED_SCHEDULE = re.compile(r"sch(?:edule)?\.?(\w*)")
_ANGLE = re.compile(r"([0-9]{1,3}(?:\.[0-9]*)?)(?:°|deg|degrees)?")

Place = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Named:
    """A size as it was written, whether pipe or tube stood behind it, and where."""

    text: str
    sort: Sort | None
    place: Place


@dataclass(slots=True)
class SaddleParts:
    """What a phrase said, part by part, and where each stood."""

    branch: Named
    header: Tubular | None = None
    schedule: str = ""
    wall_mm: float | None = None
    angle_deg: float = 90.0
    offset_mm: float = 0.0
    centres_mm: float | None = None
    measured_mm: float | None = None
    material: str = ""
    places: dict[str, Place] = field(default_factory=dict)

    def place(self, *names: str) -> Place:
        """Where the first of some parts stands; the branch's size when none of them was said."""
        return next((self.places[name] for name in names if name in self.places), self.branch.place)


def read_saddle_parts(words: Words, reading: Reading) -> SaddleParts:
    """Read everything behind ``saddle``.

    Raises:
        BadPhrase: pointing at the word that cannot be read.
    """
    parts = SaddleParts(_named(words, "the size of the pipe or tube"))
    if parts.branch.sort is None and not words.done and not _begins(words.peek()):
        word = words.take()
        parts.places["instead"] = (word.start, word.end)
        if words.peek() in _SORTS:
            raise words.wrong(word.start, word.end, f"cannot place {word.text!r}", EXAMPLE)
    while not words.done and words.peek() not in _ENDS:
        start = words.place()[0]
        name = _take_part(parts, words, reading)
        if name in parts.places:
            message = f"{name} is said twice"
            raise words.wrong(start, words.taken_to, message, EXAMPLE)
        parts.places[name] = (start, words.taken_to)
    return parts


def branch_of(parts: SaddleParts, words: Words, reading: Reading) -> Tubular:
    """The pipe or tube that is fitted, decided by its word or by its measured outside.

    Raises:
        BadPhrase: asking "pipe or tube?" where neither is known.
    """
    named = parts.branch
    if parts.measured_mm is None:
        return _meant(named, words, reading, parts.place("instead"))
    if "instead" in parts.places:
        start, end = parts.places["instead"]
        if words.text[start:end].casefold() not in _EITHER:
            message = f"cannot place {words.text[start:end]!r}"
            raise words.wrong(start, end, message, EXAMPLE)
    tolerance_mm = reading.rules.number(NEST_RULE)
    try:
        return by_measure(named.text, named.sort, parts.measured_mm, tolerance_mm, reading)
    except BadInput as error:
        place, hint = parts.place("measured"), error.way_out
        raise words.wrong(*place, error.message, way_out=hint) from error


def wall_of(
    parts: SaddleParts, branch: Tubular, words: Words, reading: Reading
) -> tuple[float, str]:
    """The wall [mm] and its schedule; a tube has none, and must say its wall.

    Raises:
        BadPhrase: for a wall that is not known or leaves no bore.
    """
    if branch.sort == "tube" and parts.wall_mm is None:
        measured = "" if parts.measured_mm is None else "measured it is tube, not pipe: "
        message = (
            f"{measured}{said_outside(branch, reading.system)} and has no schedule, say its wall"
        )
        raise words.wrong(*parts.place("schedule", "measured"), message, TUBE_EXAMPLE)
    if parts.wall_mm is not None and parts.schedule:
        message = "say the schedule or the wall, not both"
        raise words.wrong(*parts.place("wall"), message, EXAMPLE)
    wall_mm, schedule = parts.wall_mm, ""
    if wall_mm is None:
        try:
            size = scheduled_wall(branch, parts.schedule or "40")
        except BadInput as error:
            place, hint = parts.place("schedule"), error.way_out
            raise words.wrong(*place, error.message, EXAMPLE, way_out=hint) from error
        wall_mm, schedule = size.wall_mm, size.schedule
    if not falls_short(wall_mm, branch.outside_mm / 2):
        message = "such a wall leaves no bore"
        raise words.wrong(*parts.place("wall", "schedule"), message, EXAMPLE)
    return wall_mm, schedule


def _named(words: Words, what: str) -> Named:
    start = words.place()[0]
    taken: list[str] = []

    def read(text: str) -> float:
        if not looks_like_length(text) and not text.casefold().startswith(_SPLIT_NAMES):
            message = f"{text!r} is not the size of a pipe or tube"
            raise BadQuantity(message, way_out=EXAMPLE)
        taken.append(text)
        return 0.0

    words.take_quantity(read, what, EXAMPLE)
    text = taken[0]
    if text.casefold() in _SPLIT_NAMES and not words.done:
        text = f"{text}{words.take().text}"
    end = words.taken_to
    sort = _SORTS.get(words.peek())
    if sort:
        words.take()
    return Named(text, sort, (start, end))


def _meant(named: Named, words: Words, reading: Reading, asked_at: Place) -> Tubular:
    try:
        if named.sort == "pipe":
            return pipe_named(named.text, reading)
        if named.sort == "tube":
            return tube_named(named.text, reading)
        could_be = either(named.text, reading)
    except BadInput as error:
        raise words.wrong(*named.place, error.message, EXAMPLE) from error
    known = ", ".join(said_outside(tubular, reading.system) for tubular in could_be)
    message = f"pipe or tube? {known}"
    measured = size_word(could_be[0].named_mm, reading.system)
    hint = f"say which, or measure it: saddle {named.text} measured {measured}"
    raise words.wrong(*asked_at, message, way_out=hint)


def _begins(word: str) -> bool:
    """Whether a word begins a part of its own."""
    return (
        word in _READERS
        or word in _ENDS
        or word in _WALL_CLASSES
        or word in _SORTS
        or bool(_GLUED_SCHEDULE.fullmatch(word))
        or word[:1].isdecimal()
        or word[:1] == "."
    )


def _take_part(parts: SaddleParts, words: Words, reading: Reading) -> str:
    """Take the next part and say which it was."""
    word = words.peek()
    if word in _READERS:
        name, read = _READERS[word]
        words.take()
        read(parts, words, reading)
        return name
    if word in _WALL_CLASSES:
        parts.schedule = words.take().text
        return "schedule"
    glued = _GLUED_SCHEDULE.fullmatch(word)
    if glued:
        start = words.take().start
        parts.schedule = glued[1] or words.take().text
        if not parts.schedule:
            raise words.wrong(*words.place(), "expected a schedule", EXAMPLE)
        if parts.schedule.upper() not in SCHEDULES:
            message = f"unknown schedule {parts.schedule!r}; known: {', '.join(SCHEDULES)}"
            raise words.wrong(start, words.taken_to, message, EXAMPLE)
        return "schedule"
    return _wall_or_material(parts, words, reading)


def _wall_or_material(parts: SaddleParts, words: Words, reading: Reading) -> str:
    """Words up to ``wall`` are the wall; any others are the material."""
    text, start, end = words.take_until(*_READERS, *_ENDS, *_SCHEDULE_WORDS)
    if not words.take_if("wall"):
        parts.material = read_material(text, (start, end), words, reading, EXAMPLE).name
        return "material"
    try:
        parts.wall_mm = units.read_length_mm(text, reading.system)
    except BadInput as error:
        raise words.wrong(start, end, error.message, TUBE_EXAMPLE) from error
    return "wall"


def _read_wall(parts: SaddleParts, words: Words, reading: Reading) -> None:
    parts.wall_mm = words.take_length_mm(reading.system, "the wall", TUBE_EXAMPLE)


def _read_header(parts: SaddleParts, words: Words, reading: Reading) -> None:
    named = _named(words, "the size of the header")
    instead = named.sort is None and not words.done and not _begins(words.peek())
    parts.header = _meant(named, words, reading, words.place() if instead else named.place)


def _read_offset(parts: SaddleParts, words: Words, reading: Reading) -> None:
    parts.offset_mm = words.take_length_mm(reading.system, "the offset", EXAMPLE)


def _read_centres(parts: SaddleParts, words: Words, reading: Reading) -> None:
    parts.centres_mm = words.take_length_mm(reading.system, "the headers' centres", EXAMPLE)


def _read_measured(parts: SaddleParts, words: Words, reading: Reading) -> None:
    parts.measured_mm = words.take_length_mm(reading.system, "the measured outside", EXAMPLE)


def _read_angle(parts: SaddleParts, words: Words, reading: Reading) -> None:
    del reading
    word = words.take()
    written = _ANGLE.fullmatch(word.plain)
    if not written:
        said = f"found {word.text!r}" if word.text else "the phrase ends here"
        message = f"expected the angle between the axes, {said}"
        raise words.wrong(word.start, word.end, message, f"{EXAMPLE} onto 2 pipe at 60")
    words.take_if("°", "deg", "degrees")
    parts.angle_deg = float(written[1])


_Reader = Callable[[SaddleParts, Words, Reading], None]
_READERS: dict[str, tuple[str, _Reader]] = {
    "wall": ("wall", _read_wall),
    "onto": ("onto", _read_header),
    "at": ("at", _read_angle),
    "offset": ("offset", _read_offset),
    "centres": ("centres", _read_centres),
    "centre": ("centres", _read_centres),
    "measured": ("measured", _read_measured),
}
