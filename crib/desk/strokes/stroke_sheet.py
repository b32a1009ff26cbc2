"""A stroke sheet, taken whole or not at all; the same sheet twice counts once."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import datetime
from functools import cache
from typing import TypeVar

from crib.acts import Said
from crib.desk.common.acting import stamp_for
from crib.desk.common.reminder_levels import Reminder
from crib.desk.strokes.log import LogOptions, checked, risen
from crib.desk.strokes.log_book import (
    Book,
    Booked,
    KnownLine,
    StrokeLine,
    entries_of,
    read_known_work,
)
from crib.desk.strokes.log_guards import CodeGuard, CountGuard, DayGuard
from crib.desk.strokes.paper_codes import PrintedCodes
from crib.desk.strokes.weigh import Work
from crib.desk.strokes.whose_strokes import JobGuard
from crib.errors import BadInput, BadRows, BadValue, RowFault
from crib.files.common.resting_collector import collector_resting
from crib.files.tables.stroke_sheet import SheetRow, StrokeSheet, read_stroke_sheet
from crib.stock.book import ledger
from crib.stock.book.ledger import NewEntry, Stamp
from crib.stock.book.people import person_name
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import PieceCard, pieces_by_ids
from crib.stock.queries.strokes import TakenSheet, keep_sheet, sheet_taken
from crib.stock.queries.tags import meant_among
from crib.trade.life.wear import Hit, Manner
from crib.trade.shop.shop_rules import Rules
from crib.units import read_count

_LONGEST_NOTE = 400
_HITS: dict[str, Hit] = {"": "full", "full": "full", "bridge": "bridge", "chain": "chain"}
_YES = {"": False, **dict.fromkeys(("no", "n", "0"), False)}
_YES |= dict.fromkeys(("yes", "y", "x", "1", "about"), True)
_DRY = _YES | {"oiled": False, "oil": False, "dry": True}
_Meaning = TypeVar("_Meaning")


@dataclass(frozen=True, slots=True)
class SheetPiece:
    """What a sheet came to for one piece; ``strokes`` with those that other lines put on it."""

    tag: str
    lines: int
    strokes: int
    weighted: float


@dataclass(frozen=True, slots=True)
class SheetResult:
    """A sheet as it was taken; ``taken_before`` says that it was, and nothing was added now."""

    name: str
    act: str
    lines: int
    strokes: int
    taken_before: TakenSheet | None
    people: tuple[str, ...] = ()
    shifts: tuple[str, ...] = ()
    pieces: tuple[SheetPiece, ...] = ()
    became_due: tuple[Reminder, ...] = ()
    notes: tuple[Said, ...] = ()


def take_sheet(
    session: Session, data: bytes, name: str, options: LogOptions, now: datetime | None = None
) -> SheetResult:
    """Count every line of a sheet, or none.

    A sheet of the same content is taken as a second lot when that is confirmed.

    Raises:
        BadRows: with every faulty line and its number; nothing was taken then.
    """
    with collector_resting():
        sheet = read_stroke_sheet(data, name)
        rules = shop_rules(session)
        with session.writing():
            before = sheet_taken(session, sheet.digest)
            if before is not None and "typed-already" not in options.confirmed:
                return SheetResult(name, "", before.lines, 0, before)
            taking = _Taking(session, rules, sheet, options, now)
            taking.read()
            digest = sheet.digest if before is None else _second_lot(sheet.digest, taking.stamp)
            ledger.write_all(session, taking.batches())
            keep_sheet(session, taking.stamp, digest, name, len(sheet.rows))
            return taking.result()


def _second_lot(digest: str, stamp: Stamp) -> str:
    return hashlib.sha256(f"{digest} {stamp.act}".encode()).hexdigest()


class _Taking:
    """One sheet on its way into the ledger: every different cell is read once."""

    def __init__(
        self,
        session: Session,
        rules: Rules,
        sheet: StrokeSheet,
        options: LogOptions,
        now: datetime | None,
    ) -> None:
        self._session, self._rules, self._sheet = session, rules, sheet
        self._options, self._now = options, now
        self._codes = PrintedCodes(session, {row.line or row.tag for _line, row in sheet.rows})
        self._known = cache(self._known_by)
        self._book = Book(session, rules, self._said())
        self._guard, self._typed = CountGuard(session, rules), CodeGuard(session)
        self._days, self._jobs = DayGuard(session), JobGuard(session)
        self._jobless: dict[tuple[int, float | None], Booked] = {}
        self._count, self._work, self._stamp = cache(_count), cache(self._read), cache(self._whose)
        self._entries: dict[Stamp, list[NewEntry]] = {}
        self._worn: dict[int, PieceCard] = {}
        self._strokes = self._without_thickness = 0
        self.stamp = stamp_for(session, options.by, options.on, now)

    def read(self) -> None:
        """Read every line.

        Raises:
            BadRows: when some cannot be taken; all of them are named.
        """
        faults: list[RowFault] = []
        for line, row in self._sheet.rows:
            try:
                self._take(row)
            except BadInput as error:
                faults.append(RowFault(self._sheet.name, line, "", error.said(" -> ")))
        if faults:
            count = f"{len(faults)} of {len(self._sheet.rows)} lines cannot be taken"
            message = f"{self._sheet.name}: {count}, so nothing was taken"
            raise BadRows(message, faults, way_out="put these lines right and take the sheet again")

    def _known_by(self, code: str, tag: str) -> KnownLine:
        """What a row stands for, by the code of a printed line or by its tag.

        Raises:
            UnknownName: for a code that was never printed; names the sheet's lines.
            BadValue: for a word that is no code, or the code of another tool than the tag says.
        """
        found = self._codes.known(code or tag)
        if found is None and code:
            message = f"line {code[:20]!r} is no code of a printed line"
            raise BadValue(message, way_out="a code is like 7-3: sheet 7, line 3")
        if found is not None and code and tag and meant_among(tag, [found.tag]) is None:
            message = f"line {code} is of {found.tag}, not of {tag[:40]}"
            raise BadValue(message, way_out="check the code, or leave one of the two out")
        return found or KnownLine(tag.upper())

    def _said(self) -> Iterator[KnownLine]:
        """What each row names, once; a row that cannot be read is told of later."""
        for code, tag, die_tag, job in {
            (row.line, row.tag, row.die_tag, row.job) for _line, row in self._sheet.rows
        }:
            with suppress(BadInput):
                known = self._known(code, tag)
                yield replace(
                    known,
                    die_tag=die_tag.upper() or known.die_tag,
                    job=job or known.job or self._options.job,
                )

    def _take(self, row: SheetRow) -> None:
        stamp = self._stamp(row.by, row.on)
        booked = self._book.take(self._line(row))
        if "typed-already" not in self._options.confirmed:
            self._typed.check([booked])
        dated = (row.on or self._options.on).strip()
        if dated and "before-it-came" not in self._options.confirmed:
            self._days.check(stamp, booked)
        if "many-strokes" not in self._options.confirmed:
            self._guard.check(booked)
        if not booked.line.job:
            self._jobless.setdefault((booked.piece.id, booked.line.work.thickness_mm), booked)
        for card in booked.cards:
            self._worn.setdefault(card.id, card)
        self._strokes += booked.line.count
        self._without_thickness += booked.line.work.thickness_mm is None
        self._entries.setdefault(stamp, []).extend(entries_of(booked))

    def _line(self, row: SheetRow) -> StrokeLine:
        if len(row.note) > _LONGEST_NOTE:
            message = f"the note has {len(row.note)} letters, at most {_LONGEST_NOTE}"
            raise BadValue(message)
        count, estimate = self._count(row.strokes)
        options, known = self._options, self._known(row.line, row.tag)
        return checked(
            StrokeLine(
                tag=known.tag,
                count=count,
                work=self._work(known, row.thru, row.material, row.hit, row.dry),
                die_tag=row.die_tag.upper() or known.die_tag,
                job=row.job or known.job or options.job,
                estimate=estimate or options.about or _word(_YES, row.about, "about"),
                note=row.note,
                code=known.code,
                beside=known.beside,
            )
        )

    def _read(self, known: KnownLine, thru: str, material: str, hit: str, dry: str) -> Work:
        manner = Manner(_word(_HITS, hit, "hit"), _word(_DRY, dry, "dry"))
        return read_known_work(self._rules, known, thru, material, manner)

    def _whose(self, by: str, on: str) -> Stamp:
        """The stamp for a person and a day; all of a sheet is one act."""
        options = self._options
        found = stamp_for(self._session, by or options.by, on or options.on, self._now)
        return replace(found, act=self.stamp.act, made_at=self.stamp.made_at)

    def batches(self) -> list[tuple[Stamp, list[NewEntry]]]:
        """What goes into the ledger, by person and day."""
        return list(self._entries.items())

    def result(self) -> SheetResult:
        """What the sheet came to, read back after the writing."""
        after = pieces_by_ids(self._session, self._worn)
        people = dict.fromkeys(stamp.person_id for stamp in self._entries)
        return SheetResult(
            name=self._sheet.name,
            act=self.stamp.act,
            lines=len(self._sheet.rows),
            strokes=self._strokes,
            taken_before=None,
            people=tuple(person_name(self._session, person) for person in people),
            shifts=tuple(sorted({stamp.shift_on for stamp in self._entries})),
            pieces=tuple(_pieces(self._entries.values(), after)),
            became_due=risen(self._worn.values(), after, self._rules),
            notes=tuple(self._notes()),
        )

    def _notes(self) -> Iterator[Said]:
        if self._without_thickness:
            lines = "1 line" if self._without_thickness == 1 else f"{self._without_thickness} lines"
            yield f"{lines} without a thickness: counted at 1.00 a stroke"
        yield from self._sheet.notes
        if self._sheet.not_read:
            yield f"columns not read: {', '.join(self._sheet.not_read)}"
        yield from self._book.notes
        if "no-job" not in self._options.confirmed:
            self._jobs.look_at(one.piece.id for one in self._jobless.values())
            yield from self._jobs.offers(self._jobless.values())


def _count(cell: str) -> tuple[int, bool]:
    """A count, and whether it is an estimate (``~400``)."""
    return read_count(cell.removeprefix("~")), cell.startswith("~")


def _word(known: Mapping[str, _Meaning], cell: str, column: str) -> _Meaning:
    found = known.get(cell.casefold())
    if found is None:
        listed = ", ".join(word for word in known if word)
        message = f"{column} {cell[:20]!r} must be one of: {listed}"
        raise BadValue(message)
    return found


def _pieces(batches: Iterable[list[NewEntry]], after: dict[int, PieceCard]) -> Iterator[SheetPiece]:
    """What each piece got, by tag."""
    lines: dict[int, list[NewEntry]] = {}
    for entries in batches:
        for entry in entries:
            lines.setdefault(entry.piece_id or 0, []).append(entry)
    for card in sorted(after.values(), key=lambda one: one.tag):
        own = lines[card.id]
        strokes = sum(entry.quantity for entry in own)
        weighted = sum(entry.weighted_milli for entry in own) / 1000
        yield SheetPiece(card.tag, len(own), strokes, weighted)
