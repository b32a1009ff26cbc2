"""The reasons, figures and notes of buying, as the shell puts them."""

from __future__ import annotations

from typing import Any

import pytest

from crib.acts import fact
from crib.cli.wording import short, worded
from crib.wording.sayings import codes

BESIDE = {"to_look_at": 0, "idle_days": 0}
GONE = {**BESIDE, "stand_in": ""}
SAVED = {"saving_cents": 140.0, "way": "drill", "currency": "USD"}
WANT = {
    **{"ask": "hole 1-1/16 thru 3/8 A36", "planned": False, "quantity": 1200, "job": "24-1"},
    **{"times_asked": 1, "last_asked": "", "with_other_tools": False},
}
YEARLY = {"is_once": False, "currency": "USD"}
REORDER = {
    **{
        "point": 2.345,
        "stock": 1,
        "weighted_per_day": 14.2,
        "season": 1.0,
        "life": 5000.0,
        "lead_days": 9,
    },
    **{"planned_lives": 0.0, "with_spare": False, "not_lasting": (), "beyond": 0},
}
POINT = {
    **{"kind": "punch", "point": 1.0, "wear": 0.25, "lead_days": 4, "planned": 0.0},
    **{"safety": 0.75, "service": None},
}
OFFER = {
    **{"kind": "punch", "supplier": "North", "price_cents": 4000, "least": 1, "pack_size": 1},
    **{"days": None, "is_seen": False, "to_drawing": False, "currency": "USD"},
}
USE = {
    **{"kind": "punch", "strokes": 2000, "days": 365, "uses_per_week": 1.04, "lead_days": 4},
    **{"deliveries": 0, "give_or_take_days": 0.0},
}
SAVING = {"kind": "punch", **SAVED, "price_cents": None, "paid_by": None}
BREAKAGE = {"chance": 0.188, "down_cents": 15_000, "missed": 0.0, **SAVED, "covered": 0.994}
PACKAGE = {"useful": 4, "count": 6, "alone_cents": 18_400, "currency": "USD"}

PACKS = fact("buy.packs", needed=2, pack_size=4)

SAID: list[tuple[str, dict[str, Any], str, str]] = [
    ("buy.wanted", WANT, "wanted", ": hole 1-1/16 thru 3/8 A36, 1,200 off, job 24-1"),
    (
        "buy.wanted",
        {**WANT, "planned": True, "job": "", "times_asked": 5, "last_asked": "2025-03-01"},
        "planned",
        ": hole 1-1/16 thru 3/8 A36, 1,200 off, asked 5 times, last asked 2025-03-01, over a year"
        " ago, so worth nothing here",
    ),
    (
        "buy.wanted",
        {**WANT, "with_other_tools": True},
        "wanted",
        ": hole 1-1/16 thru 3/8 A36, 1,200 off, job 24-1; with other tools than were asked for",
    ),
    ("buy.wanted-often", {"jobs": 3}, "wanted in 3 jobs within 12 months", ""),
    ("buy.more-reasons", {"count": 2}, "and 2 more reasons of the kind", ""),
    ("buy.on-order", {"count": 2, "since": ""}, "2 on order, taken off", ""),
    (
        *("buy.on-order", {"count": 2, "since": "2026-03-02"}),
        *("2 on order since 2026-03-02, taken off", ""),
    ),
    ("buy.asked-again", {}, "asked for all the same", ": nothing lacks beside what is on order"),
    ("buy.more-of-line", {"line": "K3"}, "more of line K3, of which not all is bought", ""),
    (
        "buy.only-with",
        {"lines": (("K2", "NHR4T"), ("K3",))},
        "only with line K2 and NHR4T or K3",
        "",
    ),
    ("buy.packs", {"needed": 2, "pack_size": 10}, "2 needed, sold in packs of 10", ""),
    ("buy.price-from", {"needed": 2, "least": 5}, "2 needed", "; this price holds from 5 up"),
    ("buy.more-than-used", {}, "more than is used", ": there is no smaller way to buy it"),
    (
        *("buy.only-to-order", {"jobs": 3}, "made to a drawing"),
        ": only for an order in hand or a size of 3 jobs",
    ),
    (
        *("buy.too-late", {"soonest": "2026-04-05", "by": "2026-04-01"}),
        *("comes on 2026-04-05 at the soonest, after 2026-04-01", ""),
    ),
    (
        *("buy.no-gain", {"worth_cents": 1400, "price_cents": 1960.4, **YEARLY}),
        *("does not pay", ": USD 14.00 a year, and its price is USD 19.60 a year"),
    ),
    (
        *("buy.no-gain", {"worth_cents": 1400, "price_cents": 9800.0, **YEARLY, "is_once": True}),
        *("does not pay", ": it saves USD 14.00 once, and costs USD 98.00"),
    ),
    (
        *("buy.package", PACKAGE, "4 of 6 pieces are useful, USD 184.00 by themselves"),
        "; the rest counts for nothing",
    ),
    (
        *("buy.package", {**PACKAGE, "alone_cents": None}, "4 of 6 pieces are useful"),
        "; the rest counts for nothing",
    ),
    (
        *(
            "buy.in-package",
            {"what": "a punch", "reason": fact("buy.packs", needed=2, pack_size=4)},
        ),
        *("a punch", ": 2 needed, sold in packs of 4"),
    ),
    (
        *("buy.past-grind", {"tags": ("P-1", "P-2"), **GONE}),
        *("P-1, P-2 past the last grind, no sound one left", ""),
    ),
    (
        "buy.past-grind",
        {
            "tags": ("P-1", "P-2", "P-3", "P-4", "P-5", "P-6"),
            **{"stand_in": "the other die", "to_look_at": 2, "idle_days": 365},
        },
        "P-1, P-2, P-3, P-4 and 2 more past the last grind, no sound one left",
        "; the other die can stand in; 2 to be looked at first; no strokes in 365 days",
    ),
    (
        *("buy.gone", {"tags": (("P-1", "broken"), ("P-2", "lost")), **GONE}),
        *("P-1 broken, P-2 lost within 90 days, no sound one left", ""),
    ),
    (
        "buy.let-go",
        {"kind": "die", "tags": ("D-1",), "idle_days": 180, "stand_in": "the other die"},
        "die",
        ": D-1 gone and not bought again: no strokes in 180 days, and 'the other die' does its"
        " work",
    ),
    (
        *("buy.by-rule", {"count": 2, "quantity": 2}, "kept by a shop rule"),
        ": gains less than its price over the years",
    ),
    (
        *("buy.by-rule", {"count": 1, "quantity": 3}, "1 of 3 kept by a shop rule"),
        ": gains less than its price over the years",
    ),
    (
        *("buy.thin", {"strokes": 1300, "shifts": 1, "days": 30, "claimed": 260.0}),
        *("thin evidence", ": 1,300 strokes in 1 shift of 30 days, counted as 260 a year"),
    ),
    (
        "buy.chase",
        {
            **{"number": "2026-0003", "supplier": "North", "count": 2, "what": "the die"},
            **{"due_on": "2026-10-10", "days_late": 1, "given_up": False},
        },
        "order 2026-0003 of North",
        ": 2 x the die, due 2026-10-10, 1 day late, counted as coming; call North",
    ),
    (
        "buy.chase",
        {
            **{"number": "", "supplier": "", "count": 1, "what": "the die"},
            **{"due_on": "2025-10-10", "days_late": 414, "given_up": True},
        },
        "an order",
        ": 1 x the die, due 2025-10-10, 414 days late, not counted on any more, so bought anew;"
        " call the supplier",
    ),
    (
        *("buy.elsewhere", {"what": "the die", "site": "South", "count": 1, "days": 2}),
        *("the die", ": South can spare 1, here in 2 days: have one sent instead of buying"),
    ),
    (
        *("buy.given-up", {"number": "2026-0003", "count": 2, "days_late": 414}),
        *("late order not counted", ": 2 in order 2026-0003, 414 days late"),
    ),
    (
        *("buy.idle", {}, "worth nothing by its use"),
        ": only a shop rule asks for it, so ordered by name alone",
    ),
    (
        *("buy.least-count", {"usable": 1, "least": 2, "spent": 0, **BESIDE}),
        *("1 sound, the shop keeps at least 2", ""),
    ),
    (
        *("buy.least-count", {"usable": 1, "least": 3, "spent": 1, **BESIDE}),
        *("1 sound, the shop keeps at least 3, 1 past the last grind", ""),
    ),
    (
        "buy.single",
        {
            **{"uses_per_week": 1.04, "strokes_per_day": 14.2, "lead_days": 100, "missed": 1420},
            "stand_in": "the other die",
        },
        "single point of failure",
        ": one sound piece, used 1.0 times a week; 14 strokes a day x 100 days to deliver = 1,420"
        " without it; the other die can stand in",
    ),
    (
        *("buy.reorder", {**REORDER, **BESIDE}, "at the reorder point 2.35"),
        ": 14 weighted strokes a day / 5,000 in a life x 9 days",
    ),
    (
        *("buy.reorder", {**REORDER, **BESIDE, "stock": 0, "point": 0.0}, "none left that lasts"),
        ": 14 weighted strokes a day / 5,000 in a life x 9 days",
    ),
    (
        "buy.reorder",
        {
            **{**REORDER, **BESIDE, "season": 1.2, "planned_lives": 1.8, "with_spare": True},
            **{"not_lasting": ("P-1",), "beyond": 3},
        },
        "at the reorder point 2.35",
        ": 14 weighted strokes a day x 1.20 for the season / 5,000 in a life x 9 days + 1.80 for"
        " the open jobs + a spare; P-1 will be spent by then; 3 more make an order that costs"
        " least",
    ),
    (
        "buy.runs-out",
        {"out_on": "2026-05-01", "order_by": "2026-04-20", "is_late": False, **BESIDE},
        "runs out of grinds on 2026-05-01",
        ": order by 2026-04-20",
    ),
    (
        "buy.runs-out",
        {"out_on": "2026-05-01", "order_by": "2026-04-20", "is_late": True, **BESIDE},
        "runs out of grinds on 2026-05-01",
        ": order by 2026-04-20; that is too late by now",
    ),
    (
        *("buy.few-dies", {"there": 1, "punches": 3, "kind": "13/16", "each": 2.0}),
        *("1 sound or on order for 3 punches of '13/16'", ": one die for every 2"),
    ),
    (
        *("buy.held-back", {"count": 5, "months": 3.0, "most": 3}, "held back 5"),
        ": 3 months' use and a spare make 3",
    ),
    (
        *("buy.least-over-use", {"months": 12.0, "most": 2}, "more than is used"),
        ": 12 months' use and a spare make 2; is the least count right?",
    ),
    (
        "buy.by-way",
        {
            **{"count": 1200, "way": "drill", "other_cents": 17_500, "own_cents": 3500},
            **{"is_shared": True, "currency": "USD", "times": 3, "claim": 1.0},
        },
        "1,200 wanted",
        ": USD 175.00 by drill, USD 35.00 with tools, shared with what goes with it",
    ),
    (
        "buy.by-way",
        {
            **{"count": 1200, "way": "drill", "other_cents": 17_500, "own_cents": 3500},
            **{"is_shared": False, "currency": "USD", "times": 1, "claim": 0.2},
        },
        "1,200 wanted",
        ": USD 175.00 by drill, USD 35.00 with tools, once, so spread over 5 years",
    ),
    (
        "buy.by-way",
        {
            **{"count": 1200, "way": "drill", "other_cents": 17_500, "own_cents": 3500},
            **{"is_shared": False, "currency": "USD", "times": 2, "claim": 0.6},
        },
        "1,200 wanted",
        ": USD 175.00 by drill, USD 35.00 with tools, wanted 2 times, so 0.6 of it a year",
    ),
    (
        "buy.price-a-year",
        {"years": 5.0, "carrying_pct": 0.0, "cents": 980, "currency": "USD"},
        *("its price over 5 years is USD 9.80 a year", ""),
    ),
    (
        "buy.price-a-year",
        {"years": 5.0, "carrying_pct": 20.0, "cents": 1470, "currency": "USD"},
        *("its price over 5 years and keeping it at 20 % is USD 14.70 a year", ""),
    ),
    (*("buy.paid-back", {"years": 1.1}), *("paid back after 13 months", "")),
    (*("buy.paid-back", {"years": 2.44}), *("paid back after 2.4 years", "")),
    (
        *("buy.order-cost", {"supplier": "North", "order_cents": 2500.0, "currency": "USD"}),
        *("does not bear an order", ": the order from North costs USD 25.00 and brings less"),
    ),
    (
        *("buy.paid-by", {"tools_cents": 9800, "each_cents": 140, "count": 70, "currency": "USD"}),
        *("USD 98.00 of tools at USD 1.40 saved on each are paid by 70", ""),
    ),
    (
        *("buy.standstill", {"cents": 15_000, "currency": "USD"}),
        *("USD 150.00 of standstill while there is none", ""),
    ),
    (
        *("buy.work-of-first", {"strokes": 1200.4, **SAVED}),
        *("1,200 strokes a year x USD 1.40 more by drill", ""),
    ),
    (
        *("buy.breakage", BREAKAGE, "19 % chance a year of a breakage"),
        " x (USD 150.00 lost) x 99 % covered by it",
    ),
    (
        *("buy.breakage", {**BREAKAGE, "missed": 142.4}, "19 % chance a year of a breakage"),
        " x (USD 150.00 lost + 142 strokes x USD 1.40 more by drill) x 99 % covered by it",
    ),
    (
        *("buy.work-left", {"strokes": 1200.4, "saving_cents": 140, "currency": "USD"}),
        *("1,200 strokes a year left to it x USD 1.40", ""),
    ),
    (
        *("buy.covered", {"what": "punch", "count": 2, "since": "2026-03-02"}, "punch"),
        ": 2 on order since 2026-03-02, nothing more to buy",
    ),
    (
        "buy.package-left",
        {"name": "set", "supplier": "North", "price_cents": 12_000, **PACKAGE},
        "package 'set' of North at USD 120.00",
        ": 4 of 6 pieces are useful, USD 184.00 by themselves; not bought",
    ),
    ("buy.unpriced", {"count": 1}, "1 line has no known price", ": ask; not in the sum"),
    ("buy.unpriced", {"count": 3}, "3 lines have no known price", ": ask; not in the sum"),
    ("buy.more-kinds", {"count": 3}, "and 3 more kinds so called", ": say more of the name"),
    (
        "kind.stock",
        {
            **{"kind": "punch", "usable": 1, "spent": 0, "to_look_at": 2, "gone": 3},
            **{"on_order": 4, "least_count": 5},
        },
        "punch",
        ": 1 sound, 0 past the last grind, 2 to be looked at, 3 gone within 90 days, 4 on order,"
        " least count 5",
    ),
    (
        *("kind.unused", {"kind": "punch", "days": 365}, "punch"),
        ": no strokes were read for it in the last 365 days",
    ),
    (
        *("kind.use", USE, "punch"),
        ": 2,000 strokes in 365 days, used 1.0 times a week; delivery 4 days",
    ),
    (
        *("kind.use", {**USE, "deliveries": 3, "give_or_take_days": 1.25}, "punch"),
        ": 2,000 strokes in 365 days, used 1.0 times a week; delivery 4 days as seen in 3"
        " deliveries, give or take 1.2",
    ),
    (
        *("kind.season", {"kind": "punch", "season": 1.2}, "punch"),
        ": this season sees 1.20 of the usual use, by the last two years' months",
    ),
    (
        *("kind.planned", {"kind": "punch", "weighted": 1200.4}, "punch"),
        ": 1,200 weighted strokes are planned in open jobs",
    ),
    (
        *("kind.runs-out", {"kind": "punch", "out_on": "2026-05-01"}, "punch"),
        ": the last grind of all its pieces is used up on 2026-05-01",
    ),
    (
        *("kind.months", {"kind": "punch", "point": 1.0, "have": 2, "months": 14.2, "most": 3}),
        "punch",
        ": reorder point 1.00, 2 with those on order hold 14 months' use, at most 3 to have",
    ),
    (
        *("kind.point", POINT, "punch"),
        ": reorder point 1.00 = 0.25 worn in 4 days + 0.00 planned + 0.75 safety",
    ),
    (
        *("kind.point", {**POINT, "service": 0.95}, "punch"),
        ": reorder point 1.00 = 0.25 worn in 4 days + 0.00 planned + 0.75 safety (a spare, or more"
        " for 95 % service)",
    ),
    (
        *("kind.order-size", {"kind": "punch", "pieces_per_year": 1.234, "size": 2}, "punch"),
        ": 1.23 worn a year: ordering 2 at a time costs least",
    ),
    (
        *("kind.life", {"kind": "punch", "life": 12_345.6, "years": 4.567}, "punch"),
        ": 12,346 weighted strokes in a life, expected to serve 4.57 years",
    ),
    ("kind.saving", SAVING, "punch", ": each stroke saves USD 1.40 against drill"),
    (
        *("kind.saving", {**SAVING, "price_cents": 9800, "paid_by": 7000}, "punch"),
        ": each stroke saves USD 1.40 against drill; at USD 98.00 paid by 7,000 strokes",
    ),
    (
        *("kind.own-price", {"kind": "punch", "price_cents": 4000, "currency": "USD"}, "punch"),
        ": USD 40.00 each on its own record",
    ),
    ("kind.offer", OFFER, "punch", ": North: USD 40.00 each"),
    (
        "kind.offer",
        {
            **{**OFFER, "least": 5, "pack_size": 10, "days": 4},
            **{"is_seen": True, "to_drawing": True},
        },
        "punch",
        ": North: USD 40.00 each, from 5 up, in packs of 10, 4 days as seen, made to a drawing",
    ),
]

SAID += [
    ("wants.merged", {"count": 2, "into": 7}, "merged 2 wants into 7", ""),
    ("wants.struck", {"count": 1}, "struck out 1 want", "; wanted again when somebody asks again"),
    ("wants.reopened", {"count": 1}, "wanted again: 1 want", ""),
    (
        *("edge.die-lower", {"in_all_mm": 0.254, "unit": "in"}),
        "the die is 0.01 in lower than new, its punch enters so much less",
        ": shim it only if the machine's manual allows",
    ),
    ("life.told", {"told": 14, "ground": 14, "dull": 0.0}, "14 of 14 told", ""),
    (
        *("life.told", {"told": 7, "ground": 14, "dull": 2.9}, "7 of 14 told"),
        ": of the other 7 about 3 were dull, by what the told ones teach",
    ),
    (
        *("life.silent", {"ground": 14, "setting": 5000.0, "dull": 0.497, "meant": 0.1}),
        "0 of 14 told",
        ": nobody knows how they were, so the setting of 5,000 holds; were it twice too long,"
        " 50 in 100 edges would be dull at it, not 10",
    ),
    (
        *("life.surer", {"told": 48, "run": 9}, "the range halves"),
        " with about 48 more told sharp or dull at the grind or 9 more used until dull",
    ),
    (
        *("life.surer", {"told": None, "run": None}, "the range halves"),
        " only with hundreds more edges",
    ),
    ("reach.accessory", {}, "no feature asks for it; `crib stock` lists it", ""),
    ("reach.adapter", {}, "an adapter needs the seat it fits and the seat it presents", ""),
    ("reach.adapter-fits", {"seat": "Q"}, "no station in service takes seat Q", ""),
    ("reach.adapter-same", {"seat": "Q"}, "an adapter that fits seat Q presents another one", ""),
    (
        *("reach.figures", {"lacking": ("depth_mm", "angle_deg")}),
        *("every ask is refused until its depth and angle are entered", ""),
    ),
    (
        *("reach.kept-for", {"material": "304", "known": ("stainless", "mild_steel")}),
        *("kept for '304', which is no family of materials", ": stainless, mild steel"),
    ),
    (
        *("reach.long", {"shape": "obround"}),
        "obround: its long side must be longer than its size",
        "; else it is square or round",
    ),
    (
        *("reach.made-for", {"role": "set", "made_for": "", "known": ("notch", "vee")}),
        "a set is found by what it is made for: notch, vee",
        "; a set that no feature asks for has the role other",
    ),
    (
        *("reach.made-for", {"role": "punch", "made_for": "notch", "known": ("",)}),
        *("a punch is asked for by its shape alone: it is made for no one thing", ""),
    ),
    (
        *("reach.no-seat", {"seat": "Q", "work": "vee_notch"}),
        *("no station that does vee notch work takes seat Q, by itself or adapter", ""),
    ),
    ("reach.no-station", {"work": "brake"}, "no station in service does brake work", ""),
    (
        *("reach.not-mounted", {"work": "flat_shear"}),
        *("a spare: a blade is named where it stands mounted (flat shear)", ""),
    ),
    (
        *("reach.operation", {"operation": "flat", "known": ("cut flat", "cut angle")}),
        *("its list for 'flat' is read by no rule", "; lists are for: cut flat, cut angle"),
    ),
    (
        *("reach.other-work", {"operation": "notch", "does": "flat_shear"}),
        *("its list for 'notch' is never read: the station does flat shear work", ""),
    ),
    ("reach.seat", {"role": "die"}, "a die needs the seat it fits", ""),
    (
        *("reach.shape", {"role": "punch", "shape": "", "known": ("round", "square")}),
        *("a punch needs its shape: round, square", ""),
    ),
    (
        *("reach.shape", {"role": "punch", "shape": "star", "known": ("round", "square")}),
        *("no feature asks for a punch of the shape star: round, square", ""),
    ),
    ("reach.size", {"role": "die"}, "a die needs its size", ""),
    (
        *("edge.stripper-gap", {"off_mm": 0.25, "unit": "mm"}),
        "the gap under the stripper grew by 0.25 mm",
        ": set the stripper again, realign punch and die, inch down once before the first hole",
    ),
]


@pytest.mark.parametrize(("code", "figures", "head", "rest"), SAID)
def test_a_fact_is_put_in_these_words(
    code: str, figures: dict[str, Any], head: str, rest: str
) -> None:
    told = fact(code, **figures)
    assert (short(told), worded(told)) == (head, head + rest)


def test_every_fact_is_among_these() -> None:
    others = {code for code in codes() if code.startswith("read.")}  # in a file of their own
    assert {code for code, _figures, _head, _rest in SAID} == codes() - others
