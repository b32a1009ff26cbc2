"""The two questions before strokes are counted: typed already? and a zero too many?"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import datetime

from crib.acts import act, saying
from crib.desk.common.acting import before_it_came
from crib.desk.strokes.log_book import Booked
from crib.errors import AskBack
from crib.stock.book.ledger import Stamp
from crib.stock.engine.session import Session
from crib.stock.queries.jobs import RunCard, runs_of_pieces
from crib.stock.queries.strokes import came_after, last_counts, same_entries_since
from crib.stock.writers.papers import entry_typed_from
from crib.trade.shop.shop_rules import Rules

_LEAST_ENTRIES = 3


def ask_if_repeated(session: Session, stamp: Stamp, rules: Rules, booked: Sequence[Booked]) -> None:
    """Ask back when a line looks typed already. Stands inside the transaction that writes.

    Raises:
        AskBack: naming every such line.
    """
    minutes = rules.number("log.repeat_minutes")
    if minutes <= 0:
        return
    counts = [(one.piece.id, one.line.count) for one in booked]
    typed = same_entries_since(session, counts, stamp, minutes)
    said: list[str] = []
    seen: set[tuple[int, int, str]] = set()
    for one in booked:
        line, key = one.line, (one.piece.id, one.line.count, one.line.work.manner.hit)
        found = typed.get((one.piece.id, line.count))
        if found is not None:
            at = datetime.fromisoformat(found.made_at).astimezone().strftime("%H:%M")
            said.append(f"{line.tag} {line.count} looks typed already at {at} as entry {found.id}")
        elif key in seen:
            said.append(f"{line.tag} {line.count} stands twice in this call")
        seen.add(key)
    if said:
        raise _typed_already(said)


@dataclass(slots=True)
class CodeGuard:
    """Knows which printed lines were typed already, however long ago and with whatever count."""

    session: Session
    _seen: set[str] = field(default_factory=set)

    def fault(self, one: Booked) -> str:
        """What speaks against counting a line; empty for one without a code."""
        code = one.line.code
        if not code:
            return ""
        found = entry_typed_from(self.session, code, one.piece.id)
        if found is not None:
            at = datetime.fromisoformat(found.made_at).astimezone().strftime("%Y-%m-%d %H:%M")
            return f"line {code} was typed already, {at}, as entry {found.id}"
        twice = code in self._seen
        self._seen.add(code)
        return f"line {code} stands twice" if twice else ""

    def check(self, booked: Sequence[Booked]) -> None:
        """Ask back when printed lines were typed already.

        Raises:
            AskBack: naming every such line.
        """
        said = [fault for one in booked if (fault := self.fault(one))]
        if said:
            raise _typed_already(said)


@dataclass(slots=True)
class DayGuard:
    """Knows which pieces came later than a day that was typed."""

    session: Session
    _came: dict[tuple[int, str], str] = field(default_factory=dict)

    def check(self, stamp: Stamp, booked: Booked) -> None:
        """Ask back at strokes of a day before one of their pieces came: a punch, its die.

        Raises:
            AskBack: naming each such piece and the day it came.
        """
        self._look_up([card.id for card in booked.cards], stamp.shift_on)
        came = [self._came[card.id, stamp.shift_on] for card in booked.cards]
        said = "; ".join(one for one in came if one)
        if said:
            said += f": these strokes are of {stamp.shift_on}"
            raise before_it_came(said)

    def _look_up(self, ids: Sequence[int], day: str) -> None:
        unknown = [one for one in ids if (one, day) not in self._came]
        if unknown:
            self._came |= {(one, day): "" for one in unknown}
            for piece_id, tag, came_on in came_after(self.session, unknown, day):
                self._came[piece_id, day] = f"{tag} came on {came_on}"


@dataclass(slots=True)
class CountGuard:
    """Knows what is usual for each piece, and asks back at counts far above it.

    What a job planned goes before what was usual: a count is held against the plan of its own job,
    and one that is far above the usual against the plans of all that are open.
    """

    session: Session
    rules: Rules
    _limits: dict[int, tuple[float, str]] = field(default_factory=dict)

    def look_at(self, piece_ids: Iterable[int]) -> None:
        """Learn what is usual for some pieces at once."""
        for piece_id, counts in last_counts(self.session, piece_ids).items():
            self._limits[piece_id] = self._limit(counts)

    def check(self, booked: Booked) -> None:
        """Ask back at a count that looks like a slip of the finger.

        Raises:
            AskBack: naming the figure it was held against.
        """
        line, piece = booked.line, booked.piece
        words = self._against_usual(booked)
        if booked.planned is not None:
            strokes, logged = booked.planned
            words = self._against_plan(line.count, strokes, logged)
        elif words and not line.job and self._is_planned(piece.id, line.count):
            words = ""
        if words:
            message = f"{piece.tag}: {line.count} strokes, {words}"
            sure = act("confirm.many-strokes")
            way_out = saying("check the count; if it is right, say it with ", sure)
            raise AskBack(message, confirm="many-strokes", way_out=way_out)

    def _against_usual(self, booked: Booked) -> str:
        """What speaks against a count by what the piece did before; empty when nothing does."""
        if booked.piece.id not in self._limits:
            self.look_at([booked.piece.id])
        limit, words = self._limits[booked.piece.id]
        return words if booked.line.count >= limit else ""

    def _against_plan(self, count: int, strokes: int, logged: int) -> str:
        """What speaks against a count by a plan; empty when nothing does."""
        times = self.rules.number("log.plan_times")
        if logged + count <= strokes * times:
            return ""
        before = f" and {logged:,} logged already" if logged else ""
        return f"where {strokes:,} are planned{before}"

    def _is_planned(self, piece_id: int, count: int) -> bool:
        """Whether an open job planned about so many on a piece, though the line names no job."""
        jobs: dict[int, list[RunCard]] = {}
        for run in runs_of_pieces(self.session, [piece_id]):
            jobs.setdefault(run.job_id, []).append(run)
        return any(
            not self._against_plan(
                count, sum(run.strokes for run in runs), sum(run.logged for run in runs)
            )
            for runs in jobs.values()
        )

    def _limit(self, last: Sequence[int]) -> tuple[float, str]:
        most = self.rules.number("log.most_strokes")
        times = self.rules.number("log.usual_times")
        counts = sorted(last)
        usual = _median(counts) if len(counts) >= _LEAST_ENTRIES else None
        if usual is not None and usual * times <= most:
            return usual * times, f"{times:g} times its usual {usual:g} or more"
        return most + 1, f"more than {most:g} in one line"


def _typed_already(lines: Sequence[str]) -> AskBack:
    way_out = saying("if it is a second lot, say it with ", act("confirm.typed-already"))
    return AskBack("; ".join(lines), confirm="typed-already", way_out=way_out)


def _median(ordered: Sequence[int]) -> float:
    middle = len(ordered) // 2
    if len(ordered) % 2:
        return float(ordered[middle])
    return (ordered[middle - 1] + ordered[middle]) / 2
