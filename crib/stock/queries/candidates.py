"""Which tooling could serve some asks: indexed queries whose cost does not grow with the crib.

Kinds are picked by size; of each kind only the few pieces that a ranking could put first are
read (the least worn, the most worn that lasts the job) beside the mounted ones. A piece that was
measured counts by its measured size, so measured pieces are looked for by that. Each query answers
any number of asks at once.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from crib.features.common.ask import Need
from crib.stock.engine.in_lists import asked_tables
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import PieceCard, cards_asked
from crib.stock.queries.tooling_terms import (
    LASTING,
    LONG_ENOUGH,
    NEED_COLUMNS,
    NOT_MEASURED,
    OF_KIND,
    PIECE_COLUMNS,
    SIZE_IN_RANGE,
    TWO_SIZES,
    WIDTH_IN_RANGE,
    KindAsk,
    NeedAsk,
    at_hand,
    need_row,
    need_rows,
    piece_row,
)

EACH = 4
"""How many pieces of a kind are read from either end of the wear scale."""
MOST_MEASURED = 8
"""Measured pieces of each sort that a ranking could put first; the rest only when asked for."""

_LONG_IN_RANGE = (
    "coalesce(piece.measured_long_mm, kind.long_mm, piece.measured_width_mm, kind.width_mm)"
    " BETWEEN asked.least_long AND asked.most_long"
)
_BY_WIDTH = (
    "piece.measured_width_mm BETWEEN asked.least_width AND asked.most_width"
    f" AND (NOT asked.two_sizes OR {_LONG_IN_RANGE})"
)
_BY_LENGTH = (
    "asked.two_sizes AND piece.measured_width_mm IS NULL AND piece.measured_long_mm IS NOT NULL"
    f" AND {WIDTH_IN_RANGE} AND {_LONG_IN_RANGE}"
)
_FROM = (
    "FROM piece JOIN kind ON kind.id = piece.kind_id LEFT JOIN place ON place.id = piece.place_id"
)
_OFF = "abs(coalesce(piece.measured_width_mm, kind.width_mm) - asked.aim)"


@dataclass(frozen=True, slots=True)
class KindRow:
    """A kind that fits a need, and how far its size is from what is aimed at [mm]."""

    id: int
    name: str
    seat: str | None
    width_mm: float
    long_mm: float
    off_mm: float


@dataclass(frozen=True, slots=True)
class MeasuredPieces:
    """Measured pieces for a need, the least worn first; ``whole`` when there are no more."""

    cards: tuple[PieceCard, ...]
    whole: bool


def kinds_for(session: Session, needs: Sequence[Need]) -> list[list[KindRow]]:
    """For each need the kinds whose size could serve, the closest to the aim first."""
    kinds: list[list[KindRow]] = [[] for _need in needs]
    rows = [(number, *need_row(need)) for number, need in enumerate(needs)]
    for asked, values in asked_tables({"n": "INTEGER", **NEED_COLUMNS}, rows):
        for number, *kind in session.rows(
            f"{asked} SELECT asked.n, kind.id, kind.name, seat.name, kind.width_mm,"
            " coalesce(kind.long_mm, kind.width_mm), abs(kind.width_mm - asked.aim) AS off_mm"
            f" FROM asked {session.engine.hint.then_join} kind ON {SIZE_IN_RANGE}"
            " LEFT JOIN seat ON seat.id = kind.seat_id ORDER BY asked.n, off_mm, kind.id",
            values,
        ):
            kinds[number].append(KindRow(*kind))
    return kinds


def usable_pieces(session: Session, asked: Sequence[KindAsk]) -> list[list[PieceCard]]:
    """For each kind the few pieces that a ranking could put first: the least worn, then others."""
    there = f"{at_hand(session.site)} AND {LONG_ENOUGH}"
    fit = f"piece.kind_id = asked.kind_id AND {NOT_MEASURED} AND {there}"
    least = f"SELECT piece.id {_FROM} WHERE {fit} ORDER BY piece.wear_milli, piece.id LIMIT {EACH}"
    lasting = (
        f"SELECT piece.id {_FROM} WHERE {fit} AND {LASTING}"
        f" ORDER BY piece.wear_milli DESC, piece.id DESC LIMIT {EACH}"
    )
    rows = [(one.kind_id, *piece_row(one)) for one in asked]
    columns = {"kind_id": "INTEGER", **PIECE_COLUMNS}
    return [_ends(cards) for cards in cards_asked(session, columns, rows, (least, lasting))]


def _ends(cards: list[PieceCard]) -> list[PieceCard]:
    """The least worn pieces from the least worn on, then the others from the most worn on."""
    by_wear = sorted(cards, key=lambda card: (card.wear_milli, card.id))
    return [*by_wear[:EACH], *reversed(by_wear[EACH:])]


def measured_pieces(session: Session, asked: Sequence[NeedAsk]) -> list[MeasuredPieces]:
    """For each need the measured pieces at hand whose size, measured over nominal, could serve.

    Of more than a few only those that a ranking could put first: the nearest, the least worn, the
    most worn that last, and the mounted.
    """
    return [
        MeasuredPieces(_least_worn_first(cards), whole=not _is_full(cards))
        for cards in _measured(session, asked, _first)
    ]


def all_measured_pieces(session: Session, asked: Sequence[NeedAsk]) -> list[MeasuredPieces]:
    """For each need every measured piece at hand whose size, measured over nominal, could serve."""
    every = _measured(session, asked, _every)
    return [MeasuredPieces(_least_worn_first(cards), whole=True) for cards in every]


def _measured(
    session: Session, asked: Sequence[NeedAsk], way: Callable[[str], str]
) -> list[list[PieceCard]]:
    """By their measured width, and where only the length was measured by their kind's width."""
    hint, columns = session.engine.hint, {**NEED_COLUMNS, **PIECE_COLUMNS}
    sides = [f"{_BY_WIDTH} AND {OF_KIND.format(hint.aside)}"]
    if any(one.need.shape in TWO_SIZES for one in asked):
        sides.append(f"{_BY_LENGTH} AND {OF_KIND.format('')}")
    fit = f"{at_hand(session.site, hint.aside)} AND {LONG_ENOUGH}"
    ways = [way(f"{side} AND {fit}") for side in sides]
    return cards_asked(session, columns, need_rows(asked), ways)


def _every(where: str) -> str:
    return f"SELECT piece.id {_FROM} WHERE {where}"


def _first(where: str) -> str:
    return (
        "SELECT id FROM (SELECT id, lasts, station_id,"
        " row_number() OVER (ORDER BY off_mm, wear_milli, width_mm, id) AS nearest,"
        " row_number() OVER (ORDER BY wear_milli, width_mm, id) AS least_worn,"
        " row_number() OVER (PARTITION BY lasts ORDER BY wear_milli DESC, width_mm, id)"
        f" AS most_worn FROM (SELECT piece.id, {_OFF} AS off_mm, piece.wear_milli,"
        f" piece.measured_width_mm AS width_mm, {LASTING} AS lasts, place.station_id"
        f" {_FROM} WHERE {where}) AS fit) AS in_turn"
        f" WHERE nearest <= {MOST_MEASURED} OR least_worn <= {MOST_MEASURED}"
        f" OR lasts AND most_worn <= {MOST_MEASURED} OR station_id IS NOT NULL"
    )


def _is_full(cards: Sequence[PieceCard]) -> bool:
    """Whether as many were found by width, or by length, as are looked for; there may be more."""
    by_length = sum(card.measured_width_mm is None for card in cards)
    return max(by_length, len(cards) - by_length) >= MOST_MEASURED


def _least_worn_first(cards: Sequence[PieceCard]) -> tuple[PieceCard, ...]:
    return tuple(sorted(cards, key=lambda card: (card.wear_milli, card.tag)))
