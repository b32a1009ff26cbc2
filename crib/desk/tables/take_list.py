"""Taking a shop's own list in: each line is taken or left, and what it was read as is told.

The lines become rows of the tables kinds, places and pieces, and go in by those, in one act.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path

from crib.acts import Confirmed, act, saying
from crib.desk.shelf.next_tags import next_tags
from crib.desk.tables.crib_units import units_of
from crib.desk.tables.import_tables import take_sheets
from crib.desk.tables.list_words import NotRead, ReadLine, read_line
from crib.desk.tables.row_checks import kind_name
from crib.desk.tables.shown_tables import shown_tables
from crib.errors import AskBack, BadValue, Missing, UnknownName
from crib.files.tables.cells import Units
from crib.files.tables.columns import TABLES, find_table
from crib.files.tables.shop_list import ShopList, read_shop_list
from crib.files.tables.table_lines import TableLines
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.history import was_taken_from
from crib.stock.queries.kinds import all_seats, kinds_alike, seat_numbered
from crib.stock.queries.places import PlaceCard, all_places
from crib.units import System, read_length_mm

GRINDER = "grinder"
DATES = ("us", "european")
_SLASHED = re.compile(r"([0-9]{1,2})[/-]([0-9]{1,2})[/-]([0-9]{2}|[0-9]{4})")
_DOTTED = re.compile(r"([0-9]{1,2})\.\s?([0-9]{1,2})\.\s?([0-9]{2}|[0-9]{4})")
_TABLES = {
    "places": ("name", "sort"),
    "kinds": ("name", "role", "shape", "size", "long", "seat"),
    "pieces": ("tag", "kind", "place", "condition", "length", "bought on", "note"),
}


@dataclass(frozen=True, slots=True)
class ListAnswers:
    """What was said of a list: seat and length of each group ('' is for all), how dates are."""

    seats: Mapping[str, str]
    lengths: Mapping[str, str]
    dates: str = ""
    confirmed: Confirmed = frozenset()


@dataclass(frozen=True, slots=True)
class LineTold:
    """One line of a list: what it was read as and its tags, or why it is left."""

    line: int
    text: str
    read: ReadLine | None = None
    tags: tuple[str, ...] = ()
    left: str = ""


@dataclass(frozen=True, slots=True)
class ToSay:
    """What has to be said or confirmed before a list is taken, by its code, and about what."""

    code: str
    message: str
    about: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TakenList:
    """Every line of a list below its heading, those above it, and what is still to be said."""

    source: str
    dry_run: bool
    above: tuple[str, ...]
    lines: tuple[LineTold, ...]
    taken: int
    left: int
    pieces: int
    without_length: int
    to_say: tuple[ToSay, ...] = ()
    notes: tuple[str, ...] = ()


def answers_of(
    seats: Iterable[str], lengths: Iterable[str], dates: str, confirmed: Confirmed
) -> ListAnswers:
    """The answers as they are typed: ``round punches=A``, or ``A`` for all that say none.

    Raises:
        BadValue: for dates that are neither us nor european.
    """
    if dates.strip().casefold() not in ("", *DATES):
        message = f"dates {dates[:40]!r} are not known"
        raise BadValue(message, way_out=f"say {' or '.join(DATES)}")
    return ListAnswers(_by_group(seats), _by_group(lengths), dates.strip().casefold(), confirmed)


def _by_group(answers: Iterable[str]) -> dict[str, str]:
    said = [one.rpartition("=") for one in answers]
    return {" ".join(group.split()).casefold(): one.strip() for group, _sign, one in said}


def take_list(
    session: Session,
    source: Path,
    answers: ListAnswers,
    *,
    by: str = "",
    dry_run: bool = False,
    now: datetime | None = None,
) -> TakenList:
    """Take a list; with ``dry_run`` only say how each line is read and what is to be said yet.

    Raises:
        AskBack: for seats and dates that nobody said, lines that would be left, a list that was
            taken before.
        BadRows: for a line that the tables do not take; nothing is taken then.
    """
    listed = read_shop_list(source)
    with session.writing():
        reading = _read(session, listed, answers)
        asks = list(_asks(session, listed, reading, answers))
        if asks and not dry_run:
            raise asks[0]
        told = _told(session, listed, reading, {} if asks else _tags(session, reading.read))
        if not asks and reading.read:
            sheets = _sheets(session, listed.name, reading, told)
            take_sheets(session, listed.name, sheets, by=by, dry_run=dry_run, now=now)
    left = sum(bool(one.left) for one in told)
    above = tuple(text for _number, text in listed.above)
    pieces = sum(line.count for line in reading.read)
    to_say = tuple(
        ToSay(one.choose or one.confirm or "", one.message, one.told or one.readings)
        for one in asks
    )
    without_length = sum(line.count for line in reading.read if not line.length)
    counts = (len(told) - left, left, pieces, without_length)
    return TakenList(listed.name, dry_run, above, tuple(told), *counts, to_say, listed.notes)


_Design = tuple[str, str, str, str, str]


@dataclass(slots=True)
class _Reading:
    """The lines as they were read, why others are left, and what stays open."""

    read: list[ReadLine]
    left: dict[int, str]
    open_groups: Counter[str]
    open_dates: list[str]
    kinds: dict[_Design, list[str]]
    """The kinds that are there of each design that was read."""


def _read(session: Session, listed: ShopList, answers: ListAnswers) -> _Reading:
    system = shop_rules(session).system
    places = {place.name.casefold(): place for place in all_places(session)}
    seats = {seat.name.casefold(): seat.name for seat in all_seats(session)}
    reading = _Reading([], {}, Counter(), [], {})
    for line in listed.lines:
        try:
            read = read_line(line, system)
            _require_drawer(read, places)
            read = _with_seat(_with_length(read, answers), seats, answers, reading)
            _require_one_kind(session, read, reading)
        except NotRead as error:
            reading.left[line.number] = str(error)
        else:
            reading.read.append(read)
    order = answers.dates or _order_of([line.date for line in reading.read])
    _read_dates(reading, order)
    return reading


def _require_drawer(read: ReadLine, places: Mapping[str, PlaceCard]) -> None:
    place = places.get(read.drawer.casefold())
    if place is not None and place.station_id is not None:
        message = f"{place.name} is a station: give its drawer, and mount it afterwards"
        raise NotRead(message)


def _with_length(read: ReadLine, answers: ListAnswers) -> ReadLine:
    said = answers.lengths.get(read.group) or answers.lengths.get("", "")
    return replace(read, length=read.length or said)


def _with_seat(
    read: ReadLine, seats: Mapping[str, str], answers: ListAnswers, reading: _Reading
) -> ReadLine:
    said = read.seat or answers.seats.get(read.group) or answers.seats.get("", "")
    if not said and len(seats) == 1:
        only = next(iter(seats.values()))
        return replace(read, seat=only, taken_for="; ".join(filter(None, [read.taken_for, "seat"])))
    if said and said.casefold() not in seats:
        message = f"no seat called {said!r}; known: {', '.join(seats.values()) or 'none'}"
        if read.seat:
            raise NotRead(message)
        raise UnknownName(message)
    if not said:
        reading.open_groups[read.group] += read.count
    return replace(read, seat=seats.get(said.casefold(), ""))


def _order_of(dates: Sequence[str]) -> str:
    """How dates with slashes are written, where one of them can be read in one way only."""
    slashed = [found for text in dates if (found := _SLASHED.fullmatch(text))]
    ways = {"european" for one in slashed if int(one[1]) > 12}
    ways |= {"us" for one in slashed if int(one[2]) > 12}
    return ways.pop() if len(ways) == 1 else ""


def _read_dates(reading: _Reading, order: str) -> None:
    kept = []
    for line in reading.read:
        try:
            kept.append(replace(line, date=_iso(line.date, order)))
        except ValueError:
            reading.left[line.number] = f"{line.date!r} is no day"
        except _Unsure:
            reading.open_dates.append(line.date)
            kept.append(line)
    reading.read = kept


class _Unsure(Exception):
    """A date that may be one of two days."""


def _iso(text: str, order: str) -> str:
    """A day as YYYY-MM-DD: with points the day comes first, with slashes as the list has it."""
    slashed, dotted = _SLASHED.fullmatch(text), _DOTTED.fullmatch(text)
    if dotted or slashed is None:
        parts = (dotted[3], dotted[2], dotted[1]) if dotted else None
        return _day(*parts) if parts else str(date.fromisoformat(text[:10])) if text else ""
    first, second, year = slashed.groups()
    if first == second or order == "us":
        return _day(year, first, second)
    if not order and int(first) <= 12 and int(second) <= 12:
        raise _Unsure
    return _day(year, second, first)


def _day(year: str, month: str, day: str) -> str:
    return date(int(year) + (2000 if len(year) == 2 else 0), int(month), int(day)).isoformat()


def _asks(
    session: Session, listed: ShopList, reading: _Reading, answers: ListAnswers
) -> Iterable[AskBack]:
    """What has to be said before the list is taken, one for each group."""
    if "typed-already" not in answers.confirmed and was_taken_from(session, listed.name):
        message = f"pieces of a list called {listed.name} are in the crib already"
        way_out = saying("if these are more, say ", act("confirm.typed-already"))
        yield AskBack(message, confirm="typed-already", way_out=way_out)
    if reading.open_groups:
        yield _which_seat(session, reading)
    if reading.open_dates:
        message = f"{reading.open_dates[0]} may be the month or the day first"
        dates = [act("say.dates", dates=way) for way in DATES]
        way_out = saying("say ", dates[0], " for month first, ", dates[1], " for day first")
        yield AskBack(message, choose="dates", readings=DATES, way_out=way_out)
    if reading.left and "lines-left" not in answers.confirmed:
        count = len(reading.left)
        message = f"{count} line{'s' if count > 1 else ''} of {listed.name} cannot be taken"
        told = [f"line {number}: {why}" for number, why in sorted(reading.left.items())]
        way_out = saying("mend them, or leave them out with ", act("confirm.lines-left"))
        if not reading.read:
            message = f"no line of {listed.name} reads as a tool"
            shown = shown_tables(session, TABLES)
            names = ", ".join(table.name for table in shown if not table.only_whole)
            text = f"say it like 13/16 round punch; a table's file is named for it: {names}"
            way_out = saying(text)
        yield AskBack(message, confirm="lines-left", told=told, way_out=way_out)


def _which_seat(session: Session, reading: _Reading) -> AskBack:
    names = [seat.name for seat in all_seats(session)]
    if not names:
        message = "the crib has no seat yet, and a tool is found by its seat"
        seats = act("import", file="seats.csv")
        raise Missing(message, way_out=saying("declare the shop's seats with ", seats))
    groups = list(reading.open_groups.items())
    answer = act("say.seats", group_is=f"{groups[0][0]}={names[0]}")
    return AskBack(
        f"which seat is it? known: {', '.join(names)}",
        choose="seat",
        readings=names,
        told=[f"{group}: {count}" for group, count in groups],
        way_out=saying("say it for each: ", answer),
    )


def _tags(session: Session, read: Sequence[ReadLine]) -> dict[int, tuple[str, ...]]:
    """The tags of each line: its own for the first piece, the next ones for all others."""
    following = next_tags(session, [(line.tag, line.role) for line in read if line.tag])
    return {
        line.number: (
            *([line.tag] if line.tag else []),
            *following.take(line.role, line.count - bool(line.tag)),
        )
        for line in read
    }


def _told(
    session: Session, listed: ShopList, reading: _Reading, tags: Mapping[int, tuple[str, ...]]
) -> list[LineTold]:
    read = {line.number: line for line in reading.read}
    return [
        LineTold(line.number, line.text, left=reading.left[line.number])
        if line.number in reading.left
        else LineTold(line.number, line.text, read[line.number], tags.get(line.number, ()))
        for line in listed.lines
    ]


def _sheets(
    session: Session, name: str, reading: _Reading, told: Sequence[LineTold]
) -> list[TableLines]:
    """The rows that the lines come to, each with the line that it is from."""
    tags = {one.line: one.tags for one in told}
    places = all_places(session)
    known = {place.name.casefold() for place in places}
    grinder = next((one.name for one in places if one.sort == GRINDER), GRINDER)
    rows: dict[str, dict[str, tuple[int, list[str]]]] = {table: {} for table in _TABLES}
    crib = units_of(session)
    for line in reading.read:
        place = grinder if line.at_grinder else line.drawer
        if place and place.casefold() not in known:
            sort = GRINDER if line.at_grinder else "drawer"
            rows["places"].setdefault(place.casefold(), (line.number, [place, sort]))
        there = reading.kinds[_design(line)]
        kind = there[0] if there else _new_kind(line, crib)
        if not there:
            cells = [kind, *_design(line)]
            rows["kinds"].setdefault(kind.casefold(), (line.number, cells))
        for at, tag in enumerate(tags[line.number]):
            key = f"{line.number} {at}"
            piece = [tag, kind, place, line.condition, line.length, line.date, line.note]
            rows["pieces"][key] = (line.number, piece)
    return [
        TableLines(find_table(table), name, 0, list(columns), iter(list(rows[table].values())))
        for table, columns in _TABLES.items()
        if rows[table]
    ]


def _design(line: ReadLine) -> _Design:
    return line.role, line.shape, line.size, line.long, line.seat


def _require_one_kind(session: Session, line: ReadLine, reading: _Reading) -> None:
    """Find the kind that a line is of; none is there where a new one is made.

    Raises:
        NotRead: for one of several kinds that differ in what no list says, such as their keys.
    """
    design = _design(line)
    if design not in reading.kinds:
        system = shop_rules(session).system
        sizes = (_mm(line.size, system), _mm(line.long, system))
        seat_id = seat_numbered(session, line.seat)
        there = kinds_alike(session, line.role, line.shape, sizes, seat_id, None)
        reading.kinds[design] = [one.name for one in there]
    if len(reading.kinds[design]) > 1:
        message = f"one of several kinds: {', '.join(reading.kinds[design])}"
        raise NotRead(message)


def _new_kind(line: ReadLine, crib: Units) -> str:
    sizes = {"size": _mm(line.size, crib.system), "long": _mm(line.long, crib.system)}
    return kind_name({"role": line.role, "shape": line.shape, "seat": line.seat, **sizes}, crib)


def _mm(size: str, system: System) -> float | None:
    return read_length_mm(size, system) if size else None
