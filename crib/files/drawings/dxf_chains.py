"""Loose lines and arcs to closed loops: ends within 0.05 mm of each other are one place.

What closes only over a wider gap is nearly closed; a person says whether it is meant to.

What hangs loose is cut back until only loops are left; where more than two lines still meet, nobody
can tell which way the outline goes, and it is left to a person.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from math import copysign, floor

from crib.files.drawings.contour_sides import SAME_MM, Side
from crib.files.drawings.dxf_looks import Aside

NEARLY_MM = 1.0
"""The widest gap over which lines may be meant to meet: about a thick pen stroke (*shop rule*)."""
_NO_GAP_MM = 1e-9


@dataclass(slots=True)
class Source:
    """Where in the drawing something comes from; ``item`` is its key in the reading ledger.

    ``linetype`` is how it is drawn, ``aside`` why it is no edge of the part, where it is none.
    """

    kind: str
    layer: str
    handle: str = ""
    line: int = 0
    item: int = 0
    linetype: str = ""
    aside: Aside | None = None


@dataclass(frozen=True, slots=True)
class DrawnStroke:
    """One line or arc of at most 180 degrees, and what drew it."""

    side: Side
    source: Source

    def turned(self) -> DrawnStroke:
        """The same, drawn from its other end."""
        side = Side(self.side.end, self.side.start, -self.side.radius_mm)
        return DrawnStroke(side, self.source)


@dataclass(frozen=True, slots=True)
class NearlyClosed:
    """A loop that closes over a gap [mm], and where the widest is."""

    loop: list[DrawnStroke]
    gap_mm: float
    at: complex


@dataclass(slots=True)
class Chains:
    """The loops that strokes make, and the strokes that make none, by what is wrong with them."""

    loops: list[list[DrawnStroke]] = field(default_factory=list)
    nearly: list[NearlyClosed] = field(default_factory=list)
    twice: list[DrawnStroke] = field(default_factory=list)
    short: list[DrawnStroke] = field(default_factory=list)
    loose: list[DrawnStroke] = field(default_factory=list)
    branching: list[DrawnStroke] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class _Edge:
    stroke: DrawnStroke
    first: int
    last: int

    def other(self, node: int) -> int:
        return self.last if node == self.first else self.first


def chained(strokes: Iterable[DrawnStroke]) -> Chains:
    """Chain strokes by their ends, and what is loose once more over wider gaps."""
    found = _chained(strokes, SAME_MM)
    wider = _chained(found.loose, NEARLY_MM) if len(found.loose) > 1 else Chains()
    found.nearly = [_nearly(loop) for loop in wider.loops]
    closing = {id(stroke.source) for near in found.nearly for stroke in near.loop}
    found.loose = [stroke for stroke in found.loose if id(stroke.source) not in closing]
    return found


def _nearly(loop: list[DrawnStroke]) -> NearlyClosed:
    """A loop with its widest gap, still open."""
    ends = zip([loop[-1], *loop], loop, strict=False)
    gaps = [(abs(one.side.end - two.side.start), one.side.end) for one, two in ends]
    gap_mm, at = max(gaps, key=lambda gap: gap[0])
    return NearlyClosed(closed_up(loop), gap_mm, at)


def _chained(strokes: Iterable[DrawnStroke], same_mm: float) -> Chains:
    found = Chains()
    edges = _without_twins(_edges(strokes, found, same_mm), found)
    meeting: dict[int, set[int]] = {}
    for number, edge in enumerate(edges):
        for node in (edge.first, edge.last):
            meeting.setdefault(node, set()).add(number)
    _cut_back(edges, meeting, found)
    done: set[int] = set()
    for number, edge in enumerate(edges):
        if number not in done and number in meeting[edge.first]:
            _follow(number, edges, meeting, done, found)
    if same_mm == SAME_MM:
        found.loops = [closed_up(loop) for loop in found.loops]
    return found


def middle_of(side: Side) -> complex:
    """The point half-way along a line or arc."""
    middle = (side.start + side.end) / 2
    if not side.radius_mm:
        return middle
    to_centre = middle - side.centre
    radius_mm = abs(side.radius_mm)
    if abs(to_centre) > radius_mm / 1_000:
        return side.centre + to_centre / abs(to_centre) * radius_mm
    away = -1j * side.step / side.length_mm
    return side.centre + away * copysign(radius_mm, side.radius_mm)


def _edges(strokes: Iterable[DrawnStroke], found: Chains, same_mm: float) -> list[_Edge]:
    places: dict[tuple[int, int], list[tuple[complex, int]]] = {}
    count = 0

    def node(point: complex) -> int:
        nonlocal count
        across, up = floor(point.real / same_mm), floor(point.imag / same_mm)
        for x in (across, across - 1, across + 1):
            for y in (up, up - 1, up + 1):
                for place, number in places.get((x, y), ()):
                    if abs(place - point) <= same_mm:
                        return number
        count += 1
        places.setdefault((across, up), []).append((point, count))
        return count

    made = []
    for stroke in strokes:
        edge = _Edge(stroke, node(stroke.side.start), node(stroke.side.end))
        if edge.first == edge.last:
            found.short.append(stroke)
        else:
            made.append(edge)
    return made


def _without_twins(edges: Iterable[_Edge], found: Chains) -> list[_Edge]:
    """Each line once, though it is drawn over itself."""
    made: list[_Edge] = []
    middles: dict[tuple[int, int], list[complex]] = {}
    for edge in edges:
        between = (min(edge.first, edge.last), max(edge.first, edge.last))
        middle = middle_of(edge.stroke.side)
        known = middles.setdefault(between, [])
        if any(abs(one - middle) <= 2 * SAME_MM for one in known):
            found.twice.append(edge.stroke)
        else:
            known.append(middle)
            made.append(edge)
    return made


def _cut_back(edges: Sequence[_Edge], meeting: dict[int, set[int]], found: Chains) -> None:
    """Take off what ends in the open, again and again."""
    ends = [node for node, numbers in meeting.items() if len(numbers) == 1]
    while ends:
        node = ends.pop()
        if len(meeting[node]) != 1:
            continue
        number = meeting[node].pop()
        found.loose.append(edges[number].stroke)
        other = edges[number].other(node)
        meeting[other].discard(number)
        if len(meeting[other]) == 1:
            ends.append(other)


def _follow(
    number: int,
    edges: Sequence[_Edge],
    meeting: dict[int, set[int]],
    done: set[int],
    found: Chains,
) -> None:
    """The loop that an edge is part of; all that hangs together is left where lines branch."""
    together, nodes = _together(number, edges, meeting)
    done |= together
    if any(len(meeting[node]) > 2 for node in nodes):
        found.branching += [edges[one].stroke for one in sorted(together)]
        return
    loop: list[DrawnStroke] = []
    at, left = edges[number].first, set(together)
    while left:
        number = min(meeting[at] & left)
        left.remove(number)
        edge = edges[number]
        loop.append(edge.stroke if edge.first == at else edge.stroke.turned())
        at = edge.other(at)
    found.loops.append(loop)


def closed_up(loop: Sequence[DrawnStroke]) -> list[DrawnStroke]:
    """The loop with every gap closed, so that each stroke begins where the one before ends."""
    sides = [stroke.side for stroke in loop]
    places = [
        _meeting_place(one, two) for one, two in zip([sides[-1], *sides], sides, strict=False)
    ]
    ends = [*places[1:], places[0]]
    return [
        DrawnStroke(replace(stroke.side, start=start, end=end), stroke.source)
        for stroke, start, end in zip(loop, places, ends, strict=True)
    ]


def _meeting_place(one: Side, two: Side) -> complex:
    """Where one side goes over into the next: lines where they cross, others half-way."""
    half_way, gap_mm = (one.end + two.start) / 2, abs(one.end - two.start)
    if gap_mm <= _NO_GAP_MM:
        return two.start
    cross = (one.step.conjugate() * two.step).imag
    if one.radius_mm or two.radius_mm or not cross:
        return half_way
    along = ((two.start - one.start).conjugate() * two.step).imag / cross
    place = one.start + one.step * along
    return place if abs(place - half_way) <= max(SAME_MM, 2 * gap_mm) else half_way


def _together(
    number: int, edges: Sequence[_Edge], meeting: dict[int, set[int]]
) -> tuple[set[int], set[int]]:
    together, nodes = {number}, set[int]()
    todo = [edges[number].first, edges[number].last]
    while todo:
        node = todo.pop()
        if node in nodes:
            continue
        nodes.add(node)
        for one in meeting[node] - together:
            together.add(one)
            todo += [edges[one].first, edges[one].last]
    return together, nodes
