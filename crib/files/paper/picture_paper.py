"""What lies where on the sheet, in points: boxes, strokes, texts, and the widths of letters."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import lru_cache
from itertools import pairwise
from math import cos, hypot, radians, sin

from crib.features.common.picture import Anchor, Style
from crib.units import mm_from_inches

Point = tuple[float, float]

POINTS_PER_MM = 72 / mm_from_inches(1)
FONT, BOLD = "Helvetica", "Helvetica-Bold"
TEXT_SIZE = 9.0
LINE_HEIGHT = 1.25
WIDER = 1.12
"""Room for a text over its own width: a viewer that lacks the font may show a wider one."""
_LETTERS = str.maketrans(
    {"⌀": "dia ", "≤": "<=", "≥": ">=", "″": '"', "′": "'", "→": "->", "−": "-", "⅛": " 1/8"}
    | {"⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8", "σ": "stress", "τ": "shear"}
)


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle."""

    left: float
    bottom: float
    right: float
    top: float

    @property
    def width(self) -> float:
        """From left to right."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """From bottom to top."""
        return self.top - self.bottom

    def meets(self, other: Box) -> bool:
        """Whether two boxes share some area."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.bottom < other.top
            and other.bottom < self.top
        )

    def is_crossed(self, start: Point, end: Point) -> bool:
        """Whether a straight line between two points passes through the box."""
        enters, leaves = 0.0, 1.0
        for from_, to, low, high in (
            (start[0], end[0], self.left, self.right),
            (start[1], end[1], self.bottom, self.top),
        ):
            if abs(to - from_) < 1e-9:
                if not low < from_ < high:
                    return False
                continue
            first, last = sorted(((low - from_) / (to - from_), (high - from_) / (to - from_)))
            enters, leaves = max(enters, first), min(leaves, last)
        return enters < leaves

    def moved(self, dx: float, dy: float) -> Box:
        """The box somewhere else."""
        return Box(self.left + dx, self.bottom + dy, self.right + dx, self.top + dy)

    def with_room(self, margin: float) -> Box:
        """The box with room around it."""
        return Box(self.left - margin, self.bottom - margin, self.right + margin, self.top + margin)


def box_around(points: list[Point]) -> Box:
    """The box around some points."""
    xs, ys = [x for x, _y in points], [y for _x, y in points]
    return Box(min(xs), min(ys), max(xs), max(ys))


@dataclass(frozen=True, slots=True)
class InkStroke:
    """A line through points in one of the styles."""

    points: tuple[Point, ...]
    style: Style
    closed: bool = False

    def segments(self) -> Iterator[tuple[Point, Point]]:
        """Its straight pieces."""
        yield from pairwise(self.points)
        if self.closed:
            yield self.points[-1], self.points[0]


@dataclass(frozen=True, slots=True)
class Arrow:
    """A filled head whose tip is the first point."""

    points: tuple[Point, Point, Point]


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text about a middle point, turned by an angle; white under it when ``clear``."""

    x: float
    y: float
    text: str
    size: float = TEXT_SIZE
    anchor: Anchor = "middle"
    angle: float = 0.0
    font: str = FONT
    clear: bool = False

    def moved(self, dx: float, dy: float) -> Text:
        """The text somewhere else."""
        return replace(self, x=self.x + dx, y=self.y + dy)

    def box(self) -> Box:
        """The upright box around it, turned as it is."""
        return box_around(self.corners())

    def corners(self) -> list[Point]:
        """The corners of the ground it stands on."""
        width = WIDER * letters_width(self.text, self.size, self.font)
        half = self.size * 0.55
        left = {"start": 0.0, "middle": -width / 2, "end": -width}[self.anchor]
        turn = radians(self.angle)
        return [
            (self.x + x * cos(turn) - y * sin(turn), self.y + x * sin(turn) + y * cos(turn))
            for x, y in ((left, -half), (left + width, -half), (left + width, half), (left, half))
        ]


@dataclass(slots=True)
class Paper:
    """What has been laid out so far, in points from any corner."""

    strokes: list[InkStroke] = field(default_factory=list)
    arrows: list[Arrow] = field(default_factory=list)
    texts: list[Text] = field(default_factory=list)
    marks: list[Box] = field(default_factory=list)

    def box(self) -> Box:
        """The box around everything, or an empty one."""
        points = [point for stroke in self.strokes for point in stroke.points]
        points += [point for arrow in self.arrows for point in arrow.points]
        points += [corner for text in self.texts for corner in text.corners()]
        return box_around(points or [(0.0, 0.0)])

    def is_free(self, box: Box) -> bool:
        """Whether no text stands on a box yet, and no mark that a text would hide."""
        taken = (*self.marks, *(text.box() for text in self.texts))
        return not any(box.meets(other) for other in taken)


def printable(text: str) -> str:
    """A text in the letters that the sheet's font has; what it lacks becomes a question mark."""
    known = text.translate(_LETTERS).encode("cp1252", "replace").decode("cp1252")
    return " ".join("".join(one if one.isprintable() else " " for one in known).split())


@lru_cache(maxsize=4096)
def letters_width(text: str, size: float, font: str = FONT) -> float:
    """How wide a text is in points."""
    from reportlab.pdfbase.pdfmetrics import stringWidth

    return float(stringWidth(text, font, size))


def wrapped(text: str, size: float, width: float, font: str = FONT) -> list[str]:
    """A text broken between words, and inside a word that is wider than a line."""
    lines = [""]
    for word in text.split():
        longer = f"{lines[-1]} {word}".strip()
        if letters_width(longer, size, font) <= width:
            lines[-1] = longer
            continue
        if lines[-1]:
            lines.append("")
        for letter in word:
            if lines[-1] and letters_width(lines[-1] + letter, size, font) > width:
                lines.append("")
            lines[-1] += letter
    return lines


def length_between(start: Point, end: Point) -> float:
    """How far it is from one point to another."""
    return hypot(end[0] - start[0], end[1] - start[1])
