"""NC text to numbered lines, blocks and fields; nothing here knows what a hole is."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from crib.acts import Fact, Said, fact
from crib.errors import AskBack, BadInput, RowFault
from crib.files.common.decoded import decoded
from crib.files.common.reading_ledger import ReadingLedger
from crib.files.drawings.parts import ReadNote

MOST_BYTES = 20_000_000
MOST_LINES = 100_000
MOST_NUMBER = 100_000.0
MOST_FAULTS = 100
HEADER_FIELDS = 20
TEXT_LINES = 4
_FIRST_NUMBER = 9  # from this field of the header on, every line is a number
_MOST_CHARACTERS = 1_000
_SHOWN_CHARACTERS = 60

BLOCKS = {
    "ST": "header",
    "EN": "end",
    "BO": "holes",
    "AK": "outer contour",
    "IK": "inner contour",
    "SI": "stamped text",
    "PU": "powder marks",
    "KO": "punch marks",
    "KA": "bend lines",
    "SC": "saw cuts",
    "TO": "tolerances",
    "UE": "camber",
    "PR": "profile description",
    "IN": "information",
}
_HEAD = re.compile(r"[A-Z][A-Z0-9]")
_FIELD = re.compile(r"([-+]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+))([A-Za-z]*)")
_POWER = re.compile(r"[0-9.][eE][-+]?[0-9]")


@dataclass(frozen=True, slots=True)
class FileLine:
    """A line of the file and its number."""

    number: int
    text: str


@dataclass(frozen=True, slots=True)
class Block:
    """A block by its two letters, and the lines under it that are not empty."""

    name: str
    line: int
    lines: list[FileLine]


@dataclass(slots=True)
class Nc1Piece:
    """One piece: the lines of its header, blank ones too, and its blocks."""

    line: int
    header: list[FileLine] = field(default_factory=list)
    blocks: list[Block] = field(default_factory=list)
    ended: bool = False


@dataclass(slots=True)
class Remarks:
    """What is noticed while reading: notes carry on, faults stop the file at its end.

    What is asked back does so where there are no faults. In the ledger a line goes by its number.
    """

    file: str
    notes: list[ReadNote] = field(default_factory=list)
    faults: list[RowFault] = field(default_factory=list)
    fault_count: int = 0
    asked: AskBack | None = None
    ledger: ReadingLedger = field(init=False)

    def __post_init__(self) -> None:
        self.ledger = ReadingLedger(self.file)

    def note(self, line: int, text: str, way_out: Said = "") -> None:
        """Keep something a person should know."""
        self.notes.append(ReadNote(line, text, way_out))

    def leave(self, line: int, why: Fact, text: str) -> None:
        """Keep a line that is not used, and why."""
        self.ledger.tell(line, why)
        self.note(line, text)

    def leave_word(self, line: int, why: Fact, text: str) -> None:
        """Keep something on a line that is not used, while the line itself is."""
        key = (line, len(self.ledger))
        self.ledger.meet(key, "word", line)
        self.ledger.tell(key, why)
        self.note(line, text)

    def fault(self, line: int, what: str, text: str) -> None:
        """Keep something that cannot be read; a file of nothing else is not listed in full."""
        self.fault_count += 1
        if self.fault_count <= MOST_FAULTS:
            self.faults.append(RowFault(self.file, line, what, text))


@dataclass(frozen=True, slots=True)
class Field:
    """A number of a data line, and the letters behind it in lower case."""

    value: float
    letters: str = ""


def refuse_large_nc1(size: int, file: str) -> None:
    """Refuse a file by its size, before any of it is read.

    Raises:
        BadInput: when it has more bytes than a part file ever has.
    """
    if size > MOST_BYTES:
        message = f"{file} has {size / 1e6:.1f} MB; a part file has at most {MOST_BYTES / 1e6:g} MB"
        raise BadInput(message, way_out="give the NC file of one part")


def nc1_text(data: bytes | str, file: str) -> str:
    """The text of a file in whatever code page it was written.

    Raises:
        BadInput: for a file that is too large, empty, or not text.
    """
    refuse_large_nc1(len(data), file)
    text = data if isinstance(data, str) else decoded(data)
    text = text.lstrip("\ufeff").rstrip("\x1a")
    if "\0" in text:
        line = text.count("\n", 0, text.index("\0")) + 1
        message = f"{file} is not text: line {line} has a zero byte"
        raise BadInput(message, way_out="give the NC file, not a picture")
    if not text.strip():
        message = f"{file} is empty"
        raise BadInput(message, way_out="write the NC file again")
    return text


def nc1_pieces(text: str, remarks: Remarks) -> list[Nc1Piece]:
    """Cut a file into pieces and their blocks; comments and empty lines are left out.

    Raises:
        BadInput: when there is no header, or the file has too many lines.
    """
    pieces: list[Nc1Piece] = []
    told = 0  # the last line of a run that stands outside of any piece
    for line in _lines(text, remarks):
        piece = pieces[-1] if pieces else None
        name = head_of(line.text, piece)
        if name == "ST":
            pieces.append(Nc1Piece(line.number))
            remarks.ledger.count(line.number)
        elif piece is None or piece.ended:
            if _is_blank(line, remarks):
                told = line.number if told == line.number - 1 else told
                continue
            remarks.ledger.tell(line.number, fact("read.outside-of-a-piece"))
            if told != line.number - 1:
                remarks.note(line.number, "text outside of a piece is not read")
            told = line.number
        else:
            _put(piece, line, name, remarks)
    if not pieces:
        message = f"{remarks.file} has no ST line, with which a part's header begins"
        raise BadInput(message, way_out="give an NC file of a steel part")
    return pieces


def head_of(text: str, piece: Nc1Piece | None) -> str:
    """The name of the block that a line begins, or empty.

    In the header a line counts by its place: only numbers and the last texts give way to a block,
    and only one that begins in the first column.
    """
    word = text.strip()
    if len(word) != 2:
        return ""
    place = len(piece.header) if piece and not piece.blocks and not piece.ended else None
    in_header = place is not None and place < HEADER_FIELDS + TEXT_LINES
    if place is not None and place < _FIRST_NUMBER - 1:
        return ""
    if text[0].isspace() and (in_header or word.upper() not in BLOCKS):
        return ""
    if word.upper() in BLOCKS:
        return word.upper()
    return word if _HEAD.fullmatch(word) and not in_header else ""


def _lines(text: str, remarks: Remarks) -> Iterator[FileLine]:
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    if len(lines) > MOST_LINES:
        message = f"{remarks.file} has {len(lines)} lines; a part file has at most {MOST_LINES}"
        raise BadInput(message, way_out="give the NC file of one part")
    for number, line in enumerate(lines, start=1):
        remarks.ledger.meet(number, "line", number, line.strip()[:_SHOWN_CHARACTERS])
        if len(line) > _MOST_CHARACTERS:
            what = f"it has {len(line)} characters; at most {_MOST_CHARACTERS}"
            remarks.fault(number, "", what)
        elif line.lstrip().startswith("**"):
            remarks.ledger.blank(number)
        else:
            yield FileLine(number, line)


def _put(piece: Nc1Piece, line: FileLine, name: str, remarks: Remarks) -> None:
    if name == "EN":
        piece.ended = True
        remarks.ledger.blank(line.number)
    elif name:
        piece.blocks.append(Block(name, line.number, []))
    elif piece.blocks:
        if not _is_blank(line, remarks):
            piece.blocks[-1].lines.append(line)
    elif len(piece.header) < HEADER_FIELDS + TEXT_LINES:
        piece.header.append(line)
        if not _is_blank(line, remarks):
            remarks.ledger.count(line.number)
    elif not _is_blank(line, remarks):
        most = HEADER_FIELDS + TEXT_LINES
        text = f"the header has more than {most} lines: this one is not read"
        remarks.leave(line.number, fact("read.header-too-long"), text)


def _is_blank(line: FileLine, remarks: Remarks) -> bool:
    """Whether nothing stands on a line, which then ends as blank."""
    if line.text.strip():
        return False
    remarks.ledger.blank(line.number)
    return True


def view_and_rest(text: str) -> tuple[str, str]:
    """The view letters that a data line begins with, in lower case, and what follows them."""
    text = text.strip()
    view = re.match(r"[A-Za-z]*", text)
    letters = view[0] if view else ""
    return letters.lower(), text[len(letters) :]


def read_fields(line: FileLine, rest: str, remarks: Remarks) -> list[Field] | None:
    """The numbers of a data line with their letters, glued or apart; None for a fault."""
    found: list[Field] = []
    for token in rest.split():
        if token.isascii() and token.isalpha() and found and not found[-1].letters:
            found[-1] = Field(found[-1].value, token.lower())
            continue
        fields = _fields(token)
        if not fields:
            comma = ": the decimal sign is a point" if "," in token else ""
            remarks.fault(line.number, "", f"{token[:40]!r} is not a number{comma}")
            return None
        found += fields
    for one in found:
        if abs(one.value) > MOST_NUMBER:
            remarks.fault(line.number, "", f"{one.value:g} must be within ±{MOST_NUMBER:g}")
            return None
    return found


def _fields(token: str) -> list[Field]:
    """The numbers in one word: after the first each begins with a sign or follows letters."""
    if _POWER.search(token):
        return []
    found: list[Field] = []
    at = 0
    while at < len(token):
        match = _FIELD.match(token, at)
        if match is None or (found and not found[-1].letters and token[at] not in "+-"):
            return []
        found.append(Field(float(match[1]), match[2].lower()))
        at = match.end()
    return found


def letter_unknown(one: Field) -> Fact:
    """Letters behind a number that mean nothing here."""
    return fact("read.letter-unknown", letters=one.letters[:20])


def leave_numbers(line: FileLine, fields: list[Field], most: int, remarks: Remarks) -> None:
    """Say that the numbers behind the last that means anything are not used."""
    if len(fields) > most:
        text = f"{len(fields)} numbers; those after {most} are not read"
        why = fact("read.numbers-left", count=len(fields) - most)
        remarks.leave_word(line.number, why, text)
