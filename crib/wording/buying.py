"""Why a line is bought, what it is worth and what is to be said beside it, in words."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from crib.acts import Fact
from crib.wording.parts import Words, listed, money, ways

_MOST_MONTHS = 24
"""A time to pay back that is told in months."""


def _wanted(
    *,
    ask: str,
    planned: bool,
    quantity: int,
    job: str,
    times_asked: int,
    last_asked: str,
    with_other_tools: bool,
) -> Words:
    parts = [f"{ask}, {quantity:,} off"]
    parts += [f"job {job}"] if job else []
    parts += [f"asked {times_asked:,} times"] if times_asked > 1 else []
    if last_asked:
        parts.append(f"last asked {last_asked}, over a year ago, so worth nothing here")
    ends = "; with other tools than were asked for" if with_other_tools else ""
    return ("planned" if planned else "wanted"), f": {', '.join(parts)}{ends}"


def _wanted_often(*, jobs: int) -> Words:
    return f"wanted in {jobs} jobs within 12 months", ""


def _more_reasons(*, count: int) -> Words:
    return f"and {count} more reasons of the kind", ""


def _on_order(*, count: int, since: str) -> Words:
    return f"{count} on order{f' since {since}' if since else ''}, taken off", ""


def _by_rule(*, count: int, quantity: int) -> Words:
    which = "kept" if count == quantity else f"{count} of {quantity} kept"
    return f"{which} by a shop rule", ": gains less than its price over the years"


def _idle() -> Words:
    return "worth nothing by its use", ": only a shop rule asks for it, so ordered by name alone"


def _chase(
    *,
    number: str,
    supplier: str,
    count: int,
    what: str,
    due_on: str,
    days_late: int,
    given_up: bool,
) -> Words:
    which = f"order {number}" if number else "an order"
    whom = f" of {supplier}" if supplier else ""
    late = f"{days_late:,} day{'s' * (days_late != 1)} late"
    counts = "not counted on any more, so bought anew" if given_up else "counted as coming"
    call = f"call {supplier}" if supplier else "call the supplier"
    return f"{which}{whom}", f": {count} x {what}, due {due_on}, {late}, {counts}; {call}"


def _elsewhere(*, what: str, site: str, count: int, days: int) -> Words:
    after = "the same day" if not days else f"in {days} day{'s' * (days != 1)}"
    return what, f": {site} can spare {count}, here {after}: have one sent instead of buying"


def _given_up(*, number: str, count: int, days_late: int) -> Words:
    which = f" in order {number}" if number else ""
    return "late order not counted", f": {count}{which}, {days_late:,} days late"


def _more_of_line(*, line: str) -> Words:
    return f"more of line {line}, of which not all is bought", ""


def _only_with(*, lines: Sequence[Sequence[str]]) -> Words:
    return f"only with line {ways(lines)}", ""


def _asked_again() -> Words:
    return "asked for all the same", ": nothing lacks beside what is on order"


def _packs(*, needed: int, pack_size: int) -> Words:
    return f"{needed} needed, sold in packs of {pack_size}", ""


def _price_from(*, needed: int, least: int) -> Words:
    return f"{needed} needed", f"; this price holds from {least} up"


def _more_than_used() -> Words:
    return "more than is used", ": there is no smaller way to buy it"


def _only_to_order(*, jobs: int) -> Words:
    return "made to a drawing", f": only for an order in hand or a size of {jobs} jobs"


def _thin(*, strokes: int, shifts: int, days: int, claimed: float) -> Words:
    seen = f"{strokes:,} strokes in {shifts} shift{'s' * (shifts != 1)} of {days} days"
    return "thin evidence", f": {seen}, counted as {claimed:,.0f} a year"


def _too_late(*, soonest: str, by: str) -> Words:
    return f"comes on {soonest} at the soonest, after {by}", ""


def _no_gain(*, worth_cents: float, price_cents: float, is_once: bool, currency: str) -> Words:
    worth, price = money(worth_cents, currency), money(price_cents, currency)
    if is_once:
        return "does not pay", f": it saves {worth} once, and costs {price}"
    return "does not pay", f": {worth} a year, and its price is {price} a year"


def _order_cost(*, supplier: str, order_cents: float, currency: str) -> Words:
    whom = f" from {supplier}" if supplier else ""
    cost = money(order_cents, currency)
    return "does not bear an order", f": the order{whom} costs {cost} and brings less"


def _package(*, useful: int, count: int, alone_cents: int | None, currency: str) -> Words:
    alone = _by_themselves(alone_cents, currency)
    return f"{useful} of {count} pieces are useful{alone}", "; the rest counts for nothing"


def _in_package(*, what: str, reason: Fact) -> Words:
    head, rest = BUYING[reason.code](**dict(reason.figures))
    return what, f": {head}{rest}"


def _past_grind(*, tags: Sequence[str], stand_in: str, to_look_at: int, idle_days: int) -> Words:
    head = f"{listed(tags)} past the last grind, no sound one left"
    return head, _meanwhile(stand_in) + _beside(to_look_at, idle_days)


def _gone(
    *, tags: Sequence[tuple[str, str]], stand_in: str, to_look_at: int, idle_days: int
) -> Words:
    said = listed([f"{tag} {condition}" for tag, condition in tags])
    rest = _meanwhile(stand_in) + _beside(to_look_at, idle_days)
    return f"{said} within 90 days, no sound one left", rest


def _let_go(*, kind: str, tags: Sequence[str], idle_days: int, stand_in: str) -> Words:
    why = f"no strokes in {idle_days} days, and {stand_in!r} does its work"
    return kind, f": {listed(tags)} gone and not bought again: {why}"


def _meanwhile(stand_in: str) -> str:
    return f"; {stand_in} can stand in" if stand_in else ""


def _least_count(*, usable: int, least: int, spent: int, to_look_at: int, idle_days: int) -> Words:
    gone = f", {spent} past the last grind" if spent else ""
    head = f"{usable} sound, the shop keeps at least {least}{gone}"
    return head, _beside(to_look_at, idle_days)


def _single(
    *, uses_per_week: float, strokes_per_day: float, lead_days: int, missed: int, stand_in: str
) -> Words:
    return "single point of failure", (
        f": one sound piece, used {uses_per_week:.1f} times a week; {strokes_per_day:.0f} strokes"
        f" a day x {lead_days} days to deliver = {missed:,} without it{_meanwhile(stand_in)}"
    )


def _reorder(
    *,
    point: float,
    stock: int,
    weighted_per_day: float,
    season: float,
    life: float,
    lead_days: int,
    planned_lives: float,
    with_spare: bool,
    not_lasting: Sequence[str],
    beyond: int,
    to_look_at: int,
    idle_days: int,
) -> Words:
    times = f" x {season:.2f} for the season" if round(season, 2) != 1 else ""
    planned = f" + {planned_lives:.2f} for the open jobs" if planned_lives else ""
    ends = f"; {listed(not_lasting)} will be spent by then" if not_lasting else ""
    cheaper = f"; {beyond} more make an order that costs least" if beyond else ""
    head = f"at the reorder point {point:.2f}" if stock else "none left that lasts"
    return head, (
        f": {weighted_per_day:.0f} weighted strokes a day{times} / {life:,.0f} in a life"
        f" x {lead_days} days{planned}{' + a spare' if with_spare else ''}"
        f"{ends}{cheaper}{_beside(to_look_at, idle_days)}"
    )


def _runs_out(
    *, out_on: str, order_by: str, is_late: bool, to_look_at: int, idle_days: int
) -> Words:
    late = "; that is too late by now" if is_late else ""
    beside = _beside(to_look_at, idle_days)
    return f"runs out of grinds on {out_on}", f": order by {order_by}{late}{beside}"


def _few_dies(*, there: int, punches: int, kind: str, each: float) -> Words:
    head = f"{there} sound or on order for {punches} punches of {kind!r}"
    return head, f": one die for every {each:g}"


def _held_back(*, count: int, months: float, most: int) -> Words:
    return f"held back {count}", f": {_use_and_spare(months, most)}"


def _least_over_use(*, months: float, most: int) -> Words:
    return "more than is used", f": {_use_and_spare(months, most)}; is the least count right?"


def _by_way(
    *,
    count: int,
    way: str,
    other_cents: float,
    own_cents: float,
    is_shared: bool,
    times: int,
    claim: float,
    currency: str,
) -> Words:
    once = f", once, so spread over {1 / claim:.3g} years"
    often = f", wanted {times} times, so {claim:.2g} of it a year" if round(claim, 2) != 1 else ""
    claimed = once if times == 1 else often
    other, own = money(other_cents, currency), money(own_cents, currency)
    ends = ", shared with what goes with it" if is_shared else ""
    return f"{count:,} wanted", f": {other} by {way}, {own} with tools{claimed}{ends}"


def _price_a_year(*, years: float, carrying_pct: float, cents: float, currency: str) -> Words:
    kept = f" and keeping it at {carrying_pct:g} %" if carrying_pct else ""
    return f"its price over {years:.3g} years{kept} is {money(cents, currency)} a year", ""


def _paid_back(*, years: float) -> Words:
    after = f"{12 * years:.0f} months" if 12 * years < _MOST_MONTHS else f"{years:.1f} years"
    return f"paid back after {after}", ""


def _paid_by(*, tools_cents: float, each_cents: float, count: int, currency: str) -> Words:
    tools, each = money(tools_cents, currency), money(each_cents, currency)
    return f"{tools} of tools at {each} saved on each are paid by {count:,}", ""


def _standstill(*, cents: float, currency: str) -> Words:
    return f"{money(cents, currency)} of standstill while there is none", ""


def _work_of_first(*, strokes: float, saving_cents: float, way: str, currency: str) -> Words:
    saving = money(saving_cents, currency)
    return f"{strokes:,.0f} strokes a year x {saving} more by {way}", ""


def _breakage(
    *,
    chance: float,
    down_cents: float,
    missed: float,
    saving_cents: float,
    way: str,
    covered: float,
    currency: str,
) -> Words:
    saving = money(saving_cents, currency)
    more = f" + {missed:,.0f} strokes x {saving} more by {way}" if missed else ""
    lost = f"{money(down_cents, currency)} lost{more}"
    head = f"{100 * chance:.0f} % chance a year of a breakage"
    return head, f" x ({lost}) x {100 * covered:.0f} % covered by it"


def _work_left(*, strokes: float, saving_cents: float, currency: str) -> Words:
    return f"{strokes:,.0f} strokes a year left to it x {money(saving_cents, currency)}", ""


def _covered(*, what: str, count: int, since: str) -> Words:
    day = f" since {since}" if since else ""
    return what, f": {count} on order{day}, nothing more to buy"


def _package_left(
    *,
    name: str,
    supplier: str,
    price_cents: int,
    useful: int,
    count: int,
    alone_cents: int | None,
    currency: str,
) -> Words:
    alone = _by_themselves(alone_cents, currency)
    head = f"package {name!r} of {supplier} at {money(price_cents, currency)}"
    return head, f": {useful} of {count} pieces are useful{alone}; not bought"


def _unpriced(*, count: int) -> Words:
    lines = "1 line has" if count == 1 else f"{count} lines have"
    return f"{lines} no known price", ": ask; not in the sum"


def _more_kinds(*, count: int) -> Words:
    return f"and {count} more kinds so called", ": say more of the name"


def _by_themselves(cents: int | None, currency: str) -> str:
    """What the useful pieces of a package cost bought one by one, where that is known."""
    return "" if cents is None else f", {money(cents, currency)} by themselves"


def _use_and_spare(months: float, most: int) -> str:
    return f"{months:g} months' use and a spare make {most}"


def _beside(to_look_at: int, idle_days: int) -> str:
    """What to think of before buying: a piece to be looked at may do, an idle kind may go."""
    held = f"; {to_look_at} to be looked at first" if to_look_at else ""
    return held + (f"; no strokes in {idle_days} days" if idle_days else "")


BUYING: Mapping[str, Callable[..., Words]] = {
    "buy.breakage": _breakage,
    "buy.by-rule": _by_rule,
    "buy.by-way": _by_way,
    "buy.chase": _chase,
    "buy.covered": _covered,
    "buy.elsewhere": _elsewhere,
    "buy.few-dies": _few_dies,
    "buy.gone": _gone,
    "buy.given-up": _given_up,
    "buy.held-back": _held_back,
    "buy.idle": _idle,
    "buy.in-package": _in_package,
    "buy.least-count": _least_count,
    "buy.least-over-use": _least_over_use,
    "buy.let-go": _let_go,
    "buy.more-kinds": _more_kinds,
    "buy.more-of-line": _more_of_line,
    "buy.more-reasons": _more_reasons,
    "buy.more-than-used": _more_than_used,
    "buy.no-gain": _no_gain,
    "buy.on-order": _on_order,
    "buy.only-to-order": _only_to_order,
    "buy.only-with": _only_with,
    "buy.order-cost": _order_cost,
    "buy.package": _package,
    "buy.package-left": _package_left,
    "buy.asked-again": _asked_again,
    "buy.packs": _packs,
    "buy.paid-back": _paid_back,
    "buy.paid-by": _paid_by,
    "buy.past-grind": _past_grind,
    "buy.price-a-year": _price_a_year,
    "buy.price-from": _price_from,
    "buy.reorder": _reorder,
    "buy.runs-out": _runs_out,
    "buy.single": _single,
    "buy.standstill": _standstill,
    "buy.thin": _thin,
    "buy.too-late": _too_late,
    "buy.unpriced": _unpriced,
    "buy.wanted": _wanted,
    "buy.wanted-often": _wanted_often,
    "buy.work-left": _work_left,
    "buy.work-of-first": _work_of_first,
}
