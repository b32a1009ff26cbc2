"""Hand a job's kit out, or lend pieces without a job."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from crib.acts import act, saying
from crib.desk.common.acting import stamp_for, today_of
from crib.desk.common.as_stored import as_stored
from crib.desk.common.ways import require_same_site
from crib.desk.kit.handing import Step, counted, due_back, hand_over, receiver
from crib.desk.kit.hold import promise_kit
from crib.desk.kit.job_kit import (
    CAUTIONS,
    HeldList,
    Kit,
    away_words,
    held_piece,
    kit_from,
)
from crib.desk.kit.kit_paper import NO_PAPER, KitPaper, with_list
from crib.desk.kit.wishes import read_wishes, wishes_again
from crib.errors import BadValue, Refused
from crib.stock.book.ledger import Stamp
from crib.stock.engine.session import Session
from crib.stock.queries.jobs import job_called
from crib.stock.queries.pieces import PieceCard, pieces_named
from crib.stock.queries.places import PlaceCard
from crib.stock.writers.holds import HoldCard, hold_of_pieces, mark_out, promise

_NOT_LENT = ("lost", "retired")


@dataclass(frozen=True, slots=True)
class HandOut:
    """Who takes it, until when; ``new_place`` makes a place outside the shop for them."""

    to: str
    until: str = ""
    new_place: bool = False
    spares: bool = True


def hand_out(
    session: Session,
    job: str,
    hand: HandOut,
    *,
    by: str = "",
    now: datetime | None = None,
    paper: KitPaper = NO_PAPER,
) -> Kit:
    """Hand out a job's kit, promising first what is not promised yet, and draw its list.

    What stands mounted where the job wants it stays there; the holder answers for it all the same.

    Raises:
        UnknownName: for a job or a taker that is not known.
        Refused: for a piece that is not fit or not at hand, when all of it is out already, and
            where the list should go if something is there already.
    """
    paper.require_free()
    with session.writing():
        with session.ahead(lambda: job_called(session, job)):
            stamp = stamp_for(session, by, now=now)
            _tags, swaps = promise_kit(session, stamp, job, spares=hand.spares)
        wishes = read_wishes(session, job)
        held = [hold for hold in wishes.own.values() if hold.state == "held"]
        if not held:
            message = f"job {wishes.job.name}: all of its kit is out already"
            raise Refused(
                message, way_out=saying(act("kit", job=wishes.job.name), " shows who has it")
            )
        place = receiver(session, hand.to, new_place=hand.new_place)
        require_same_site(session, [wishes.cards[hold.piece_id] for hold in held], place)
        _require_fit([wishes.cards[hold.piece_id] for hold in held], place)
        until = due_back(session, hand.until, wishes.job.due_on, today_of(now))
        _give(session, stamp, held, wishes.cards, place, until, wishes.mounted)
        ids = [hold.piece_id for hold in held]
        with session.ahead(lambda: kit_from(session, wishes)):
            kit = kit_from(session, wishes_again(session, wishes))
        given = _given(session, ids)
        notes = as_stored(session, ids, stamp).notes
    tags = tuple(hold.tag for hold in given)
    kit = replace(kit, done=_done("handed out", given), tags=tags, swaps=tuple(swaps))
    kit = replace(kit, notes=(*kit.notes, *notes))
    return with_list(kit, paper, now)


def lend(
    session: Session,
    tags: Sequence[str],
    hand: HandOut,
    *,
    by: str = "",
    now: datetime | None = None,
) -> HeldList:
    """Lend pieces without a job: to another shop, or to be sharpened outside.

    Raises:
        UnknownName: for a tag or a taker that is not known.
        Refused: for a piece that somebody has already, or that is no more.
    """
    if not tags:
        message = "no tag given"
        example = act("kit.lend", tags=("P-0137",), to=None)
        raise BadValue(message, way_out=saying("write it like: ", example))
    with session.writing():
        stamp = stamp_for(session, by, now=now)
        cards = {card.id: card for card in pieces_named(session, tags)}
        _require_free(session, cards)
        place = receiver(session, hand.to, new_place=hand.new_place)
        require_same_site(session, list(cards.values()), place)
        until = due_back(session, hand.until, "", today_of(now))
        promise(session, stamp, None, list(cards), spare=False)
        holds = list(hold_of_pieces(session, cards).values())
        _give(session, stamp, holds, cards, place, until, set())
        given = _given(session, list(cards))
        notes = as_stored(session, cards, stamp).notes
    pieces = tuple(held_piece(hold, today_of(now)) for hold in given)
    return HeldList(False, pieces, _done("lent", given), notes, CAUTIONS)


def _given(session: Session, piece_ids: Sequence[int]) -> list[HoldCard]:
    """The holds of some pieces that are out, as they are stored now."""
    stored = hold_of_pieces(session, piece_ids)
    return [stored[key] for key in piece_ids if key in stored and stored[key].state == "out"]


def _done(what: str, given: Sequence[HoldCard]) -> str:
    """What is stored of pieces that were given, all to one taker until one day."""
    to, until = (given[0].holder, given[0].due_back) if given else ("nobody", "-")
    return f"{what} {counted(len(given))} to {to}, back by {until}"


def _require_fit(cards: Sequence[PieceCard], place: PlaceCard) -> None:
    """Refuse pieces that must not be used, and those that somebody else has in hand."""
    faults = []
    for card in cards:
        if card.condition != "sound":
            word = "to be inspected" if card.condition == "inspect" else card.condition
            faults.append(f"{card.tag} is {word}")
        elif away_words(card) and card.place_id != place.id:
            faults.append(f"{card.tag} is {away_words(card)}")
    if faults:
        message = f"not handed out: {'; '.join(faults)}"
        look, move = act("look.inspected", tag=None), act("move", tags=None)
        way_out = saying(look, " when it is sound, ", move, " when it is back,")
        raise Refused(
            message, way_out=saying(way_out, " or release the kit and plan the job again")
        )


def _require_free(session: Session, cards: dict[int, PieceCard]) -> None:
    taken = hold_of_pieces(session, cards)
    faults = [f"{hold.tag} is {hold.words}" for hold in taken.values()]
    faults += [
        f"{card.tag} is {card.condition}" for card in cards.values() if card.condition in _NOT_LENT
    ]
    if faults:
        message = f"not lent: {'; '.join(faults)}"
        either = (act("kit.back"), " or ", act("kit.release"))
        raise Refused(message, way_out=saying("take it back first: ", *either))


def _give(
    session: Session,
    stamp: Stamp,
    holds: Sequence[HoldCard],
    cards: Mapping[int, PieceCard],
    place: PlaceCard,
    until: str,
    staying: set[int],
) -> None:
    mark_out(session, [hold.id for hold in holds], place.name, stamp.shift_on, until)
    steps = []
    for hold in holds:
        card = cards[hold.piece_id]
        to = card.place_id if card.id in staying and card.place_id is not None else place.id
        steps.append(Step(card, to, replace(hold, holder=place.name), "out"))
    hand_over(session, stamp, steps)
