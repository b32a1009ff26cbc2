"""What to do meanwhile, cheapest first: from the shelf, then from the trade."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from crib.acts import Act, act
from crib.desk.answer.order_lines import OrderLine
from crib.desk.answer.rank import Candidate
from crib.desk.answer.search import Search
from crib.features.common.ask import Workaround
from crib.features.common.findings import refusals
from crib.features.common.piece_checks import AWAY

FETCH, OTHER_SEAT, ORDER, MACHINE = 5, 15, 80, 10
MOST_FROM_THE_SHELF = 4


def workarounds(
    search: Search, misses: Sequence[Candidate], order: Sequence[OrderLine]
) -> list[Workaround]:
    """Everything that would help, cheapest first, each said once."""
    shelf = {one.text: one for one in _from_the_shelf(search, misses)}
    found = sorted(shelf.values(), key=lambda one: one.cost_rank)[:MOST_FROM_THE_SHELF]
    found += search.answers.workarounds(_refused(misses))
    if order:
        found.append(Workaround("order what is missing (lines above), normal or rush", None, ORDER))
    found.sort(key=lambda one: one.cost_rank)
    return list({one.text: one for one in found}.values())


def _refused(misses: Sequence[Candidate]) -> frozenset[str]:
    """The rules that refuse the nearest miss, and those that refuse every one of them."""
    if not misses:
        return frozenset()
    always = frozenset.intersection(
        *(frozenset(finding.rule for finding in refusals(miss.findings)) for miss in misses)
    )
    return always | frozenset(finding.rule for finding in refusals(misses[0].findings))


def _from_the_shelf(search: Search, misses: Sequence[Candidate]) -> Iterator[Workaround]:
    for miss in misses:
        rules = {finding.rule for finding in refusals(miss.findings)}
        if rules <= {"place", "condition", "edge"} and not any(
            finding.final for finding in refusals(miss.findings)
        ):
            looks = tuple(_looks(miss))
            yield Workaround(f"{'; '.join(_steps(miss))}: it would serve", None, FETCH, looks)
        if rules == {"seat"}:
            yield from _seat_ways(miss)
        if rules == {"force"}:
            yield from _rating_ways(miss)


def _steps(one: Candidate) -> Iterator[str]:
    """What to do with the pieces of a set that only wants fetching, a look or a grind."""
    dull = any(finding.rule == "edge" for finding in refusals(one.findings))
    for tool in one.tools:
        if tool.place_sort in AWAY:
            yield f"fetch {tool.tag} from {tool.place}"
        if tool.condition == "inspect":
            yield f"inspect {tool.tag}, and if it is sound say so"
        if dull and tool.used >= 1:
            yield f"grind {tool.tag}"


def _looks(one: Candidate) -> Iterator[Act]:
    """How those that are to be inspected are said to be sound."""
    for tool in one.tools:
        if tool.condition == "inspect":
            yield act("look.inspected", tag=tool.tag)


def _rating_ways(one: Candidate) -> Iterator[Workaround]:
    """A force that nobody has entered can be read from a plate."""
    for finding in refusals(one.findings):
        if finding.limit is None:
            yield Workaround(finding.text, None, MACHINE)


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
