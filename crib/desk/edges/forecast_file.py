"""A forecast as events of a calendar: one for each piece, on the day it is due."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

from crib.desk.edges.forecast_dates import Forecast, PieceForecast
from crib.files.paper.calendar_file import DayEvent, event_uid, write_calendar


def write_forecast(found: Forecast, where: Path, crib: str, moment: datetime) -> None:
    """Write the pieces that are shown; the same piece keeps its event from file to file.

    Raises:
        BadValue: for a file of another ending.
        Missing: when there is no folder for it.
        Refused: when the file is there and is no calendar that crib wrote.
    """
    events = [_event(piece, crib) for piece in found.pieces]
    write_calendar(events, f"{crib}: due", where, moment)


def _event(one: PieceForecast, crib: str) -> DayEvent:
    return DayEvent(
        uid=event_uid(one.tag, crib),
        on=date.fromisoformat(one.due_on),
        summary=f"{one.tag}: {one.do}",
        description="\n".join(_lines(one)),
        place=one.place,
    )


def _lines(one: PieceForecast) -> list[str]:
    said = [
        f"{one.tag}, {one.kind}: {one.do} before the next job.",
        f"Now {one.wear:,.0f} of {one.interval:,.0f} weighted strokes, {100 * one.used:.0f} %;"
        f" {one.per_work_day:,.0f} a working day.",
    ]
    if one.planned:
        said.append(f"Planned jobs take {one.planned:,.0f} more.")
    if one.place:
        said.append(f"It is at {one.place}.")
    said.append("Once it is done say so: the day then moves by itself in the next file.")
    return said
