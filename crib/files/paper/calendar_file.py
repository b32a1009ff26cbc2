"""A calendar file (iCalendar, RFC 5545) with whole-day events, as any calendar program reads it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from urllib.parse import quote

from crib.acts import act, saying
from crib.errors import BadValue, Missing, Refused
from crib.files.common.whole_file import write_whole
from crib.unseen import lines_made_seen, made_seen

ENDING = ".ics"
MADE_BY = "-//crib//forecast//EN"
_HEAD_BYTES = 2000


@dataclass(frozen=True, slots=True)
class DayEvent:
    """Something to be done on a day. ``uid`` stays the same when the day moves."""

    uid: str
    on: date
    summary: str
    description: str
    place: str = ""


def event_uid(tag: str, crib: str) -> str:
    """The lasting name of a piece's event: its tag and the crib it belongs to."""
    return f"{quote(tag, safe='')}@{quote(crib, safe='')}"


def write_calendar(events: Sequence[DayEvent], name: str, where: Path, made_at: datetime) -> None:
    """Write a calendar whole or not at all; only a calendar of ours is written over.

    Raises:
        BadValue: for a file of another ending.
        Missing: when there is no such folder.
        Refused: when something else is in the file.
    """
    _require_free(where)
    write_whole(calendar_bytes(events, name, made_at), where)


def calendar_bytes(events: Sequence[DayEvent], name: str, made_at: datetime) -> bytes:
    """The calendar as it stands in a file; ``made_at`` is the stamp of every event."""
    from icalendar import Calendar, Event

    calendar = Calendar()
    calendar.add("prodid", MADE_BY)
    calendar.add("version", "2.0")
    calendar.add("x-wr-calname", made_seen(name))
    for one in events:
        event = Event()
        event.add("uid", one.uid)
        event.add("dtstamp", made_at.astimezone(UTC).replace(microsecond=0))
        event.add("dtstart", one.on)
        event.add("dtend", one.on + timedelta(days=1))
        event.add("summary", made_seen(one.summary))
        event.add("description", lines_made_seen(one.description))
        event.add("transp", "TRANSPARENT")
        if one.place:
            event.add("location", made_seen(one.place))
        calendar.add_component(event)
    found: bytes = calendar.to_ical()
    return found


def _require_free(where: Path) -> None:
    if where.suffix.casefold() != ENDING:
        message = f"the calendar must end in {ENDING}, found {where.name!r}"
        raise BadValue(message, way_out=saying("such as ", act("forecast", ics="due.ics")))
    if not where.parent.is_dir():
        message = f"there is no folder {where.parent}"
        raise Missing(message, way_out="make it first, or choose another place")
    if where.exists() and not _is_ours(where):
        message = f"{where} is there already, and crib did not write it"
        raise Refused(message, way_out="choose another name")


def _is_ours(where: Path) -> bool:
    if not where.is_file():
        return False
    with where.open("rb") as file:
        head = file.read(_HEAD_BYTES)
    return head.startswith(b"BEGIN:VCALENDAR") and f"PRODID:{MADE_BY}".encode() in head
