"""What to order when nothing serves: the fewest pieces that, with what is there, would.

The same rules that judge real tooling judge the tools one would order, so that no line is offered
that would be refused on arrival: a hole too thin to punch gets no order at all. A die that is on
record is tried beside one of the policy's very size, and where it serves as well it comes first.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Hashable, Iterator
from dataclasses import dataclass
from functools import cache, partial
from itertools import islice, product
from typing import Any

from crib.desk.answer.kind_match import BANDED, kinds_ahead, same_kind, widths_on_record
from crib.desk.answer.rank import Candidate
from crib.desk.answer.search import Search
from crib.features.common.ask import Need
from crib.features.common.findings import Finding, cautions, refusals
from crib.features.common.order_text import order_text
from crib.features.common.tool_spec import ToolSpec, spec_of_tool, tool_of_spec
from crib.features.common.tooling import Seat, Station, Tool, is_mixed

MOST_AT_HAND, MOST_DESIGNS = 6, 40
"""Sizes of a role in one seat that an order line is tried beside; designs that are looked at."""

MOST_ON_RECORD = 2
"""Kinds of die on record that are tried in each seat, those nearest to the policy's size."""


SameKind = Callable[[ToolSpec], str | None]
"""Names the kind of the crib that does as a specification says, if there is one."""


_NO_STATION = "no station and seat in service that a tool could be ordered for"


@dataclass(frozen=True, slots=True)
class OrderLine:
    """One line to send to a supplier. ``kind`` is a kind of the crib that is the same, if any."""

    spec: ToolSpec
    text: str
    because: str
    kind: str | None

    def as_json(self) -> dict[str, Any]:
        """The line for programs."""
        spec = self.spec
        return {
            "role": spec.role,
            "quantity": spec.quantity,
            "text": self.text,
            "because": self.because,
            "shape": spec.shape,
            "width_mm": spec.width_mm,
            "long_mm": spec.long_mm,
            "seat": spec.seat_name,
            "kind": self.kind,
            "specification": spec.as_json(),
        }


def what_to_order(search: Search) -> tuple[list[OrderLine], tuple[Finding, ...]]:
    """The order lines of the best set that is not in the crib.

    Empty when no set would serve; then beside it stands what refuses the best of them.
    """
    if not search.needs:
        return [], ()
    offers = offers_of(search)
    if not offers:
        return [], (Finding("station", "refuse", _NO_STATION),)
    kinds = _kinds(search)
    best = min(offers, key=lambda offer: _offer_order(kinds, offer))
    refused = refusals(best.findings)
    if refused:
        return [], tuple({finding.text: finding for finding in refused[:2]}.values())
    lines = [_line(search, best, tool, kinds) for tool in best.tools if tool.to_order]
    return lines, ()


def ways_to_order(search: Search, most: int) -> list[list[OrderLine]]:
    """The order lines of the best sets that would serve, none of which orders all of another."""
    offers = [one for one in offers_of(search) if not refusals(one.findings)]
    kinds = _kinds(search)
    found: list[list[OrderLine]] = []
    seen: list[frozenset[Hashable]] = []
    for offer in sorted(offers, key=lambda offer: _offer_order(kinds, offer)):
        ordered = [tool for tool in offer.tools if tool.to_order]
        tools = frozenset[Hashable](
            (tool.role, tool.seat, round(tool.width_mm, 2), round(tool.long_mm, 2))
            for tool in ordered
        )
        if not any(less <= tools for less in seen):
            seen.append(tools)
            found.append([_line(search, offer, tool, kinds) for tool in ordered])
        if len(found) == most:
            break
    return found


def offers_of(search: Search) -> list[Candidate]:
    """Every set with something to order in it, judged."""
    return search.once(_judged_offers)


def _judged_offers(search: Search) -> list[Candidate]:
    return list(_offers(search)) if search.needs else []


def specs_to_order(search: Search) -> list[ToolSpec]:
    """The tools that the offers which no rule refuses would order, each once."""
    tools = {
        tool: None
        for one in offers_of(search)
        if not refusals(one.findings)
        for tool in one.tools
        if tool.to_order
    }
    return list(dict.fromkeys(spec_of_tool(tool) for tool in tools))


def _offers(search: Search) -> Iterator[Candidate]:
    at_hand = {need.role: _at_hand(search, need) for need in search.needs}
    on_record = {need.role: _on_record(search, need) for need in search.needs}
    for station in search.stations:
        seats = _seats_of(search, station)
        known = {
            role: [*some, *(tool for tool in on_record[role] if tool.seat in seats)]
            for role, some in at_hand.items()
        }
        for tools in _sets(search, seats, known):
            yield search.judged(tools, station)


def _seats_of(search: Search, station: Station) -> list[Seat]:
    reached = station.seats | {
        adapter.presents for adapter in search.adapters if adapter.fits in station.seats
    }
    return [search.seats[name] for name in sorted(reached) if name in search.seats]


def _sets(
    search: Search, seats: list[Seat], known: dict[str, list[Tool]]
) -> Iterator[dict[str, Tool]]:
    """Every mix of tools that are known and seats to order a tool for, with one to order."""
    needs = search.needs
    choices: list[list[Tool | Seat]] = [
        [*(tool for tool in known[need.role] if tool.seat in seats), *seats] for need in needs
    ]
    for mix in product(*choices):
        if all(isinstance(one, Tool) and not one.to_order for one in mix):
            continue
        roles = dict(zip((need.role for need in needs), mix, strict=True))
        whole = {role: one for role, one in roles.items() if isinstance(one, Tool)}
        for role, seat in roles.items():
            if isinstance(seat, Seat):
                made = search.answers.ideal(seat, role, whole)
                if made is None:
                    break
                whole[role] = made
        else:
            # An order never makes a stack of two seats: it would stay a caution for good.
            if not is_mixed(whole):
                yield {need.role: whole[need.role] for need in needs}


def _at_hand(search: Search, need: Need) -> list[Tool]:
    """One piece of each fitting size in each seat, those nearest to the policy."""
    found: dict[tuple[Any, ...], Tool] = {}
    of_seat: Counter[str] = Counter()
    for group in islice(search.groups(need), MOST_DESIGNS):
        tool = group[0]
        seat = tool.seat.name if tool.seat else ""
        size = (seat, round(tool.width_mm, 2), round(tool.long_mm, 2), tool.key_angles)
        if size not in found and of_seat[seat] < MOST_AT_HAND:
            of_seat[seat] += 1
            found[size] = tool
    return list(found.values())


def _on_record(search: Search, need: Need) -> list[Tool]:
    """The dies on record that could serve, some of each seat; other roles must be of one size."""
    if need.role not in BANDED:
        return []
    found: list[Tool] = []
    of_seat: Counter[str] = Counter()
    kinds = search.kinds_of_size(ToolSpec(need.role, shape=need.shape), widths_on_record(need))
    for kind in sorted(kinds, key=lambda kind: _off_aim(kind.spec, need)):
        seat = search.seats.get(kind.spec.seat_name)
        if seat is not None and of_seat[seat.name] < MOST_ON_RECORD:
            of_seat[seat.name] += 1
            found.append(tool_of_spec(kind.spec, seat))
    return found


def _off_aim(spec: ToolSpec, need: Need) -> float:
    return abs((spec.width_mm or 0.0) - need.aim_width_mm)


def _kinds(search: Search) -> SameKind:
    """The kind that is the same as a tool to order, looked up once for each."""
    kinds_ahead([(search, spec) for spec in specs_to_order(search)])
    return cache(partial(same_kind, search))


def _offer_order(
    kinds: SameKind, one: Candidate
) -> tuple[int, int, int, int, int, int, float, str]:
    """Not refused, fewest to order, cautions, new kinds, adapters and seats, light load."""
    ordered = [tool for tool in one.tools if tool.to_order]
    refused = len(refusals(one.findings))
    return (
        refused,
        len(ordered),
        len(cautions(one.findings)),
        0 if refused else sum(kinds(spec_of_tool(tool)) is None for tool in ordered),
        len(one.tooling.adapters),
        len({tool.seat for tool in one.tools}),
        round(one.figures.get("load", 1.0), 3) + one.closeness_mm,
        one.tooling.station.label,
    )


def _line(search: Search, best: Candidate, tool: Tool, kinds: SameKind) -> OrderLine:
    spec = search.answers.order_spec(tool, best.tooling)
    text = order_text(spec, search.case.say)
    return OrderLine(spec, text, _because(best, tool), kinds(spec_of_tool(tool)))


def _because(best: Candidate, tool: Tool) -> str:
    beside = [one.tag for one in best.tools if not one.to_order]
    with_them = f" with {', '.join(beside)}" if beside else ""
    heavy = [one.text for one in cautions(best.findings) if one.rule == "force"]
    load = f", {heavy[0]}: a caution" if heavy else f", in {best.tooling.station.label}"
    return f"no {tool.role} at hand serves; this one{with_them} would{load}"
