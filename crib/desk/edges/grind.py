"""A sharpening, with the measured length that proves it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from crib.acts import Confirmed, Said, act, fact, saying
from crib.desk.common.acting import read_found, require_came, stamp_for, still_marked
from crib.desk.common.as_stored import as_stored
from crib.desk.common.blade_pairs import ground_unlike, require_blades
from crib.desk.common.cautions import short_cautions
from crib.desk.common.piece_wear import piece_wear
from crib.desk.common.reminder_levels import interval_of
from crib.desk.edges.grind_lengths import GrindLengths, below_least, read_lengths
from crib.desk.life.how_sure import silence_told
from crib.desk.life.relearn import relearn
from crib.errors import AskBack, BadValue, Refused
from crib.features.common.speech import Speech
from crib.stock.book import ledger
from crib.stock.book.conditions import FOR_GOOD, read_state
from crib.stock.book.ledger import NewEntry, Stamp, still_harmed
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import PieceCard, piece_by_tag
from crib.stock.queries.strokes import last_break, same_grind_since
from crib.trade.common.verdicts import exceeds
from crib.trade.life.grinding import came_back_early
from crib.trade.shop.shop_rules import Rules
from crib.units import System

LANDED = ("punch", "die")
"""What has a straight land behind its edge."""

CAME_BACK = ("overdue", "chipped")
"""How an edge is found whose fault is back."""

NEVER_GROUND_OUT = ("cracked", *FOR_GOOD)
"""Damage that no grind takes away."""

_LONGEST_NOTE = 300

CAUTIONS = short_cautions(["grind"])


@dataclass(frozen=True, slots=True)
class GrindRequest:
    """A sharpening as it was said; lengths as written, empty when not said."""

    tag: str
    length: str = ""
    off: str = ""
    by: str = ""
    on: str = ""
    note: str = ""
    confirmed: Confirmed = frozenset()
    found: str = ""


@dataclass(frozen=True, slots=True)
class Ground:
    """A piece after its sharpening. Lengths mm, wear in weighted strokes.

    ``opposite`` is what to do about the blades that cut with it.
    """

    tag: str
    kind: str
    shift_on: str
    before_mm: float | None
    length_mm: float | None
    off_mm: float | None
    off_in_all_mm: float
    grinds: int
    grinds_left: int | None
    wear_before: float
    wear: float
    condition: str
    unit: System
    notes: tuple[Said, ...]
    opposite: tuple[Said, ...] = ()
    cautions: tuple[str, ...] = CAUTIONS


@dataclass(frozen=True, slots=True)
class GroundTogether:
    """The blades of a pair after their sharpening, and what is still to be done about them."""

    pieces: tuple[Ground, ...]
    opposite: tuple[Said, ...]
    cautions: tuple[str, ...] = CAUTIONS


def record_grind(session: Session, request: GrindRequest, now: datetime | None = None) -> Ground:
    """Record a sharpening; the edge starts again at nothing.

    Raises:
        Missing: without a length or what was taken off.
        BadValue: for lengths that cannot both be true, or a finding that is not known.
        AskBack: for more than a grind takes off at once, a piece that was reported chipped, one
            that would be below its least length, or a grind that looks typed already; each doubt is
            confirmed by itself.
        Refused: for a piece that is gone, cracked or in parts.
    """
    with session.writing():
        stamp = stamp_for(session, request.by, request.on, now)
        return record_within(session, request, stamp)


def record_grinds(
    session: Session, tags: Sequence[str], request: GrindRequest, now: datetime | None = None
) -> GroundTogether:
    """Record that the blades of a pair were ground alike, in one act or not at all.

    Raises:
        BadInput: what ``record_grind`` raises of any of them.
        Refused: for what are not blades of one pair.
    """
    with session.writing():
        require_blades(session, tags, "grind")
        stamp = stamp_for(session, request.by, request.on, now)
        every = [record_within(session, replace(request, tag=tag), stamp) for tag in tags]
        return together(session, every)


def together(session: Session, every: Sequence[Ground]) -> GroundTogether:
    """Pieces that were ground in one act, with what is to be done now that all of them are."""
    say = Speech(shop_rules(session))
    cards = [piece_by_tag(session, one.tag) for one in every]
    notes = [note for card in cards for note in ground_unlike(session, card, say)]
    alone = [replace(one, opposite=()) for one in every]
    return GroundTogether(tuple(alone), tuple(dict.fromkeys(notes)))


def record_within(session: Session, request: GrindRequest, stamp: Stamp) -> Ground:
    """Record one sharpening of an act, in its transaction; raises what ``record_grind`` does."""
    rules = shop_rules(session)
    card = piece_by_tag(session, request.tag)
    require_came(session, [card], request.on, stamp)
    _require_grindable(session, card, request.confirmed)
    measured = read_lengths(card, request.length, request.off, request.confirmed, rules)
    locked = below_least(card, measured, request.confirmed, Speech(rules))
    entry = NewEntry(
        "grind",
        card.id,
        length_mm=measured.after_mm,
        ground_um=round((measured.off_mm or 0.0) * 1000),
        edge=1 if card.edges > 1 else None,
        condition="locked" if locked else "sound" if card.condition == "broken" else None,
        found=read_found(request.found),
        note=short_note(request.note),
    )
    # A length that was typed twice is no grind the second time, and was refused already.
    if not request.length.strip() and "typed-already" not in request.confirmed:
        _ask_if_repeated(session, card, entry, stamp, rules)
    ledger.write(session, stamp, [entry])
    relearn(session, [card.kind_id])
    stored = as_stored(session, [card.id], stamp)
    after = stored.cards[card.id]
    ground = _ground(card, after, measured, stamp.shift_on, rules)
    return replace(
        ground,
        notes=(
            *(*ground.notes, *came_back(card, entry.found, rules), *stored.notes),
            *silence_told(session, card, rules),
        ),
        opposite=tuple(ground_unlike(session, after, Speech(rules))),
    )


def _require_grindable(session: Session, card: PieceCard, confirmed: Confirmed) -> None:
    if card.condition in ("lost", "retired"):
        message = f"{card.tag} is {card.condition}; it cannot have been ground"
        way_out = saying("check the tag; ", act("history", tag=card.tag), " shows why")
        raise Refused(message, way_out=way_out)
    state = read_state(session, card.id)
    if state.harm in NEVER_GROUND_OUT:
        raise still_harmed(card.tag, state)
    if card.condition == "broken" and "damage-not-gone" not in confirmed:
        message = f"{card.tag} was reported broken ({last_break(session, card.id)})"
        sure = act("confirm.damage-not-gone")
        way_out = saying("if the damage is ground out and no crack is left: ", sure)
        raise AskBack(message, confirm="damage-not-gone", way_out=way_out)


def _ask_if_repeated(
    session: Session, card: PieceCard, entry: NewEntry, stamp: Stamp, rules: Rules
) -> None:
    """Ask back when the same person wrote the same grind a moment ago."""
    minutes = rules.number("log.repeat_minutes")
    if minutes <= 0:
        return
    typed = same_grind_since(session, card.id, entry.ground_um, stamp, minutes)
    if typed is not None:
        at = datetime.fromisoformat(typed.made_at).astimezone().strftime("%H:%M")
        message = f"{card.tag}: this grind looks typed already at {at} as entry {typed.id}"
        way_out = saying("if it was ground once more, say ", act("confirm.typed-already"))
        raise AskBack(message, confirm="typed-already", way_out=way_out)


def _ground(
    before: PieceCard, after: PieceCard, measured: GrindLengths, shift_on: str, rules: Rules
) -> Ground:
    left = piece_wear(after, rules).grinds_left
    return Ground(
        tag=after.tag,
        kind=after.kind_name,
        shift_on=shift_on,
        before_mm=measured.before_mm,
        length_mm=after.length_mm,
        off_mm=measured.off_mm,
        off_in_all_mm=after.ground_um / 1000,
        grinds=after.grinds,
        grinds_left=left,
        wear_before=before.wear,
        wear=after.wear,
        condition=after.condition,
        unit=rules.system,
        notes=tuple(_notes(before, after, measured, left, rules)),
    )


def _notes(
    before: PieceCard, after: PieceCard, measured: GrindLengths, left: int | None, rules: Rules
) -> list[Said]:
    say = Speech(rules)
    notes: list[Said] = []
    allowance_mm = rules.number("grind.most_total_mm")
    if after.regrind_mm is not None:
        allowance_mm = after.regrind_mm
    if exceeds(after.ground_um / 1000, allowance_mm):
        total = f"{say.length(after.ground_um / 1000)} off in all, more than"
        notes.append(f"{total} {say.length(allowance_mm)}: no grind is left, order a replacement")
    elif left == 0:
        notes.append("no grind is left: order a replacement")
    elif left == 1:
        notes.append("the next grind is the last: order a replacement")
    if after.role in LANDED and exceeds(after.ground_um / 1000, rules.number("grind.land_mm")):
        notes.append(f"past its straight land of {say.length(rules.number('grind.land_mm'))}")
    if after.role == "die":
        notes += _lower_die(after, measured.off_mm, rules.system)
    if measured.off_mm is None:
        notes.append("no length before it on record: what came off is not known")
    if after.condition == "locked" != before.condition:
        notes.append("below its least length: locked; retire it")
    elif after.condition in ("inspect", "locked"):
        notes.append(still_marked(after))
    return notes


def _lower_die(after: PieceCard, off_mm: float | None, unit: System) -> Iterator[Said]:
    """A ground die stands lower: the punch enters less, and the stripper holds off further."""
    if off_mm:
        yield saying(fact("edge.die-lower", in_all_mm=after.ground_um / 1000, unit=unit))
    yield saying(fact("edge.stripper-gap", off_mm=off_mm, unit=unit))


def came_back(before: PieceCard, found: str | None, rules: Rules) -> list[Said]:
    """Whether a grind, or a blade's fresh edge, did not cure what the edge had."""
    within, interval = rules.number("wear.returns_within"), interval_of(before, rules)
    renewed = (before.grinds > 0 or before.edge > 1) and before.wear > 0
    if found not in CAME_BACK or not renewed:
        return []
    if not came_back_early(before.wear, interval, within):
        return []
    share = f"within {100 * within:g} % of an interval ({before.wear:,.0f} of {interval:,.0f})"
    return [saying(f"came back {share}: retire it? ", act("retire", tag=before.tag, why=None))]


def short_note(text: str) -> str:
    """A note that can stand in the ledger.

    Raises:
        BadValue: for one that is too long.
    """
    tidy = " ".join(text.split())
    if len(tidy) > _LONGEST_NOTE:
        message = f"the note has {len(tidy)} letters, at most {_LONGEST_NOTE}"
        raise BadValue(message)
    return tidy
