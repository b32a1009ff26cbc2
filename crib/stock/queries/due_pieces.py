"""The pieces that are due, the greatest risk first: no more of them are read than are shown."""

from __future__ import annotations

from dataclasses import dataclass

from crib.stock.engine.session import Session
from crib.stock.queries.pieces import PieceCard, pieces_by_ids
from crib.stock.queries.strokes import ANYWHERE, Whereabouts

_ALL = 2**31 - 1


@dataclass(frozen=True, slots=True)
class DueStep:
    """A level of urgency: from which share of its interval, and its rank among the levels.

    ``deferred`` says that only a piece that was put off comes to it.
    """

    share: float
    rank: int
    deferred: bool = False


@dataclass(frozen=True, slots=True)
class DueSteps:
    """The levels, rising by share and rank; ``acknowledged`` is the rank of each that was seen.

    ``waiting`` is the least share that a piece counts as that waits to be looked at; ``interval``
    the weighted strokes of an edge whose kind has none of its own.
    """

    rising: tuple[DueStep, ...]
    acknowledged: tuple[tuple[str, int], ...]
    waiting: float
    interval: float


@dataclass(frozen=True, slots=True)
class DuePieces:
    """Some of the pieces that are due, and how many are in all; ``silent`` were seen already."""

    cards: tuple[PieceCard, ...]
    count: int
    silent: int


def due_pieces(
    session: Session,
    steps: DueSteps,
    *,
    first: int = 0,
    most: int | None = None,
    where: Whereabouts = ANYWHERE,
) -> DuePieces:
    """The pieces that wait to be looked at, and the sound ones at a level nobody has seen yet.

    Args:
        session: The open crib.
        steps: The levels.
        first: How many of the list to leave out.
        most: How many to read; None for all.
        where: Where they must be.
    """
    sql, values = _due(session, steps, where)
    rows = session.rows(
        f"WITH due AS ({sql}) SELECT id, silent, count(*) FILTER (WHERE NOT silent) OVER () AS due,"
        " count(*) FILTER (WHERE silent) OVER () AS seen"
        " FROM due ORDER BY silent, risk DESC, tag LIMIT ? OFFSET ?",
        (*values, _ALL if most is None else most, first),
    )
    shown = [row["id"] for row in rows if not row["silent"]]
    cards = pieces_by_ids(session, shown)
    count, seen = (rows[0]["due"], rows[0]["seen"]) if rows else (0, 0)
    return DuePieces(tuple(cards[one] for one in shown), int(count), int(seen))


def _due(session: Session, steps: DueSteps, where: Whereabouts) -> tuple[str, list[object]]:
    """The query of what is worn or waits, with its rank, whether that was seen, and its risk."""
    standing, values = _standing(session, steps, where)
    seen = " ".join("WHEN ? THEN ?" for _name in steps.acknowledged)
    ranks = " ".join(
        f"WHEN {'deferred AND ' if step.deferred else ''}used >= ? THEN ?"
        for step in reversed(steps.rising)
    )
    at = [part for step in reversed(steps.rising) for part in (_reached(step.share), step.rank)]
    named = [part for pair in steps.acknowledged for part in pair]
    sql = (
        "SELECT id, tag, CASE WHEN condition <> 'sound' AND used < ? THEN ? ELSE used END AS risk,"
        f" condition = 'sound' AND CASE acknowledged {seen} ELSE 0 END"
        f" >= CASE {ranks} ELSE 0 END AS silent FROM ({standing}) AS standing"
    )
    return sql, [steps.waiting, steps.waiting, *named, *at, *values]


def _standing(session: Session, steps: DueSteps, where: Whereabouts) -> tuple[str, list[object]]:
    """What waits to be looked at, and the sound pieces from the first level on, kind by kind."""
    there, at = where.condition(session.site)
    place = "LEFT JOIN place ON place.id = piece.place_id" if there else ""
    columns = (
        "piece.id, piece.tag, piece.condition, piece.acknowledged, piece.deferred,"
        " piece.wear_milli / 1000.0 / coalesce(sort.learned_strokes, sort.interval_strokes, ?)"
        " AS used"
    )
    join = session.engine.hint.then_join
    worn = (
        f"SELECT {columns} FROM kind AS sort {join} piece ON piece.kind_id = sort.id"
        " AND piece.condition = 'sound' AND piece.wear_milli"
        f" >= ? * coalesce(sort.learned_strokes, sort.interval_strokes, ?) {place}"
        f" WHERE TRUE{there}"
    )
    waiting = (
        f"SELECT {columns} FROM piece JOIN kind AS sort ON sort.id = piece.kind_id {place}"
        f" WHERE piece.condition IN ('inspect', 'locked'){there}"
    )
    least = _reached(steps.rising[0].share) * 1000
    first = [steps.interval, least, steps.interval, *at]
    return f"{worn} UNION ALL {waiting}", [*first, steps.interval, *at]


def _reached(share: float) -> float:
    """A share that is reached but for the dust of a conversion."""
    return share * (1 - 1e-9)
