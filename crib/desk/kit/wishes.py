"""What a job still wants: its runs that are not done, the pieces they need, adapters among them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from crib.desk.common.mounting import mount_of, stack_faults
from crib.desk.common.piece_wear import EDGED
from crib.features.common.pair_wear import on_role
from crib.features.common.tooling import SIDE_OF_ROLE
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.jobs import JobCard, RunCard, job_and_runs
from crib.stock.queries.pieces import PieceCard, pieces_by_ids, pieces_by_tags
from crib.stock.queries.places import ADAPTERS, StationCard, adapters_among, station_cards
from crib.stock.queries.stations import adapters_at_hand
from crib.stock.writers.holds import ACTIVE, HoldCard, hold_of_pieces, holds_of_job
from crib.trade.shop.shop_rules import Rules


@dataclass(frozen=True, slots=True)
class Wishes:
    """A job's wishes as they were read once.

    ``own`` are its holds, ``wants`` the runs and ``taken`` the holds of others, all by piece;
    ``cards`` the pieces that it wants or has, ``stations`` those of its runs. ``no_adapter`` says
    which cannot be seated.
    """

    rules: Rules
    job: JobCard
    runs: tuple[RunCard, ...]
    own: Mapping[int, HoldCard]
    wants: Mapping[int, tuple[RunCard, ...]]
    cards: Mapping[int, PieceCard]
    taken: Mapping[int, HoldCard]
    stations: Mapping[int, StationCard]
    no_adapter: tuple[str, ...] = ()

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

    def adapted(self, run: RunCard, cards: Iterable[PieceCard]) -> list[PieceCard]:
        """Some pieces of a run, and the adapters that it wants beside them."""
        wanted = (self.cards[one] for one, runs in self.wants.items() if run in runs)
        return [*cards, *(card for card in wanted if card.role in ADAPTERS)]

    @property
    def mounted(self) -> set[int]:
        """The pieces that stand at a station where the job wants them."""
        return {
            piece_id
            for piece_id, runs in self.wants.items()
            if self.cards[piece_id].station_id in {run.station_id for run in runs}
        }

    def held_beside(self) -> list[HoldCard]:
        """What the job has and no run wants: spares, and pieces of an earlier plan."""
        return [hold for piece_id, hold in self.own.items() if piece_id not in self.wants]


def read_wishes(session: Session, name: str) -> Wishes:
    """What a job still wants.

    Raises:
        UnknownName: when no job is called so.
    """
    job, planned = job_and_runs(session, name)
    runs = tuple(run for run in planned if run.left > 0)
    places = {run.station_id for run in runs}
    with session.ahead(lambda: shop_rules(session), lambda: station_cards(session, places)):
        holds = [hold for hold in holds_of_job(session, job.id) if hold.state in ACTIVE]
        rules, stations = shop_rules(session), station_cards(session, places)
    own = {hold.piece_id: hold for hold in holds}
    wants = _wanted(runs)
    ids = {*wants, *own}
    with session.ahead(lambda: held_by_others(session, job, ids)):
        cards = pieces_by_ids(session, ids)
        taken = held_by_others(session, job, ids)
    wishes = Wishes(rules, job, runs, own, wants, cards, taken, stations)
    adapted = list(_without_seat(wishes))
    for card, run in adapted:
        wishes = _with_adapter(session, wishes, card, run)
    for run in dict.fromkeys(run for _card, run in adapted):
        wishes = _with_stack_judged(session, wishes, run)
    return wishes


def wishes_again(session: Session, before: Wishes) -> Wishes:
    """What a job wants once more, after a write to what it has."""
    with session.ahead(
        lambda: holds_of_job(session, before.job.id),
        lambda: pieces_by_ids(session, before.cards),
        lambda: held_by_others(session, before.job, before.cards),
    ):
        return read_wishes(session, before.job.name)


def held_by_others(session: Session, job: JobCard, ids: Iterable[int]) -> dict[int, HoldCard]:
    """The holds of some pieces that are not the job's own, by piece."""
    holds = hold_of_pieces(session, ids)
    return {piece_id: hold for piece_id, hold in holds.items() if hold.job_id != job.id}


def _wanted(runs: Iterable[RunCard]) -> dict[int, tuple[RunCard, ...]]:
    """The runs of each piece that some runs need, in their order."""
    wants: dict[int, tuple[RunCard, ...]] = {}
    for run in runs:
        for piece_id in run.piece_ids:
            wants[piece_id] = (*wants.get(piece_id, ()), run)
    return wants


def _without_seat(wishes: Wishes) -> Iterator[tuple[PieceCard, RunCard]]:
    """The pieces that their run's station does not seat by itself."""
    for piece_id, runs in wishes.wants.items():
        card = wishes.cards[piece_id]
        for run in runs:
            seats = wishes.stations[run.station_id].seats
            if card.role in SIDE_OF_ROLE and card.seat and card.seat not in seats:
                yield card, run


def _with_adapter(session: Session, wishes: Wishes, card: PieceCard, run: RunCard) -> Wishes:
    """The same wishes with the adapter that seats a piece, or with the word that there is none."""
    adapter = _adapter(session, wishes, card, run)
    if adapter is None:
        text = f"{card.tag} is seat {card.seat}: no adapter for {run.machine} / {run.station}"
        return replace(wishes, no_adapter=tuple(dict.fromkeys((*wishes.no_adapter, text))))
    runs = wishes.wants.get(adapter.id, ())
    wants = {**wishes.wants, adapter.id: runs if run in runs else (*runs, run)}
    return replace(wishes, wants=wants, cards={**wishes.cards, adapter.id: adapter})


def _with_stack_judged(session: Session, wishes: Wishes, run: RunCard) -> Wishes:
    """The same wishes with the word where a run's tools do not close in these adapters."""
    cards = [wishes.cards[piece_id] for piece_id in run.piece_ids]
    station, stack = wishes.stations[run.station_id], wishes.adapted(run, cards)
    faults = stack_faults(mount_of(session, station, wishes.rules, stack))
    texts = (*wishes.no_adapter, *(fault.what for fault in faults))
    return replace(wishes, no_adapter=tuple(dict.fromkeys(texts)))


def _adapter(session: Session, wishes: Wishes, card: PieceCard, run: RunCard) -> PieceCard | None:
    """The adapter for a piece: the job's own, the one mounted there, else the strongest."""
    seats, side = wishes.stations[run.station_id].seats, SIDE_OF_ROLE[card.role]
    own = [
        piece
        for piece_id, piece in wishes.cards.items()
        if piece_id in wishes.own and piece.role == side
    ]
    for adapter in adapters_among(session, own):
        if adapter.presents == card.seat and adapter.seat in seats:
            return next(piece for piece in own if piece.tag == adapter.tag)
    fitting = {
        adapter.tag: adapter
        for adapter in adapters_at_hand(session, wishes.families([run])[0])
        if adapter.side == side and adapter.presents == card.seat and adapter.fits in seats
    }
    pieces = pieces_by_tags(session, fitting).values()
    taken = held_by_others(session, wishes.job, [piece.id for piece in pieces])
    return min(
        (piece for piece in pieces if piece.id not in taken),
        key=lambda piece: (
            piece.id not in wishes.cards,
            piece.station_id != run.station_id,
            -(fitting[piece.tag].rated_force_n or 0.0),
            piece.tag,
        ),
        default=None,
    )
