"""What no question can reach, and why: tools that nothing asks for, lists that nothing reads."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from crib.acts import Fact, fact
from crib.desk.common.kept_for import families
from crib.features.common.asked_tool import (
    ADAPTERS,
    AskedTool,
    asked_as,
    why_not_asked,
    why_refused,
)
from crib.features.common.operations import OPERATION_WORK
from crib.features.common.tool_spec import ToolSpec
from crib.features.common.tooling import SIDE_OF_ROLE, Station
from crib.features.registry import asked_tools
from crib.stock.engine.session import Session
from crib.stock.queries.kind_specs import all_kind_specs
from crib.stock.queries.reachable import ListOf, PieceThere, lists_there, pieces_there
from crib.stock.queries.stations import AdapterRow, Envelopes, all_adapters, all_stations


@dataclass(frozen=True, slots=True)
class Unreached:
    """Tags, or the owners of lists, that no question can reach, and the one reason."""

    reason: Fact
    what: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Shop:
    stations: list[Station]
    adapters: list[AdapterRow]
    asked: tuple[AskedTool, ...]

    def doing(self, work: str) -> list[Station]:
        """The stations in service that do a sort of work."""
        return [one for one in self.stations if one.in_service and one.work == work]

    def seats(self, stations: list[Station], side: str) -> set[str]:
        """The seats that some stations take, themselves or through an adapter for a role."""
        direct = {seat for station in stations for seat in station.seats}
        joined = [one for one in self.adapters if one.role == side and one.fits in direct]
        return direct | {one.presents for one in joined if one.presents}


def unreached(session: Session) -> tuple[Unreached, ...]:
    """Every piece that no question can reach, and every list, by reason. Reads only."""
    adapters = all_adapters(session)
    shop = _Shop(all_stations(session, Envelopes({}, {}), adapters), adapters, asked_tools())
    specs = {kind.id: kind.spec for kind in all_kind_specs(session)}
    of_kind = {key: tuple(_why_kind(spec, shop)) for key, spec in specs.items()}
    found: dict[Fact, list[str]] = {}
    for piece in pieces_there(session):
        spec = specs[piece.kind_id]
        for reason in (*of_kind[piece.kind_id], *_why_piece(piece, spec, shop)):
            found.setdefault(reason, []).append(piece.tag)
    for listed in lists_there(session):
        for reason in _why_list(listed):
            found.setdefault(reason, []).append(listed.owner)
    return tuple(Unreached(reason, tuple(what)) for reason, what in found.items())


def _why_kind(spec: ToolSpec, shop: _Shop) -> Iterator[Fact]:
    design = list(why_not_asked(spec, shop.asked))
    yield from design
    if design:
        return
    if spec.role in ADAPTERS:
        yield from _why_adapter(spec, shop)
        return
    sort = asked_as(spec, shop.asked)
    if sort is not None:
        yield from why_refused(spec, sort)
        yield from _why_station(spec, sort, shop)


def _why_adapter(spec: ToolSpec, shop: _Shop) -> Iterator[Fact]:
    if spec.seat_name not in shop.seats([one for one in shop.stations if one.in_service], ""):
        yield fact("reach.adapter-fits", seat=spec.seat_name)
    if spec.rated_force_n is None:
        yield fact("reach.figures", lacking=("rated_force_n",))


def _why_station(spec: ToolSpec, sort: AskedTool, shop: _Shop) -> Iterator[Fact]:
    stations = shop.doing(sort.work)
    if not stations:
        yield fact("reach.no-station", work=sort.work)
    elif not sort.mounted:
        side = SIDE_OF_ROLE.get(spec.role, "")
        if spec.seat_name not in shop.seats(stations, side):
            yield fact("reach.no-seat", seat=spec.seat_name, work=sort.work)


def _why_piece(piece: PieceThere, spec: ToolSpec, shop: _Shop) -> Iterator[Fact]:
    if piece.dedicated_to and piece.dedicated_to not in families():
        yield fact("reach.kept-for", material=piece.dedicated_to, known=families())
    sort = asked_as(spec, shop.asked)
    if sort is not None and sort.mounted and piece.stands_at != sort.work:
        yield fact("reach.not-mounted", work=sort.work)


def _why_list(listed: ListOf) -> Iterator[Fact]:
    work = OPERATION_WORK.get(listed.operation)
    if work is None:
        known = tuple(OPERATION_WORK)
        yield fact("reach.operation", operation=listed.operation, known=known)
    elif listed.does and listed.does != work:
        yield fact("reach.other-work", operation=listed.operation, does=listed.does)
