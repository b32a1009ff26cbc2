"""What to order when nothing serves: the fewest pieces that, with what is there, would.

The same rules that judge real tooling judge the tools one would order, so that no line is offered
that would be refused on arrival: a hole too thin to punch gets no order at all.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product
from typing import Any

from crib.desk.rank import Candidate
from crib.desk.search import Search
from crib.features.findings import cautions, refusals
from crib.features.tooling import Seat, Station, Tool
from crib.stock.candidates import kinds_for, measured_pieces, usable_pieces


@dataclass(frozen=True, slots=True)
class OrderLine:
    """One line to send to a supplier. ``kind`` is a kind of the crib that is the same, if any."""

    role: str
    quantity: int
    text: str
    because: str
    shape: str
    width_mm: float
    long_mm: float
    seat: str
    kind: str | None

    def as_json(self) -> dict[str, Any]:
        """The line for programs."""
        return {name: getattr(self, name) for name in self.__slots__}


def what_to_order(search: Search) -> tuple[list[OrderLine], str]:
    """The order lines of the best set that is not in the crib.

    Empty when no set would serve; then the text says what refuses the best of them.
    """
    offers = list(_offers(search))
    if not offers:
        return [], "no station and seat in service that a tool could be ordered for"
    best = min(offers, key=_offer_order)
    refused = refusals(best.findings)
    if refused:
        return [], "; ".join(dict.fromkeys(finding.text for finding in refused[:2]))
    lines = [_line(search, best, tool) for tool in best.tooling.tools.values() if tool.to_order]
    return lines, ""


def _offers(search: Search) -> Iterator[Candidate]:
    """Every set with something to order in it, judged."""
    for station in search.stations:
        for seat in _seats_of(search, station):
            for tools in _sets(search, seat):
                yield search.judged(tools, station)


def _seats_of(search: Search, station: Station) -> list[Seat]:
    reached = station.seats | {one.presents for one in search.adapters if one.fits in station.seats}
    return [search.seats[name] for name in sorted(reached) if name in search.seats]


def _sets(search: Search, seat: Seat) -> Iterator[dict[str, Tool]]:
    """Every mix of pieces at hand in a seat and tools to order, with at least one to order."""
    needs = search.needs
    at_hand = [_at_hand(search, seat, index) for index in range(len(needs))]
    for mix in product(*([*tools, None] for tools in at_hand)):
        if all(mix):
            continue
        chosen = {tool.role: tool for tool in mix if tool is not None}
        whole = dict(chosen)
        for need, tool in zip(needs, mix, strict=True):
            if tool is None:
                made = search.ask.ideal(seat, need.role, whole, search.rules, search.facts)
                if made is None:
                    break
                whole[need.role] = made
        else:
            yield {need.role: whole[need.role] for need in needs}


def _at_hand(search: Search, seat: Seat, index: int) -> list[Tool]:
    """One piece of each fitting design in a seat."""
    need = search.needs[index]
    family = search.ask.plate.material.family
    cards = [
        card for card in measured_pieces(search.session, need, family) if card.seat == seat.name
    ]
    for kind in kinds_for(search.session, need, [seat.name]):
        cards += usable_pieces(search.session, kind, family)[:1]
    return search.tools(cards)


def _offer_order(one: Candidate) -> tuple[int, int, int, int, float, str]:
    """Not refused, fewest to order, fewest cautions and adapters, light load, policy's gap."""
    ordered = sum(tool.to_order for tool in one.tools)
    return (
        len(refusals(one.findings)),
        ordered,
        len(cautions(one.findings)),
        len(one.tooling.adapters),
        round(one.figures.get("load", 1.0), 3) + one.closeness_mm,
        one.tooling.station.label,
    )


def _line(search: Search, best: Candidate, tool: Tool) -> OrderLine:
    text = search.ask.order_text(tool, 1, best.tooling, search.rules, search.facts)
    return OrderLine(
        role=tool.role,
        quantity=1,
        text=text,
        because=_because(best, tool),
        shape=tool.shape,
        width_mm=tool.width_mm,
        long_mm=tool.long_mm,
        seat=tool.seat.name if tool.seat else "",
        kind=_same_kind(search, tool),
    )


def _because(best: Candidate, tool: Tool) -> str:
    beside = [one.tag for one in best.tools if not one.to_order]
    with_them = f" with {', '.join(beside)}" if beside else ""
    return (
        f"no {tool.role} at hand serves; this one{with_them} would, in {best.tooling.station.label}"
    )


def _same_kind(search: Search, tool: Tool) -> str | None:
    tolerance_mm = search.rules.number("size.tolerance_mm")
    found = search.session.row(
        "SELECT kind.name FROM kind JOIN seat ON seat.id = kind.seat_id WHERE kind.role = ?"
        " AND kind.shape = ? AND abs(kind.width_mm - ?) <= ?"
        " AND abs(coalesce(kind.long_mm, kind.width_mm) - ?) <= ? AND seat.name = ?",
        (
            tool.role,
            tool.shape,
            tool.width_mm,
            tolerance_mm,
            tool.long_mm,
            tolerance_mm,
            tool.seat.name if tool.seat else "",
        ),
    )
    return None if found is None else str(found[0])
