"""A shop that notches: a station for each sort of matched set, and sets with their lists."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from crib.stock.engine.session import Session
from crib.stock.tables.all_tables import EnvelopePointRecord, PlaceRecord
from crib.units import N_PER_US_TON, mm_from_inches
from tests.desk.asks import change
from tests.shop import add_kind, add_piece, add_seat, add_station, insert, made_once, new_crib

WORK = {"notch": "notch", "vee": "vee_notch", "corner": "corner_notch"}


@made_once
def notch_shop(path: Path) -> Session:
    """One machine with a station for each sort of set, seat N, and two drawers."""
    made = new_crib(path)
    seat = add_seat(made, "N", head_diameter_mm=None, head_thickness_mm=None, body_diameter_mm=None)
    for name, does in WORK.items():
        add_station(made, "Ironworker 1", name, None, [seat], does=does)
    for order, name in enumerate(("N1", "N2")):
        insert(made, PlaceRecord, name=name, sort="drawer", walk_order=order)
    return made


def add_set(
    shop: Session,
    tag: str,
    profile: str,
    width: str,
    depth: float | None = None,
    *listed: tuple[float, float],
    **columns: Any,
) -> None:
    """A set of a kind of its own, proven for sizes and thicknesses in inches."""
    kind = add_kind(
        shop,
        role="set",
        width=width,
        profile=profile,
        shape="special" if profile == "vee" else "rectangle",
        depth_mm=None if depth is None else mm_from_inches(depth),
        seat_id=1,
        **columns,
    )
    proven(shop, profile, *listed, kind_id=kind)
    add_piece(shop, tag, kind, place="N1")


def proven(shop: Session, operation: str, *listed: tuple[float, float], **owner: int) -> None:
    """Points of a list, in inches."""
    for size, thickness in listed:
        insert(
            shop,
            EnvelopePointRecord,
            operation=operation,
            size_mm=mm_from_inches(size),
            thickness_mm=mm_from_inches(thickness),
            **owner,
        )


def station_listed(shop: Session, profile: str, *listed: tuple[float, float]) -> None:
    """What a station's plate says."""
    station_id = shop.value("SELECT id FROM station WHERE name = ?", (profile,))
    proven(shop, profile, *listed, station_id=station_id)


def rate(shop: Session, us_tons: float) -> None:
    """Every station's rated force."""
    change(shop, "UPDATE station SET rated_force_n = ?", us_tons * N_PER_US_TON)
