"""What wears the tools in the days to come: the pace of the last weeks, and planned runs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from datetime import date

from crib.stock.engine.session import Session
from crib.stock.queries.jobs import RunCard, open_jobs_and_runs
from crib.stock.queries.pace import WornLately, worn_lately
from crib.trade.life.forecast import PlannedWear
from crib.trade.life.wear import die_strokes
from crib.trade.shop.shop_rules import Rules
from crib.trade.shop.workdays import WorkCalendar, work_calendar, working_days

DAYS_AHEAD = 730
LEAST_DAYS = 28
"""Days over which strokes are spread at least: a single busy shift is no pace."""


@dataclass(slots=True)
class ExpectedUse:
    """How one piece or kind is used: a pace on working days, and planned work by its day.

    ``planned_per_day`` is the part of the pace that planned jobs made.
    """

    per_day: float = 0.0
    planned_per_day: float = 0.0
    planned: list[PlannedWear] = field(default_factory=list)
    done_today: bool = False


@dataclass(frozen=True, slots=True)
class Outlook:
    """The use of every piece and kind, over the working days to come (by their numbers)."""

    days: tuple[int, ...]
    works_today: bool
    look_back_weeks: int
    closed: tuple[str, ...]
    of_piece: dict[int, ExpectedUse] = field(default_factory=dict)
    kinds: dict[int, ExpectedUse] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)

    def expected_uses(self, piece_id: int, kind_id: int) -> tuple[ExpectedUse, ExpectedUse]:
        """The use of a piece and of its kind, to be added to."""
        return self.of_piece.setdefault(piece_id, ExpectedUse()), self.kinds.setdefault(
            kind_id, ExpectedUse()
        )


def outlook(session: Session, rules: Rules, today: date) -> Outlook:
    """What the ledger and the open jobs say about the days to come."""
    calendar = work_calendar(rules.text("shift.work_days"), rules.text("shift.closed_days"))
    weeks = int(rules.number("shift.look_back_weeks"))
    number = today.toordinal()
    found = Outlook(
        days=working_days(calendar, number, number + DAYS_AHEAD),
        works_today=calendar.is_open(number),
        look_back_weeks=weeks,
        closed=tuple(_closed(calendar, number)),
    )
    since = date.fromordinal(number - 7 * weeks).isoformat()
    for one in worn_lately(session, since):
        per_day, done_today = _pace(one, calendar, number)
        for use in found.expected_uses(one.piece_id, one.kind_id):
            use.per_day += per_day
            use.planned_per_day += per_day * one.planned / one.weighted if one.weighted else 0.0
            use.done_today |= done_today
    _plan(session, found, rules.number("wear.die_share"))
    return found


def _plan(session: Session, found: Outlook, die_share: float) -> None:
    """Add what is left of the open jobs."""
    for job, runs in open_jobs_and_runs(session):
        if job.left > 0 and not job.due_on:
            note = f"job {job.name} has no day it is due: its strokes are not counted"
            found.notes.append(note)
        elif job.left > 0:
            day = date.fromisoformat(job.due_on).toordinal()
            for piece_id, kind_id, weighted in _work(runs, die_share):
                for use in found.expected_uses(piece_id, kind_id):
                    use.planned.append(PlannedWear(day, weighted))


def _closed(calendar: WorkCalendar, today: int) -> Iterator[str]:
    """The days to come on which the shop would work but is closed."""
    usual = replace(calendar, closed=frozenset())
    for day in sorted(calendar.closed):
        if day >= today and usual.is_open(day):
            yield date.fromordinal(day).isoformat()


def _pace(one: WornLately, calendar: WorkCalendar, today: int) -> tuple[float, bool]:
    """Weighted strokes of a working day, and whether today's are among them."""
    first, last = (date.fromisoformat(day).toordinal() for day in (one.first_on, one.last_on))
    done_today = last >= today
    start = min(first, today - LEAST_DAYS) if one.whole else first
    days = working_days(calendar, start, today if done_today else today - 1)
    return one.weighted / max(len(days), 1), done_today


def _work(runs: Iterable[RunCard], die_share: float) -> Iterator[tuple[int, int, float]]:
    """Piece, kind and weighted strokes of what is left of some runs, the dies under them too."""
    for run in runs:
        if run.left <= 0:
            continue
        # A run without a weight counts as a stroke without a thickness does: 1.00 each.
        each = run.weighted_milli / 1000 / run.strokes if run.weighted_milli else 1.0
        yield run.piece_id, run.kind_id, run.left * each
        if run.with_piece_id is not None and run.with_kind_id is not None:
            yield run.with_piece_id, run.with_kind_id, die_strokes(run.left * each, die_share)
        for piece in run.beside:
            yield piece.id, piece.kind_id, run.left * each
