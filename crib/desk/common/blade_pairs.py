"""Pieces that cut together: what stands opposite, and whether both are ground and turned alike."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Literal

from crib.acts import Act, Said, act, joined, saying
from crib.errors import BadInput, Refused
from crib.features.common.speech import Speech
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import PieceCard, piece_by_tag
from crib.stock.queries.strokes import pieces_at
from crib.units import inches_from_mm

_SAME_UM = 20
"""Blades whose grinds differ by less are ground alike."""

HALVES_WITHIN_MM = 2.0
"""The two halves of a set differ in size by no more than their clearance; sets of two sizes side by
side at one table differ by more (shop rule)."""

_CUTS = ("sound", "inspect", "locked")


def cutting_with(card: PieceCard, standing: Iterable[PieceCard]) -> list[PieceCard]:
    """The pieces among some that wear with every cut of a mounted one, by tag.

    All blades of one profile at a shear make one cut; so do the two halves of a set where they are
    kept as two pieces of two kinds. A punch has its die, which is another matter.
    """
    if card.place_sort != "station":
        return []
    return sorted(
        (one for one in standing if one.id != card.id and _one_cut(card, one)),
        key=lambda one: one.tag,
    )


def _one_cut(card: PieceCard, other: PieceCard) -> bool:
    alike = (other.role, other.profile) == (card.role, card.profile)
    if other.place_id != card.place_id or other.condition not in _CUTS or not alike:
        return False
    if card.role == "blade":
        return True
    sizes = ((card.width_mm, other.width_mm), (card.long_mm, other.long_mm))
    return (
        card.role == "set"
        and other.kind_id != card.kind_id
        and all(abs((one or 0.0) - (two or 0.0)) < HALVES_WITHIN_MM for one, two in sizes)
    )


def opposite(session: Session, card: PieceCard) -> list[PieceCard]:
    """The other blades of the same profile at the same station; none for another tool."""
    if card.role != "blade" or card.place_sort != "station" or card.place_id is None:
        return []
    return cutting_with(card, pieces_at(session, [card.place_id], "blade").get(card.place_id, []))


def ground_unlike(session: Session, card: PieceCard, say: Speech) -> list[Said]:
    """What to do about blades opposite that had less ground off than this one, in all."""
    others = opposite(session, card)
    unlike = [other for other in others if card.ground_um - other.ground_um > _SAME_UM]
    words = [f"{one.tag} {say.length(one.ground_um / 1000)}" for one in unlike]
    if not words:
        return ["set the gap again, check the heights"] if others else []
    mine = say.length(card.ground_um / 1000)
    grinds = joined("; ", [saying(_grind(one, card, say)) for one in unlike])
    text = f"grind those opposite to {mine} off in all as well; now {', '.join(words)}: "
    return [
        saying(text, grinds),
        "then set the gap again and check the heights",
    ]


def _grind(card: PieceCard, more: PieceCard, say: Speech) -> Act:
    """To take as much off a blade as another has lost already."""
    return act("grind.off", tag=card.tag, off=_typed(more.ground_um - card.ground_um, say))


def _typed(off_um: int, say: Speech) -> str:
    if say.system == "mm":
        return f"{off_um / 1000:.2f}mm"
    return f"{inches_from_mm(off_um / 1000):.4f}in"


def turned_unlike(session: Session, card: PieceCard) -> list[Said]:
    """What to do about blades opposite that are on another edge or have worn the one in use."""
    others = opposite(session, card)
    unlike = [other for other in others if other.edges > 1 and other.wear_milli > card.wear_milli]
    if not unlike:
        return []
    words = [f"{one.tag} is on edge {one.edge}, {one.wear:,.0f} weighted strokes" for one in unlike]
    turns = joined("; ", [saying(act("turn", tag=one.tag)) for one in unlike])
    return [saying(f"turn those opposite as well: {', '.join(words)}: ", turns)]


def require_blades(session: Session, tags: Sequence[str], what: Literal["grind", "turn"]) -> None:
    """Several pieces at once are blades of one pair: of one profile, each named once.

    Raises:
        UnknownName: for a tag that is not in the crib.
        BadInput: for a tag that is named twice.
        Refused: for what are not blades of one profile.
    """
    cards = [piece_by_tag(session, tag) for tag in tags]
    if len({card.tag for card in cards}) < len(cards):
        message = f"{what}: a tag is named twice"
        raise BadInput(message, way_out="name each blade once")
    others = [card for card in cards if card.role != "blade"]
    if others:
        message = f"{others[0].tag} is a {others[0].role.replace('_', ' ')}, not a blade"
        tag = others[0].tag
        alone = act("grind", tag=tag) if what == "grind" else act("turn", tag=tag)
        raise Refused(message, way_out=saying("one at a time: ", alone))
    if len({card.profile for card in cards}) > 1:
        profiles = ", ".join(f"{card.tag} {card.profile}" for card in cards)
        message = f"these blades do not cut together: {profiles}"
        raise Refused(message, way_out="name the blades of one pair")
