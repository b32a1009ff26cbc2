"""Reading pieces: one card for each, with its kind, seat, place and running totals."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields
from typing import Any

from crib.errors import UnknownName, UnsureName
from crib.stock.engine.engine import Row
from crib.stock.engine.in_lists import Value, asked_tables, in_lists
from crib.stock.engine.session import Session
from crib.stock.queries.tags import tag_meant, tag_said, with_joined_tags

_COLUMNS = """
    piece.id, piece.tag, piece.kind_id, kind.name AS kind_name, kind.role, kind.shape,
    kind.width_mm, kind.long_mm, piece.measured_width_mm, piece.measured_long_mm,
    seat.name AS seat, kind.key_angles, kind.face, kind.length_mm AS new_length_mm,
    piece.length_mm, kind.least_length_mm, kind.regrind_mm, kind.edges, piece.edge,
    kind.stress_limit_mpa, kind.interval_strokes, kind.learned_strokes, kind.price_cents,
    kind.lead_days, kind.supplier,
    piece.place_id, place.name AS place, place.sort AS place_sort, place.station_id,
    piece.condition, piece.wear_milli, piece.strokes_edge, piece.strokes_total, piece.grinds,
    piece.ground_um, piece.acknowledged, piece.deferred, piece.dedicated_to, piece.bought_on,
    piece.note, coalesce(place.walk_order, 0) AS walk_order,
    kind.profile, kind.depth_mm, kind.angle_deg, kind.header_mm, kind.least_wall_mm,
    kind.most_wall_mm, kind.work_length_mm, kind.line_limit_n_mm, kind.rated_force_n,
    kind.corner_radius_mm, place.site_id, place.to_site_id, kind.learned_life
"""
_BESIDE = """
    JOIN kind ON kind.id = piece.kind_id
    LEFT JOIN seat ON seat.id = kind.seat_id
    LEFT JOIN place ON place.id = piece.place_id
"""


@dataclass(frozen=True, slots=True)
class PieceCard:
    """One piece as the window knows it. Lengths mm, stress MPa, wear in weighted strokes."""

    id: int
    tag: str
    kind_id: int
    kind_name: str
    role: str
    shape: str
    width_mm: float | None
    long_mm: float | None
    measured_width_mm: float | None
    measured_long_mm: float | None
    seat: str | None
    key_angles: str
    face: str
    new_length_mm: float | None
    length_mm: float | None
    least_length_mm: float | None
    regrind_mm: float | None
    edges: int
    edge: int
    stress_limit_mpa: float | None
    interval_strokes: int | None
    learned_strokes: int | None
    price_cents: int | None
    lead_days: int | None
    supplier: str
    place_id: int | None
    place: str | None
    place_sort: str | None
    station_id: int | None
    condition: str
    wear_milli: int
    strokes_edge: int
    strokes_total: int
    grinds: int
    ground_um: int
    acknowledged: str
    deferred: bool
    dedicated_to: str
    bought_on: str
    note: str
    walk_order: int
    profile: str
    depth_mm: float | None
    angle_deg: float | None
    header_mm: float | None
    least_wall_mm: float | None
    most_wall_mm: float | None
    work_length_mm: float | None
    line_limit_n_mm: float | None
    rated_force_n: float | None
    corner_radius_mm: float | None
    site_id: int | None = None
    to_site_id: int | None = None
    learned_life: str = ""

    @property
    def wear(self) -> float:
        """Weighted strokes on the edge in use."""
        return self.wear_milli / 1000

    def interval(self, default_strokes: float) -> float:
        """Weighted strokes an edge lasts: as learned, else the kind's own, else the shop's rule."""
        return float(self.learned_strokes or self.interval_strokes or default_strokes)

    def used(self, default_strokes: float) -> float:
        """Share of the edge's life that is used, 1.0 = dull."""
        return self.wear / self.interval(default_strokes)


def at_site(site_id: int | None) -> str:
    """That a piece is at a site, or anywhere: on the way it is at none, without a place at all."""
    if site_id is None:
        return "TRUE"
    here = f"coalesce(place.site_id, {site_id:d}) = {site_id:d}"
    return f"{here} AND coalesce(place.sort, '') <> 'way'"


_DEFERRED = [field.name for field in fields(PieceCard)].index("deferred")


def card(row: Iterable[Any]) -> PieceCard:
    """A card from a row of ``select_rows``, whose columns are its fields in their order."""
    values = list(row)
    values[_DEFERRED] = bool(values[_DEFERRED])
    return PieceCard(*values)


def select_cards(
    session: Session, where: str, values: Sequence[Any] | dict[str, Any] = (), *, tail: str = ""
) -> list[PieceCard]:
    """The cards of the pieces that a condition picks; ``where`` and ``tail`` are the program's."""
    return [card(row) for row in select_rows(session, where, values, tail=tail)]


def select_rows(
    session: Session, where: str, values: Sequence[Any] | dict[str, Any] = (), *, tail: str = ""
) -> list[Row]:
    """The rows that cards are made of, for who wants to look before he makes them."""
    return session.rows(f"SELECT {_COLUMNS} FROM piece {_BESIDE} WHERE {where} {tail}", values)


def cards_asked(
    session: Session,
    columns: Mapping[str, str],
    rows: Sequence[Sequence[Any]],
    ways: Sequence[str],
) -> list[list[PieceCard]]:
    """For each row of what is asked the cards of the pieces that any of some ways picks.

    A way is a query for the numbers of pieces that may look at the row, ``asked``, and stop early.
    """
    picked = " UNION ".join(f"SELECT id FROM ({way}) AS way_{at}" for at, way in enumerate(ways))
    hint = session.engine.hint
    cards: list[list[PieceCard]] = [[] for _row in rows]
    numbered = [(number, *row) for number, row in enumerate(rows)]
    for asked, values in asked_tables({"n": "INTEGER", **columns}, numbered):
        sql = (
            f"{asked} SELECT asked.n, {_COLUMNS} FROM asked {hint.join_each('piece', picked)}"
            f" {_BESIDE} ORDER BY asked.n, piece.id"
        )
        for number, *row in session.rows(sql, values):
            cards[number].append(card(row))
    return cards


def piece_by_tag(session: Session, tag: str) -> PieceCard:
    """The piece with a tag, however it is typed: ``P-0137``, ``p137``, or ``137`` for one alone.

    Raises:
        UnsureName: when several tags may be meant.
        UnknownName: when no piece has it; names the nearest tags.
    """
    found = piece_called(session, tag_said(tag).upper())
    return found or select_cards(session, "piece.tag = ?", (tag_meant(session, tag),))[0]


def pieces_named(session: Session, words: Iterable[str]) -> list[PieceCard]:
    """The pieces whose tags were typed, each once, in the order they were named.

    Raises:
        UnsureName: when several tags may be meant by one of them.
        UnknownName: for a tag that no piece has.
    """
    cards = [piece_by_tag(session, tag) for tag in with_joined_tags(session, list(words))]
    return list({card.id: card for card in cards}.values())


def pieces_meant(session: Session, tags: Iterable[str]) -> dict[str, PieceCard]:
    """The pieces that are meant, by what was typed; a tag that no piece has is left out.

    Raises:
        UnsureName: when several tags may be meant by one of them.
    """
    every = list(tags)
    exact = pieces_by_tags(session, (tag.strip().upper() for tag in every))
    found = {tag: exact[tag.strip().upper()] for tag in every if tag.strip().upper() in exact}
    for tag in every:
        if tag not in found:
            try:
                found[tag] = piece_by_tag(session, tag)
            except UnsureName:
                raise
            except UnknownName:
                continue
    return found


def piece_called(session: Session, tag: str) -> PieceCard | None:
    """The piece that has exactly this tag, or None."""
    return next(iter(select_cards(session, "piece.tag = ?", (tag,))), None)


def pieces_by_tags(session: Session, tags: Iterable[str]) -> dict[str, PieceCard]:
    """The pieces that have these tags (already in capitals), by tag."""
    return {card.tag: card for card in _among(session, "piece.tag", tags)}


def pieces_by_ids(session: Session, ids: Iterable[int]) -> dict[int, PieceCard]:
    """The pieces of these numbers, as they are now."""
    return {card.id: card for card in _among(session, "piece.id", ids)}


def pieces_in_places(session: Session, place_ids: Iterable[int]) -> Iterator[PieceCard]:
    """The pieces at some places, whatever their condition."""
    return _among(session, "piece.place_id", place_ids)


def pieces_of_kinds(session: Session, kind_ids: Iterable[int]) -> list[PieceCard]:
    """Every piece of some kinds, kind by kind in the order of their numbers, by tag."""
    cards = _among(session, "piece.kind_id", kind_ids)
    return sorted(cards, key=lambda card: (card.kind_id, card.tag))


def _among(session: Session, column: str, wanted: Iterable[Value]) -> Iterator[PieceCard]:
    for marks, some in in_lists(wanted):
        yield from select_cards(session, f"{column} IN {marks}", some)


def expected_at(session: Session, place_id: int) -> list[PieceCard]:
    """The pieces that should lie at a place, by role and size."""
    return select_cards(
        session,
        "piece.place_id = ? AND piece.condition NOT IN ('lost', 'retired')",
        (place_id,),
        tail="ORDER BY kind.role, kind.width_mm, piece.tag",
    )


def too_short_pieces(session: Session, grind_mm: float) -> list[PieceCard]:
    """The sound pieces shorter than their kind may be, ``grind_mm`` ground off where none is said.

    Only measured lengths count.
    """
    return select_cards(
        session,
        "piece.condition = 'sound' AND piece.length_mm < coalesce(kind.least_length_mm,"
        " kind.length_mm - coalesce(kind.regrind_mm, ?)) - 1e-6",
        (grind_mm,),
    )


def count_left(session: Session, kind_id: int) -> int:
    """How many pieces of a kind are sound, or so once they were looked at."""
    sql = "SELECT count(*) FROM piece WHERE kind_id = ? AND condition IN ('sound', 'inspect')"
    return int(session.value(sql, (kind_id,)))


def price_paid_cents(session: Session, piece_id: int) -> int | None:
    """What a piece cost, where that was said."""
    found = session.value("SELECT price_cents FROM piece WHERE id = ?", (piece_id,))
    return None if found is None else int(found)


def tags_with_roles(session: Session) -> list[tuple[str, str]]:
    """Every tag that was ever given with its piece's role, the oldest first."""
    sql = "SELECT piece.tag, kind.role FROM piece JOIN kind ON kind.id = piece.kind_id"
    return [(row[0], row[1]) for row in session.rows(f"{sql} ORDER BY piece.id")]


def tags_beginning(session: Session, start: str) -> list[str]:
    """The tags that begin with some letters; no ``%`` or ``_`` among them."""
    return [
        row[0] for row in session.rows("SELECT tag FROM piece WHERE tag LIKE ?", (f"{start}%",))
    ]
