"""What stands around a picture on its sheet: title, legend, notes, scale, and who decides."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from crib.features.common.picture import Circle, Line, Picture, Style
from crib.files.paper.picture_ink import MEANINGS
from crib.files.paper.picture_paper import (
    BOLD,
    FONT,
    LINE_HEIGHT,
    TEXT_SIZE,
    Box,
    InkStroke,
    Paper,
    Point,
    Text,
    letters_width,
    printable,
    wrapped,
)

CAUTION = (
    "The machine's plate and manual, the guards and local codes decide: check this against them"
    " and the part's own drawing."
)
AIR = 8.0
TITLE_SIZES = (15.0, 13.0, 11.0)
NOTE_SIZES = (9.0, 8.0, 7.0)
SMALL = 8.0
NOTES_SHARE, ONE_COLUMN = 0.34, 4
SAMPLE = 22.0
ROOMY, ROOMY_BOLD = 0.86, 0.8
"""Share of a line that is filled: a viewer that lacks the font may show a wider one."""


@dataclass(frozen=True, slots=True)
class TitleBlock:
    """Whose crib it is, what was asked, which sheet, and cautions beside the sheet's own."""

    crib: str = ""
    asked: str = ""
    sheet: str = "A4"
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Frame:
    """The words and lines around the picture, and the room that they leave for it."""

    paper: Paper
    room: Box
    scale_at: Point


def framed(picture: Picture, block: TitleBlock, sheet: Box) -> Frame:
    """Lay out everything around the picture, from the top down and from the bottom up."""
    paper = Paper()
    inside = sheet.with_room(-AIR)
    top = _head(paper, picture.title, block.asked, inside)
    paper.strokes.append(InkStroke(((sheet.left, top), (sheet.right, top)), "thin"))
    footer = _foot(paper, block, inside)
    scale_at = inside.left, footer - SMALL
    paper.strokes.append(InkStroke(((sheet.left, footer), (sheet.right, footer)), "thin"))
    notes = _notes(paper, picture.notes, Box(inside.left, footer + AIR, inside.right, top))
    bottom = _legend(paper, picture, (inside.left, notes + AIR))
    return Frame(paper, Box(inside.left, bottom + AIR, inside.right, top - AIR), scale_at)


def _head(paper: Paper, title: str, asked: str, inside: Box) -> float:
    """The title and the ask; the height of the line under them."""
    title, y = printable(title), inside.top
    sizes = [
        one for one in TITLE_SIZES if letters_width(title, one, BOLD) <= ROOMY_BOLD * inside.width
    ]
    size = sizes[0] if sizes else TITLE_SIZES[-1]
    for line in wrapped(title, size, ROOMY_BOLD * inside.width, BOLD)[:2]:
        y -= size * LINE_HEIGHT
        paper.texts.append(_from_left(inside.left, y + size / 2, line, size, BOLD))
    for line in wrapped(printable(asked), TEXT_SIZE, ROOMY * inside.width)[:2] if asked else ():
        y -= TEXT_SIZE * LINE_HEIGHT
        paper.texts.append(_from_left(inside.left, y + TEXT_SIZE / 2, line, TEXT_SIZE))
    return y - AIR / 2


def _foot(paper: Paper, block: TitleBlock, inside: Box) -> float:
    """Who decides, and whose crib it is; the height of the line over them."""
    room = {BOLD: ROOMY_BOLD, FONT: ROOMY}
    lines = [
        (line, font)
        for font, caution in ((BOLD, CAUTION), *((FONT, one) for one in block.cautions))
        for line in wrapped(printable(caution), SMALL, room[font] * inside.width, font)
    ]
    y = inside.bottom + SMALL / 2
    for line, font in reversed(lines):
        paper.texts.append(_from_left(inside.left, y, line, SMALL, font))
        y += SMALL * LINE_HEIGHT
    y += SMALL * 0.3
    if block.crib:
        paper.texts.append(Text(inside.right, y, printable(block.crib), SMALL, "end"))
    return y + SMALL


def _notes(paper: Paper, notes: Sequence[str], room: Box) -> float:
    """The notes in one or two columns, as small as they must be; the height over them."""
    most = room.height * NOTES_SHARE
    for size in NOTE_SIZES:
        columns = _columns(notes, size, room)
        if max(map(len, columns)) * size * LINE_HEIGHT <= most:
            break
    else:
        columns = _cut_short(columns, int(most / (size * LINE_HEIGHT)))
    tallest = max(map(len, columns))
    step = room.width / len(columns)
    for number, lines in enumerate(columns):
        for row, line in enumerate(lines):
            y = room.bottom + (tallest - row - 0.5) * size * LINE_HEIGHT
            paper.texts.append(_from_left(room.left + number * step, y, line, size))
    return room.bottom + tallest * size * LINE_HEIGHT


def _columns(notes: Sequence[str], size: float, room: Box) -> list[list[str]]:
    one = [_note(note, size, room.width) for note in notes if note.strip()]
    if sum(map(len, one)) <= ONE_COLUMN:
        return [[line for lines in one for line in lines]]
    half = [_note(note, size, room.width / 2 - 2 * AIR) for note in notes if note.strip()]
    total, left, right = sum(map(len, half)), list[str](), list[str]()
    for lines in half:
        (left if 2 * len(left) < total and not right else right).extend(lines)
    return [left, right]


def _note(note: str, size: float, width: float) -> list[str]:
    lines = wrapped(printable(note), size, ROOMY * width)
    return [f"{'- ' if number == 0 else '   '}{line}" for number, line in enumerate(lines)]


def _cut_short(columns: list[list[str]], rows: int) -> list[list[str]]:
    """As many lines as there is room for, and a line that says how many are not shown."""
    kept = [lines[:rows] for lines in columns]
    hidden = sum(map(len, columns)) - sum(map(len, kept)) + 1
    kept[-1][rows - 1 :] = [f"- and {hidden} more lines, not shown here: read them on the screen"]
    return kept


def _legend(paper: Paper, picture: Picture, place: Point) -> float:
    """A sample of each line that the picture uses, with its meaning; the height over it."""
    x, y = place
    used = {shape.style for shape in picture.shapes if isinstance(shape, Line | Circle)}
    shown = list(_told(used))
    if not shown:
        return y
    y += SMALL / 2
    for style, meaning in shown:
        paper.strokes.append(InkStroke(((x, y), (x + SAMPLE, y)), style))
        paper.texts.append(_from_left(x + SAMPLE + 4, y, meaning, SMALL))
        x += SAMPLE + 4 + letters_width(meaning, SMALL) + 16
    return y + SMALL / 2


def _told(used: set[Style]) -> Iterator[tuple[Style, str]]:
    for style, meaning in MEANINGS.items():
        if style in used:
            yield style, meaning


def _from_left(x: float, y: float, text: str, size: float, font: str = FONT) -> Text:
    return Text(x, y, text, size, "start", font=font)
