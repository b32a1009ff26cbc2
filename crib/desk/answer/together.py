"""Many asks looked up together: what each step of them wants is read for all of them at once.

Nothing is decided here. A step that is taken ahead is kept by its search, and what it could not
answer comes up again, in its turn, where the answer is asked for.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeVar

from crib.desk.answer.kind_match import kinds_ahead, record_ahead
from crib.desk.answer.near_misses import near_ahead
from crib.desk.answer.order_lines import specs_to_order
from crib.desk.answer.other_sites import beyond, from_elsewhere
from crib.desk.answer.rank import Candidate
from crib.desk.answer.search import Search
from crib.desk.answer.several_hits import MOST_AHEAD, pair_searches, planned
from crib.desk.answer.shelf_view import read_ahead
from crib.errors import CribError
from crib.features.common.ask import Need
from crib.features.common.findings import cautions
from crib.stock.queries.tooling_terms import NeedAsk

Part = TypeVar("Part")


def look_ahead(searches: Sequence[Search], *, misses: bool) -> None:
    """Take the steps of many searches of one shelf; with ``misses`` those to whole answers."""
    _candidates_ahead(searches)
    _candidates_ahead([far for one in searches for far in [_beyond(one)] if far is not None])
    unserved = [one for one in searches if not _made(Search.candidates, one)]
    _hits_ahead(unserved)
    if misses:
        missed = [one for one in unserved if not (_made(_in_hits, one) or _made(_from_afar, one))]
        _copies_ahead([one for one in searches if one not in missed])
        near_ahead(missed)
        offers_ahead(missed)


def offers_ahead(searches: Sequence[Search]) -> None:
    """Judge what could be ordered for many searches, and read which kinds are the same."""
    read_ahead([(one, need) for one in searches for need in _made(_needs, one)])
    record_ahead([one for one in searches if _made(_needs, one)])
    kinds_ahead([(one, spec) for one in searches for spec in _made(specs_to_order, one)])


def measured_ahead(searches: Sequence[Search]) -> None:
    """Read every measured piece that could serve many searches, whatever its wear."""
    wanted = [(NeedAsk(need, one.family), True) for one in searches for need in _made(_needs, one)]
    if wanted:
        searches[0].shelf.measured_ahead(wanted)


def _candidates_ahead(searches: Sequence[Search]) -> None:
    for one in searches:
        one.every_measured = False
    read_ahead([(one, need) for one in searches for need in _made(_needs, one)])
    unclean = [one for one in searches if not _is_clean(_made(Search.first_look, one))]
    for one in unclean:
        one.every_measured = True
    read_ahead([(one, need) for one in unclean for need in _made(_needs, one)])


def _hits_ahead(unserved: Sequence[Search]) -> None:
    smaller = [(one, need) for one in unserved for need in _made(_smaller_needs, one)]
    read_ahead(smaller, MOST_AHEAD)
    pairs = [pair for one in unserved for pair in _made(pair_searches, one)]
    read_ahead([(pair, need) for pair in pairs for need in _made(_needs, pair)])


def _copies_ahead(served: Sequence[Search]) -> None:
    """Other copies of the tools that a job of many parts may take."""
    wanted = {
        one.asked_of(tool.kind_id, tool.role)
        for one in served
        if one.case.facts.quantity > 1
        for pick in _made(Search.candidates, one) or _made(_in_hits, one)
        for tool in pick.tools
        if not tool.to_order
    }
    if wanted:
        served[0].shelf.usable.ahead(wanted)


def _needs(search: Search) -> Sequence[Need]:
    return search.needs


def _smaller_needs(search: Search) -> Sequence[Need]:
    return search.answers.several_hits.needs()


def _in_hits(search: Search) -> Sequence[Candidate]:
    return planned(search)[0]


def _from_afar(search: Search) -> Sequence[Candidate]:
    return from_elsewhere(search) if search.shelf.beyond is not None else ()


def _beyond(search: Search) -> Search | None:
    """The search of other sites, where one is made."""
    try:
        return search.once(beyond) if search.shelf.beyond is not None else None
    except CribError:
        return None


def _is_clean(picks: Sequence[Candidate]) -> bool:
    return any(not cautions(pick.findings) for pick in picks)


def _made(step: Callable[[Search], Sequence[Part]], search: Search) -> Sequence[Part]:
    """What a step makes of a search; nothing where it cannot be taken."""
    try:
        return step(search)
    except CribError:
        return ()
