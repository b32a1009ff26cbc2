"""What stands in the machines now, to be asked about at the end of a shift."""

from __future__ import annotations

from dataclasses import dataclass

from crib.features.ask import Plate
from crib.stock.pieces import PieceCard
from crib.stock.session import Session
from crib.stock.settings import shop_rules
from crib.stock.strokes import last_work, mounted_pieces
from crib.trade.rules import Rules
from crib.units import System

ASKED = ("punch", "blade", "set")


@dataclass(frozen=True, slots=True)
class Mounted:
    """One tool in a station, the die under it, and the end of a line like the last one."""

    station: str
    tag: str
    kind: str
    die: str
    last_thru: str


def mounted_tools(session: Session) -> list[Mounted]:
    """The tools whose strokes are to be asked for, machine by machine."""
    rules = shop_rules(session)
    cards = mounted_pieces(session)
    dies: dict[int | None, list[str]] = {}
    for card in cards:
        if card.role == "die":
            dies.setdefault(card.place_id, []).append(card.tag)
    return [
        Mounted(
            station=card.place or "",
            tag=card.tag,
            kind=card.kind_name,
            die=", ".join(dies.get(card.place_id, ())) if card.role == "punch" else "",
            last_thru=_last_thru(session, card, rules),
        )
        for card in cards
        if card.role in ASKED
    ]


def _last_thru(session: Session, card: PieceCard, rules: Rules) -> str:
    last = last_work(session, card.id)
    if last is None:
        return ""
    system: System = "mm" if rules.text("crib.unit") == "mm" else "in"
    return Plate(last.thickness_mm, rules.material(last.material)).phrase(system)
