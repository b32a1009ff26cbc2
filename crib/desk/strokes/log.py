"""Strokes after a shift: a few lines said at the window, counted together or not at all."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from crib.acts import Confirmed, Said
from crib.desk.common.acting import stamp_for
from crib.desk.common.reminder_levels import RANK, Reminder, is_silent, level_of, reminder
from crib.desk.strokes.log_book import Book, Booked, StrokeLine, entries_of
from crib.desk.strokes.log_guards import CodeGuard, CountGuard, DayGuard, ask_if_repeated
from crib.desk.strokes.log_words import read_lines
from crib.desk.strokes.paper_codes import PrintedCodes, code_words
from crib.desk.strokes.weigh import Weight
from crib.desk.strokes.whose_strokes import JobGuard
from crib.errors import BadValue
from crib.stock.book import ledger
from crib.stock.book.ledger import Stamp
from crib.stock.book.seals import ledger_end
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import PieceCard, pieces_by_ids, pieces_by_tags
from crib.stock.queries.strokes import sharpened_after, written_in_act
from crib.trade.shop.shop_rules import Rules
from crib.units import System

LONGEST_JOB = 60


@dataclass(frozen=True, slots=True)
class LogOptions:
    """Who says so, for which day and job; and the answers to what may be asked back."""

    by: str = ""
    on: str = ""
    job: str = ""
    about: bool = False
    confirmed: Confirmed = frozenset()


@dataclass(frozen=True, slots=True)
class LoggedLine:
    """What one line came to. ``under`` names the punch whose strokes wore this die.

    ``beside`` names the tool that this one cut with, such as the other blade.
    Wear, interval and weights are weighted strokes; wear and level are as they stand after the
    whole act.
    """

    tag: str
    kind: str
    count: int
    estimate: bool
    material: str
    thickness_mm: float | None
    job: str
    under: str
    weight_each: float
    why: str
    weighted: float
    wear: float
    interval: float
    used: float
    level: str
    words: str
    beside: str = ""


@dataclass(frozen=True, slots=True)
class LogResult:
    """One act of counting. ``entries`` are its numbers in the ledger."""

    act: str
    by: str
    shift_on: str
    unit: System
    entries: tuple[int, ...]
    lines: tuple[LoggedLine, ...]
    became_due: tuple[Reminder, ...]
    notes: tuple[Said, ...]


def log_words(
    session: Session, words: Sequence[str], options: LogOptions, now: datetime | None = None
) -> LogResult:
    """Count what some words say."""
    rules = shop_rules(session)
    return log_lines(session, stroke_lines(session, words, rules), options, now, rules=rules)


def stroke_lines(session: Session, words: Sequence[str], rules: Rules) -> list[StrokeLine]:
    """The lines that some words say, in this crib's unit, with its tags and printed lines' codes.

    Raises:
        BadInput: for words that cannot be read.
    """
    tags = pieces_by_tags(session, (word.strip().upper() for word in words))
    codes = PrintedCodes(session, words)
    return read_lines(words, rules, {*tags, *code_words(words)}, codes.known)


def log_lines(
    session: Session,
    lines: Sequence[StrokeLine],
    options: LogOptions,
    now: datetime | None = None,
    *,
    rules: Rules | None = None,
) -> LogResult:
    """Count some lines in one act.

    Raises:
        UnknownName: for a tag or a name that is not known.
        Refused: for a piece that is gone, or a pair that cannot be.
        AskBack: for a line that looks typed already, a count far above the usual, or strokes
            without a job that only one open job needs.
    """
    rules = rules or shop_rules(session)
    said = [with_options(line, options) for line in lines]
    with session.writing():
        with session.ahead(lambda: Book(session, rules, said)):
            stamp = stamp_for(session, options.by, options.on, now)
            book = Book(session, rules, said)
        booked = [book.take(line) for line in said]
        with session.ahead(
            lambda: ask_if_repeated(session, stamp, rules, booked),
            lambda: _check_counts(CountGuard(session, rules), booked),
            lambda: JobGuard(session).settled(booked, options.confirmed),
            lambda: ledger_end(session),
        ):
            booked = _guarded(session, rules, options, stamp, booked)
            ledger.write(session, stamp, [entry for one in booked for entry in entries_of(one)])
        ids = [card.id for card in cards_before(booked)]
        with session.ahead(
            lambda: sharpened_after(session, ids, stamp.shift_on),
            lambda: written_in_act(session, stamp.act),
        ):
            after = pieces_by_ids(session, ids)
            for tag, day in sharpened_after(session, ids, stamp.shift_on):
                book.notes[f"{tag} was sharpened on {day}: these wore the edge before that"] = None
            by, entries = written_in_act(session, stamp.act)
    return LogResult(
        act=stamp.act,
        by=by,
        shift_on=stamp.shift_on,
        unit=rules.system,
        entries=entries,
        lines=tuple(_answers(booked, after, rules)),
        became_due=risen(cards_before(booked), after, rules),
        notes=tuple(book.notes),
    )


def _guarded(
    session: Session, rules: Rules, options: LogOptions, stamp: Stamp, booked: list[Booked]
) -> list[Booked]:
    """The lines, when nothing in them has to be asked back, or was confirmed."""
    if "typed-already" not in options.confirmed:
        CodeGuard(session).check(booked)
        ask_if_repeated(session, stamp, rules, booked)
    if options.on.strip() and "before-it-came" not in options.confirmed:
        _check_days(DayGuard(session), stamp, booked)
    if "many-strokes" not in options.confirmed:
        _check_counts(CountGuard(session, rules), booked)
    return JobGuard(session).settled(booked, options.confirmed)


def with_options(line: StrokeLine, options: LogOptions) -> StrokeLine:
    """A line with what was said for all lines at once."""
    job = line.job or options.job.strip()
    return checked(replace(line, job=job, estimate=line.estimate or options.about))


def checked(line: StrokeLine) -> StrokeLine:
    """The line, when it can stand in the ledger.

    Raises:
        BadValue: for no strokes, or a job's name that is too long.
    """
    if line.count <= 0:
        message = f"{line.tag}: count {line.count} must be > 0"
        raise BadValue(message, way_out="leave the line out, or say how many")
    if len(line.job) > LONGEST_JOB:
        message = f"job {line.job[:20]!r}... has {len(line.job)} letters, at most {LONGEST_JOB}"
        raise BadValue(message)
    return line


def cards_before(booked: Iterable[Booked]) -> list[PieceCard]:
    """The pieces that the lines wear, each once, as they were before."""
    found: dict[int, PieceCard] = {}
    for one in booked:
        for card in one.cards:
            found.setdefault(card.id, card)
    return list(found.values())


def risen(
    before: Iterable[PieceCard], after: dict[int, PieceCard], rules: Rules
) -> tuple[Reminder, ...]:
    """The pieces that reached a new level which nobody has seen yet, the most worn first."""
    found = []
    for old in before:
        new = after[old.id]
        higher = RANK[level_of(new, rules)] > RANK[level_of(old, rules)]
        if higher and not is_silent(new, rules):
            found.append(reminder(new, rules))
    return tuple(sorted(found, key=lambda one: (-one.used, one.tag)))


def _check_days(guard: DayGuard, stamp: Stamp, booked: Sequence[Booked]) -> None:
    for one in booked:
        guard.check(stamp, one)


def _check_counts(guard: CountGuard, booked: Sequence[Booked]) -> None:
    guard.look_at(one.piece.id for one in booked)
    for one in booked:
        guard.check(one)


def _answers(
    booked: Sequence[Booked], after: dict[int, PieceCard], rules: Rules
) -> Iterable[LoggedLine]:
    for one in booked:
        yield _answer(one.line, after[one.piece.id], one.weight, rules)
        for worn in one.others:
            named = {worn.how: one.piece.tag}
            yield _answer(one.line, after[worn.card.id], worn.weight, rules, **named)


def _answer(
    line: StrokeLine,
    card: PieceCard,
    weight: Weight,
    rules: Rules,
    **named: str,
) -> LoggedLine:
    stands = reminder(card, rules)
    return LoggedLine(
        tag=card.tag,
        kind=card.kind_name,
        count=line.count,
        estimate=line.estimate,
        material=line.work.material.name if line.work.material else "",
        thickness_mm=line.work.thickness_mm,
        job=line.job,
        under=named.get("under", ""),
        beside=named.get("with", ""),
        weight_each=weight.each,
        why=weight.why,
        weighted=round(line.count * weight.each, 3),
        wear=card.wear,
        interval=stands.interval,
        used=stands.used,
        level=stands.level,
        words=stands.words,
    )
