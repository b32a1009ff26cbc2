"""Whether a pair lies on the shelf that nothing speaks against, where none was found."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

from tests.audit.asks import AuditAsk
from tests.audit.checks import Taken, piece_faults, seat_faults, station_faults
from tests.audit.punched import punched_faults
from tests.audit.world import Row, World, width_mm

EVERY_CAUTION = frozenset(
    {
        "adverse force",
        "adverse stress",
        "force",
        "punch stress",
        "throat",
        "stack",
        "entry",
        "deviation",
    }
)
"""A pair that is only cautioned against serves too."""


def hidden_pairs(ask: AuditAsk, world: World, system: str) -> Iterator[str]:
    """The pairs that would make a hole in one hit, seated in the station itself."""
    for punch, die in product(_near(ask, world, "punch", 0.04), _near(ask, world, "die", 11.0)):
        for station in world.stations.values():
            if station["does"] != "punch":
                continue
            accepts = frozenset(world.seats.get(station["id"], ()))
            one = Taken(
                {"punch": punch, "die": die},
                (),
                station,
                accepts,
                cautions=EVERY_CAUTION,
                seats=world.seat_rows,
            )
            if not any(_faults(ask, one, system)):
                yield f"{punch['tag']} {die['tag']} in {station['name']} was not found"


def _near(ask: AuditAsk, world: World, role: str, over_mm: float) -> list[Row]:
    """The pieces of a role and shape that are of the hole's width, or so much wider."""
    wanted = ask.sizes["width"]
    return [
        piece
        for piece in world.pieces.values()
        if piece["role"] == role
        and piece["shape"] == ask.sizes["shape"]
        and wanted - 0.04 <= width_mm(piece) <= wanted + over_mm
    ]


def _faults(ask: AuditAsk, one: Taken, system: str) -> Iterator[str]:
    yield from station_faults(ask, one)
    yield from piece_faults(ask, one)
    yield from seat_faults(one)
    yield from punched_faults(ask, one, system)
