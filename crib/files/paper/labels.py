"""Labels as a PDF: for tools the tag, its code and the size; for drawers name, code, picture, size.

Black on white; a text is made smaller until it fits. A tag or a size that still does not fit is
refused, since half of one is wrong; other words end in an ellipsis and are reported.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO
from typing import TYPE_CHECKING, Literal, NamedTuple

from crib.acts import act, saying
from crib.errors import BadValue
from crib.files.paper.label_marks import (
    DRAWN,
    LEAST_MODULE_MM,
    QUIET,
    Ground,
    code_matrix,
    draw_code,
    draw_shape,
    module_mm,
)
from crib.files.paper.label_sheets import LabelSheet, places
from crib.files.paper.picture_paper import BOLD, FONT, letters_width, printable, wrapped
from crib.files.paper.shop_paper_parts import points

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

Rule = Literal["whole", "cut", "drop"]
"""What becomes of a text that does not fit: refuse it, end it in an ellipsis, leave it off."""

PAD_MM = 2.2
"""White at a label's edge, for printers that are off by a millimetre; low labels have less."""
EDGE_MM = 5.0
"""White at the paper's edge, where office printers print nothing."""
CODE_SHARE, PICTURE_SHARE, MARKS_SHARE = 0.24, 0.15, 0.45
"""Of a drawer label's width: its code, its picture, and the most that both may take."""
LEAST: dict[Rule, float] = {"whole": 7.0, "cut": 6.0, "drop": 6.0}
"""The smallest letters in points."""
_STEP, _LEADING = 0.5, 1.18


@dataclass(frozen=True, slots=True)
class ToolLabel:
    """One tool; ``size`` may be empty; of the wordings of ``what`` the first that fits is used.

    ``code`` is what its code holds; the tag, where it is empty or too fine for the label.
    """

    tag: str
    size: str
    what: tuple[str, ...]
    code: str = ""


@dataclass(frozen=True, slots=True)
class DrawerLabel:
    """One kind in one drawer; ``shape`` picks the picture, ``clearance`` is said of dies only.

    ``ground`` is what the shape is an opening in; of the wordings of ``family`` and ``clearance``
    the first that fits is used. ``code`` is what its code holds; the name, where it is empty or too
    fine for the label.
    """

    drawer: str
    shape: str
    ground: Ground
    size: str
    family: tuple[str, ...]
    clearance: tuple[str, ...] = ()
    code: str = ""


Label = ToolLabel | DrawerLabel


@dataclass(frozen=True, slots=True)
class LabelsMade:
    """The PDF, how many sheets it takes, and the words that had to be cut off.

    ``short_codes`` are the tags and names whose code holds no more: the rest was too fine.
    """

    data: bytes
    pages: int
    shortened: tuple[str, ...]
    short_codes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Line:
    """One text of a label in several wordings, and the share of the height that a row may take."""

    wordings: tuple[str, ...]
    share: float
    rule: Rule
    font: str = FONT
    rows: int = 1


class _Row(NamedTuple):
    words: str
    size: float
    font: str


@dataclass(frozen=True, slots=True)
class _Place:
    """Where one label goes, in points; what was cut off is collected in ``shortened``.

    ``short_codes`` collects what had to have a code of its name alone.
    """

    canvas: Canvas
    left: float
    low: float
    width: float
    height: float
    shortened: list[str]
    short_codes: list[str]

    @property
    def pad(self) -> float:
        return min(points(PAD_MM), self.height * 0.08)


def labels_pdf(
    labels: Sequence[Label], sheet: LabelSheet, *, skip: int = 0, frames: bool = False
) -> LabelsMade:
    """Labels on as many sheets as they take; the same labels always give the same bytes.

    Args:
        labels: What to print, in order.
        sheet: The sheet of labels.
        skip: How many labels of the first sheet are used already.
        frames: Draw a thin line round each label, to try it on plain paper.

    Raises:
        BadValue: for nothing to print, too many to skip, or a tag, size or code that does not fit.
    """
    from reportlab.pdfgen.canvas import Canvas

    if not labels:
        message = "there are no labels to print"
        raise BadValue(message)
    file = BytesIO()
    width, height = (points(side_mm) for side_mm in sheet.paper_mm)
    canvas = Canvas(file, pagesize=(width, height), invariant=1)
    canvas.setTitle(f"Labels on {sheet.name}")
    shortened: list[str] = []
    short_codes: list[str] = []
    on_page = 0
    for label, (page, left_mm, top_mm) in zip(
        labels, places(sheet, len(labels), skip), strict=True
    ):
        if page > on_page:
            canvas.showPage()
            on_page = page
        low = height - points(top_mm + sheet.height_mm)
        box = (points(left_mm), low, points(sheet.width_mm), points(sheet.height_mm))
        if frames:
            _draw_frame(canvas, *box)
        _draw(_Place(canvas, *_off_edge(box, width, height), shortened, short_codes), label)
    canvas.save()
    told = (tuple(dict.fromkeys(words)) for words in (shortened, short_codes))
    return LabelsMade(file.getvalue(), on_page + 1, *told)


def _draw_frame(canvas: Canvas, *box: float) -> None:
    canvas.setLineWidth(0.3)
    canvas.setStrokeGray(0.5)
    canvas.rect(*box)


def _off_edge(
    box: tuple[float, float, float, float], width: float, height: float
) -> tuple[float, float, float, float]:
    """What of a label a printer reaches: left, low, width and height in points."""
    edge = points(EDGE_MM)
    left, low = max(box[0], edge), max(box[1], edge)
    right, top = min(box[0] + box[2], width - edge), min(box[1] + box[3], height - edge)
    return left, low, right - left, top - low


def _draw(place: _Place, label: Label) -> None:
    if isinstance(label, ToolLabel):
        _draw_tool(place, label)
    else:
        _draw_drawer(place, label)


def _draw_tool(place: _Place, label: ToolLabel) -> None:
    if printable(label.tag) != label.tag:
        message = f"the tag {label.tag!r} has signs that the label's font lacks"
        raise BadValue(message, way_out="print the others by their tags")
    room = min(place.height, place.width / 2)
    from_left = _draw_code_of(place, _code_in(place, label.code, label.tag, room), room)
    tag = _Line((label.tag,), 0.36, "whole", BOLD)
    _stack(place, from_left, [tag, *_sized(label.size, label.what, 0.36, 0.2)])


def _code_in(place: _Place, code: str, name: str, room: float) -> str:
    """What a code in a room can hold: all that it should, or the name alone."""
    if not code or _least_room(code) <= room:
        return code or name
    place.short_codes.append(name)
    return name


def _least_room(text: str) -> float:
    """The room that a code needs to be read, in points."""
    return points(LEAST_MODULE_MM) * (len(code_matrix(text)) + 2 * QUIET)


def _draw_code_of(place: _Place, text: str, room: float) -> float:
    """A code at a label's left, in the middle of its height; returns where it ends."""
    matrix = code_matrix(text)
    module = points(module_mm(len(matrix), room / points(1), text))
    side, margin = module * len(matrix), module * QUIET
    top = place.low + (place.height + side) / 2
    draw_code(place.canvas, matrix, place.left + margin, top, module)
    return side + 2 * margin


def _draw_drawer(place: _Place, label: DrawerLabel) -> None:
    """The drawer's name first, beside its code; the picture at the right where there is room."""
    from_left = place.pad
    most = min(place.height, place.width / 2)
    code = _code_in(place, label.code, label.drawer, most)
    least = _least_room(code)
    if least > most:
        place.shortened.append(label.drawer)
    else:
        room = min(max(place.width * CODE_SHARE, least * 1.001), place.height)
        from_left = _draw_code_of(place, code, room)
    side = min(place.height - 2 * place.pad, place.width * PICTURE_SHARE)
    from_right = place.pad
    if label.shape in DRAWN and from_left + side <= place.width * MARKS_SHARE:
        x = place.left + place.width - side - place.pad
        y = place.low + (place.height - side) / 2
        draw_shape(place.canvas, label.shape, x, y, side, label.ground)
        from_right += side + place.pad
    lines = [_Line((label.drawer,), 0.26, "cut", BOLD)]
    lines += _sized(label.size, label.family, 0.34, 0.19)
    if label.clearance:
        lines.append(_Line(label.clearance, 0.19, "drop", BOLD))
    _stack(place, from_left, lines, from_right)


def _sized(size: str, words: tuple[str, ...], size_share: float, share: float) -> list[_Line]:
    """The size over what it is; without a size the words have the room of both."""
    if size:
        return [_Line((size,), size_share, "whole", BOLD), _Line(words, share, "cut")]
    return [_Line(words, share * 1.25, "cut", BOLD, rows=2)]


def _stack(
    place: _Place, from_left: float, lines: Sequence[_Line], from_right: float = 0.0
) -> None:
    """Texts over each other in the middle of a label's height, each as large as it may be."""
    room = place.width - from_left - (from_right or place.pad)
    high = place.height - 2 * place.pad
    fitted = [one for line in lines for one in _fitted(line, room, high, place.shortened)]
    y = place.low + (place.height + sum(row.size for row in fitted) * _LEADING) / 2
    place.canvas.setFillGray(0)
    for row in fitted:
        y -= row.size * _LEADING
        place.canvas.setFont(row.font, row.size)
        place.canvas.drawString(place.left + from_left, y + row.size * 0.25, row.words)


def _fitted(line: _Line, room: float, high: float, shortened: list[str]) -> list[_Row]:
    """A line in its first wording that fits, in the largest letters; one row or more."""
    most = line.share * high / _LEADING
    least = min(LEAST[line.rule], most)
    wordings = [printable(words) for words in line.wordings]
    for words in wordings:
        size = _size_for(line, words, room, most, least)
        if size:
            return [_Row(row, size, line.font) for row in _rows(line, words, size, room)]
    words = wordings[-1]
    if line.rule == "whole":
        needed_mm = letters_width(words, least, line.font) / points(1)
        message = f"{words!r} needs {needed_mm:.0f} mm, the label has {room / points(1):.0f} mm"
        way_out = saying("take a sheet with wider labels (", act("say.sheet"), ")")
        raise BadValue(message, way_out=way_out)
    shortened.append(words)
    if line.rule == "drop":
        return []
    rows = _rows(line, words, least, room)
    cut = _cut(" ".join(rows[line.rows - 1 :]), least, room, line.font)
    return [_Row(row, least, line.font) for row in (*rows[: line.rows - 1], cut)]


def _size_for(line: _Line, words: str, room: float, most: float, least: float) -> float:
    """The largest letters in which a wording fits, or 0."""
    steps = int((most - least) / _STEP)
    for size in (*(most - _STEP * step for step in range(steps + 1)), least):
        rows = _rows(line, words, size, room)
        widest = max(letters_width(row, size, line.font) for row in rows)
        if widest <= room and len(rows) <= line.rows:
            return size
    return 0.0


def _rows(line: _Line, words: str, size: float, room: float) -> list[str]:
    return wrapped(words, size, room, line.font) if line.rows > 1 else [words]


def _cut(words: str, size: float, room: float, font: str) -> str:
    """As much of a text as fits with an ellipsis behind it."""
    while words and letters_width(f"{words}…", size, font) > room:
        words = words[:-1]
    return f"{words.rstrip()}…"
