"""Scenarios of the shop floor from the question to the answer, each with its arithmetic."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from math import pi
from pathlib import Path
from typing import Any

import pytest

from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
from crib.stock.tables.all_tables import PlaceRecord
from crib.units import MPA_PER_KSI, N_PER_US_TON, mm_from_inches
from tests.desk.asks import ask, change, first, rule, say, stops, tags
from tests.shop import add_kind, add_piece, add_seat, add_station, insert, new_crib, small_shop

HOLE = "hole 13/16 thru 3/8 A36"

Metric = Callable[..., Session]


@pytest.fixture
def inch(tmp_path: Path) -> Iterator[Session]:
    """The small shop without its second machine: one seat, 50 US tons."""
    shop = small_shop(tmp_path / "inch.crib")
    change(shop, "UPDATE machine SET in_service = 0 WHERE name = 'Ironworker 2'")
    yield shop
    shop.close()


@pytest.fixture
def metric(tmp_path: Path) -> Iterator[Metric]:
    """A metric shop with one station, and the punches and dies that a test names."""
    shops = []

    def made(rated_kn: float, punches: dict[str, float], dies: dict[str, float]) -> Session:
        shop = new_crib(tmp_path / "metric.crib", unit="mm")
        shops.append(shop)
        seat = add_seat(shop, "A", die_diameter_mm=54.0)
        add_station(shop, "Ironworker 1", "main punch", rated_kn * 1000, [seat])
        insert(shop, PlaceRecord, name="A2", sort="drawer", walk_order=1)
        for role, pieces in (("punch", punches), ("die", dies)):
            kinds: dict[float, int] = {}
            for tag, width_mm in pieces.items():
                if width_mm not in kinds:
                    kinds[width_mm] = add_kind(shop, role=role, width=f"{width_mm}mm", seat_id=seat)
                add_piece(shop, tag, kinds[width_mm])
        return shop

    yield made
    for shop in shops:
        shop.close()


def us_tons(one: Any) -> float:
    return float(one.figures["force_kn"]) * 1000 / N_PER_US_TON


# I1


def test_i1_13_16_in_3_8_a36_takes_24_4_us_tons_with_die_27_32(inch: Session) -> None:
    """13/16 x 3/8 x 80 = 24.4 US tons, 49 % of 50; sigma = 4 x 50.93 x .375 / .8125 = 94 ksi.

    Clean hole: 27/32 leaves 1/32 = 8.3 % of 3/8; 7/8 leaves 1/16 = 16.7 %.
    """
    found = ask(inch, HOLE)
    best = found.picks[0]
    assert us_tons(best) == pytest.approx(13 / 16 * 3 / 8 * 80, abs=0.05)
    assert us_tons(best) == pytest.approx(24.4, abs=0.05)
    assert best.figures["load"] == pytest.approx(0.49, abs=0.005)
    assert best.figures["punch_stress_mpa"] / MPA_PER_KSI == pytest.approx(
        4 * 50.93 * 0.375 / 0.8125, abs=0.1
    )
    assert {one.verdict for one in best.findings} == {"ok"}
    assert tags(found) == ["P-0137+D-0201", "P-0137+D-0202"]
    assert found.decided_by == "clearance closest to the policy"
    assert [tool.place for tool in best.tools] == ["A1", "A2"]
    assert best.tooling.station.label == "Ironworker 1 / punch"
    said = [say(one, "clearance").text for one in found.picks]
    assert said[0].startswith("1/32 in total, 8.3 % of thickness; policy clean hole: 1/32 in")
    assert said[1].startswith("1/16 in total, 16.7 % of thickness")


def test_i1_for_long_tool_life_die_7_8_comes_first(inch: Session) -> None:
    """15 % of 3/8 is .056: 1/16 (.0625) is nearer to it than 1/32 (.031)."""
    rule(inch, "clearance.policy", "tool_life")
    assert tags(ask(inch, HOLE)) == ["P-0137+D-0202", "P-0137+D-0201"]


def test_i1_with_plate_that_runs_strong_it_takes_30_5_us_tons(inch: Session) -> None:
    """24.4 x 1.25 = 30.5 US tons, 61 %."""
    rule(inch, "material.A36.multiplier", "1.25")
    best = ask(inch, HOLE).picks[0]
    assert us_tons(best) == pytest.approx(30.5, abs=0.05)
    assert best.figures["load"] == pytest.approx(0.61, abs=0.005)


# I2


def test_i2_5_16_in_3_8_breaks_the_punch_and_is_drilled(inch: Session) -> None:
    """5/16 / 3/8 = 0.83 < 1; sigma = 4 x 50.93 x .375 / .3125 = 244 > 240 ksi; only 9.4 US tons."""
    punch = add_kind(inch, role="punch", width="5/16", seat_id=1)
    add_piece(inch, "P-0150", punch)
    add_piece(inch, "D-0250", add_kind(inch, role="die", width="11/32", seat_id=1))
    found = ask(inch, "hole 5/16 thru 3/8 A36")
    assert not found.serves
    miss = found.near_misses[0]
    assert set(stops(miss)) == {"hole to thickness", "punch stress"}
    assert say(miss, "force").verdict == "ok"
    assert us_tons(miss) == pytest.approx(9.4, abs=0.05)
    assert say(miss, "hole to thickness").value == pytest.approx(0.83, abs=0.005)
    assert miss.figures["punch_stress_mpa"] / MPA_PER_KSI == pytest.approx(244, abs=0.5)
    assert found.order == ()
    assert found.workarounds[0].text == "drill 5/16 in, or cut it with an annular cutter"


# I5


@pytest.mark.parametrize(
    ("punch", "phrase"), [("P-0140", "hole 7/8 thru 3/8 A36"), ("P-0137", HOLE)]
)
def test_i5_a_die_13_16_under_a_punch_of_7_8_or_13_16_is_a_final_stop(
    inch: Session, punch: str, phrase: str
) -> None:
    """13/16 - 7/8 = -1/16, and 13/16 - 13/16 = 0: neither may ever run."""
    add_piece(inch, "D-0013", add_kind(inch, role="die", width="13/16", seat_id=1))
    found = ask(inch, phrase, punch, "D-0013")
    stop = stops(found.near_misses[0])["clearance"]
    assert stop.final
    assert stop.value == pytest.approx(mm_from_inches(-1 / 16 if punch == "P-0140" else 0.0))
    assert "measure both again" in stop.text


# I6


def test_i6_a_die_of_another_seat_is_no_pair_here(inch: Session) -> None:
    """Sizes agree, seats do not: order a seat-A die, or an adapter, or the other seat's station."""
    change(inch, "DELETE FROM entry WHERE piece_id IN (SELECT id FROM piece"
                 " WHERE tag IN ('D-0201', 'D-0202'))")  # fmt: skip
    change(inch, "DELETE FROM piece WHERE tag IN ('D-0201', 'D-0202')")
    found = ask(inch, HOLE)
    assert not found.serves
    miss = found.near_misses[0]
    assert [tool.tag for tool in miss.tools] == ["P-0137", "D-0301"]
    assert set(stops(miss)) == {"seat"}
    spec = found.order[0].spec
    assert len(found.order) == 1
    assert (spec.role, spec.seat_name, spec.width_mm) == (
        "die",
        "A",
        mm_from_inches(27 / 32),
    )
    assert found.workarounds[0].text == (
        "an adapter from seat B to A for D-0301, declared with its height and rating; or a station"
        " that accepts seat B and the other piece in that seat"
    )


# I16


def test_i16_a_worn_punch_is_dull_at_hole_540_of_1200(inch: Session) -> None:
    """W = 1.25 x .5/.375 = 1.667; 900 / 1.667 = 540; 1,650 / 1.667 = 990; 6,100 / 5,000 = 122 %."""
    change(inch, "UPDATE piece SET wear_milli = 4100000 WHERE tag = 'P-0137'")
    found = ask(inch, "hole 13/16 thru 1/2 A572-50", quantity=1200)
    best = found.picks[0]
    assert best.severities["punch"] == pytest.approx(1.25 * 4 / 3)
    lasting = [one for one in best.findings if one.rule == "lasting"]
    assert (lasting[0].verdict, lasting[0].value, lasting[0].limit) == ("caution", 540, 1200)
    assert lasting[0].text == (
        "dull at hole 540 of 1,200 (1.67 each); 115 % at hole 990; P-0137 ends at 122 %,"
        " 1 in 11 dull by then: grind first, or swap at hole 540"
    )
    # Were 5,000 and a shape of 2.5 certain: 1 - .9 ** (1.22 ** 2.5 - .82 ** 2.5) = .103. As neither
    # is, an edge still sharp at 4,100 lasts a little longer (tests/trade/life/test_kept_life.py).
    assert lasting[0].chance == pytest.approx(0.0915, abs=0.0005)
    assert lasting[1].verdict == "ok"
    by_parts = ask(inch, "hole 13/16 thru 1/2 A572-50", quantity=1200, per_part=16).picks[0]
    assert "swap at hole 528" in next(
        one.text for one in by_parts.findings if one.rule == "lasting"
    )


def test_i16_with_a_fresh_copy_that_one_is_named(inch: Session) -> None:
    """5,000 of 5,000 left over 1.667: 3,000 holes, so P-0138 lasts all 1,200."""
    change(inch, "UPDATE piece SET wear_milli = 4100000 WHERE tag = 'P-0137'")
    add_piece(inch, "P-0138", piece_by_tag(inch, "P-0137").kind_id, place="A1")
    phrase = "hole 13/16 thru 1/2 A572-50"
    assert first(ask(inch, phrase, quantity=1200)) == "P-0138+D-0202"
    chosen = ask(inch, phrase, "P-0137", quantity=1200, per_part=16)
    assert say(chosen.picks[0], "copies").text == (
        "P-0138 (0 % used) lasts the whole job: use it instead,"
        " or P-0137 to hole 528 and P-0138 from there"
    )


def test_i16_with_a_copy_as_worn_both_are_put_in_order(inch: Session) -> None:
    """900 left is 540 holes, 1,500 left is 900: 540 and 660 make 1,200."""
    change(inch, "UPDATE piece SET wear_milli = 4100000 WHERE tag = 'P-0137'")
    add_piece(inch, "P-0138", piece_by_tag(inch, "P-0137").kind_id, wear=3500, place="A1")
    best = ask(inch, "hole 13/16 thru 1/2 A572-50", quantity=1200).picks[0]
    assert say(best, "copies").text == (
        "in this order: P-0137 to hole 540, then P-0138 to hole 1,200"
    )


# M1 and the bolt M20


M1 = {"code": "EN 1090-2", "execution_class": 2}


def check_m1(found: Any) -> None:
    """22 x 12 x 1.103 x 1.15 = 335 kN, 74 % of 450; sigma 881 MPa; 2.0 mm is 16.7 % of 12."""
    best = found.picks[0]
    assert best.figures["force_kn"] == pytest.approx(pi * 22 * 12 * 0.3511 * 1.15, rel=0.001)
    assert best.figures["force_kn"] == pytest.approx(335, abs=0.5)
    assert best.figures["load"] == pytest.approx(0.74, abs=0.005)
    assert best.figures["punch_stress_mpa"] == pytest.approx(881, abs=0.5)
    assert best.figures["clearance_mm"] == pytest.approx(2.0)
    assert "16.7 % of thickness" in say(best, "clearance").text
    assert say(best, "hole to thickness").value == pytest.approx(22 / 12)
    # At 630 MPa and 1.2 mm thicker (EN 10029) it takes 335 x .8 x 630 / (351 x 1.15) x 1.1 = 460.
    strong = say(best, "adverse force")
    assert strong.value == pytest.approx(460, abs=1)
    assert [one for one in best.findings if one.verdict != "ok"] == [strong]
    assert say(best, "method").limit == 22.0


def test_m1_a_22_hole_in_12_mm_s355_takes_335_kn(metric: Metric) -> None:
    shop = metric(450, {"P-1": 22.0}, {"D-1": 24.0})
    check_m1(ask(shop, "hole 22 thru 12 S355", **M1))


def test_an_m20_bolt_in_12_mm_s355_is_the_same_answer_by_en_1090_2(metric: Metric) -> None:
    """Stands for "M20 bolt": M20 takes 20 + 2 = 22 by EN 1090-2, and the rest is M1's."""
    shop = metric(450, {"P-1": 22.0}, {"D-1": 24.0})
    found = ask(shop, "bolt M20 thru 12mm S355", **M1)
    assert found.phrase == "bolt M20 per EN 1090-2 thru 12mm S355"
    check_m1(found)


@pytest.mark.parametrize(
    ("phrase", "width_mm", "long_mm"),
    [
        ("bolt M20 oversize thru 12mm S355", 24.0, 24.0),
        ("bolt M20 short slot thru 12mm S355", 22.0, 26.0),
        ("bolt M20 long slot thru 12mm S355", 22.0, 50.0),
    ],
)
def test_an_m20_bolt_in_a_larger_hole_is_another_punch(
    metric: Metric, phrase: str, width_mm: float, long_mm: float
) -> None:
    """M20 + 4 oversize; slots 22 long by 20 + 6 and 2.5 x 20; never the standard punch."""
    shop = metric(450, {"P-1": 22.0}, {"D-1": 24.0})
    found = ask(shop, phrase, **M1)
    assert not found.serves
    need = found.answers.needs()[0]
    assert (need.aim_width_mm, (need.least_long_mm + need.most_long_mm) / 2) == pytest.approx(
        (width_mm, long_mm)
    )


# M4


def test_m4_14_in_8_mm_304_takes_die_15_8_first(metric: Metric) -> None:
    """14 x 8 x 1.103 x 1.5 = 185 kN; sigma 1,203 MPa; d/t 1.75; 1.8 is 22.5 %, 0.8 is 10 %."""
    shop = metric(450, {"P-1": 14.0}, {"D-1": 14.8, "D-2": 15.8})
    found = ask(shop, "hole 14 thru 8 304")
    assert tags(found) == ["P-1+D-2", "P-1+D-1"]
    assert found.decided_by == "clearance closest to the policy"
    best = found.picks[0]
    assert best.figures["force_kn"] == pytest.approx(185, abs=0.5)
    assert best.figures["punch_stress_mpa"] == pytest.approx(1203, abs=1.5)
    assert say(best, "hole to thickness").value == pytest.approx(1.75)
    said = [say(one, "clearance").text for one in found.picks]
    assert "22.5 % of thickness" in said[0]
    assert "10.0 % of thickness" in said[1]


def test_m4_a_cautious_shop_refuses_it(metric: Metric) -> None:
    """1.75 < 2.0."""
    shop = metric(450, {"P-1": 14.0}, {"D-1": 14.8, "D-2": 15.8})
    rule(shop, "material.304.min_hole_ratio", "2.0")
    found = ask(shop, "hole 14 thru 8 304")
    assert not found.serves
    assert set(stops(found.near_misses[0])) == {"hole to thickness"}
    assert found.order == ()


# M8


@pytest.mark.parametrize(
    ("thickness", "yield_mpa", "allowed", "limit_mm", "instead"),
    [
        ("14", 350.0, True, 16.0, set()),
        ("20", 300.0, False, 18.7, set()),
        ("10", 400.0, False, None, {"hole 22mm thru 10mm S275 ream"}),
    ],
)
def test_m8_as_4100_by_strength_and_thickness(
    metric: Metric,
    thickness: str,
    yield_mpa: float,
    allowed: bool,
    limit_mm: float | None,
    instead: set[str],
) -> None:
    """5600/350 = 16 >= 14 is allowed; 5600/300 = 18.7 < 20 is not; 400 > 360 MPa is not.

    What is not allowed is punched 3 mm under and reamed, or drilled; in 20 mm plate a 19 mm hole
    is thinner than the plate, so only the drill is left.
    """
    shop = metric(600, {"P-1": 22.0}, {"D-1": 24.0})
    found = ask(shop, f"hole 22 thru {thickness} S275", code="AS 4100", cert_yield_mpa=yield_mpa)
    assert found.serves is allowed
    one = found.picks[0] if allowed else found.near_misses[0]
    assert say(one, "method").limit == (
        None if limit_mm is None else pytest.approx(limit_mm, abs=0.05)
    )
    if not allowed:
        assert set(stops(one)) == {"method"}
        assert {way.ask for way in found.workarounds} - {None} == instead
        assert any("drill 22 mm" in way.text for way in found.workarounds)


# M17


def test_m17_rough_work_saves_the_new_punch_and_finish_work_takes_it(metric: Metric) -> None:
    """W = 1.0 in 10 mm; P-22 has 2,000 of 5,000 left, 300 are wanted."""
    shop = metric(450, {"P-21": 18.0, "P-22": 18.0}, {"D-1": 19.5})
    change(shop, "UPDATE piece SET wear_milli = 3000000 WHERE tag = 'P-22'")
    rough = ask(shop, "hole 18 thru 10 S275", quantity=300, appearance="rough")
    assert first(rough) == "P-22+D-1"
    assert rough.picks[0].severities["punch"] == pytest.approx(1.0)
    assert rough.decided_by == "edge that suits the class of work"
    lasting = [one.text for one in rough.picks[0].findings if one.rule == "lasting"]
    assert lasting[0] == "lasts 300 at 1.00 each: P-22 ends at 66 %, 1 in 127 dull by then"
    assert say(rough.picks[0], "copies").text == "P-22 lasts and is worn already: it saves P-21"
    finish = ask(shop, "hole 18 thru 10 S275", quantity=300, appearance="finish")
    assert first(finish) == "P-21+D-1"
    assert finish.decided_by == "edge that suits the class of work"
    text = "P-21 is sharper than P-22, which stays for rough work"
    assert say(finish.picks[0], "copies").text == text
