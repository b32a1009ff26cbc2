"""Enter a measured size or length: from then on it counts before the nominal one."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from crib.acts import Confirmed, Said, act, saying
from crib.desk.common.acting import require_reason, stamp_for
from crib.desk.common.as_stored import Stored, as_stored
from crib.desk.common.kinds import WHICH_IS_LONGER
from crib.desk.common.mounting import Fault, mount_at, mounting_faults
from crib.desk.common.piece_wear import PieceWear, piece_wear
from crib.errors import AskBack, BadValue, Refused
from crib.stock.book.ledger import NewEntry, write
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import PieceCard, piece_by_tag
from crib.trade.common.verdicts import exceeds
from crib.units import System, format_length, read_length_mm

ODD_SHARE = 0.03
ODD_MM = 0.5


@dataclass(frozen=True, slots=True)
class Sizes:
    """What was measured, in mm; None is not measured."""

    width_mm: float | None = None
    long_mm: float | None = None
    length_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Measured:
    """The piece as it stands with its new sizes. ``cautions`` must be read."""

    tag: str
    kind: str
    width_mm: float | None
    long_mm: float | None
    length_mm: float | None
    before: Sizes
    standing: PieceWear
    cautions: tuple[Fault, ...]
    unit: System
    notes: tuple[Said, ...]


def read_measured_sizes(session: Session, size: str, long: str, length: str) -> Sizes:
    """Sizes as typed, in the crib's unit.

    Raises:
        BadQuantity, BadValue: for one that cannot be read.
    """
    unit = shop_rules(session).system
    return Sizes(*(read_length_mm(text, unit) if text else None for text in (size, long, length)))


def measure_piece(
    session: Session,
    tag: str,
    sizes: Sizes,
    why: str,
    *,
    confirmed: Confirmed = frozenset(),
    by: str = "",
    now: datetime | None = None,
) -> Measured:
    """Record measured sizes of a piece.

    Raises:
        UnknownName: when no piece has that tag.
        BadValue: when nothing was measured, or the kind has no such size.
        AskBack: when a size is far off its nominal one and nobody said it is so.
        Refused: for a retired piece.
    """
    reason = require_reason(why, f"measure {tag}")
    if sizes == Sizes():
        message = f"measure {tag}: nothing measured"
        either = (act("say.size"), ", ", act("say.long"), " or ", act("say.length"))
        raise BadValue(message, way_out=saying("give ", *either))
    with session.writing():
        card = piece_by_tag(session, tag)
        if card.condition == "retired":
            message = f"{card.tag} is retired"
            way_out = saying(act("undo"), " its retirement first, if it was wrong")
            raise Refused(message, way_out=way_out)
        require_plausible(session, card, sizes, confirmed)
        entry = NewEntry(
            "correct",
            card.id,
            measured_width_mm=sizes.width_mm,
            measured_long_mm=sizes.long_mm,
            length_mm=sizes.length_mm,
            note=reason,
        )
        stamp = stamp_for(session, by, now=now)
        write(session, stamp, [entry])
        stored = as_stored(session, [card.id], stamp)
    return _report(session, card, stored)


def _report(session: Session, before: PieceCard, stored: Stored) -> Measured:
    card = stored.cards[before.id]
    rules = shop_rules(session)
    unit = rules.system
    faults: list[Fault] = []
    if card.station_id is not None:
        faults = mounting_faults(mount_at(session, card.station_id, rules))
    return Measured(
        card.tag,
        card.kind_name,
        card.measured_width_mm,
        card.measured_long_mm,
        card.length_mm,
        Sizes(before.measured_width_mm, before.measured_long_mm, before.length_mm),
        piece_wear(card, rules),
        tuple(faults),
        unit,
        stored.notes,
    )


def require_plausible(
    session: Session, card: PieceCard, sizes: Sizes, confirmed: Confirmed
) -> None:
    """Refuse a size that the kind does not have; ask about one that is far off.

    Raises:
        BadValue: for a size that the kind does not have, or a long side below the width.
        AskBack: for one that is far off, unless somebody is sure.
    """
    for what, measured_mm, nominal_mm in (
        ("size", sizes.width_mm, card.width_mm),
        ("long side", sizes.long_mm, card.long_mm),
    ):
        if measured_mm is not None and nominal_mm is None:
            message = f"{card.tag} has no {what}: its kind is {card.kind_name}"
            raise BadValue(message, way_out="measure what the kind has")
    _must_be_longer(card, sizes)
    odd = list(_odd(session, card, sizes))
    if odd and "odd-size" not in confirmed:
        message = f"{card.tag}: {'; '.join(odd)}"
        way_out = saying("measure again; if it is so, say ", act("confirm.odd-size"))
        raise AskBack(message, confirm="odd-size", way_out=way_out)


def _must_be_longer(card: PieceCard, sizes: Sizes) -> None:
    width_mm = sizes.width_mm or card.measured_width_mm or card.width_mm
    long_mm = sizes.long_mm or card.measured_long_mm or card.long_mm
    if width_mm is not None and long_mm is not None and exceeds(width_mm, long_mm):
        message = f"{card.tag}: size {width_mm:g} mm is more than its long side {long_mm:g} mm"
        raise BadValue(message, way_out=WHICH_IS_LONGER)


def _odd(session: Session, card: PieceCard, sizes: Sizes) -> Iterator[str]:
    """What in the sizes looks like a slip of the hand."""
    rules = shop_rules(session)
    unit = rules.system
    for what, measured_mm, nominal_mm in (
        ("size", sizes.width_mm, card.width_mm),
        ("long side", sizes.long_mm, card.long_mm),
    ):
        if measured_mm is None or nominal_mm is None:
            continue
        off_mm = abs(measured_mm - nominal_mm)
        if exceeds(off_mm, min(ODD_SHARE * nominal_mm, ODD_MM)):
            yield _far_off(what, measured_mm, nominal_mm, "nominal", unit)
    known_mm = card.length_mm or card.new_length_mm
    if sizes.length_mm is not None and known_mm is not None:
        most_mm = rules.number("grind.most_total_mm")
        longer = exceeds(sizes.length_mm, (card.new_length_mm or known_mm) + ODD_MM)
        if longer or exceeds(abs(sizes.length_mm - known_mm), most_mm):
            yield _far_off("length", sizes.length_mm, known_mm, "known", unit)


def _far_off(what: str, measured_mm: float, known_mm: float, known: str, unit: System) -> str:
    measured, other = (format_length(one, unit, digits=4) for one in (measured_mm, known_mm))
    off = format_length(abs(measured_mm - known_mm), unit, digits=3)
    return f"{what} {measured} is {off} off the {known} {other}"
