"""What was asked for and could not be served: the tools that were missing, bought as a set."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta

from crib.acts import Fact, Said, act, fact, saying
from crib.desk.answer.kind_match import is_served, serves_as_well
from crib.desk.answer.order_lines import ways_to_order
from crib.desk.answer.search import Search
from crib.desk.answer.together import measured_ahead, offers_ahead
from crib.desk.answer.wants import MissedTool, read_missing
from crib.desk.buying.drafts import REPEATED_JOBS, Board, Draft, Serves, Wish
from crib.desk.buying.missed_specs import as_of_today, too_small, whole_set
from crib.desk.buying.worth import job_saving
from crib.errors import BadInput, Missing
from crib.features.common.ask import Ask, Need
from crib.features.common.case import Circumstances
from crib.features.common.plate_phrase import Reading
from crib.features.common.tool_match import is_listed
from crib.features.common.tool_spec import ONE_SIZE, ToolSpec
from crib.features.registry import read_phrase
from crib.stock.queries.demand import WantRow
from crib.trade.money.evidence import claim_a_year

MOST_LOOKED_AT, MOST_WAYS = 40, 4
"""Wants for which other sets of tools are looked for, and sets of each."""

_YEAR = timedelta(days=365)
_BACK_AFTER = timedelta(days=30)
"""An ask of one job that is repeated sooner is the same want still."""

Way = list[tuple[Draft, MissedTool]]
"""What one set of tools lacks for a want."""


@dataclass(slots=True)
class WantedBoard:
    """The board with what its wants are looked up in; one reading of a sort of station for all."""

    board: Board
    searches: dict[tuple[Ask, int], Search] = field(default_factory=dict)

    def search(self, ask: Ask, quantity: int) -> Search:
        """The shelf as an ask sees it."""
        if (ask, quantity) not in self.searches:
            shop, kinds = self.board.shop, self.board.kinds_of_size
            answers = ask.answers(shop.rules, Circumstances(quantity=quantity))
            self.searches[ask, quantity] = Search(shop.shelf, answers, kinds_at_hand=kinds)
        return self.searches[ask, quantity]

    def look_ahead(self, wants: Sequence[WantRow]) -> None:
        """Read what is looked up of wants, and of some in every way, for all of them at once."""
        searches = {
            id(want): self.search(ask, want.quantity)
            for want in self.board.shop.wants
            if read_missing(want.missing) and (ask := _read_ask(self.board, want)) is not None
        }
        measured_ahead(list(searches.values()))
        offers_ahead([searches[id(want)] for want in wants if id(want) in searches])


def add_wants(board: Board) -> list[Said]:
    """Put every open want on the board. Returns what is to be said of wants that need nothing."""
    notes: list[Said] = []
    shelf = WantedBoard(board)
    weightiest = _weightiest(board.shop.wants)
    shelf.look_ahead(weightiest)
    look_at = {id(one) for one in weightiest}
    for want in board.shop.wants:
        note = _add(shelf, want, id(want) in look_at)
        if note:
            job = f" of job {want.job}" if want.job else ""
            notes.append(saying(f"want {want.ask!r}{job}: ", note))
    _claim(board)
    return notes


def _claim(board: Board) -> None:
    """Say how much of what each want saves is claimed for a year, by how often it came back."""
    shop = board.shop
    wishes = {id(wish): wish for draft in board.drafts for wish in draft.wishes if wish.fresh}
    for wish in wishes.values():
        wish.times = _times(board, wish)
        wish.claim = claim_a_year(
            wish.times,
            shop.observed_days,
            REPEATED_JOBS,
            shop.rules.number("buy.rate_days"),
            shop.rules.number("buy.most_years"),
        )


def _times(board: Board, wish: Wish) -> int:
    """How many jobs lack one of its tools, and whether it was asked again weeks later."""
    drafts = (board.drafts[index] for way in wish.ways for index in way)
    every = [other.want for draft in drafts for other in draft.wishes if other.fresh]
    return len({want.job for want in every}) + any(map(_came_back, every))


def _came_back(want: WantRow) -> bool:
    first, last = (date.fromisoformat(at[:10]) for at in (want.first_at, want.last_at))
    return last - first >= _BACK_AFTER


def _weightiest(wants: Sequence[WantRow]) -> list[WantRow]:
    """The wants for which other sets of tools are looked for: those of the most features."""
    return sorted(wants, key=lambda want: -want.quantity)[:MOST_LOOKED_AT]


def _add(shelf: WantedBoard, want: WantRow, look: bool) -> Said:
    kept = read_missing(want.missing)
    if kept is None:
        return saying("what was missing is not on record; ask again with ", act("find"))
    if not kept:
        return saying("no tool was on record for it; ask again with ", act("find"))
    ask = _read_ask(shelf.board, want)
    missing, ways = _ways(shelf, want, kept, ask, look)
    if any(too_small(one.spec) for one in missing):
        text = "the die on record is not bigger than the hole's punch; ask again with "
        return saying(text, act("find"))
    if not all(ways):
        text = "what it needs is in the crib or on order by now"
        strike = act("wants.strike", wants=(str(want.id),), why=None)
        return text if want.planned else saying(text, "; ", strike)
    _want(shelf.board, want, ways, ask)
    return ""


def _ways(
    shelf: WantedBoard, want: WantRow, kept: Sequence[MissedTool], ask: Ask | None, look: bool
) -> tuple[list[MissedTool], list[Way]]:
    """What a want lacks as it would be ordered today, and every set of tools that would serve."""
    search = shelf.search(ask, want.quantity) if ask else None
    board = shelf.board
    try:
        missing = [as_of_today(board, one, search, len(kept)) for one in kept]
        if any(too_small(one.spec) for one in missing):
            return missing, []
        if search is not None and _is_there(board, search):
            return missing, [[]]
        ways = [_lacking(board, whole_set(board, search, missing), search)]
        if ways[0] and search is not None and look:
            ways += _other_ways(board, search, ways[0])
    except Missing:
        # It was judged by a certificate, which no want keeps: by the tools alone then.
        return _ways(shelf, want, kept, None, look)
    return missing, ways


def _is_there(board: Board, search: Search) -> bool:
    """Whether some set of kinds that are there or on their way serves, of whatever seat."""
    kinds = [_kinds_there(board, need) for need in search.needs]
    return bool(kinds) and all(kinds) and is_served(search, kinds)


def _kinds_there(board: Board, need: Need) -> list[ToolSpec]:
    """The kinds that could serve by their size, of which there is or comes something."""
    widths_mm = (need.least_width_mm, need.most_width_mm)
    near = board.shop.index.within(need.role, need.shape, *widths_mm)
    specs = [one.kind.spec for one in near if one.have]
    return [spec for spec in specs if _is_in_range(spec, need)]


def _is_in_range(spec: ToolSpec, need: Need) -> bool:
    long_mm = spec.long_mm or spec.width_mm or 0.0
    long_enough = spec.shape in ONE_SIZE or need.least_long_mm <= long_mm <= need.most_long_mm
    return spec.profile == need.profile and long_enough


def _lacking(board: Board, missing: Sequence[MissedTool], search: Search | None) -> Way:
    """The drafts of what is neither there nor on its way."""
    drafts = [board.of_tool(one.spec, one.kind, _serving(search, one.spec)) for one in missing]
    return [
        (draft, one)
        for draft, one in zip(drafts, missing, strict=True)
        if draft.have < one.spec.quantity
    ]


def _serving(search: Search | None, wanted: ToolSpec) -> Serves:
    """Whether a tool serves as what is wanted would; by the lists alone where no ask is known."""
    if search is None:
        return lambda made: is_listed(made, wanted)
    return lambda made: serves_as_well(search, made, wanted)


def _other_ways(board: Board, search: Search, first: Way) -> Iterator[Way]:
    """What other sets of tools that would serve lack, such as a pair of another seat."""
    seen = [{draft.index for draft, _one in first}]
    for lines in ways_to_order(search, MOST_WAYS):
        missing = [MissedTool(board.seated(line.spec), line.kind) for line in lines]
        way = _lacking(board, missing, search)
        indexes = {draft.index for draft, _one in way}
        if indexes not in seen:
            seen.append(indexes)
            yield way


def _read_ask(board: Board, want: WantRow) -> Ask | None:
    try:
        return read_phrase(want.ask, Reading(board.shop.rules))
    except BadInput:
        return None


def _want(board: Board, want: WantRow, ways: Sequence[Way], ask: Ask | None) -> None:
    """Put what a want lacks on the board, to be bought together, one way or another."""
    fresh = want.last_at[:10] >= (board.shop.today - _YEAR).isoformat()
    for draft, one in (pair for way in ways for pair in way):
        draft.lot = max(draft.lot, one.spec.quantity - draft.have)
        draft.target = max(draft.target, one.spec.quantity)
        draft.spec = _thicker(draft.spec, ask)
    spec = ways[0][0][1].spec
    work = ask.work if ask else "punch"
    shape = str(ask.as_json().get("shape", spec.shape)) if ask else spec.shape
    saving = job_saving(board.shop, work, shape, want.quantity)
    indexes, *others = (frozenset(draft.index for draft, _one in way) for way in ways)
    board.wish(Wish(want, fresh, saving, _reason(want, fresh), indexes, tuple(others)))


def _thicker(spec: ToolSpec, ask: Ask | None) -> ToolSpec:
    """The spec for the thickest plate that anybody asked it for."""
    if ask is None or ask.plate.thickness_mm <= (spec.for_thickness_mm or 0.0):
        return spec
    return replace(
        spec, for_thickness_mm=ask.plate.thickness_mm, for_material=ask.plate.material.name
    )


def _reason(want: WantRow, fresh: bool) -> Fact:
    return fact(
        "buy.wanted",
        ask=want.ask,
        planned=want.planned,
        quantity=want.quantity,
        job=want.job,
        times_asked=want.times_asked,
        last_asked="" if fresh else want.last_at[:10],
        with_other_tools=False,
    )
