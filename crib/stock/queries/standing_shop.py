"""What stands in the shop whatever is asked: seats, stations, adapters, what is mounted."""

from __future__ import annotations

from functools import cached_property

from crib.features.common.tooling import Adapter, EnvelopeRow, Seat, Station
from crib.stock.engine.engine import Row
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import PieceCard, card
from crib.stock.queries.places import mounted_anywhere
from crib.stock.queries.stations import (
    AdapterRow,
    Envelopes,
    adapters_of,
    all_adapters,
    all_envelopes,
    all_stations,
    seats_by_name,
)


class StandingShop:
    """Read once, each when it is wanted first; true for as long as nobody writes in the crib.

    It grows with the shop's stations and proven limits, not with what is asked. Stations and
    adapters are those of ``here``, which may see one site of many.
    """

    def __init__(self, session: Session, here: Session | None = None) -> None:
        self.session = session
        self.here = here or session
        self._adapters: dict[str, tuple[Adapter, ...]] = {}
        self._mounted_cards: dict[tuple[str, str, str], list[PieceCard]] = {}

    @cached_property
    def seats(self) -> dict[str, Seat]:
        """Every seat, by its name."""
        return seats_by_name(self.session)

    def stations(self, work: str) -> list[Station]:
        """The stations in service that do a sort of work."""
        return [
            station for station in self._stations if station.work == work and station.in_service
        ]

    def adapters(self, family: str) -> tuple[Adapter, ...]:
        """The adapters at hand for a family of materials."""
        if family not in self._adapters:
            self._adapters[family] = adapters_of(self._adapter_rows, self.seats, family)
        return self._adapters[family]

    def envelope(self, kind_id: int) -> list[EnvelopeRow]:
        """What a kind is proven for."""
        return self.envelopes.of_kind.get(kind_id, [])

    def standing(self, role: str, profile: str) -> list[PieceCard]:
        """The pieces of a role and profile that stand at a station, such as the blades of a shear.

        A broken or locked one too, since it is the one that would cut.
        """
        return [
            piece
            for shape in self._mounted.get((role, profile), {})
            for piece in self.mounted(role, profile, shape)
        ]

    def mounted(self, role: str, profile: str, shape: str) -> list[PieceCard]:
        """Cards are made only of what is asked for: most of what stands mounted never is."""
        if (role, profile, shape) not in self._mounted_cards:
            rows = self._mounted.get((role, profile), {}).get(shape, ())
            self._mounted_cards[role, profile, shape] = [card(row) for row in rows]
        return self._mounted_cards[role, profile, shape]

    @cached_property
    def envelopes(self) -> Envelopes:
        """What kinds and stations are proven for."""
        return all_envelopes(self.session)

    @cached_property
    def _stations(self) -> list[Station]:
        here = self.here
        with self.session.ahead(
            lambda: self._adapter_rows,
            lambda: all_stations(here, Envelopes({}, {}), []),
            lambda: self.seats,
        ):
            found = all_stations(here, self.envelopes, self._adapter_rows)
            # Every ask wants them once it has kinds; here they come without a trip of their own.
            if self.session.engine.is_far:
                _ = self.seats
        return found

    @cached_property
    def _adapter_rows(self) -> list[AdapterRow]:
        return all_adapters(self.here)

    @cached_property
    def _mounted(self) -> dict[tuple[str, str], dict[str, list[Row]]]:
        mounted: dict[tuple[str, str], dict[str, list[Row]]] = {}
        for row in mounted_anywhere(self.session):
            of_role = mounted.setdefault((row["role"], row["profile"]), {})
            of_role.setdefault(row["shape"], []).append(row)
        return mounted
