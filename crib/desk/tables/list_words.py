"""What a line of a shop's list says: role, shape, sizes, count, drawer, condition, in its words.

Nothing is guessed that could hurt: what may mean two things is left and told.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from crib.errors import BadQuantity, UnsureQuantity
from crib.features.common.tool_spec import ONE_SIZE
from crib.files.tables.dialect import plain_count, plain_length
from crib.files.tables.shop_list import ListLine
from crib.spellings import plain_size, size_words, whole_and_fraction
from crib.units import System, looks_like_length, read_length_mm

MOST_OF_A_LINE = 200
ROLES = {
    **dict.fromkeys(("punch", "punches", "pch", "pn", "stempel", "lochstempel"), "punch"),
    **dict.fromkeys(("die", "dies", "matrize", "matrizen"), "die"),
    **dict.fromkeys(("stripper", "strippers", "abstreifer"), "stripper"),
    **dict.fromkeys(("nut", "nuts", "überwurfmutter"), "nut"),
}
OTHER_TOOLS = frozenset(
    "blade blades notch vee adapter adapters saddle brake coper shear set".split()
)
SHAPES = {
    **dict.fromkeys(("round", "rd", "rnd", "dia", "diameter", "ø", "circular", "rund"), "round"),
    **dict.fromkeys(("square", "sq", "quadrat", "vierkant"), "square"),
    **dict.fromkeys(("rectangle", "rectangular", "rect", "rechteck"), "rectangle"),
    **dict.fromkeys(("hexagon", "hex", "sechskant"), "hexagon"),
    **dict.fromkeys(("obround", "oblong", "oval", "slot", "slotted", "langloch"), "obround"),
}
CONDITIONS = {
    **dict.fromkeys("good ok okay fine sharp new sound great used".split(), "sound"),
    **dict.fromkeys(
        "chipped chip chips broken broke cracked crack cracks snapped damaged bent".split(),
        "broken",
    ),
    **dict.fromkeys("lost missing gone".split(), "lost"),
    **dict.fromkeys(
        "dull worn blunt rusty rust burr burrs loose repaired welded inspect".split(), "inspect"
    ),
}
_AT_GRINDER = re.compile(
    r"\b(?:at|out at|out for|in)\s+(?:the\s+)?grind(?:er|ing)\b", re.IGNORECASE
)
_COUNT = re.compile(
    r"\b(?:qty:?\s*([0-9]+)|([0-9]+)\s*(?:pcs?|pieces|ea|off|each)\b\.?)", re.IGNORECASE
)
_DRAWER = re.compile(
    r"\b(?:drawer|drw|bin|shelf)\.?\s*([A-Za-z]{0,3}-?[0-9]+[A-Za-z]?)\b", re.IGNORECASE
)
_SEAT = re.compile(r"\b(?:seat|fits)\s+([A-Za-z0-9]+)\b", re.IGNORECASE)
_TAG = re.compile(r"#?\s*([A-Za-z]{1,3}-?[0-9]{1,6}|[0-9]{1,6}\))(?=[\s,:])[\s,:]*")
_TIMES = re.compile(r"(?<=[0-9\"”″mn])\s*[xX×*]\s*(?=[.0-9])")
_DIAMETER = re.compile(r"[Øø⌀]\s*(?=[.,]?[0-9])|(?<=[0-9m])\s*[Øø⌀](?=\s|$)")
_SIGNS = re.compile(r"[,;:()]+(?=\s|$)|(?<=\s)[(]|^[(]|(?<=\s)-(?=\s)")


_DENIES = ("not", "no", "never", "hardly")
_GRINDER = ("grinder", "grinding")


class NotRead(Exception):
    """What a line lacks, or says in two ways."""


@dataclass(frozen=True, slots=True)
class ReadLine:
    """A line as it was understood; ``taken_for`` is what was not said and taken for granted."""

    number: int
    tag: str
    role: str
    shape: str
    size: str
    long: str
    count: int
    drawer: str
    condition: str
    at_grinder: bool
    date: str
    seat: str
    length: str
    note: str
    taken_for: str = ""

    @property
    def group(self) -> str:
        """The tools that a question is asked for at once: ``round punches``."""
        plural = f"{self.role}es" if self.role.endswith("ch") else f"{self.role}s"
        return f"{self.shape} {plural}".strip()


def read_line(line: ListLine, system: System) -> ReadLine:
    """What one line says.

    Raises:
        NotRead: when it is no tool that can be taken as it is written.
    """
    cells = line.cells
    said = _Said(" ".join(cells[name] for name in ("what", "shape", "size") if cells[name]))
    tag = cells["tag"] or said.out(_TAG).rstrip(")")
    counted = cells["count"] or said.out(_COUNT)
    if line.has_count and not counted:
        message = "how many is left empty: write 1, or what is there"
        raise NotRead(message)
    count = _count(counted)
    drawer = cells["drawer"] or said.out(_DRAWER)
    seat = cells["seat"] or said.out(_SEAT)
    is_out = _is_at_grinder(said.out(_AT_GRINDER), cells["condition"], drawer)
    sizes, words = _sizes(
        _SIGNS.sub(" ", _DIAMETER.sub(" round ", _TIMES.sub(" x ", said.text))).split(), system
    )
    role, shape, condition, rest = _sorted_words(words)
    if not cells["size"] and count == 1 and any(map(whole_and_fraction, sizes)):
        message = f"{sizes[0]}: write it {sizes[0].replace(' ', '-')}, or how many with qty"
        raise NotRead(message)
    sizes, count, taken_for, shape = _settle(role, shape, sizes, count, cells["count"])
    if cells["condition"]:
        condition, more = _condition(cells["condition"])
        rest += more
    size, long = _shorter_first(sizes, system)
    return ReadLine(
        number=line.number,
        tag=tag.lstrip("#").strip().upper(),
        role=role,
        shape=shape,
        size=size,
        long=long,
        count=count,
        drawer="" if is_out else drawer,
        condition=condition or "sound",
        at_grinder=is_out,
        date=cells["date"],
        seat=seat,
        length=_length(cells["length"], system),
        note="; ".join(filter(None, [" ".join(rest), cells["note"]])),
        taken_for=taken_for,
    )


def _is_at_grinder(said: str, condition: str, drawer: str) -> bool:
    in_words = said or _AT_GRINDER.search(condition)
    return bool(in_words) or drawer.casefold() in _GRINDER or condition.casefold() in _GRINDER


def _shorter_first(sizes: list[str], system: System) -> tuple[str, str]:
    if len(sizes) < 2:
        return (sizes[0] if sizes else ""), ""
    short, long = sorted(sizes, key=lambda size: read_length_mm(size, system))
    return short, long


class _Said:
    """The words of a line, out of which parts are taken."""

    def __init__(self, text: str) -> None:
        self.text = text

    def out(self, part: re.Pattern[str]) -> str:
        """The first that is written so, taken out; empty where none is."""
        found = part.match(self.text) if part is _TAG else part.search(self.text)
        if found is None:
            return ""
        self.text = f"{self.text[: found.start()]} {self.text[found.end() :]}".strip()
        return next((one for one in found.groups() if one), found[0])


def _count(text: str) -> int:
    if not text.strip():
        return 1
    try:
        plain = plain_count(text)
    except UnsureQuantity as error:
        raise NotRead(error.message) from error
    if not (plain.isascii() and plain.isdigit()):
        message = f"how many is {text!r}?"
        raise NotRead(message)
    if not 1 <= int(plain) <= MOST_OF_A_LINE:
        message = f"{plain} of them: 1 to {MOST_OF_A_LINE} can be taken"
        raise NotRead(message)
    return int(plain)


def _sizes(words: list[str], system: System) -> tuple[list[str], list[str]]:
    """The sizes that stand among words with an x between them, and the other words."""
    groups: list[list[str]] = []
    rest: list[str] = []
    at, is_joined = 0, False
    while at < len(words):
        if words[at].casefold() in ("x", "by") and groups:
            at, is_joined = at + 1, True
        elif looks_like_length(words[at]):
            end = at + size_words(words[at:])
            groups = [*groups[: -1 if is_joined else None], [*(groups[-1] if is_joined else [])]]
            groups[-1].append(_size(" ".join(words[at:end]), system))
            at, is_joined = end, False
        else:
            rest.append(words[at])
            at, is_joined = at + 1, False
    told = [one for at, one in enumerate(groups) if one not in groups[:at]]
    if len(told) > 1:
        message = f"which is its size: {' or '.join(' x '.join(one) for one in told)}?"
        raise NotRead(message)
    return (told[0] if told else []), rest


def _length(text: str, system: System) -> str:
    return _size(text, system) if text else ""


def _size(text: str, system: System) -> str:
    size = plain_length(plain_size(text), None, system)
    try:
        read_length_mm(size, system)
    except BadQuantity as error:
        raise NotRead(error.message) from error
    return size


def _sorted_words(words: list[str]) -> tuple[str, str, str, list[str]]:
    """Role, shape and condition among words, and the words that are none of them."""
    roles, shapes, conditions, rest = [], [], [], []
    for word in words:
        plain = word.strip(".,;:()").casefold()
        if plain in OTHER_TOOLS:
            message = f"{plain}: such a tool needs what it is made for, which kinds.csv asks"
            raise NotRead(message)
        if plain in ROLES:
            roles.append(ROLES[plain])
        elif plain in SHAPES:
            shapes.append(SHAPES[plain])
        elif plain.endswith("?") and plain.rstrip("?") in CONDITIONS:
            conditions.append("inspect")
            rest.append(word)
        elif plain in CONDITIONS:
            conditions.append(CONDITIONS[plain])
            rest += [word] if CONDITIONS[plain] not in ("sound", "lost") else []
        elif plain in ("scrap", "scrapped", "retired"):
            message = f"{plain}: it is out of use"
            raise NotRead(message)
        elif plain:
            rest.append(word)
    if conditions and any(word.casefold() in _DENIES for word in rest):
        message = f"its condition is denied: {' '.join(words)}"
        raise NotRead(message)
    return _one(roles, "role"), _one(shapes, "shape"), _one(conditions, "condition"), rest


def _one(found: list[str], what: str) -> str:
    if len(set(found)) > 1:
        message = f"two words for its {what}: {', '.join(dict.fromkeys(found))}"
        raise NotRead(message)
    return found[0] if found else ""


def _condition(told: str) -> tuple[str, list[str]]:
    """A condition in people's words; one that nobody knows waits to be looked at, as it is told."""
    if _AT_GRINDER.search(told) or told.casefold() in _GRINDER:
        return "sound", []
    words = [word.strip(".,;:()").casefold() for word in told.split()]
    if any(word in ("scrap", "scrapped", "retired", *_DENIES) for word in words):
        message = f"condition {told!r}: say good, chipped, broken or lost, or leave the line out"
        raise NotRead(message)
    known = [CONDITIONS[word] for word in words if word in CONDITIONS]
    worst = max(known, key=("sound", "inspect", "broken", "lost").index, default="inspect")
    return worst, [] if told.casefold() in ("", worst) or worst == "sound" else [told]


def _settle(
    role: str, shape: str, sizes: list[str], count: int, counted: str
) -> tuple[list[str], int, str, str]:
    """Whether what was said is one tool: its sizes, how many, what was taken for granted."""
    if not role:
        message = "no word says whether it is a punch, a die, a stripper or a nut"
        raise NotRead(message)
    if role not in ("punch", "die"):
        return sizes, count, "", shape
    is_many = len(sizes) == 2 and shape in ONE_SIZE and sizes[0].isdigit() and not counted
    if is_many and count == 1:
        sizes, count = sizes[1:], _count(sizes[0])
    if not sizes:
        message = f"no size of the {role}"
        raise NotRead(message)
    if len(sizes) > (1 if shape in ONE_SIZE else 2):
        message = f"{len(sizes)} sizes: {', '.join(sizes)}"
        raise NotRead(message)
    if len(sizes) == 2 and not shape:
        message = f"{sizes[0]} x {sizes[1]}: say rectangle or obround"
        raise NotRead(message)
    if len(sizes) == 1 and shape in ("rectangle", "obround"):
        message = f"{shape}: it has two sizes, here is {sizes[0]}"
        raise NotRead(message)
    return sizes, count, "" if shape else "round", shape or "round"
