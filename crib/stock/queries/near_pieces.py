"""What came near where nothing serves: pieces that almost fit, and how many pass each step.

Read only then: a count may look at every piece of a role.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

from crib.features.common.ask import Need
from crib.stock.engine.in_lists import asked_tables
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import PieceCard, cards_asked
from crib.stock.queries.tooling_terms import (
    NEED_COLUMNS,
    OF_KIND,
    SIZE_IN_RANGE,
    WIDTH_IN_RANGE,
    NeedAsk,
    at_hand,
    need_row,
)

MOST_OF_A_ROLE = 6
"""Pieces that fit or nearly fit: half of them at hand, half not, and as many measured ones."""
MOST_NEAREST = 2
"""Pieces nearest in size, from each side."""

_HALF = MOST_OF_A_ROLE // 2
_PIECE = "piece JOIN kind ON kind.id = piece.kind_id LEFT JOIN place ON place.id = piece.place_id"
_KIND_FIRST = "kind.width_mm, kind.id, piece.condition, piece.wear_milli, piece.id"
_KIND_FIRST_DOWN = "kind.width_mm DESC, kind.id DESC, piece.wear_milli, piece.id"
_SOUND = f"{OF_KIND.format('')} AND piece.condition = 'sound'"
_FAMILY = {"family": "TEXT"}


@dataclass(frozen=True, slots=True)
class Steps:
    """How many pieces pass each step of a need, those retired left out."""

    role: int
    shape: int
    width: int
    size: int
    at_hand: int


@dataclass(frozen=True, slots=True)
class Nearest:
    """Sound pieces nearest in size: of the wanted width by length, then from either side."""

    by_length: tuple[PieceCard, ...]
    wider: tuple[PieceCard, ...]
    narrower: tuple[PieceCard, ...]

    def few(self, most: int) -> list[PieceCard]:
        """Of each sort at most so many, each piece once."""
        sorts = (self.by_length, self.wider, self.narrower)
        return list({card.id: card for some in sorts for card in some[:most]}.values())


def any_pieces(session: Session, asked: Sequence[NeedAsk]) -> list[list[PieceCard]]:
    """For each need pieces that fit or could, whatever their condition, place or seat.

    Retired ones are left out. Half of them are at hand and half not, so that neither hides the
    other; those of a fitting measure come beside them.
    """
    aside = session.engine.hint.aside
    not_at_hand = f"NOT ({at_hand(session.site)}) AND piece.condition <> 'retired'"
    measured = (
        "piece.measured_width_mm BETWEEN asked.least_width AND asked.most_width"
        f" AND {OF_KIND.format(aside)} AND {aside}piece.condition <> 'retired'"
    )
    ways = (
        _nearest_to_aim(f"{SIZE_IN_RANGE} AND {at_hand(session.site, aside)}", _KIND_FIRST),
        _nearest_to_aim(f"{SIZE_IN_RANGE} AND {not_at_hand}", _KIND_FIRST),
        _nearest_to_aim(measured, "piece.measured_width_mm, piece.id"),
    )
    rows = [(*need_row(one.need), one.family) for one in asked]
    return cards_asked(session, {**NEED_COLUMNS, **_FAMILY}, rows, ways)


def nearest_pieces(session: Session, needs: Sequence[Need]) -> list[Nearest]:
    """For each need the sound pieces nearest in size, as when none is in its range."""
    off = "piece.id, abs(coalesce(kind.long_mm, kind.width_mm) - asked.aim_long) AS off_mm"
    ways = (
        (off, f"{_SOUND} AND {WIDTH_IN_RANGE}", f"off_mm, {_KIND_FIRST}"),
        ("piece.id", f"{_SOUND} AND kind.width_mm >= asked.aim", _KIND_FIRST),
        ("piece.id", f"{_SOUND} AND kind.width_mm < asked.aim", _KIND_FIRST_DOWN),
    )
    rows = [need_row(need) for need in needs]
    by_length, wider, narrower = (
        cards_asked(session, NEED_COLUMNS, rows, (_picked(*way, MOST_NEAREST),)) for way in ways
    )
    return [
        Nearest(
            tuple(sorted(by_length[at], key=partial(_by_length, need))),
            tuple(sorted(wider[at], key=_upwards)),
            tuple(sorted(narrower[at], key=_downwards)),
        )
        for at, need in enumerate(needs)
    ]


def _nearest_to_aim(where: str, then: str) -> str:
    off = "piece.id, abs(coalesce(piece.measured_width_mm, kind.width_mm) - asked.aim) AS off_mm"
    return _picked(off, where, f"off_mm, {then}", _HALF)


def _picked(columns: str, where: str, order: str, most: int) -> str:
    return f"SELECT {columns} FROM {_PIECE} WHERE {where} ORDER BY {order} LIMIT {most}"


def _upwards(card: PieceCard) -> tuple[float, ...]:
    return (card.width_mm or 0.0, card.kind_id, card.wear_milli, card.id)


def _downwards(card: PieceCard) -> tuple[float, ...]:
    return (-(card.width_mm or 0.0), -card.kind_id, card.wear_milli, card.id)


def _by_length(need: Need, card: PieceCard) -> tuple[float, ...]:
    aim_mm = (need.least_long_mm + need.most_long_mm) / 2
    return (abs((card.long_mm or card.width_mm or 0.0) - aim_mm), *_upwards(card))


def count_steps(session: Session, asked: Sequence[NeedAsk]) -> list[Steps]:
    """How many pieces pass each step of each need."""
    of_kind = OF_KIND.format("")
    sized = f"{of_kind} AND {WIDTH_IN_RANGE}"
    steps = ("TRUE", of_kind, sized, SIZE_IN_RANGE, f"{SIZE_IN_RANGE} AND {at_hand(session.site)}")
    counted = ", ".join(f"count(*) FILTER (WHERE {step})" for step in steps)
    rows = [(number, *need_row(one.need), one.family) for number, one in enumerate(asked)]
    found = [Steps(0, 0, 0, 0, 0)] * len(asked)
    for table, values in asked_tables({"n": "INTEGER", **NEED_COLUMNS, **_FAMILY}, rows):
        for number, *counts in session.rows(
            f"{table} SELECT asked.n, {counted} FROM asked JOIN kind ON kind.role = asked.role"
            " JOIN piece ON piece.kind_id = kind.id LEFT JOIN place ON place.id = piece.place_id"
            " WHERE piece.condition <> 'retired' GROUP BY asked.n",
            values,
        ):
            found[number] = Steps(*counts)
    return found
