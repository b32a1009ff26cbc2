"""How the work goes on when a piece broke: the next best pick, and the line that replaces it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from crib.desk.answer.find import find
from crib.desk.answer.rank import Candidate
from crib.errors import BadInput
from crib.features.common.findings import cautions
from crib.features.common.order_gaps import order_gaps
from crib.features.common.order_text import order_text
from crib.features.common.speech import Speech
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.demand import labels_for, nameplates_by_seat
from crib.stock.queries.kind_specs import spec_of_kind
from crib.stock.queries.pieces import PieceCard

_PAIR = ("punch", "die")


@dataclass(frozen=True, slots=True)
class NextPiece:
    """One piece to take instead."""

    role: str
    tag: str
    kind: str
    place: str
    edge: str


@dataclass(frozen=True, slots=True)
class NextPick:
    """The best answer to the same ask from what is left, and what to mind with it."""

    station: str
    pieces: tuple[NextPiece, ...]
    adapters: tuple[str, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Replacement:
    """The order line for one of the same kind; ``gaps`` are what the supplier would ask."""

    kind: str
    text: str
    gaps: tuple[str, ...]
    price_cents: int | None
    lead_days: int | None
    supplier: str


@dataclass(frozen=True, slots=True)
class WorkedPlate:
    """What was worked, as far as it is known."""

    thickness_mm: float | None = None
    material: str = ""


def next_pick(session: Session, phrase: str) -> NextPick | None:
    """The best pick for a phrase from what is sound now; None where nothing serves.

    The report of a break stands, whatever comes of this.
    """
    try:
        found = find(session, phrase, record=False)
    except BadInput:
        return None
    return _pick(found.picks[0]) if found.picks else None


def _pick(best: Candidate) -> NextPick:
    return NextPick(
        station=best.tooling.station.label,
        pieces=tuple(
            NextPiece(tool.role, tool.tag, tool.kind, tool.place, tool.edge_state)
            for tool in best.tools
        ),
        adapters=tuple(adapter.tag for adapter in best.tooling.adapters.values()),
        cautions=tuple(one.text for one in cautions(best.findings)),
    )


def replacement(
    session: Session, card: PieceCard, punch: PieceCard | None, plate: WorkedPlate
) -> Replacement:
    """The order line for one more of a piece's kind; ``punch`` is the one that a die served.

    A new one is wanted as the kind is, not as the old one had worn.
    """
    served = punch if punch is not None and _goes_in(punch, card) else None
    own_name = card.role not in _PAIR or card.shape == "special"
    spec = spec_of_kind(session, card.kind_id)
    spec = replace(
        spec,
        punch_width_mm=served.width_mm if served else None,
        punch_long_mm=served.long_mm if served else None,
        for_thickness_mm=plate.thickness_mm,
        for_material=plate.material,
        for_station=" and ".join(labels_for(nameplates_by_seat(session), spec)[:2]),
        dedicated_to=card.dedicated_to,
        note=f"as our {card.kind_name!r}" if own_name else "",
    )
    return Replacement(
        kind=card.kind_name,
        text=order_text(spec, Speech(shop_rules(session))),
        gaps=order_gaps(spec),
        price_cents=card.price_cents,
        lead_days=card.lead_days,
        supplier=card.supplier,
    )


def _goes_in(punch: PieceCard, die: PieceCard) -> bool:
    """Whether a punch is smaller than a die on every side, as the order line must state."""
    if not punch.width_mm or not die.width_mm:
        return False
    long_mm = (die.long_mm or die.width_mm) - (punch.long_mm or punch.width_mm)
    return die.role == "die" and punch.width_mm < die.width_mm and long_mm > 0
