"""The wear of one piece's edges over its shifts: a saw-tooth that falls to 0 at each grind."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import groupby

from crib.desk.common.reminder_levels import interval_of
from crib.features.common.piece_checks import level_limits
from crib.files.paper.chart import Chart, Point, Series, date_axis, number_axis
from crib.stock.book.totals import EDGE_ACTIONS
from crib.stock.engine.session import Session
from crib.stock.queries.edge_ends import EdgeMark, edge_marks
from crib.stock.queries.piece_story import WorkedShift, worked_shifts
from crib.stock.queries.pieces import PieceCard
from crib.trade.common.verdicts import exceeds
from crib.trade.shop.shop_rules import Rules

MOST_POINTS = 400
"""Points of the line; a longer story takes the days of a span together, each edge by itself."""
MOST_LOOKS = 40
LETTERS = {"grind": "G", "turn": "T", "look": "L", "break": "B"}
WORDS = {"grind": "ground", "turn": "turned", "look": "looked at", "break": "broke or lost"}


@dataclass(frozen=True, slots=True)
class WearPoint:
    """The strokes up to a shift date since the point before, and the weighted wear after it.

    ``edge`` counts the grinds and turns before it.
    """

    shift_on: str
    edge: int
    strokes: int
    wear: float


@dataclass(frozen=True, slots=True)
class WearMark:
    """A grind, turn, look or break, and the weighted wear of the edge just then."""

    entry: int
    shift_on: str
    action: str
    found: str
    wear: float


@dataclass(frozen=True, slots=True)
class WearLevel:
    """A level of the shop's reminders, in weighted strokes."""

    name: str
    strokes: float


@dataclass(frozen=True, slots=True)
class WearStory:
    """What the edges of a piece did. ``days_together`` is 1 when each shift date has its point."""

    tag: str
    kind: str
    wear: float
    strokes_total: int
    interval: float
    points: tuple[WearPoint, ...]
    days_together: int
    marks: tuple[WearMark, ...]
    levels: tuple[WearLevel, ...]

    @property
    def worked(self) -> bool:
        """Whether there is anything to draw."""
        return self.strokes_total > 0 or any(point.wear for point in self.points)


def wear_story(session: Session, card: PieceCard, rules: Rules) -> WearStory:
    """The story of a piece by its shift dates; what was taken back is not in it."""
    points, days = _bounded(list(_points(worked_shifts(session, card.id))))
    interval = interval_of(card, rules)
    marks = tuple(_marks(edge_marks(session, [card.id])))
    peak = max([card.wear, *(point.wear for point in points)])
    return WearStory(
        tag=card.tag,
        kind=card.kind_name,
        wear=card.wear,
        strokes_total=card.strokes_total,
        interval=interval,
        points=tuple(points),
        days_together=days,
        marks=marks,
        levels=tuple(_levels(interval, peak, rules)),
    )


def wear_chart(story: WearStory, notes: Sequence[str]) -> Chart:
    """The saw-tooth with the levels of the shop and a letter for what happened."""
    days = _days(story)
    across = date_axis("shift date", min(days), max(days))
    limits = [
        Series(
            f"{level.name}: {level.strokes:,.0f}",
            "limit",
            ((across.low, level.strokes), (across.high, level.strokes)),
        )
        for level in story.levels
    ]
    line = tuple(_saw_tooth(story))
    heights = [y for _x, y in line] + [level.strokes for level in story.levels]
    return Chart(
        f"{story.tag}  {story.kind}: wear of the edge in use",
        across,
        number_axis("wear", "weighted strokes", heights),
        (Series("wear", "step", line), *limits, *_mark_series(story), _now(story, line[-1])),
        tuple(notes),
    )


def _points(shifts: Sequence[WorkedShift]) -> Iterator[WearPoint]:
    edge, wear_milli = -1, 0
    for one in shifts:
        wear_milli = one.weighted_milli + (wear_milli if one.edge == edge else 0)
        edge = one.edge
        yield WearPoint(one.shift_on, edge, one.strokes, wear_milli / 1000)


def _bounded(points: list[WearPoint]) -> tuple[list[WearPoint], int]:
    """The points, and how many days each stands for; every edge keeps its last."""
    if len(points) <= MOST_POINTS:
        return points, 1
    first = min(map(_ordinal, points))
    days = -(-(max(map(_ordinal, points)) - first + 1) // MOST_POINTS)
    found = []
    for _key, group in groupby(points, lambda one: (one.edge, (_ordinal(one) - first) // days)):
        own = list(group)
        found.append(replace(own[-1], strokes=sum(one.strokes for one in own)))
    return found, days


def _marks(marks: Sequence[EdgeMark]) -> Iterator[WearMark]:
    """All grinds, turns and breaks, and the latest looks."""
    old = max(0, sum(mark.action == "look" for mark in marks) - MOST_LOOKS)
    begun_milli = 0
    for mark in marks:
        wear = (mark.total_milli - begun_milli) / 1000
        if mark.action in EDGE_ACTIONS:
            begun_milli = mark.total_milli
        if mark.action == "look" and old > 0:
            old -= 1
            continue
        found = mark.found or (mark.condition or "" if mark.action == "break" else "")
        yield WearMark(mark.id, mark.shift_on, mark.action, found, wear)


def _levels(interval: float, peak: float, rules: Rules) -> Iterator[WearLevel]:
    limits = level_limits(rules)
    yield WearLevel("plan to grind", limits.plan * interval)
    yield WearLevel("grind before the next job", limits.before_job * interval)
    if exceeds(peak, limits.before_job * interval):
        yield WearLevel("not for finish work", limits.no_finish * interval)


def _saw_tooth(story: WearStory) -> Iterator[Point]:
    """From 0 up with each shift, and down to 0 on the day of each grind or turn."""
    ends = [float(_ordinal(mark)) for mark in story.marks if mark.action in EDGE_ACTIONS]
    yield float(min(_days(story)).toordinal()), 0.0
    for edge in range(len(ends) + 1):
        for point in story.points:
            if point.edge == edge:
                yield float(_ordinal(point)), point.wear
        if edge < len(ends):
            yield ends[edge], 0.0


def _mark_series(story: WearStory) -> Iterator[Series]:
    for action, letter in LETTERS.items():
        own = [mark for mark in story.marks if mark.action == action]
        # Nearly every look finds it sharp: that need not be said at each.
        texts = () if action == "look" else tuple(map(_said, own))
        if own:
            points = tuple((float(_ordinal(one)), one.wear) for one in own)
            yield Series(WORDS[action], "marks", points, letter, texts)


def _said(mark: WearMark) -> str:
    return f"found {mark.found}" if mark.found and mark.action != "break" else mark.found


def _now(story: WearStory, last: Point) -> Series:
    used = 100 * story.wear / story.interval
    return Series(f"now {story.wear:,.0f}, {used:.0f} % used", "marks", (last,), "o")


def _days(story: WearStory) -> list[date]:
    return [*map(_day, story.points), *map(_day, story.marks)]


def _day(one: WearPoint | WearMark) -> date:
    return date.fromisoformat(one.shift_on)


def _ordinal(one: WearPoint | WearMark) -> int:
    return _day(one).toordinal()
