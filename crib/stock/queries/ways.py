"""What was sent from one site to another and has not been received."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from crib.stock.engine.in_lists import in_lists
from crib.stock.engine.session import Session
from crib.stock.queries.places import PlaceCard


@dataclass(frozen=True, slots=True)
class WayPiece:
    """A piece on the way: from which site to which, since which day."""

    piece_id: int
    tag: str
    kind: str
    from_id: int
    from_site: str
    to_id: int
    to_site: str
    sent_on: str


def pieces_on_the_way(session: Session, site_id: int | None = None) -> list[WayPiece]:
    """What is on the way from or to a site, or at all; what was lost on it is not."""
    ends = "" if site_id is None else " AND ? IN (site.id, far.id)"
    rows = session.rows(
        "SELECT piece.id, piece.tag, kind.name AS kind, site.id AS from_id, site.name AS from_site,"
        " far.id AS to_id, far.name AS to_site,"
        " (SELECT entry.shift_on FROM entry"
        " LEFT JOIN entry AS counter ON counter.reverses_id = entry.id"
        " WHERE entry.piece_id = piece.id AND entry.place_id = piece.place_id"
        " AND counter.id IS NULL ORDER BY entry.id DESC LIMIT 1) AS sent_on FROM place"
        " JOIN piece ON piece.place_id = place.id JOIN kind ON kind.id = piece.kind_id"
        " JOIN site ON site.id = place.site_id JOIN site AS far ON far.id = place.to_site_id"
        " WHERE place.sort = 'way' AND piece.condition NOT IN ('lost', 'retired')"
        f"{ends} ORDER BY sent_on, site.id, far.id, piece.tag",
        () if site_id is None else (site_id,),
    )
    return [WayPiece(*row) for row in rows]


def drawers_at(session: Session, piece_ids: Iterable[int], site_id: int) -> dict[int, PlaceCard]:
    """The drawer at one site that each of some pieces last lay in, by its ledger."""
    return {
        row[0]: PlaceCard(*tuple(row)[1:])
        for marks, some in in_lists(piece_ids)
        for row in session.rows(
            "SELECT entry.piece_id, place.id, place.name, place.sort, place.station_id,"
            " place.site_id FROM entry JOIN place ON place.id = entry.place_id"
            f" AND place.sort = 'drawer' AND place.site_id = {int(site_id)}"
            " LEFT JOIN entry AS counter ON counter.reverses_id = entry.id"
            f" WHERE entry.piece_id IN {marks} AND counter.id IS NULL ORDER BY entry.id",
            some,
        )
    }
