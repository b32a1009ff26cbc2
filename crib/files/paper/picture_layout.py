"""Laying a picture out at a scale: lines, hatching, labels and dimensions that keep apart."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import atan2, ceil, cos, degrees, floor, pi, radians, sin

from crib.features.common.picture import Circle, Dimension, Label, Line, Picture, Style
from crib.files.paper.picture_paper import (
    LINE_HEIGHT,
    TEXT_SIZE,
    Arrow,
    Box,
    InkStroke,
    Paper,
    Point,
    Text,
    box_around,
    length_between,
    printable,
)

ARROW, LEAST_OFF, GAP, TAIL = 6.0, 16.0, 2.0, 14.0
HATCH_EVERY = 5.0
SMALLEST_TEXT, LARGEST_TEXT = 6.5, 16.0
MOST_TRIES = 24
CROWDED = 4
"""More steps for each text and mark on the sheet: none is higher than so many, so one is free."""
LARGEST_MARK = 9.0
NEAR = 7
"""How many of the nearest places are looked at for one that hides no line of the part."""
THICKEST = 1.5
SEEN: frozenset[Style] = frozenset({"outline", "tool", "cut"})
_ROUND_POINTS = 72


def laid_out(picture: Picture, points_per_mm: float) -> Paper:
    """The picture at a scale; texts keep their size and are moved apart where they would meet."""
    paper = Paper()
    shapes = picture.shapes
    for shape in shapes:
        if isinstance(shape, Line | Circle):
            paper.strokes += _strokes(shape, points_per_mm)
        if isinstance(shape, Circle) and shape.radius_mm * points_per_mm < LARGEST_MARK:
            paper.marks.append(box_around(list(_round(shape, points_per_mm))))
    for label in (one for one in shapes if isinstance(one, Label)):
        _place_label(paper, label, points_per_mm)
    dimensions = [one for one in shapes if isinstance(one, Dimension)]
    for dimension in sorted(dimensions, key=lambda one: abs(one.off_mm)):
        _place_dimension(paper, dimension, points_per_mm)
    return paper


def _strokes(shape: Line | Circle, scale: float) -> Iterator[InkStroke]:
    if isinstance(shape, Circle):
        points, closed = _round(shape, scale), True
    else:
        points = tuple((x * scale, y * scale) for x, y in shape.points)
        closed = shape.closed
    if len(points) < 2:
        return
    yield InkStroke(points, shape.style, closed)
    if shape.style == "hatch":
        yield from hatching(points)


def _round(circle: Circle, scale: float) -> tuple[Point, ...]:
    turns = [2 * pi * step / _ROUND_POINTS for step in range(_ROUND_POINTS)]
    return tuple(
        (
            (circle.x_mm + circle.radius_mm * cos(turn)) * scale,
            (circle.y_mm + circle.radius_mm * sin(turn)) * scale,
        )
        for turn in turns
    )


def hatching(points: tuple[Point, ...], every: float = HATCH_EVERY) -> Iterator[InkStroke]:
    """Lines at 45 degrees inside an outline; an outline inside another is not known to it."""
    turned = [_turned(point, -pi / 4) for point in points]
    levels = [y for _x, y in turned]
    for step in range(ceil(min(levels) / every), floor(max(levels) / every) + 1):
        y = step * every
        crossings = sorted(_crossings(turned, y))
        for left, right in zip(crossings[::2], crossings[1::2], strict=False):
            yield InkStroke((_turned((left, y), pi / 4), _turned((right, y), pi / 4)), "hatch")


def _turned(point: Point, by: float) -> Point:
    x, y = point
    return x * cos(by) - y * sin(by), x * sin(by) + y * cos(by)


def _crossings(points: list[Point], y: float) -> Iterator[float]:
    for (x1, y1), (x2, y2) in zip(points, [*points[1:], points[0]], strict=True):
        if (y1 <= y) != (y2 <= y):
            yield x1 + (y - y1) * (x2 - x1) / (y2 - y1)


def _place_label(paper: Paper, label: Label, scale: float) -> None:
    """A label where it belongs, or the nearest free place above or below, with a line to it."""
    size = TEXT_SIZE
    if label.size_mm > 0:
        size = min(max(label.size_mm * scale, SMALLEST_TEXT), LARGEST_TEXT)
    home = (label.x_mm * scale, label.y_mm * scale)
    text = Text(*home, printable(label.text), size, label.anchor, clear=True)
    moved = _free(paper, text, size * LINE_HEIGHT)
    if abs(moved.y - home[1]) > 1.5 * size:
        edge = moved.y - (size * 0.6 if moved.y > home[1] else -size * 0.6)
        paper.strokes.append(InkStroke((home, (moved.x, edge)), "thin"))
    paper.texts.append(moved)


def _free(paper: Paper, text: Text, step: float) -> Text:
    """A text where it is, or moved up or down to where it meets no other."""
    crowd = len(paper.texts) + len(paper.marks)
    for tries in (MOST_TRIES, MOST_TRIES + CROWDED * crowd):
        places = [text, *(text.moved(0.0, by) for by in _steps(step, tries))]
        chosen = _best(paper, places)
        if chosen is not None:
            return places[chosen]
    return text


def _steps(step: float, tries: int) -> Iterator[float]:
    for number in range(1, tries):
        yield number * step
        yield -number * step


def _best(paper: Paper, places: Sequence[Text]) -> int | None:
    """The first place that is free and lets the part's lines be seen; else the first free one."""
    clear = (n for n, one in enumerate(places[:NEAR]) if _is_clear(paper, one.box()))
    best = next(clear, None)
    if best is not None:
        return best
    return next((n for n, one in enumerate(places) if paper.is_free(one.box())), None)


def _is_clear(paper: Paper, box: Box) -> bool:
    return paper.is_free(box) and not any(
        box.with_room(THICKEST).is_crossed(start, end)
        for stroke in paper.strokes
        if stroke.style in SEEN
        for start, end in stroke.segments()
    )


def _place_dimension(paper: Paper, dimension: Dimension, scale: float) -> None:
    """A dimension at its distance, or further out where its text would stand on another."""
    start = dimension.x1_mm * scale, dimension.y1_mm * scale
    end = dimension.x2_mm * scale, dimension.y2_mm * scale
    if length_between(start, end) < 1e-6:
        _place_label(paper, Label(dimension.x1_mm, dimension.y1_mm, dimension.text), scale)
        return
    text, side = printable(dimension.text), -1.0 if dimension.off_mm < 0 else 1.0
    off = abs(dimension.off_mm) * scale
    least = max(off, LEAST_OFF) if dimension.off_mm else 0.0
    steps = (least + number * (TEXT_SIZE + 4) for number in range(MOST_TRIES))
    tries = [_Drawn(start, end, side * step) for step in steps]
    labels = [one.label(text) for one in tries]
    best = _best(paper, labels)
    chosen, words = tries[best or 0], labels[best or 0]
    if best is None:
        words = _free(paper, words, TEXT_SIZE)
    paper.strokes += chosen.strokes()
    paper.arrows += chosen.arrows()
    paper.texts.append(words)


class _Drawn:
    """A dimension drawn so far to the left of the way between its points."""

    def __init__(self, start: Point, end: Point, off: float) -> None:
        self.start, self.end, self.off = start, end, off
        self.length = length_between(start, end)
        self.along = (end[0] - start[0]) / self.length, (end[1] - start[1]) / self.length
        self.left = -self.along[1], self.along[0]
        self.outside = self.length < 3 * ARROW

    def at(self, along: float, off: float) -> Point:
        """A point so far along the way and so far to its left."""
        return (
            self.start[0] + along * self.along[0] + off * self.left[0],
            self.start[1] + along * self.along[1] + off * self.left[1],
        )

    def strokes(self) -> Iterator[InkStroke]:
        """The two lines out from the part and the dimension line itself."""
        tail = TAIL if self.outside else 0.0
        yield InkStroke((self.at(-tail, self.off), self.at(self.length + tail, self.off)), "thin")
        if self.off:
            side = 1.0 if self.off > 0 else -1.0
            for along in (0.0, self.length):
                ends = self.at(along, side * GAP), self.at(along, self.off + side * 3.0)
                yield InkStroke(ends, "thin")

    def arrows(self) -> Iterator[Arrow]:
        """A head at each end; from outside where there is no room between them."""
        way = -ARROW if self.outside else ARROW
        for tip, back in ((0.0, way), (self.length, self.length - way)):
            yield Arrow(
                (
                    self.at(tip, self.off),
                    self.at(back, self.off + ARROW / 5),
                    self.at(back, self.off - ARROW / 5),
                )
            )

    def label(self, text: str) -> Text:
        """The text over the line, read from below or from the right; beside a line too short."""
        angle = degrees(atan2(self.along[1], self.along[0]))
        flip = not -89.99 < angle < 90.01
        angle += 0.0 if not flip else 180.0 if angle < 0 else -180.0
        over = TEXT_SIZE * 0.75
        turn = radians(angle)
        if not self.outside:
            x, y = self.at(self.length / 2, self.off)
            x, y = x - over * sin(turn), y + over * cos(turn)
            return Text(x, y, text, angle=angle, clear=True)
        x, y = self.at(self.length + TAIL + 2 * GAP, self.off)
        return Text(x, y, text, anchor="end" if flip else "start", angle=angle, clear=True)
