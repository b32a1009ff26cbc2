"""Situations of a buyer, each with what a sensible one does, worked by hand beforehand.

A hole drilled costs 1.65, punched 0.25, so tools save 1.40 on each; a price counts over 5 years,
what is kept for years costs 20 % of half its price a year, an order costs 25.00; a tool breaks once
in 25,000 strokes and that costs 150.00; delivery takes 10 days where nobody says otherwise.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from contextlib import closing
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from crib.acts import Saying
from crib.desk.answer.find import find
from crib.desk.buying.buy import BuyPlan, plan_buying
from crib.desk.buying.chosen_lines import OrderRequest, lines_to_order
from crib.errors import Refused
from crib.features.common.case import Circumstances
from crib.stock.book import ledger
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
from crib.stock.tables.all_tables import (
    BundleLineRecord,
    BundleRecord,
    OfferRecord,
    OrderLineRecord,
)
from tests.desk.buying_shop import LATER, go, log, pair, punch
from tests.shop import add_kind, add_piece, insert, small_shop

pytestmark = pytest.mark.both_engines
A, B = ("1-1/16", "1-3/32"), ("1-3/16", "1-7/32")
PAIR_A = {"punch 1-1/16": 1, "die 1-3/32": 1}
PAIR_B = {"punch 1-3/16": 1, "die 1-7/32": 1}
PHRASE = "hole 1-1/16 thru 3/8 A36"
WEEKLY = tuple(range(1, 365, 7))
NEW = datetime.now(UTC) + timedelta(days=1)
"""The plan's day in a crib that has just begun; its 30 days of looking on are the least."""


@dataclass(frozen=True)
class Situation:
    """What is done to the small shop, and what is bought of it, with these reasons said."""

    make: Callable[[Session], None]
    bought: Mapping[str, int] = field(default_factory=dict)
    says: frozenset[str] = frozenset()
    worth: int | None = None
    budget: int | None = None
    by_days: int | None = None
    at: datetime = LATER


def once(quantity: int, cents: int = 5500) -> Callable[[Session], None]:
    return lambda shop: pair(shop, *A, quantity, cents)


def came_back(quantity: int, cents: int) -> Callable[[Session], None]:
    def make(shop: Session) -> None:
        pair(shop, *A, quantity, cents)
        first = (LATER - timedelta(days=40)).isoformat()
        shop.connection.execute("UPDATE want SET first_at = ?", (first,))

    return make


def three_jobs(quantity: int, cents: int) -> Callable[[Session], None]:
    def make(shop: Session) -> None:
        pair(shop, *A, quantity, cents)
        for job in ("second", "third"):
            find(shop, PHRASE, Circumstances(quantity=quantity, job=job), now=LATER)

    return make


def with_a_nut(make: Callable[[Session], None]) -> Callable[[Session], None]:
    """And the shop keeps a nut of the same supplier, of which there is none."""

    def both(shop: Session) -> None:
        make(shop)
        nut = add_kind(shop, role="nut", width="2", least_count=1, name="nut")
        insert(shop, OfferRecord, kind_id=nut, supplier="North", price_cents=100, lead_days=4)

    return both


def long_ago(shop: Session) -> None:
    pair(shop, *A, 900, 1000)
    day = (LATER - timedelta(days=366)).isoformat()
    shop.connection.execute("UPDATE want SET first_at = ?, last_at = ?", (day, day))


def lost_die(*days_ago: int) -> Callable[[Session], None]:
    """The 7/8 die is lost; the 27/32 one suits the only punch as well."""

    def make(shop: Session) -> None:
        shop.connection.execute(
            "UPDATE kind SET name = 'die 7/8', price_cents = 2000, supplier = 'North'"
            " WHERE id = (SELECT kind_id FROM piece WHERE tag = 'D-0202')"
        )
        log(shop, "D-0202", 100, *days_ago)
        go(shop, "D-0202", "lost")

    return make


def busy_punch(cents: int, broken: bool) -> Callable[[Session], None]:
    """The only 13/16 punch makes 100 holes in each of 52 weeks."""

    def make(shop: Session) -> None:
        shop.connection.execute(
            "UPDATE kind SET name = 'punch 13/16', price_cents = ?, supplier = 'North'"
            " WHERE id = (SELECT kind_id FROM piece WHERE tag = 'P-0137')",
            (cents,),
        )
        log(shop, "P-0137", 100, *WEEKLY)
        if broken:
            go(shop, "P-0137", "broken")

    return make


def one_shift_then_broken(shop: Session) -> None:
    shop.connection.execute(
        "UPDATE kind SET name = 'punch 13/16', price_cents = 4500, supplier = 'North'"
        " WHERE id = (SELECT kind_id FROM piece WHERE tag = 'P-0137')"
    )
    piece = piece_by_tag(shop, "P-0137").id
    stamp = ledger.new_stamp(1, shift_on=NEW.date(), now=NEW)
    strokes = ledger.NewEntry("strokes", piece, quantity=300, weighted_milli=300_000)
    ledger.write(shop, stamp, [strokes])
    broke = ledger.NewEntry("break", piece, condition="broken")
    ledger.write(shop, stamp, [broke])


def least_of_two(*days_ago: int) -> Callable[[Session], None]:
    """One punch there, two to be kept, 40.00 each."""

    def make(shop: Session) -> None:
        columns = {"price_cents": 4000, "supplier": "North", "name": "punch 15/16"}
        add_piece(shop, "P-0500", punch(shop, "15/16", least_count=2, **columns))
        log(shop, "P-0500", 100, *days_ago)

    return make


def ordered(days_ago: int) -> Callable[[Session], None]:
    """The spare of a weekly punch is on order with nobody's word for when."""

    def make(shop: Session) -> None:
        busy_punch(4500, broken=False)(shop)
        kind = piece_by_tag(shop, "P-0137").kind_id
        day = (LATER - timedelta(days=days_ago)).date().isoformat()
        columns = {"text": "1 punch", "supplier": "North", "ordered_on": day}
        insert(shop, OrderLineRecord, kind_id=kind, quantity=1, **columns)

    return make


def price_break(shop: Session) -> None:
    kind = add_kind(shop, role="nut", width="15/16", least_count=4, name="nut")
    for supplier, least, cents in (("North", 1, 4000), ("North", 3, 3500), ("South", 1, 3900)):
        columns = {"supplier": supplier, "from_quantity": least, "price_cents": cents}
        insert(shop, OfferRecord, kind_id=kind, **columns)


def packaged(cents: int) -> Callable[[Session], None]:
    """Both pairs, 100 holes each, at 46.00 a tool, or all four in a package."""

    def make(shop: Session) -> None:
        bundle = insert(shop, BundleRecord, supplier="North", name="set", price_cents=cents)
        for sizes in (A, B):
            pair(shop, *sizes, 100, 4600)
            for role, size in zip(("punch", "die"), sizes, strict=True):
                kind = shop.value("SELECT id FROM kind WHERE name = ?", (f"{role} {size}",))
                insert(shop, BundleLineRecord, bundle_id=bundle, kind_id=kind)

    return make


def two_pairs(shop: Session) -> None:
    pair(shop, *A, 80, 4000)
    pair(shop, *B, 110, 5200)


def to_a_drawing(shop: Session) -> None:
    pair(shop, *A, 900, 5500)
    shop.connection.execute("UPDATE offer SET to_drawing = TRUE")


SITUATIONS = {
    # 20 x 1.40 = 28.00 once, against 110.00 and the order.
    "once, far too few": Situation(once(20), says=frozenset({"buy.no-gain"})),
    # 95 x 1.40 = 133.00 once: more than 110.00, less than 135.00 with the order.
    "once, not worth an order": Situation(once(95), says=frozenset({"buy.order-cost"})),
    # 97 x 1.40 = 135.80 once. (135.80 - 110.00) / 5; worth 27.16 a year.
    "once, worth tools and order": Situation(once(97), PAIR_A, worth=2716),
    # An order goes to North anyway: 133.00 against 110.00.
    "once, beside what is ordered": Situation(with_a_nut(once(95)), {**PAIR_A, "nut": 1}),
    # 60 x 1.40 = 84.00; twice: (1/5 + 1) / 2 of it, 50.40 a year; 98.00 / 5 + 9.80 = 29.40.
    "came back": Situation(came_back(60, 4900), PAIR_A, frozenset({"buy.wanted"}), 5040),
    # 30 x 1.40 = 42.00, 25.20 a year against 29.40.
    "came back, too few": Situation(came_back(30, 4900), says=frozenset({"buy.no-gain"})),
    # 3 x 20 x 1.40 = 84.00 a year, whole, for three jobs are a rate; 29.40 a year.
    "three jobs": Situation(
        three_jobs(20, 4900), PAIR_A, frozenset({"buy.wanted-often"}), worth=8400
    ),
    # 3 x 6 x 1.40 = 25.20 a year against 29.40.
    "three jobs, too few": Situation(three_jobs(6, 4900), says=frozenset({"buy.no-gain"})),
    "wanted over a year ago": Situation(long_ago, says=frozenset({"buy.wanted"})),
    "idle die lost, another does its work": Situation(lost_die(), says=frozenset({"buy.let-go"})),
    # 11 x 100 strokes: 1 - exp(-0.044) = 4.3 % of a breakage, 150.00, 99.9 % covered: 6.45 a
    # year; 20.00 / 5 + 2.00 = 6.00. A spare, since another die does its work.
    "used die lost, another does its work": Situation(
        lost_die(*range(60, 365, 30)), {"die 7/8": 1}, frozenset({"buy.gone"}), 645
    ),
    # 52 x 100 holes a year x 1.40 = 7,280.00; and the spare of what is used weekly, 65.25 as below.
    "busy punch broken": Situation(
        busy_punch(4500, broken=True), {"punch 13/16": 2}, frozenset({"buy.gone"}), 734_525
    ),
    # 300 strokes once, over 5 years: 60 x 1.40 = 84.00 a year, not 3,650 x 1.40.
    "one shift, then broken": Situation(
        one_shift_then_broken, {"punch 13/16": 1}, frozenset({"buy.thin"}), 8400, at=NEW
    ),
    # 19 % of (150.00 + 142 holes x 1.40) x 99 % covered = 65.25; 45.00 / 5 + 4.50 = 13.50.
    "busy punch without a spare": Situation(
        busy_punch(4500, broken=False), {"punch 13/16": 1}, frozenset({"buy.single"}), 6525
    ),
    # 500.00 / 5 + 50.00 = 150.00 a year for those 65.25: by the rule alone, and said.
    "dear spare": Situation(
        busy_punch(50_000, broken=False), {"punch 13/16": 1}, frozenset({"buy.by-rule"}), 6525
    ),
    "least count of what nobody uses": Situation(least_of_two(), says=frozenset({"buy.idle"})),
    # 12 x 100 strokes: 4.7 % of (150.00 + 33 x 1.40); 9.2 a year for 12.00.
    "least count of what is used": Situation(
        least_of_two(*range(5, 365, 30)), {"punch 15/16": 1}, frozenset({"buy.by-rule"})
    ),
    # Five days late: called, and waited for.
    "order a little late": Situation(ordered(15), says=frozenset({"buy.chase"})),
    # 414 days late: called, not waited for.
    "order 414 days late": Situation(
        ordered(424), {"punch 13/16": 1}, frozenset({"buy.chase", "buy.given-up"}), 6525
    ),
    # Four at 35.00 of North, 140.00, against 156.00 of South.
    "price break": Situation(price_break, {"nut": 4}, frozenset({"buy.by-rule"})),
    # Four tools are 184.00 by themselves.
    "package": Situation(packaged(15_000), {"package": 1}, frozenset({"buy.package"}), 5600),
    "dear package": Situation(packaged(18_500), {**PAIR_A, **PAIR_B}, worth=5600),
    # 112.00 - 80.00 = 32.00, 154.00 - 104.00 = 50.00: for 110.00 the second.
    "money for one of two pairs": Situation(two_pairs, PAIR_B, worth=3080, budget=11_000),
    "needed sooner than it comes": Situation(
        once(900), says=frozenset({"buy.too-late"}), by_days=3
    ),
    "made to a drawing for one job": Situation(to_a_drawing, says=frozenset({"buy.only-to-order"})),
}


@pytest.mark.parametrize("name", SITUATIONS)
def test_the_crib_buys_what_a_sensible_buyer_would(name: str, tmp_path: Path) -> None:
    one = SITUATIONS[name]
    day = _day(one)
    with closing(small_shop(tmp_path / "shop.crib")) as shop:
        one.make(shop)
        found = plan_buying(shop, one.budget, by=day, now=one.at)
        inside = [line for line in found.lines if line.within_budget]
        assert {line.kind or line.role: line.quantity for line in inside} == dict(one.bought)
        assert one.says <= _said(found)
        if one.worth is not None:
            assert sum(line.value_cents_per_year for line in inside) == one.worth
        assert _ordered(shop, one, day) == dict(one.bought)


def _day(one: Situation) -> date | None:
    return None if one.by_days is None else (one.at + timedelta(days=one.by_days)).date()


def _ordered(shop: Session, one: Situation, day: date | None) -> dict[str, int]:
    """What the one command that orders everything would order."""
    by = "" if day is None else day.isoformat()
    request = OrderRequest(everything=True, budget_cents=one.budget, arrive_by=by)
    try:
        lines = lines_to_order(shop, request, one.at)
    except Refused:
        return {}
    return {line.kind or line.role: line.quantity for line in lines}


def _said(found: BuyPlan) -> set[str]:
    """The codes of all reasons, and of what is said beside the lines."""
    codes = {reason.code for line in found.lines for reason in line.reasons}
    notes = [part for note in found.notes if isinstance(note, Saying) for part in note.parts]
    codes |= {part.code for part in notes if hasattr(part, "code")}
    return codes | {late.told.code for late in found.late}
