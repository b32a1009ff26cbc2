"""What to do meanwhile, cheapest first: from the shelf, then from the trade."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from crib.desk.orders import OrderLine
from crib.desk.rank import Candidate
from crib.desk.search import Search
from crib.features.ask import Workaround
from crib.features.findings import refusals
from crib.features.piece_rules import AWAY

FETCH, OTHER_SEAT, ORDER, MACHINE = 5, 15, 80, 10


def workarounds(
    search: Search, misses: Sequence[Candidate], order: Sequence[OrderLine]
) -> list[Workaround]:
    """Everything that would help, cheapest first, each said once."""
    found = list(_from_the_shelf(search, misses))
    found += search.ask.workarounds(_refused(misses), search.rules, search.facts)
    if order:
        found.append(Workaround("order what is missing (lines above), normal or rush", None, ORDER))
    found.sort(key=lambda one: one.cost_rank)
    return list({one.text: one for one in found}.values())


def _refused(misses: Sequence[Candidate]) -> frozenset[str]:
    """The rules that refuse the nearest miss, and those that refuse every one of them."""
    if not misses:
        return frozenset()
    always = frozenset.intersection(
        *(frozenset(finding.rule for finding in refusals(one.findings)) for one in misses)
    )
    return always | frozenset(finding.rule for finding in refusals(misses[0].findings))


def _from_the_shelf(search: Search, misses: Sequence[Candidate]) -> Iterator[Workaround]:
    for one in misses:
        rules = {finding.rule for finding in refusals(one.findings)}
        if rules == {"place"}:
            for tool in one.tools:
                if tool.place_sort in AWAY:
                    text = f"fetch {tool.tag} from {tool.place}; it would serve"
                    yield Workaround(text, None, FETCH)
        if rules == {"condition"}:
            for tool in one.tools:
                if tool.condition == "inspect":
                    text = f"inspect {tool.tag}; if it is sound it would serve"
                    yield Workaround(text, None, FETCH)
        if rules == {"seat"}:
            yield from _seat_ways(one)
        if rules == {"force"} and one.figures.get("rated_kn") is None:
            text = f"enter the rated force of {one.tooling.station.label} from its plate"
            yield Workaround(text, None, MACHINE)


def _seat_ways(one: Candidate) -> Iterator[Workaround]:
    """An adapter would close the chain; it must be declared with its height and rating."""
    accepts = ", ".join(sorted(one.tooling.station.seats)) or "none"
    for tool in one.tools:
        if tool.seat and tool.seat.name not in one.tooling.station.seats:
            text = (
                f"an adapter from seat {tool.seat.name} to {accepts} for {tool.tag}, declared with"
                " its height and rating; or a station that accepts"
                f" seat {tool.seat.name} and the other piece in that seat"
            )
            yield Workaround(text, None, OTHER_SEAT)
