"""Punch against drill, saw, thermal and farm out, with every figure worked by hand.

The shop's own times: an hour costs 60.00, so a minute 1.00; a hole takes 0.25 min to punch and 1.5
to drill, 0.15 of drill; a change of tools or a drill's set-up 10 min.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from crib.acts import act, saying
from crib.desk.answer.compare import BreakEven, Comparison, WayLine, compare
from crib.errors import BadPhrase, UnknownName
from crib.features.common.case import Circumstances
from crib.stock.engine.session import Session
from crib.stock.tables.all_tables import OfferRecord
from tests.desk.asks import HOLE, change, move, one_station, pair, rule
from tests.desk.notching import add_set, notch_shop
from tests.shop import add_kind, insert

STATION = "Ironworker 1 / punch"


@pytest.fixture
def shop(tmp_path: Path) -> Session:
    """A 13/16 pair in drawers, in a shop with one station."""
    made = one_station(tmp_path / "shop.crib")
    pair(made)
    return made


@pytest.fixture(scope="module")
def bare(tmp_path_factory: pytest.TempPathFactory) -> Session:
    """A shop with one station and no tools, for tests that only read."""
    return one_station(tmp_path_factory.mktemp("bare") / "shop.crib")


def line(made: Comparison, way: str) -> WayLine:
    """The line of one way."""
    (found,) = [one for one in made.ways if one.way == way]
    return found


def against(made: Comparison, way: str) -> BreakEven:
    """How the crib's tools do against one way."""
    (found,) = [one for one in made.break_even if one.against == way]
    return found


def price(shop: Session, role: str, cents: int) -> None:
    """Give the one kind of a role a price."""
    change(shop, "UPDATE kind SET price_cents = ? WHERE role = ?", cents, role)


def facts(**known: Any) -> Circumstances:
    """Circumstances with some things known."""
    return Circumstances(**known)


def test_punching_what_the_crib_serves_against_drilling(shop: Session) -> None:
    price(shop, "punch", 3900)
    price(shop, "die", 6500)
    made = compare(shop, f"{HOLE} for 120")
    assert (made.serves, made.best, made.quantity) == (True, "punch", 120)
    # Wear: a life of 5,000 x (3 mm / 0.25 mm + 1) = 65,000; 3900 / 65000 + 6500 x 0.5 / 65000
    # = 0.06 + 0.05 = 0.11 cents. 10.00 + 120 x (0.25 + 0.0011) = 40.13.
    punch = line(made, "punch")
    assert punch.each_cents == pytest.approx(25.11)
    assert (punch.set_up_cents, punch.once_cents, punch.total_cents) == (1000, 0, 4013)
    assert punch.minutes == 40.0
    # 10.00 + 120 x 1.65 = 208.00.
    assert line(made, "drill").total_cents == 20_800
    # 15 min + 120 x (2 min + 0.30) = 291.00; 30 min + 60.00 + 120 x 5.00 = 690.00.
    assert line(made, "thermal").total_cents == 29_100
    assert line(made, "farm out").total_cents == 69_000
    assert [one.way for one in made.ways] == ["punch", "drill", "thermal", "farm out"]
    assert against(made, "drill").saving_cents_each == pytest.approx(165.0 - 25.11)


def test_one_hole_is_drilled_where_the_drill_needs_no_set_up(shop: Session) -> None:
    rule(shop, "make.drill_setup_minutes", "0")
    few, many = compare(shop, f"{HOLE} for 7"), compare(shop, f"{HOLE} for 8")
    assert (few.best, many.best) == ("drill", "punch")
    # 10.00 of set-up over 1.40 a hole: 7.1 holes.
    assert (against(few, "drill").least, against(few, "drill").most) == (8, None)
    assert "pays from 8 on; each saves USD 1.40" in against(few, "drill").text


def test_a_pair_that_is_mounted_needs_no_set_up(shop: Session) -> None:
    move(shop, "P-1", STATION)
    assert line(compare(shop, HOLE), "punch").set_up_cents == 1000
    move(shop, "D-1", STATION)
    made = line(compare(shop, HOLE), "punch")
    assert made.set_up_cents == 0
    assert "mounted already" in str(made.reasons[0])


@pytest.mark.parametrize(
    ("columns", "cents"),
    [
        # 2 grinds of 0.25 mm and the edge it has: 3 x 5,000; 39.00 / 15,000 = 0.26 cents.
        ("regrind_mm = 0.5", 0.26),
        # 1 mm to grind: 5 x 5,000; 0.156 cents.
        ("length_mm = 70, least_length_mm = 69", 0.156),
        # An interval of its own: 13 x 10,000; 0.03 cents.
        ("interval_strokes = 10000", 0.03),
    ],
)
def test_wear_is_the_price_over_the_life_of_the_kind(
    shop: Session, columns: str, cents: float
) -> None:
    change(shop, f"UPDATE kind SET {columns} WHERE role = 'punch'")
    price(shop, "punch", 3900)
    punch = line(compare(shop, HOLE), "punch")
    assert punch.each_cents == pytest.approx(25.0 + cents)


def test_an_unknown_price_leaves_the_wear_out_and_says_so(shop: Session) -> None:
    punch = line(compare(shop, HOLE), "punch")
    assert punch.each_cents == 25.0
    assert sum("its wear is not counted" in str(reason) for reason in punch.reasons) == 2


def buying(tmp_path: Path) -> tuple[Session, int, int]:
    """A shop with kinds of a pair and no piece of them."""
    shop = one_station(tmp_path / "buy.crib")
    punch = add_kind(shop, role="punch", width="13/16", seat_id=1, lead_days=3)
    return shop, punch, add_kind(shop, role="die", width="27/32", seat_id=1, lead_days=9)


def test_a_pair_to_buy_pays_after_its_price_over_the_saving(tmp_path: Path) -> None:
    shop, punch, die = buying(tmp_path)
    insert(shop, OfferRecord, kind_id=punch, supplier="North Street", price_cents=8000)
    insert(shop, OfferRecord, kind_id=die, supplier="North Street", price_cents=10_000, lead_days=4)
    made = compare(shop, f"{HOLE} for 120")
    assert (made.serves, made.best) == (False, "drill")
    # 180.00 for the pair, 10.00 to set up, 120 x 0.25 = 220.00 against 208.00 drilled.
    one = line(made, "punch")
    assert (one.once_cents, one.total_cents, one.days) == (18_000, 22_000, 10)
    # 1.25 min at 1.00 and 0.15 of drill save 1.40 a hole: 180 / 1.40 = 128.6 holes.
    assert against(made, "drill").saving_cents_each == 140.0
    assert against(made, "drill").least == 129
    assert compare(shop, f"{HOLE} for 128").best == "drill"
    assert compare(shop, f"{HOLE} for 129").best == "punch"
    assert {order.spec.role for order in made.order} == {"punch", "die"}


def test_a_price_that_is_not_known_is_asked_for(tmp_path: Path) -> None:
    shop, punch, _die = buying(tmp_path)
    insert(shop, OfferRecord, kind_id=punch, supplier="North Street", price_cents=8000)
    made = compare(shop, f"{HOLE} for 500")
    one = line(made, "punch")
    assert (one.once_cents, one.total_cents, made.best) == (None, None, "drill")
    asks = saying("1 punch and 1 die to buy, price not known: say it with ", act("say.price"))
    assert one.reasons == (asks,)
    even = against(made, "drill")
    assert (even.least, even.most) == (None, None)
    assert even.text == "each saves USD 1.40: it pays after the price of the tools over that"


def test_a_price_that_is_said_counts(tmp_path: Path) -> None:
    shop, _punch, _die = buying(tmp_path)
    made = compare(shop, f"{HOLE} for 500", price_cents=14_000)
    # 140.00 / 1.40 = 100 holes.
    assert against(made, "drill").least == 100
    assert line(made, "punch").total_cents == 14_000 + 1000 + 500 * 25


def test_a_price_with_nothing_to_buy_is_not_used_and_that_is_said(shop: Session) -> None:
    made = compare(shop, HOLE, price_cents=14_000)
    assert line(made, "punch").once_cents == 0
    assert "the price is not used: there is nothing to buy for it" in made.notes


def test_a_count_beyond_the_life_of_one_is_told(tmp_path: Path) -> None:
    shop, _punch, _die = buying(tmp_path)
    punch = line(compare(shop, f"{HOLE} for 65001", price_cents=14_000), "punch")
    assert "one lasts about 65,000 strokes: price as many as it takes" in punch.reasons
    fewer = line(compare(shop, f"{HOLE} for 65000", price_cents=14_000), "punch")
    assert len(fewer.reasons) == 1


def test_what_must_not_be_punched_has_no_price(shop: Session) -> None:
    made = compare(shop, "hole 5/16 thru 3/8 A36 for 9")
    punch = line(made, "punch")
    assert (punch.status, punch.total_cents, made.best) == ("no", None, "drill")
    assert made.ways[-1] is punch
    assert made.break_even == ()


def test_a_code_that_forbids_punching_closes_it_and_leaves_thermal_open(shop: Session) -> None:
    made = compare(shop, f"{HOLE} for 120", facts(code="EN 1090-2", execution_class=4))
    assert line(made, "punch").status == "no"
    assert "punching it full size is not allowed" in str(line(made, "punch").reasons[0])
    assert line(made, "thermal").status == "ask"
    assert made.best == "drill"


def test_a_code_that_has_not_decided_is_asked_first(shop: Session) -> None:
    punch = line(compare(shop, f"{HOLE} for 120", facts(code="EN 1090-2")), "punch")
    assert (punch.status, punch.total_cents) == ("ask", None)
    assert "say which execution class" in str(punch.reasons[0])


def test_a_hole_too_thin_is_closed_whatever_the_code_says(shop: Session) -> None:
    punch = line(compare(shop, "hole 5/16 thru 3/8 A36", facts(code="EN 1090-2")), "punch")
    assert punch.status == "no"
    assert any("too thin" in str(reason) for reason in punch.reasons)


def test_a_code_that_allows_punching_is_noted(shop: Session) -> None:
    made = compare(shop, f"{HOLE} for 120", facts(code="EN 1090-2", execution_class=2))
    assert made.best == "punch"
    assert any(str(note).startswith("Method by EN 1090-2") for note in made.notes)


def test_thermal_that_has_to_be_asked_about_is_never_the_best(shop: Session) -> None:
    rule(shop, "make.thermal_minutes", "0")
    rule(shop, "make.thermal_setup_minutes", "0")
    assert compare(shop, f"{HOLE} for 9").best == "thermal"
    coded = compare(shop, f"{HOLE} for 9", facts(code="EN 1090-2", execution_class=2))
    assert coded.best == "punch"


def test_the_codes_rule_of_the_shop_counts_as_a_code(shop: Session) -> None:
    rule(shop, "code.default", "AISC 360")
    assert line(compare(shop, HOLE), "thermal").status == "ask"


def test_a_quote_takes_the_place_of_the_rules_price(shop: Session) -> None:
    out = line(compare(shop, f"{HOLE} for 120", quote_cents=20), "farm out")
    # 30.00 of handling, 60.00 of freight, 120 x 0.20.
    assert out.total_cents == 11_400
    assert str(out.reasons[0]).startswith("as quoted; 5 days away")


def test_a_plan_of_hits_costs_a_hit_each(tmp_path: Path) -> None:
    shop = notch_shop(tmp_path / "notches.crib")
    add_set(shop, "T-1", "notch", "4", 4.0, (4.0, 5 / 16))
    whole = line(compare(shop, "notch 4 x 3 thru 1/4 for 40"), "notcher")
    split = line(compare(shop, "notch 7 x 3 thru 1/4 for 40"), "notcher")
    # Half a minute a hit; 10 min + 40 x 2 hits x 0.5 min.
    assert (whole.each_cents, split.each_cents) == (50.0, 100.0)
    assert split.minutes == 50.0


def test_a_reamed_hole_takes_a_minute_more(shop: Session) -> None:
    made = compare(shop, "hole 13/16 thru 3/8 A36 ream for 10")
    assert line(made, "punch").each_cents == 125.0


@pytest.mark.parametrize(
    ("phrase", "ways"),
    [
        ("slot 13/16 x 2 thru 3/8", {"punch", "drill and mill", "thermal", "farm out"}),
        ("square 1/2 thru 1/4", {"punch", "drill and mill", "thermal", "farm out"}),
        ("bolt 3/4 per AISC 360-22 thru 1/2", {"punch", "drill", "thermal", "farm out"}),
        ("notch 2 x 3 thru 1/4", {"notcher", "thermal", "saw", "farm out"}),
        ("vee 2 thru 1/4", {"notcher", "thermal", "saw", "farm out"}),
        ("cut flat 4 x 3/8", {"shear", "saw", "thermal", "farm out"}),
        ("cut round 3/4", {"shear", "saw", "farm out"}),
        ("saddle 1-1/2 pipe sch 40", {"saddle set", "hole saw", "thermal", "farm out"}),
        ("bend 10 x 1/4 at 90 flange 2", {"brake", "farm out"}),
        ("point 3/4", {"picket set", "farm out"}),
    ],
)
def test_every_kind_of_feature_has_its_ways(bare: Session, phrase: str, ways: set[str]) -> None:
    made = compare(bare, f"{phrase} for 5")
    assert {one.way for one in made.ways} == ways
    assert all(one.reasons for one in made.ways if one.status != "ok")


def test_nothing_is_remembered(tmp_path: Path) -> None:
    shop, _punch, _die = buying(tmp_path)
    compare(shop, f"{HOLE} for 120")
    assert shop.value("SELECT count(*) FROM want") == 0


def test_a_phrase_that_cannot_be_read_is_refused(shop: Session) -> None:
    with pytest.raises(BadPhrase, match="expected 'thru'"):
        compare(shop, "hole 13/16 throgh 3/8")


def test_an_unknown_code_is_refused(shop: Session) -> None:
    with pytest.raises(UnknownName, match="unknown code 'EN 9999'"):
        compare(shop, HOLE, facts(code="EN 9999"))
