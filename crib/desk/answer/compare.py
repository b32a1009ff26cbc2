"""Punch it, drill it, saw it, cut it thermally or farm it out: what each way costs for a count."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

from crib.acts import Said, act, saying
from crib.desk.answer.find import Found, find
from crib.desk.answer.order_lines import OrderLine
from crib.desk.answer.rank import Candidate
from crib.desk.answer.tool_cost import ToolCost, tool_costs, wear_each
from crib.features.common.case import Circumstances
from crib.features.common.findings import cautions, refusals
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.trade.money.make_ways import (
    FARM_OUT,
    Counts,
    Way,
    each_cents,
    other_ways,
    pays_for,
    start_cents,
    tool_way,
    way_cents,
    way_minutes,
)
from crib.trade.shop.shop_rules import Rules
from crib.units import format_money

Status = Literal["ok", "caution", "ask", "no"]
_THERMAL = "thermal"
_UNRULED = ("brake", "picket")
"""Works that are neither punched nor cut thermally."""


@dataclass(frozen=True, slots=True)
class WayLine:
    """What one way costs for the whole count. A figure that is not known is None.

    ``ask``: whether the code allows it has to be settled first; ``no``: it is not to be done.
    """

    way: str
    status: Status
    set_up_cents: int | None
    each_cents: float | None
    once_cents: int | None
    total_cents: int | None
    minutes: float | None
    days: int | None
    reasons: tuple[Said, ...]


@dataclass(frozen=True, slots=True)
class BreakEven:
    """For which counts the crib's own tools cost no more than another way.

    ``least`` is None when for none, ``most`` when there is no end. ``saving_cents_each`` is what
    each feature costs less with them.
    """

    way: str
    against: str
    saving_cents_each: float
    least: int | None
    most: int | None
    text: str


@dataclass(frozen=True, slots=True)
class Comparison:
    """Every way that makes sense for an ask, the cheapest first."""

    phrase: str
    quantity: int
    currency: str
    rate_per_hour_cents: int
    serves: bool
    best: str
    ways: tuple[WayLine, ...]
    break_even: tuple[BreakEven, ...]
    order: tuple[OrderLine, ...]
    notes: tuple[Said, ...]
    understood: str = ""


@dataclass(frozen=True, slots=True)
class _Judged:
    """A way with what is to be said of it; without ``cents_known`` its price is missing."""

    way: Way
    status: Status = "ok"
    reasons: tuple[Said, ...] = ()
    cents_known: bool = True

    @property
    def closed(self) -> bool:
        """Whether it is not to be done, or not yet, so that it has no figures."""
        return self.status == "no" or (self.status == "ask" and not self.cents_known)


def compare(
    session: Session,
    phrase: str,
    facts: Circumstances | None = None,
    *,
    price_cents: int | None = None,
    quote_cents: int | None = None,
) -> Comparison:
    """What a feature costs by every way that makes sense. Nothing is remembered.

    ``price_cents`` is the price of all the tools to buy, where the crib does not serve;
    ``quote_cents`` what another shop asks for each.

    Raises:
        BadPhrase: for a phrase that cannot be read, pointing at the word.
        AskBack: where the answer depends on an edition that was not named.
        UnknownName: for a code that is not known.
    """
    found = find(session, phrase, facts, record=False)
    rules = shop_rules(session)
    tool = _with_tools(session, found, rules, price_cents)
    others = [_other(way, found, rules, quote_cents) for way in _others(found, rules)]
    rate, count = rules.number("buy.rate_per_hour_cents"), found.facts.quantity
    lines = sorted((_line(one, count, rate) for one in (tool, *others)), key=_order)
    return Comparison(
        phrase=found.phrase,
        quantity=count,
        currency=rules.text("crib.currency"),
        rate_per_hour_cents=round(rate),
        serves=found.serves,
        best=lines[0].way if _may_be_best(lines[0]) else "",
        ways=tuple(lines),
        break_even=tuple(_break_even(tool, other, rules) for other in others if not tool.closed),
        order=found.order,
        notes=tuple(_notes(found, price_cents, tool)),
        understood=found.understood,
    )


def _others(found: Found, rules: Rules) -> tuple[Way, ...]:
    shape = str(found.ask.as_json().get("shape", ""))
    return other_ways(found.ask.work, shape, rules)


def _with_tools(session: Session, found: Found, rules: Rules, price_cents: int | None) -> _Judged:
    """The way with the crib's own tools, or with those that would be bought."""
    if found.picks:
        return _from_the_shelf(session, found, rules)
    if found.order:
        return _to_buy(session, found, rules, price_cents)
    status: Status = "ask" if _only_the_code(found) else "no"
    return _Judged(tool_way(found.ask.work, 1, rules), status, _why_the_crib_cannot(found), False)


def _from_the_shelf(session: Session, found: Found, rules: Rules) -> _Judged:
    pick = found.picks[0]
    costs = tool_costs(session, {tool.kind for tool in pick.tools}, rules)
    wear, unknown = wear_each(pick, costs)
    way = tool_way(
        found.ask.work,
        int(pick.figures.get("hits", 1)),
        rules,
        changes=_changes(pick),
        wear_cents_each=wear,
        to_ream=found.to_ream,
    )
    told = [finding.text for finding in cautions(pick.findings)]
    status: Status = "caution" if told else "ok"
    tags = " and ".join(tool.tag for tool in pick.tools)
    mounted = ", mounted already" if not way.set_up_minutes else ""
    reasons = [f"{tags or 'nothing to mount'} in {pick.tooling.station.label}{mounted}", *told]
    reasons += [f"price of {kind} not known: its wear is not counted" for kind in unknown]
    return _Judged(way, status, tuple(dict.fromkeys(reasons)))


def _changes(pick: Candidate) -> int:
    """Sets to mount: none when all of it stands in the station already."""
    station = pick.tooling.station.id
    if all(tool.station_id == station for tool in pick.tools):
        return 0
    return len(pick.plan.asks) if pick.plan else 1


def _to_buy(session: Session, found: Found, rules: Rules, price_cents: int | None) -> _Judged:
    """The way with tools that are not there: this job bears their whole price, wear and all."""
    costs = tool_costs(session, {line.kind for line in found.order if line.kind}, rules)
    known = [_price(line, costs) for line in found.order]
    if price_cents is not None:
        known = [price_cents]
    hits = next((miss.figures.get("hits", 1) for miss in found.near_misses if not miss.plan), 1)
    way = tool_way(
        found.ask.work,
        int(hits),
        rules,
        price_cents=sum(one for one in known if one is not None),
        days=max(_days(line, costs, rules) for line in found.order),
        to_ream=found.to_ream,
    )
    what = " and ".join(
        f"{line.spec.quantity} {line.spec.role.replace('_', ' ')}" for line in found.order
    )
    if None in known:
        text = saying(f"{what} to buy, price not known: say it with ", act("say.price"))
        return _Judged(way, "ok", (text,), cents_known=False)
    lasting = _lasting(found, int(hits), costs)
    return _Judged(way, "ok", (f"{what} to buy, all of it paid by this job", *lasting))


def _lasting(found: Found, hits: int, costs: dict[str, ToolCost]) -> Iterator[str]:
    """That one of what is bought will not do, where its life is known."""
    lives = [costs[line.kind].life for line in found.order if line.kind in costs]
    least = min((life for life in lives if life), default=None)
    if least is not None and found.facts.quantity * hits > least:
        yield f"one lasts about {least:,.0f} strokes: price as many as it takes"


def _price(line: OrderLine, costs: dict[str, ToolCost]) -> int | None:
    cost = costs.get(line.kind or "")
    if cost is None or cost.price.total_cents is None:
        return None
    return cost.price.total_cents * line.spec.quantity


def _days(line: OrderLine, costs: dict[str, ToolCost], rules: Rules) -> int:
    cost = costs.get(line.kind or "")
    known = None if cost is None else cost.price.lead_days
    return round(rules.number("buy.lead_days_default")) if known is None else known


def _only_the_code(found: Found) -> bool:
    """Whether nothing stands against the crib's way but a code that has not decided yet."""
    against = {one.rule for miss in found.near_misses[:1] for one in refusals(miss.findings)}
    undecided = found.method is not None and found.method.ruling == "undecided"
    return undecided and against == {"method"}


def _why_the_crib_cannot(found: Found) -> tuple[Said, ...]:
    """Why the crib's way is closed: the code, and what refuses any tool or the nearest miss."""
    by_code = found.method is not None and found.method.ruling != "allowed"
    told = [found.method.line(found.system)] if found.method is not None and by_code else []
    refused = [one for miss in found.near_misses[:1] for one in refusals(miss.findings)]
    if refused:
        told += [one.text for one in refused if not (by_code and one.rule == "method")][:2]
    elif found.why_no_order and not by_code:
        told.append(found.why_no_order)
    return tuple(told) or (saying("nothing in the crib serves; ", act("find"), " says why"),)


def _other(way: Way, found: Found, rules: Rules, quote_cents: int | None) -> _Judged:
    code = found.answers.case.code
    if way.name == _THERMAL and code:
        text = f"{code} may forbid a thermal cut here, or want it ground or reamed: settle it first"
        return _Judged(way, "ask", (text,))
    if way.name != FARM_OUT:
        return _Judged(way)
    days = f"{way.days} days away: the risk to the ship date is not in the price"
    if quote_cents is None:
        quote = saying("at the shop rule's price, ", act("say.quote"), f" says another; {days}")
        return _Judged(way, "ok", (quote,))
    return _Judged(replace(way, used_up_cents_each=quote_cents), "ok", (f"as quoted; {days}",))


def _line(one: _Judged, count: int, rate: float) -> WayLine:
    way = one.way
    if one.closed:
        return WayLine(way.name, one.status, None, None, None, None, None, None, one.reasons)
    known = one.cents_known
    set_up = start_cents(replace(way, once_cents=0), rate)
    return WayLine(
        way=way.name,
        status=one.status,
        set_up_cents=round(set_up),
        each_cents=round(each_cents(way, rate), 4),
        once_cents=way.once_cents if known else None,
        total_cents=round(way_cents(way, count, rate)) if known else None,
        minutes=round(way_minutes(way, count), 3),
        days=way.days,
        reasons=one.reasons,
    )


def _may_be_best(line: WayLine) -> bool:
    return line.status in ("ok", "caution") and line.total_cents is not None


def _order(line: WayLine) -> tuple[bool, bool, int]:
    """What may be done at a known price first, the cheapest of it before the others."""
    return (not _may_be_best(line), line.total_cents is None, line.total_cents or 0)


def _break_even(tool: _Judged, other: _Judged, rules: Rules) -> BreakEven:
    rate = rules.number("buy.rate_per_hour_cents")
    saving = each_cents(other.way, rate) - each_cents(tool.way, rate)
    counts = pays_for(tool.way, other.way, rate) if tool.cents_known else None
    money = format_money(round(abs(saving)), rules.text("crib.currency"))
    each = f"each {'saves' if saving > 0 else 'costs'} {money}{'' if saving > 0 else ' more'}"
    if not tool.cents_known:
        text = f"{each}: it pays after the price of the tools over that" if saving > 0 else each
    else:
        text = f"{_counts_text(counts)}; {each}"
    return BreakEven(
        tool.way.name,
        other.way.name,
        round(saving, 4),
        None if counts is None else counts.least,
        None if counts is None else counts.most,
        text,
    )


def _counts_text(counts: Counts | None) -> str:
    if counts is None:
        return "never pays"
    if counts.most is not None:
        return f"pays up to {counts.most:,}"
    return "pays from the first" if counts.least == 1 else f"pays from {counts.least:,} on"


def _notes(found: Found, price_cents: int | None, tool: _Judged) -> Iterator[Said]:
    yield from found.notes
    if price_cents is not None and not found.order:
        yield "the price is not used: there is nothing to buy for it"
    if found.method is not None and not tool.closed:
        yield found.method.line(found.system)
    elif found.method is None and found.ask.work not in _UNRULED:
        code = act("say.code")
        yield saying(
            "a code may forbid punching or thermal cutting: name the contract's with ", code
        )
    yield saying("times, rates and prices are the shop's rules: ", act("rules"), " lists them")
