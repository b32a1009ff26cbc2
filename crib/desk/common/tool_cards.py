"""A piece's card as the rules see it."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from crib.desk.common.piece_wear import length_now_mm, piece_wear, size_now_mm
from crib.features.common.tooling import EnvelopeRow, Seat, Tool
from crib.stock.queries.pieces import PieceCard
from crib.trade.shop.shop_rules import Rules


def key_angles(card: PieceCard) -> tuple[int, ...]:
    """The angles at which a piece's kind is keyed, in degrees to the throat."""
    return _angles(card.key_angles) if card.key_angles else ()


def _angles(text: str) -> tuple[int, ...]:
    return tuple(int(angle) for angle in re.findall(r"[0-9]+", text))


def tool_of(
    card: PieceCard,
    seats: Mapping[str, Seat],
    rules: Rules,
    envelope: Sequence[EnvelopeRow] = (),
    far: tuple[str, int] = ("", 0),
) -> Tool:
    """A piece for the rules: measured size over nominal, wear against its interval.

    ``far`` is the other site that it must be sent from, and how many days that takes.
    """
    stands = piece_wear(card, rules)
    width_mm, long_mm = size_now_mm(card)
    width_mm = width_mm or 0.0
    if card.shape in ("round", "square", "hexagon"):
        long_mm = width_mm
    return Tool(
        role=card.role,
        shape=card.shape,
        width_mm=width_mm,
        long_mm=max(long_mm or width_mm, width_mm),
        seat=seats.get(card.seat or ""),
        tag=card.tag,
        kind=card.kind_name,
        kind_id=card.kind_id,
        measured=card.measured_width_mm is not None,
        key_angles=key_angles(card),
        face=card.face,
        length_mm=length_now_mm(card),
        least_length_mm=stands.least_length_mm,
        stress_limit_mpa=card.stress_limit_mpa,
        condition=card.condition,
        place=card.place or "nowhere",
        place_sort=card.place_sort or "drawer",
        walk_order=card.walk_order,
        station_id=card.station_id,
        site=far[0],
        site_days=far[1],
        wear=card.wear,
        interval=stands.interval,
        life=card.learned_life,
        edge_state=stands.state,
        strokes_total=card.strokes_total,
        bought_on=card.bought_on,
        dedicated_to=card.dedicated_to,
        profile=card.profile,
        depth_mm=card.depth_mm,
        angle_deg=card.angle_deg,
        header_mm=card.header_mm,
        least_wall_mm=card.least_wall_mm,
        most_wall_mm=card.most_wall_mm,
        work_length_mm=card.work_length_mm,
        line_limit_n_mm=card.line_limit_n_mm,
        rated_force_n=card.rated_force_n,
        edges=card.edges,
        edge=card.edge,
        envelope=tuple(envelope),
        ground_mm=card.ground_um / 1000,
        corner_radius_mm=card.corner_radius_mm,
    )
