"""The lengths of a sharpening: what was, what is, what came off, and whether that can be true."""

from __future__ import annotations

from dataclasses import dataclass

from crib.acts import Confirmed, act, saying
from crib.errors import AskBack, BadValue, Missing
from crib.features.common.speech import Speech
from crib.stock.queries.pieces import PieceCard
from crib.trade.common.verdicts import exceeds, falls_short
from crib.trade.shop.shop_rules import Rules
from crib.units import read_length_mm

SAME_WITHIN_MM = 0.02


@dataclass(frozen=True, slots=True)
class GrindLengths:
    """Length before and after a grind, and what came off [mm]; None where nobody knows."""

    before_mm: float | None
    after_mm: float | None
    off_mm: float | None


def read_lengths(
    card: PieceCard, length: str, off: str, confirmed: Confirmed, rules: Rules
) -> GrindLengths:
    """Length before and after and what came off, each checked against the others.

    Raises:
        Missing: when neither is said.
        BadValue: for lengths between which nothing was ground off, or above the length when new.
        AskBack: for what looks like a slip and nobody said it is so.
    """
    bare = rules.system
    after_mm = read_length_mm(length, bare) if length.strip() else None
    off_mm = read_length_mm(off, bare, allow_zero=True) if off.strip() else None
    if after_mm is None and off_mm is None:
        message = f"{card.tag}: no length after the grind"
        after, gone = act("say.length", length="2.685in"), act("say.off", off="0.3mm")
        way_out = saying("measure it: ", after, ", or what came off: ", gone)
        raise Missing(message, way_out=way_out)
    before_mm = _before_mm(card, after_mm, off_mm)
    if after_mm is None and before_mm is not None and off_mm is not None:
        after_mm = _left_after(card, before_mm, off_mm, Speech(rules))
    if off_mm is None and before_mm is not None and after_mm is not None:
        off_mm = before_mm - after_mm
    measured = GrindLengths(before_mm, after_mm, off_mm)
    _require_possible(card, measured, confirmed, rules)
    return measured


def _before_mm(card: PieceCard, after_mm: float | None, off_mm: float | None) -> float | None:
    """The length on record; without one, what both figures say it was, or the length when new."""
    if card.length_mm is not None:
        return card.length_mm
    if after_mm is not None and off_mm is not None:
        return after_mm + off_mm
    never_ground = card.grinds == 0 and card.ground_um == 0
    # A new piece is often a little longer than its kind says; that is no fault of the grind.
    longer = after_mm is not None and exceeds(after_mm, card.new_length_mm or 0.0)
    return card.new_length_mm if never_ground and not longer else None


def _left_after(card: PieceCard, before_mm: float, off_mm: float, say: Speech) -> float:
    if not falls_short(off_mm, before_mm):
        message = (
            f"{card.tag} is {say.length(before_mm)} long; {say.length(off_mm)} cannot come off"
        )
        raise BadValue(message, way_out="check the figure and its unit")
    return before_mm - off_mm


def _require_possible(
    card: PieceCard, measured: GrindLengths, confirmed: Confirmed, rules: Rules
) -> None:
    before_mm, after_mm, off_mm = measured.before_mm, measured.after_mm, measured.off_mm
    say = Speech(rules)
    _require_ground_off(card, measured, say)
    if before_mm is not None and after_mm is not None:
        if off_mm is not None and "lengths-disagree" not in confirmed:
            _require_agreement(card, before_mm - after_mm, off_mm, say)
    most_mm = rules.number("grind.most_once_mm")
    much = off_mm is not None and exceeds(off_mm, most_mm)
    if off_mm is not None and much and "much-ground-off" not in confirmed:
        message = f"{card.tag}: {say.length(off_mm)} off at once, more than {say.length(most_mm)}"
        way_out = saying("measure again; if it is so, say ", act("confirm.much-ground-off"))
        raise AskBack(message, confirm="much-ground-off", way_out=way_out)


def _require_ground_off(card: PieceCard, measured: GrindLengths, say: Speech) -> None:
    """Refuse what is no grind: nothing came off, or the piece would be longer than when new."""
    before_mm, after_mm = measured.before_mm, measured.after_mm
    fault = ""
    if after_mm is not None and exceeds(after_mm, card.new_length_mm or after_mm):
        new = say.length(card.new_length_mm or after_mm)
        fault = (
            f"{card.tag}: {say.length(after_mm)} is above {new}, the length of its kind when new"
        )
    elif after_mm is not None and before_mm is not None and not falls_short(after_mm, before_mm):
        fault = f"{card.tag} was {say.length(before_mm)} long, it cannot be"
        fault = f"{fault} {say.length(after_mm)} after a grind"
    elif measured.off_mm is not None and not exceeds(measured.off_mm, 0.0):
        fault = f"{card.tag}: {say.length(measured.off_mm)} off is no grind"
    if fault:
        measure = act("measure", tag=card.tag)
        way_out = saying("measure again; ", measure, " corrects the length on record")
        raise BadValue(fault, way_out=way_out)


def _require_agreement(card: PieceCard, gone_mm: float, off_mm: float, say: Speech) -> None:
    if exceeds(abs(gone_mm - off_mm), SAME_WITHIN_MM):
        message = f"{card.tag}: by its lengths {say.length(gone_mm)} came off, not"
        message = f"{message} {say.length(off_mm)}"
        sure = act("confirm.lengths-disagree")
        way_out = saying("measure again; to take both as they are say ", sure)
        raise AskBack(message, confirm="lengths-disagree", way_out=way_out)


def below_least(card: PieceCard, measured: GrindLengths, confirmed: Confirmed, say: Speech) -> bool:
    """Whether the piece is below the least length of its kind.

    Raises:
        AskBack: when it is, and nobody is sure.
    """
    least_mm, after_mm = card.least_length_mm, measured.after_mm
    if least_mm is None or after_mm is None or not falls_short(after_mm, least_mm):
        return False
    if "too-short" not in confirmed:
        message = f"{card.tag}: {say.length(after_mm)} is below its least length"
        message = f"{message}, {say.length(least_mm)}"
        retire, sure = act("retire", tag=card.tag, why=None), act("confirm.too-short")
        way_out = saying(retire, "; ", sure, " records the grind and locks the piece")
        raise AskBack(message, confirm="too-short", way_out=way_out)
    return True
