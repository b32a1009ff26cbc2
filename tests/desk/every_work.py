"""A shop that does every sort of work, with an empty shelf: what is asked for has to be ordered."""

from __future__ import annotations

from pathlib import Path

from crib.stock.engine.session import Session
from crib.stock.tables.all_tables import PlaceRecord
from crib.units import N_PER_US_TON
from tests.shop import add_seat, add_station, insert, made_once, new_crib

ASKS = {
    "punch and die": "hole 1-1/16 thru 3/8 A36",
    "pair to ream after": "hole 15/16 thru 3/8 A36 ream",
    "pair within a tolerance": "hole 1-1/8 +1/32 -0 thru 3/8 A36",
    "shaped pair": "slot 13/16 x 1-1/8 thru 3/8 A36",
    "notch": "notch 4 x 5 thru 1/4 A36",
    "vee": "vee 2 thru 1/4 A36 at 60",
    "corner": "corner 3 x 4 thru 1/4 A36",
    "tube saddle": "saddle 1-1/2 tube 0.120 wall A36",
    "pipe saddle": "saddle 1-1/2 pipe sch 80 onto 2 pipe A53-B",
    "tube": "cut tube 1 x 2 x 0.083 A36",
    "picket": "point 3/4 A36",
    "vee die": "bend 10 x 1/4 at 90 A36",
}
"""One ask for each sort of tool, written as the program writes it."""

_WORKS = (
    "punch",
    "notch",
    "vee_notch",
    "corner_notch",
    "saddle",
    "tube_shear",
    "picket",
    "brake",
)


@made_once
def bare_shop(path: Path) -> Session:
    """One strong machine with a station for each work, one seat, one drawer and nothing in it."""
    made = new_crib(path)
    seat = add_seat(made, "A")
    for work in _WORKS:
        add_station(made, "Ironworker 1", work, 200 * N_PER_US_TON, [seat], does=work)
    insert(made, PlaceRecord, name="A1", sort="drawer")
    return made
