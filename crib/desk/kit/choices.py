"""Which pieces a job's kit is made of, what stands in the way of each, and what to take instead."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from crib.desk.common.far_pieces import FarPiece, far_piece
from crib.desk.common.mounting import ONE_EACH, mount_of, stack_faults
from crib.desk.common.piece_wear import EDGED, length_now_mm, piece_wear, size_now_mm
from crib.desk.kit.wishes import Wishes, held_by_others
from crib.stock.engine.session import Session
from crib.stock.queries.jobs import RunCard, planned_pieces
from crib.stock.queries.kind_copies import copies_at_hand
from crib.stock.queries.pieces import PieceCard
from crib.stock.writers.holds import HoldCard
from crib.trade.common.verdicts import exceeds
from crib.trade.shop.shop_rules import Rules
from crib.words import AWAY

GONE = ("locked", "broken", "lost", "retired")
"""Conditions in which a piece will not do the job: another copy must."""


@dataclass(frozen=True, slots=True)
class KitChoice:
    """One piece of the kit. ``runs`` want it; ``strokes`` are the weighted ones still to come.

    ``taken`` is another's hold on it; ``instead`` the copy to take where this one will not do;
    ``no_spare`` says that it should have a spare and there is none; ``far`` from where it must be
    sent first.
    """

    card: PieceCard
    runs: tuple[RunCard, ...] = ()
    strokes: float = 0.0
    spare_for: str = ""
    own: HoldCard | None = None
    taken: HoldCard | None = None
    instead: PieceCard | None = None
    no_spare: bool = False
    far: FarPiece | None = None

    @property
    def blocked(self) -> bool:
        """Whether another copy must do its work."""
        return self.taken is not None or self.card.condition in GONE

    @property
    def mounted(self) -> bool:
        """Whether it stands at a station where the job wants it."""
        return self.card.station_id in {run.station_id for run in self.runs}

    @property
    def will_not_do(self) -> bool:
        """Whether it cannot be taken as it is, be it only that it must be fetched or looked at."""
        if self.far is not None:
            return True
        is_out = self.own is not None and self.own.state == "out"
        away = self.card.place_sort in AWAY and not is_out
        return self.taken is not None or self.card.condition != "sound" or away


@dataclass(frozen=True)
class _Copies:
    """What could be taken instead, read for all that a job wants as soon as one looks for it."""

    session: Session
    wishes: Wishes

    @cached_property
    def at_hand(self) -> dict[int, list[PieceCard]]:
        """The copies at hand of each kind that is wanted."""
        kinds = list({self.wishes.cards[piece_id].kind_id for piece_id in self.wishes.wants})
        return dict(zip(kinds, copies_at_hand(self.session, kinds), strict=True))

    @cached_property
    def of_others(self) -> tuple[set[int], set[int]]:
        """Those of them that others have, and those that a run of another open job wants."""
        job = self.wishes.job
        ids = [copy.id for copies in self.at_hand.values() for copy in copies]
        with self.session.ahead(lambda: planned_pieces(self.session, ids)):
            taken = held_by_others(self.session, job, ids)
            planned = planned_pieces(self.session, ids)
        return set(taken), {piece_id for job_id, piece_id in planned if job_id != job.id}


def choose(session: Session, wishes: Wishes, *, spares: bool = True) -> tuple[KitChoice, ...]:
    """The whole kit: what runs want, the spares behind it, and what is held beside it."""
    copies = _Copies(session, wishes)
    needed: list[KitChoice] = []
    for piece_id, runs in wishes.wants.items():
        needed.append(_needed(copies, wishes.cards[piece_id], runs, needed))
    kit = _with_spares(copies, needed) if spares else needed
    chosen = {choice.card.id for choice in kit}
    beside = [hold for hold in wishes.held_beside() if hold.piece_id not in chosen]
    return (*kit, *(KitChoice(wishes.cards[hold.piece_id], own=hold) for hold in beside))


def _needed(
    copies: _Copies, card: PieceCard, runs: tuple[RunCard, ...], before: Sequence[KitChoice]
) -> KitChoice:
    """A piece that runs want, with the copy to take for it where it will not do."""
    wishes = copies.wishes
    own, taken = wishes.own.get(card.id), wishes.taken.get(card.id)
    far = far_piece(copies.session, wishes.rules, card)
    choice = KitChoice(card, runs, wishes.strokes(card), own=own, taken=taken, far=far)
    if not choice.will_not_do:
        return choice
    instead = _own_spare(wishes, card, before) or _copy(copies, choice, before)
    return replace(choice, instead=instead)


def _own_spare(wishes: Wishes, card: PieceCard, before: Sequence[KitChoice]) -> PieceCard | None:
    """A spare that the job has already: what it is held for is to step in."""
    stepped_in = _stepped_in(before)
    for hold in wishes.held_beside():
        spare = wishes.cards[hold.piece_id]
        fits = hold.spare and spare.kind_id == card.kind_id and spare.condition == "sound"
        if fits and spare.id not in stepped_in:
            return spare
    return None


def _with_spares(copies: _Copies, needed: Sequence[KitChoice]) -> list[KitChoice]:
    """What runs want, and behind each piece that should have one its spare."""
    kit: list[KitChoice] = []
    for choice in needed:
        if not _wants_spare(choice, copies.wishes.rules):
            kit.append(choice)
            continue
        spare = _spare(copies, choice, [*needed, *kit])
        kit += [replace(choice, no_spare=True)] if spare is None else [choice, spare]
    return kit


def _wants_spare(choice: KitChoice, rules: Rules) -> bool:
    """Past half of its life, or the planned strokes take it past its interval."""
    if choice.card.role not in EDGED or choice.blocked:
        return False
    stands = piece_wear(choice.card, rules)
    past = exceeds(stands.used, rules.number("kit.spare_above"))
    return past or exceeds(choice.card.wear + choice.strokes, stands.interval)


def _spare(copies: _Copies, choice: KitChoice, before: Sequence[KitChoice]) -> KitChoice | None:
    """The spare behind a piece: one that is held already, else the best copy."""
    given = {earlier.card.id for earlier in before} | _stepped_in(before)
    for hold in copies.wishes.held_beside():
        if hold.spare and hold.kind_id == choice.card.kind_id and hold.piece_id not in given:
            card = copies.wishes.cards[hold.piece_id]
            return KitChoice(card, choice.runs, choice.strokes, spare_for=choice.card.tag, own=hold)
    copy = _copy(copies, choice, before)
    if copy is None:
        return None
    return KitChoice(copy, choice.runs, choice.strokes, spare_for=choice.card.tag)


def _stepped_in(choices: Sequence[KitChoice]) -> set[int]:
    """The pieces that do the work of others."""
    return {choice.instead.id for choice in choices if choice.instead is not None}


def _copy(copies: _Copies, choice: KitChoice, before: Sequence[KitChoice]) -> PieceCard | None:
    """The best other copy that nobody has: of those that last the least worn, drawers first."""
    wishes = copies.wishes
    used = {*wishes.cards, *(earlier.card.id for earlier in before), *_stepped_in(before)}
    families = set(wishes.families(choice.runs))
    alike = [
        copy
        for copy in copies.at_hand[choice.card.kind_id]
        if copy.id not in used
        and _alike(copy, choice.card, wishes.rules)
        and _has_edge(copy, wishes.rules)
        and (copy.dedicated_to == "" or families == {copy.dedicated_to})
    ]
    taken, planned = copies.of_others if alike else (set(), set())
    free = [copy for copy in alike if copy.id not in taken]
    free.sort(
        key=lambda copy: (
            exceeds(copy.wear + choice.strokes, piece_wear(copy, wishes.rules).interval),
            copy.station_id is not None,
            copy.id in planned,
            copy.wear,
            copy.tag,
        )
    )
    return next((copy for copy in free if _closes(copies, choice, copy)), None)


def _closes(copies: _Copies, choice: KitChoice, copy: PieceCard) -> bool:
    """Whether a copy closes with the tools that stay, wherever the job wants it."""
    if copy.role not in ONE_EACH:
        return True
    session, wishes = copies.session, copies.wishes
    pairs = {(run.station_id, *run.piece_ids): run for run in choice.runs}
    for run in pairs.values():
        staying = [wishes.cards[one] for one in run.piece_ids if one != choice.card.id]
        cards = wishes.adapted(run, [copy, *staying])
        station = wishes.stations[run.station_id]
        if staying and stack_faults(mount_of(session, station, wishes.rules, cards)):
            return False
    return True


def _alike(copy: PieceCard, card: PieceCard, rules: Rules) -> bool:
    """Whether a copy has the size of the planned piece, measured over nominal."""
    tolerance_mm = rules.number("size.tolerance_mm")
    pairs = zip(size_now_mm(copy), size_now_mm(card), strict=True)
    return all(
        mine == theirs or abs((mine or 0.0) - (theirs or 0.0)) <= tolerance_mm
        for mine, theirs in pairs
    )


def _has_edge(copy: PieceCard, rules: Rules) -> bool:
    """Whether a copy is neither dull nor ground too short."""
    if copy.role not in EDGED:
        return True
    stands, length_mm = piece_wear(copy, rules), length_now_mm(copy)
    least_mm = stands.least_length_mm
    short = least_mm is not None and length_mm is not None and exceeds(least_mm, length_mm)
    return stands.used < 1 and not short
