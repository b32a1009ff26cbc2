"""How long the edges of a kind last, as a curve, with its pieces on it by their present wear."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from crib.desk.life.learning import SURE, Learned
from crib.files.paper.chart import Chart, Series, number_axis, share_axis
from crib.stock.engine.session import Session
from crib.stock.queries.piece_story import count_usable, most_worn
from crib.stock.queries.pieces import PieceCard
from crib.trade.life.estimate import LifeEstimate

MOST_PIECES = 20
CURVE_POINTS = 120
WIDEST = 3.0
"""The curve goes so many times as far as half of the edges, for pieces that are worn further."""
NEAR = 0.03
TAGS_TOGETHER = 2


@dataclass(frozen=True, slots=True)
class LifePoint:
    """The chance that a fresh edge is dull by so many weighted strokes."""

    strokes: float
    chance: float


@dataclass(frozen=True, slots=True)
class LifePiece:
    """A piece in use: its wear, and the chance that a fresh edge is dull by then."""

    tag: str
    wear: float
    chance: float


@dataclass(frozen=True, slots=True)
class LifeCurve:
    """The curve of a kind with its most worn pieces; ``tag`` is the one asked for, or empty."""

    tag: str
    kind: str
    learned: Learned
    curve: tuple[LifePoint, ...]
    pieces: tuple[LifePiece, ...]
    pieces_more: int


def life_curve(
    session: Session, kind_id: int, kind: str, learned: Learned, card: PieceCard | None
) -> LifeCurve:
    """The curve, and the most worn pieces of the kind; the one asked for is always among them."""
    worn = most_worn(session, kind_id, MOST_PIECES)
    more = count_usable(session, kind_id) - len(worn)
    if card is not None and card.tag not in dict(worn):
        worn, more = [*worn[: MOST_PIECES - 1], (card.tag, card.wear)], max(0, more)
    seen = learned.estimate
    return LifeCurve(
        tag=card.tag if card else "",
        kind=kind,
        learned=learned,
        curve=tuple(_curve(seen, max([wear for _tag, wear in worn], default=0.0))),
        pieces=tuple(LifePiece(tag, wear, seen.chance_dull(0.0, wear)) for tag, wear in worn),
        pieces_more=more,
    )


def life_chart(told: LifeCurve, notes: Sequence[str]) -> Chart:
    """The curve, its ranges at 10 % and 50 %, and the pieces as marks on it."""
    seen, end = told.learned.estimate, told.curve[-1].strokes
    counts = (
        (0.1, seen.scale_10, seen.low_10, seen.high_10),
        (0.5, seen.scale_50, seen.low_50, seen.high_50),
    )
    ranges = [
        Series(
            f"{100 * risk:.0f} %: {at:,.0f} ({low:,.0f} to {high:,.0f})",
            "bar",
            ((low, risk), (high, risk)),
        )
        for risk, at, low, high in counts
    ]
    curve = tuple((one.strokes, one.chance) for one in told.curve)
    pieces = _piece_series(told, end)
    return Chart(
        f"{told.kind}: how long an edge lasts",
        number_axis("since the grind", "weighted strokes", [end]),
        share_axis("chance that the edge is dull"),
        (Series("chance", "line", curve), *ranges, *pieces),
        tuple(notes),
    )


def life_notes(told: LifeCurve) -> Iterator[str]:
    """What the curve rests on, and which pieces could not be placed."""
    seen, end = told.learned.estimate, told.curve[-1].strokes
    yield (
        f"rests on: {seen.rests_on}; {told.learned.edges:,} edges seen, {seen.events:,} dull;"
        f" the ranges are {100 * SURE:.0f} % sure"
    )
    yield f"the interval of the settings: {told.learned.interval:,.0f}"
    beyond = [piece.tag for piece in told.pieces if piece.wear > end]
    if beyond:
        yield f"worn further than the chart goes: {', '.join(beyond)}"
    if told.pieces_more:
        yield f"{told.pieces_more:,} more pieces, each with less wear"


def _curve(seen: LifeEstimate, worn: float) -> Iterator[LifePoint]:
    """Evenly spaced counts from 0, with the two learned ones among them."""
    end = max(seen.high_50, min(1.05 * worn, WIDEST * seen.scale_50))
    even = {number * end / CURVE_POINTS for number in range(CURVE_POINTS + 1)}
    for strokes in sorted(even | {seen.scale_10, seen.scale_50}):
        yield LifePoint(strokes, seen.chance_dull(0.0, strokes))


def _piece_series(told: LifeCurve, end: float) -> Iterator[Series]:
    """Pieces near to each other share a mark; the one asked for has its own."""
    groups: list[list[LifePiece]] = []
    for piece in sorted(told.pieces, key=lambda piece: piece.wear):
        if piece.tag == told.tag:
            continue
        if groups and piece.wear - groups[-1][0].wear <= NEAR * end:
            groups[-1].append(piece)
        else:
            groups.append([piece])
    if groups:
        points = tuple((group[0].wear, group[0].chance) for group in groups)
        yield Series("pieces in use", "marks", points, "o", tuple(map(_tags, groups)))
    asked = [piece for piece in told.pieces if piece.tag == told.tag]
    for one in asked:
        yield Series(one.tag, "marks", ((one.wear, one.chance),), "@", (one.tag,))


def _tags(group: Sequence[LifePiece]) -> str:
    named = ", ".join(one.tag for one in group[:TAGS_TOGETHER])
    hidden = len(group) - TAGS_TOGETHER
    return f"{named} +{hidden}" if hidden > 0 else named
