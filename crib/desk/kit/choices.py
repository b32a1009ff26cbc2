"""Which pieces a job's runs want, what stands in the way of each, and the copy to take instead."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from crib.desk.common.piece_standing import EDGED, length_now_mm, size_now_mm, standing
from crib.features.common.pair_wear import on_role
from crib.features.common.tooling import SIDE_OF_ROLE
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.jobs import JobCard, RunCard, job_called, runs_of, runs_of_pieces
from crib.stock.queries.kind_copies import copies_at_hand
from crib.stock.queries.pieces import PieceCard, pieces_by_ids, pieces_by_tags
from crib.stock.queries.places import adapters_among, station_card
from crib.stock.queries.stations import adapters_at_hand
from crib.stock.writers.holds import ACTIVE, HoldCard, hold_of_pieces, holds_of_job
from crib.trade.common.verdicts import exceeds
from crib.trade.shop.shop_rules import Rules
from crib.words import AWAY

GONE = ("locked", "broken", "lost", "retired")
"""Conditions in which a piece will not do the job: another copy must."""


@dataclass(frozen=True, slots=True)
class Choice:
    """One piece of the kit. ``runs`` want it; ``strokes`` are the weighted ones still to come.

    ``taken`` is another's hold on it; ``instead`` the copy to take where this one will not do;
    ``no_spare`` says that it should have a spare and there is none.
    """

    card: PieceCard
    runs: tuple[RunCard, ...] = ()
    strokes: float = 0.0
    spare_for: str = ""
    own: HoldCard | None = None
    taken: HoldCard | None = None
    instead: PieceCard | None = None
    no_spare: bool = False

    @property
    def blocked(self) -> bool:
        """Whether another copy must do its work."""
        return self.taken is not None or self.card.condition in GONE

    @property
    def mounted(self) -> bool:
        """Whether it stands at a station where the job wants it."""
        return self.card.station_id in {run.station_id for run in self.runs}


@dataclass
class Wishes:
    """A job with its runs that are not done, its own holds, and the pieces it wants."""

    session: Session
    rules: Rules
    job: JobCard
    runs: list[RunCard]
    own: dict[int, HoldCard]
    wants: dict[int, list[RunCard]] = field(default_factory=dict)
    cards: dict[int, PieceCard] = field(default_factory=dict)
    no_adapter: list[str] = field(default_factory=list)
    _taken: dict[int, HoldCard] = field(default_factory=dict)
    _used: set[int] = field(default_factory=set)
    _stepped_in: set[int] = field(default_factory=set)

    @classmethod
    def of_job(cls, session: Session, name: str) -> Wishes:
        """What a job still wants.

        Raises:
            UnknownName: when no job is called so.
        """
        job = job_called(session, name)
        runs = [run for run in runs_of(session, job.id) if run.left > 0]
        holds = [one for one in holds_of_job(session, job.id) if one.state in ACTIVE]
        wishes = cls(session, shop_rules(session), job, runs, {one.piece_id: one for one in holds})
        wishes._read()
        return wishes

    def _read(self) -> None:
        for run in self.runs:
            for piece_id in (run.piece_id, run.with_piece_id):
                if piece_id is not None:
                    self.wants.setdefault(piece_id, []).append(run)
        self.cards = pieces_by_ids(self.session, {*self.wants, *self.own})
        self._taken = self._held_by_others(self.cards)
        for card, run in list(self._without_seat()):
            self._add_adapter(card, run)
        self._used = set(self.cards)

    def _held_by_others(self, ids: Iterable[int]) -> dict[int, HoldCard]:
        found = hold_of_pieces(self.session, ids)
        return {key: one for key, one in found.items() if one.job_id != self.job.id}

    def _without_seat(self) -> Iterator[tuple[PieceCard, RunCard]]:
        """The pieces that their run's station does not seat by itself."""
        for piece_id, runs in self.wants.items():
            card = self.cards[piece_id]
            for run in runs:
                seats = station_card(self.session, run.station_id).seats
                if card.role in SIDE_OF_ROLE and card.seat and card.seat not in seats:
                    yield card, run

    def _add_adapter(self, card: PieceCard, run: RunCard) -> None:
        found = self._adapter(card, run)
        if found is None:
            text = f"{card.tag} is seat {card.seat}: no adapter for {run.machine} / {run.station}"
            if text not in self.no_adapter:
                self.no_adapter.append(text)
            return
        self.cards.setdefault(found.id, found)
        runs = self.wants.setdefault(found.id, [])
        if run not in runs:
            runs.append(run)

    def _adapter(self, card: PieceCard, run: RunCard) -> PieceCard | None:
        """The adapter for a piece: the job's own, the one mounted there, else the strongest."""
        seats, side = station_card(self.session, run.station_id).seats, SIDE_OF_ROLE[card.role]
        own = [one for key, one in self.cards.items() if key in self.own and one.role == side]
        for adapter in adapters_among(self.session, own):
            if adapter.presents == card.seat and adapter.seat in seats:
                return next(one for one in own if one.tag == adapter.tag)
        fitting = {
            one.tag: one
            for one in adapters_at_hand(self.session, self.families([run])[0])
            if one.side == side and one.presents == card.seat and one.fits in seats
        }
        cards = pieces_by_tags(self.session, fitting)
        taken = self._held_by_others(one.id for one in cards.values())
        free = [one for one in cards.values() if one.id not in taken]
        return min(
            free,
            key=lambda one: (
                one.id not in self.cards,
                one.station_id != run.station_id,
                -(fitting[one.tag].rated_force_n or 0.0),
                one.tag,
            ),
            default=None,
        )

    def families(self, runs: Iterable[RunCard]) -> list[str]:
        """The families of material of some runs, each once; the shop's usual one where none is."""
        usual = self.rules.text("material.default")
        names = dict.fromkeys(run.material or usual for run in runs)
        return list(dict.fromkeys(self.rules.material(name).family for name in names))

    def strokes(self, card: PieceCard) -> float:
        """Weighted strokes that the runs will still put on a piece."""
        if card.role not in EDGED:
            return 0.0
        total = 0.0
        for run in self.wants.get(card.id, ()):
            weighted = (run.weighted_milli / 1000 or run.strokes) * run.left / run.strokes
            total += on_role(weighted, card.role, self.rules)
        return total

    def choices(self, *, spares: bool = True) -> list[Choice]:
        """The whole kit: what runs want, what is held beside it, and the spares."""
        self._used, self._stepped_in = set(self.cards), set()
        needed = [self._needed(self.cards[key], tuple(runs)) for key, runs in self.wants.items()]
        beside = [one for key, one in self.own.items() if key not in self.wants]
        free = [one for one in beside if one.spare and one.piece_id not in self._stepped_in]
        found: list[Choice] = []
        for one in needed:
            spare = self._spare(one, free) if spares and self._wants_spare(one) else None
            found.append(one if spare is None else spare[0])
            found += spare[1:] if spare else ()
        shown = {one.card.id for one in found}
        for hold in beside:
            if hold.piece_id not in shown:
                found.append(Choice(self.cards[hold.piece_id], own=hold))
        return found

    def _needed(self, card: PieceCard, runs: tuple[RunCard, ...]) -> Choice:
        strokes = self.strokes(card)
        own, taken = self.own.get(card.id), self._taken.get(card.id)
        away = card.place_sort in AWAY and (own is None or own.state != "out")
        will_not_do = taken is not None or card.condition != "sound" or away
        instead = self._own_spare(card) if will_not_do else None
        if will_not_do and instead is None:
            instead = self._copy(card, runs, strokes)
        return Choice(card, runs, strokes, own=own, taken=taken, instead=instead)

    def _own_spare(self, card: PieceCard) -> PieceCard | None:
        """A spare that the job has already: what it is held for is to step in."""
        for hold in self.own.values():
            spare = self.cards[hold.piece_id]
            fits = hold.spare and spare.kind_id == card.kind_id and spare.condition == "sound"
            if fits and spare.id not in self.wants and spare.id not in self._stepped_in:
                self._stepped_in.add(spare.id)
                return spare
        return None

    def _wants_spare(self, one: Choice) -> bool:
        """Past half of its life, or the planned strokes take it past its interval."""
        if one.card.role not in EDGED or one.blocked:
            return False
        stands = standing(one.card, self.rules)
        past = exceeds(stands.used, self.rules.number("kit.spare_above"))
        return past or exceeds(one.card.wear + one.strokes, stands.interval)

    def _spare(self, one: Choice, free: list[HoldCard]) -> tuple[Choice, ...]:
        """The piece, and its spare behind it: one that is held already, else the best copy."""
        held = next((hold for hold in free if hold.kind_id == one.card.kind_id), None)
        if held is not None:
            free.remove(held)
            spare = self.cards[held.piece_id]
            return one, Choice(spare, one.runs, one.strokes, spare_for=one.card.tag, own=held)
        copy = self._copy(one.card, one.runs, one.strokes)
        if copy is None:
            return (Choice(one.card, one.runs, one.strokes, "", one.own, one.taken, None, True),)
        return one, Choice(copy, one.runs, one.strokes, spare_for=one.card.tag)

    def _copy(self, card: PieceCard, runs: Iterable[RunCard], strokes: float) -> PieceCard | None:
        """The best other copy that nobody has: of those that last the least worn, drawers first."""
        families = self.families(runs)
        copies = [
            one
            for one in copies_at_hand(self.session, [card.kind_id])[0]
            if one.id not in self._used and self._alike(one, card) and self._has_edge(one)
            if one.dedicated_to == "" or set(families) == {one.dedicated_to}
        ]
        taken = self._held_by_others(one.id for one in copies)
        planned = self._planned_elsewhere([one for one in copies if one.id not in taken])
        best = min(
            (one for one in copies if one.id not in taken),
            key=lambda one: (
                exceeds(one.wear + strokes, standing(one, self.rules).interval),
                one.station_id is not None,
                one.id in planned,
                one.wear,
                one.tag,
            ),
            default=None,
        )
        if best is not None:
            self._used.add(best.id)
        return best

    def _planned_elsewhere(self, copies: list[PieceCard]) -> set[int]:
        if not copies:
            return set()
        runs = runs_of_pieces(self.session, [one.id for one in copies])
        others = [run for run in runs if run.job_id != self.job.id]
        return {key for run in others for key in (run.piece_id, run.with_piece_id) if key}

    def _alike(self, one: PieceCard, card: PieceCard) -> bool:
        """Whether a copy has the size of the planned piece, measured over nominal."""
        tolerance_mm = self.rules.number("size.tolerance_mm")
        pairs = zip(size_now_mm(one), size_now_mm(card), strict=True)
        return all(
            mine == theirs or abs((mine or 0.0) - (theirs or 0.0)) <= tolerance_mm
            for mine, theirs in pairs
        )

    def _has_edge(self, one: PieceCard) -> bool:
        """Whether a copy is neither dull nor ground too short."""
        if one.role not in EDGED:
            return True
        stands, length_mm = standing(one, self.rules), length_now_mm(one)
        least_mm = stands.least_length_mm
        short = least_mm is not None and length_mm is not None and exceeds(least_mm, length_mm)
        return stands.used < 1 and not short
