"""What was asked for and could not be served: the tools that were missing, bought as a set."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import Any

from crib.desk.answer.order_lines import ways_to_order
from crib.desk.answer.search import Search
from crib.desk.buying.drafts import Board, Draft, Wish
from crib.desk.buying.kind_figures import Figures
from crib.desk.buying.worth import job_saving
from crib.errors import BadInput
from crib.features.common.ask import Ask, Need
from crib.features.common.case import Circumstances
from crib.features.common.order_text import OrderSpec
from crib.features.common.plate_phrase import Reading
from crib.features.common.tooling import Tool
from crib.features.registry import read_phrase
from crib.stock.engine.session import Session
from crib.stock.queries.candidates import measured_pieces
from crib.stock.queries.demand import WantRow
from crib.stock.tables.words import ROLES
from crib.trade.common.verdicts import exceeds
from crib.units import MOST_LENGTH_MM

MOST_LOOKED_AT, MOST_WAYS = 40, 4
"""Wants for which other sets of tools are looked for, and sets of each."""

_YEAR = timedelta(days=365)


@dataclass(frozen=True, slots=True)
class Missing:
    """One tool of a want: what it is, how many, and the kind's name when there is one."""

    spec: OrderSpec
    quantity: int
    kind: str | None


Way = list[tuple[Draft, Missing]]
"""What one set of tools lacks for a want."""


def add_wants(session: Session, board: Board) -> list[str]:
    """Put every open want on the board. Returns what is to be said of wants that need nothing."""
    notes: list[str] = []
    look_at = {id(one) for one in _weightiest(board.shop.wants)}
    for want in board.shop.wants:
        note = _add(session, board, want, id(want) in look_at)
        if note:
            notes.append(f"want {want.ask!r}{f' of job {want.job}' if want.job else ''}: {note}")
    return notes


def _weightiest(wants: Sequence[WantRow]) -> list[WantRow]:
    """The wants for which other sets of tools are looked for: those of the most features."""
    return sorted(wants, key=lambda one: -one.quantity)[:MOST_LOOKED_AT]


def _add(session: Session, board: Board, want: WantRow, look: bool) -> str:
    rows = _rows(want.missing)
    if rows is None:
        return "what was missing is not on record; ask again with `crib find`"
    if not rows:
        return "no tool was found that would serve it; nothing to buy"
    ask = _read_ask(board, want)
    missing = [_missing(board, row, ask) for row in rows]
    if any(_too_small(one.spec) for one in missing):
        return "the die on record is not bigger than the hole's punch; ask again with `crib find`"
    missing = _whole_set(session, board, want, ask, missing)
    ways = [_lacking(board, missing)]
    if ways[0] and ask is not None and look:
        ways += _other_ways(session, board, want, ask, ways[0])
    if not all(ways):
        return "what it needs is in the crib or on order by now"
    _want(board, want, ways, ask)
    return ""


def _lacking(board: Board, missing: Sequence[Missing]) -> Way:
    """The drafts of what is neither there nor on its way."""
    drafts = [board.of_tool(one.spec, one.kind) for one in missing]
    return [
        (draft, one)
        for draft, one in zip(drafts, missing, strict=True)
        if draft.have < one.quantity
    ]


def _other_ways(
    session: Session, board: Board, want: WantRow, ask: Ask, first: Way
) -> Iterator[Way]:
    """What other sets of tools that would serve lack, such as a pair of another seat."""
    facts = Circumstances(quantity=want.quantity)
    search = Search(session, ask.answers(board.shop.rules, facts))
    seen = [{draft.place for draft, _one in first}]
    for lines in ways_to_order(search, MOST_WAYS):
        missing = [_missing(board, line.as_json(), ask) for line in lines]
        way = _lacking(board, missing)
        places = {draft.place for draft, _one in way}
        if places not in seen:
            seen.append(places)
            yield way


def _rows(text: str) -> list[dict[str, Any]] | None:
    """The tools that were missing; None when that cannot be read."""
    try:
        rows = json.loads(text or "null")
    except ValueError:
        return None
    if not isinstance(rows, list):
        return None
    return rows if all(_is_tool(row) for row in rows) else None


def _is_tool(row: Any) -> bool:
    return (
        isinstance(row, dict)
        and row.get("role") in ROLES
        and (_is_size(row.get("width_mm")) or _sizeless(row))
        and (row.get("long_mm") is None or _is_size(row["long_mm"]))
        and isinstance(row.get("quantity", 1), int)
        and all(isinstance(row.get(name, ""), str) for name in ("shape", "seat", "text"))
        and isinstance(row.get("kind"), str | None)
    )


def _sizeless(row: dict[str, Any]) -> bool:
    """A blade or a set may have no size of its own; a punch or a die must."""
    return row.get("width_mm") is None and row["role"] not in ("punch", "die")


def _is_size(value: Any) -> bool:
    return isinstance(value, int | float) and 0 < value <= MOST_LENGTH_MM


def _read_ask(board: Board, want: WantRow) -> Ask | None:
    try:
        return read_phrase(want.ask, Reading(board.shop.rules))
    except BadInput:
        return None


def _missing(board: Board, row: dict[str, Any], ask: Ask | None) -> Missing:
    spec = board.spec_for(row["role"], row.get("shape", ""), row.get("seat", ""))
    seat = board.shop.seats.get(spec.seat_name)
    length_mm = None
    if seat is not None and spec.role in ("punch", "die"):
        length_mm = seat.punch_length_mm if spec.role == "punch" else seat.die_height_mm
    spec = replace(
        spec,
        width_mm=row.get("width_mm"),
        long_mm=row.get("long_mm"),
        length_mm=length_mm,
        key_angles=tuple(int(angle) for angle in re.findall("([0-9]+)°", row.get("text", ""))),
    )
    return Missing(_for_ask(spec, ask), max(row.get("quantity", 1), 1), row.get("kind"))


def _for_ask(spec: OrderSpec, ask: Ask | None) -> OrderSpec:
    """The plate a tool is for and, for a die, the punch of the hole's size."""
    if ask is None:
        return spec
    said = ask.as_json()
    punch_mm = said.get("size_mm") if spec.role == "die" else None
    return replace(
        spec,
        for_thickness_mm=ask.plate.thickness_mm,
        for_material=ask.plate.material.name,
        punch_width_mm=punch_mm,
        punch_long_mm=said.get("length_mm", punch_mm) if punch_mm else None,
    )


def _too_small(spec: OrderSpec) -> bool:
    if spec.width_mm is None or spec.punch_width_mm is None:
        return False
    across = exceeds(spec.width_mm, spec.punch_width_mm)
    long_mm = spec.long_mm or spec.width_mm
    return not (across and exceeds(long_mm, spec.punch_long_mm or spec.punch_width_mm))


def _whole_set(
    session: Session, board: Board, want: WantRow, ask: Ask | None, missing: list[Missing]
) -> list[Missing]:
    """The missing tools with the punch or die that went since: half a pair punches nothing."""
    pair = [one for one in missing if one.spec.role in ("punch", "die")]
    if ask is None or len(pair) != 1 or len(missing) != 1:
        return missing
    (lone,) = pair
    facts = Circumstances(quantity=want.quantity)
    for need in ask.answers(board.shop.rules, facts).needs():
        if need.role in ("punch", "die") and need.role != lone.spec.role:
            partner = _partner(session, board, ask, need, lone)
            return [*missing, partner] if partner else missing
    return missing


def _partner(session: Session, board: Board, ask: Ask, need: Need, lone: Missing) -> Missing | None:
    """The other half of a pair as it would be ordered; None when the crib has one that suits."""
    near = board.shop.index.within(need.role, need.shape, need.least_width_mm, need.most_width_mm)
    if any(_suits(one, need, lone.spec) for one in near):
        return None
    family = ask.plate.material.family
    measured = measured_pieces(session, need, family)
    if any(card.seat == lone.spec.seat_name for card in measured):
        return None
    seat = board.shop.seats.get(lone.spec.seat_name)
    if seat is None:
        return None
    beside = {lone.spec.role: _tool(lone.spec)}
    answers = ask.answers(board.shop.rules, Circumstances())
    tool = answers.ideal(seat, need.role, beside)
    if tool is None:
        return None
    spec = board.spec_for(tool.role, tool.shape, seat.name)
    made = replace(
        spec,
        width_mm=tool.width_mm,
        long_mm=tool.long_mm,
        key_angles=tool.key_angles,
        length_mm=tool.length_mm,
    )
    return Missing(_for_ask(made, ask), 1, None)


def _suits(one: Figures, need: Need, lone: OrderSpec) -> bool:
    """Whether a kind that is there or on its way is the other half of a pair."""
    kind = one.kind
    if not one.have or (kind.role, kind.shape) != (need.role, need.shape):
        return False
    if kind.seat != lone.seat_name or kind.width_mm is None or lone.width_mm is None:
        return False
    long_mm, lone_long_mm = kind.long_mm or kind.width_mm, lone.long_mm or lone.width_mm
    in_range = (
        need.least_width_mm <= kind.width_mm <= need.most_width_mm
        and need.least_long_mm <= long_mm <= need.most_long_mm
    )
    sign = 1 if need.role == "die" else -1
    bigger = (kind.width_mm - lone.width_mm) * sign > 0 and (long_mm - lone_long_mm) * sign > 0
    return in_range and bigger


def _tool(spec: OrderSpec) -> Tool:
    width_mm = spec.width_mm or 0.0
    return Tool(
        role=spec.role,
        shape=spec.shape,
        width_mm=width_mm,
        long_mm=spec.long_mm or width_mm,
        seat=None,
        key_angles=spec.key_angles,
        to_order=True,
    )


def _want(board: Board, want: WantRow, ways: Sequence[Way], ask: Ask | None) -> None:
    """Put what a want lacks on the board, to be bought together, one way or another."""
    fresh = want.last_at[:10] >= (board.shop.today - _YEAR).isoformat()
    for draft, one in (pair for way in ways for pair in way):
        draft.lot = max(draft.lot, one.quantity - draft.have)
        draft.target = max(draft.target, one.quantity)
        draft.spec = _thicker(draft.spec, ask)
    spec = ways[0][0][1].spec
    work = ask.work if ask else "punch"
    shape = str(ask.as_json().get("shape", spec.shape)) if ask else spec.shape
    saving = job_saving(board.shop, work, shape, want.quantity)
    places, *others = (frozenset(draft.place for draft, _one in way) for way in ways)
    board.wish(Wish(want, fresh, saving, _reason(want, fresh), places, tuple(others)))


def _thicker(spec: OrderSpec, ask: Ask | None) -> OrderSpec:
    """The spec for the thickest plate that anybody asked it for."""
    if ask is None or ask.plate.thickness_mm <= (spec.for_thickness_mm or 0.0):
        return spec
    return replace(
        spec, for_thickness_mm=ask.plate.thickness_mm, for_material=ask.plate.material.name
    )


def _reason(want: WantRow, fresh: bool) -> str:
    word = "planned" if want.planned else "wanted"
    return f"{word}: " + ", ".join(_reason_parts(want, fresh))


def _reason_parts(want: WantRow, fresh: bool) -> Iterator[str]:
    yield want.ask
    yield f"{want.quantity:,} off"
    if want.job:
        yield f"job {want.job}"
    if want.times_asked > 1:
        yield f"asked {want.times_asked:,} times"
    if not fresh:
        yield f"last asked {want.last_at[:10]}, over a year ago, so worth nothing here"
