"""What a forecast says: the days of each piece and each kind, and how many weeks were asked for."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from crib.acts import Said

USUAL_WEEKS, MOST_WEEKS = 4, 52


@dataclass(frozen=True, slots=True)
class ForecastRequest:
    """How many weeks ahead; every date, however far; and the calendar file to write, if any."""

    weeks: int = USUAL_WEEKS
    everything: bool = False
    ics: Path | None = None


@dataclass(frozen=True, slots=True)
class PieceForecast:
    """One piece: the days on which it reaches the levels of its interval, empty when beyond sight.

    Wear, interval, pace and planned work are weighted strokes, ``planned_per_work_day`` the part of
    the pace that planned jobs made; ``do`` is what is to be done then.
    """

    tag: str
    kind: str
    role: str
    place: str
    condition: str
    used: float
    wear: float
    interval: float
    per_work_day: float
    planned: float
    planned_per_work_day: float
    plan_on: str
    after_job_on: str
    due_on: str
    do: str


@dataclass(frozen=True, slots=True)
class KindForecast:
    """One kind: what its sound pieces can still do, and the day on which that is used up.

    Strokes are weighted. ``order_by`` is that day less the days to delivery.
    """

    kind: str
    role: str
    pieces: int
    in_hand: float
    per_work_day: float
    planned: float
    planned_per_work_day: float
    out_on: str
    lead_days: int
    order_by: str


@dataclass(frozen=True, slots=True)
class Forecast:
    """The dates ahead. ``later`` counts the dated pieces that are not shown.

    ``closed`` are the days of the usual week on which the shop does not work.
    """

    today: str
    until: str
    closed: tuple[str, ...]
    look_back_weeks: int
    pieces: tuple[PieceForecast, ...]
    kinds: tuple[KindForecast, ...]
    later: int
    notes: tuple[Said, ...]
    file: str = ""
