"""What tooling is asked for by, and the conditions that more than one question about it has."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

from crib.features.common.ask import Need
from crib.stock.queries.pieces import PieceCard, at_site
from crib.words import AWAY

TWO_SIZES = ("rectangle", "obround", "special")
"""Shapes with a long side; for any other a long side says nothing."""

_AWAY = ", ".join(repr(sort) for sort in AWAY)
_NUMBER, _TEXT = "DOUBLE PRECISION", "TEXT"

NEED_COLUMNS = {
    **dict.fromkeys(("role", "shape", "profile"), _TEXT),
    "two_sizes": "BOOLEAN",
    **dict.fromkeys(("least_width", "most_width", "least_long", "most_long"), _NUMBER),
    **dict.fromkeys(("aim", "aim_long"), _NUMBER),
}
"""A need, as a row of what is asked."""

PIECE_COLUMNS = {
    "family": _TEXT,
    **dict.fromkeys(("interval_strokes", "job_strokes", "grind_mm"), _NUMBER),
}
"""What pieces should be like, beside a need or a kind."""

OF_KIND = (
    "{0}kind.role = asked.role AND {0}kind.shape = asked.shape AND {0}kind.profile = asked.profile"
)
"""That a kind is what a need is for; a hint to the planner may stand before each column."""
WIDTH_IN_RANGE = "kind.width_mm BETWEEN asked.least_width AND asked.most_width"
SIZE_IN_RANGE = (
    f"{OF_KIND.format('')} AND {WIDTH_IN_RANGE} AND (NOT asked.two_sizes"
    " OR coalesce(kind.long_mm, kind.width_mm) BETWEEN asked.least_long AND asked.most_long)"
)
"""That a kind's nominal size could serve a need."""

LONG_ENOUGH = (
    "coalesce(coalesce(piece.length_mm, kind.length_mm - piece.ground_um / 1000.0) + 0.000001"
    " >= coalesce(kind.least_length_mm,"
    " kind.length_mm - coalesce(kind.regrind_mm, asked.grind_mm)), TRUE)"
)
LASTING = (
    "piece.wear_milli <= (coalesce(kind.learned_strokes, kind.interval_strokes,"
    " asked.interval_strokes) - asked.job_strokes) * 1000"
)
NOT_MEASURED = "piece.measured_width_mm IS NULL AND piece.measured_long_mm IS NULL"


class Wanted(NamedTuple):
    """What else a piece must be or should be: long enough, and lasting the job where one does."""

    interval_strokes: float = 5000.0
    job_strokes: float = 0.0
    grind_mm: float = 3.0


class NeedAsk(NamedTuple):
    """Pieces for a need, for a family of materials, and what they should be like."""

    need: Need
    family: str
    wanted: Wanted = Wanted()


class KindAsk(NamedTuple):
    """Pieces of a kind, for a family of materials, and what they should be like."""

    kind_id: int
    family: str
    wanted: Wanted = Wanted()


def at_hand(site_id: int | None, aside: str = "") -> str:
    """That a piece is sound, not away, nor kept for another material, and at a site if one is said.

    ``aside`` keeps a planner from starting at "every sound piece": sizes leave far fewer.
    """
    return (
        f"{aside}piece.condition = 'sound' AND coalesce(place.sort, 'drawer') NOT IN ({_AWAY})"
        " AND (piece.dedicated_to = '' OR piece.dedicated_to = asked.family)"
        f" AND {at_site(site_id)}"
    )


def need_row(need: Need) -> tuple[Any, ...]:
    """A need as a row of ``NEED_COLUMNS``."""
    return (
        *(need.role, need.shape, need.profile, need.shape in TWO_SIZES),
        *(need.least_width_mm, need.most_width_mm, need.least_long_mm, need.most_long_mm),
        *(need.aim_width_mm, (need.least_long_mm + need.most_long_mm) / 2),
    )


def piece_row(asked: NeedAsk | KindAsk) -> tuple[Any, ...]:
    """What pieces should be like as a row of ``PIECE_COLUMNS``."""
    wanted = asked.wanted
    return (asked.family, wanted.interval_strokes, wanted.job_strokes, wanted.grind_mm)


def need_rows(asked: Sequence[NeedAsk]) -> list[tuple[Any, ...]]:
    """Needs and what pieces for them should be like, row by row."""
    return [(*need_row(one.need), *piece_row(one)) for one in asked]


def is_at_hand(card: PieceCard, family: str) -> bool:
    """Whether a piece is sound, not away, nor kept for another material."""
    return (
        card.condition == "sound"
        and card.place_sort not in AWAY
        and card.dedicated_to in ("", family)
    )


def is_long_enough(card: PieceCard, grind_mm: float) -> bool:
    """Whether a piece, as far as its lengths are known, is as long as its kind must be."""
    new_mm = card.new_length_mm
    left_mm, least_mm = card.length_mm, card.least_length_mm
    if left_mm is None and new_mm is not None:
        left_mm = new_mm - card.ground_um / 1000
    if least_mm is None and new_mm is not None:
        least_mm = new_mm - (grind_mm if card.regrind_mm is None else card.regrind_mm)
    return left_mm is None or least_mm is None or left_mm + 0.000001 >= least_mm
