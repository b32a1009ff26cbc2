"""Several hits when no single tool makes it, from the question to the answer."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from math import pi
from pathlib import Path
from typing import Any

import pytest

from crib.desk.answer.asked import read_asked
from crib.desk.answer.lookup import Lookup
from crib.desk.answer.several_hits import hit_plans
from crib.errors import BadValue
from crib.features.common.case import Circumstances
from crib.features.holes import opening_hit_plans
from crib.stock.engine.session import Session
from crib.stock.tables.all_tables import PlaceRecord
from tests.desk.asks import ask, rule, say, stops, tags
from tests.shop import add_kind, add_piece, add_seat, add_station, insert, new_crib

SLOT = "slot 22 x 50 thru 10 S275"
KEYED = {"key_angles": "0 90"}

Size = tuple[str, str]
Shop = Callable[..., Session]


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """A metric shop with one station, and pairs of punch and die as a test names them."""
    shops: list[Session] = []

    def made(*pairs: tuple[str, str, str], rated_kn: float = 450) -> Session:
        session = new_crib(tmp_path / "plans.crib", unit="mm")
        shops.append(session)
        seat = add_seat(
            session, "A", body_diameter_mm=80.0, nut_bore_mm=80.0, die_diameter_mm=120.0
        )
        add_station(session, "Ironworker 1", "main punch", rated_kn * 1000, [seat])
        insert(session, PlaceRecord, name="A2", sort="drawer", walk_order=1)
        for number, (shape, width, long) in enumerate(pairs, 1):
            add_pair(session, number, shape, float(width), float(long) if long else None)
        return session

    yield made
    for session in shops:
        session.close()


def add_pair(
    session: Session, number: int, shape: str, width_mm: float, long_mm: float | None
) -> None:
    """A punch P-n and its die D-n with 1.6 mm of clearance."""
    keyed: dict[str, Any] = {} if shape == "round" else KEYED
    for role, tag, more_mm in (("punch", "P", 0.0), ("die", "D", 1.6)):
        kind = add_kind(
            session,
            role=role,
            width=f"{width_mm + more_mm}mm",
            long="" if long_mm is None else f"{long_mm + more_mm}mm",
            shape=shape,
            seat_id=1,
            **keyed,
        )
        add_piece(session, f"{tag}-{number}", kind)


# M6


def test_m6_no_plan_for_a_slot_of_22_by_50_with_a_punch_of_22_by_40(shop: Shop) -> None:
    """Chain: pitch 10 <= 18, but 10 x 22 / (18 x 22 + pi 22² / 4) = 28 % < 60 %.

    Ends at 28 centres, then a bridge: (28 x 22 - pi 22² / 4) / 776 = 30 % < 35 %. Ordered:
    (2 x 28 + pi x 22) x 10 x 0.351 = 439 kN, 98 % of 450.
    """
    crib = shop(("obround", "22", "40"), ("round", "22", ""))
    found = ask(crib, SLOT)
    assert not found.serves
    chain, bridge = (
        next(one for one in found.near_misses if rule_name in stops(one))
        for rule_name in ("chain bite", "bridge bite")
    )
    area_mm2 = 18 * 22 + pi * 22**2 / 4
    assert stops(chain)["chain bite"].value == pytest.approx(10 * 22 / area_mm2)
    assert stops(chain)["chain bite"].limit == 0.60
    assert "cuts 28 % of the punch; at least 60 % must cut" in stops(chain)["chain bite"].text
    assert "cuts 30 % of the punch; at least 35 % must cut" in stops(bridge)["bridge bite"].text
    assert [hit.x_mm for hit in chain.plan.hits] == [-5.0, 5.0]  # type: ignore[union-attr]
    assert [hit.x_mm for hit in bridge.plan.hits] == [-14.0, 14.0, 0.0]  # type: ignore[union-attr]
    assert {(line.spec.role, line.spec.width_mm, line.spec.long_mm) for line in found.order} >= {
        ("punch", 22.0, 50.0)
    }
    assert "439.3 kN of 450.0 kN at Ironworker 1 / main punch, 98 %" in found.order[0].because
    told = " ".join(way.text for way in found.workarounds)
    assert "drill the ends" in told
    assert "thermally" in told


def test_m6_the_slot_in_one_hit_loads_the_station_to_98_per_cent(shop: Shop) -> None:
    crib = shop(("obround", "22", "40"), ("round", "22", ""), ("obround", "22", "50"))
    best = ask(crib, SLOT).picks[0]
    assert best.plan is None
    assert best.figures["force_kn"] == pytest.approx(439, abs=0.5)
    assert say(best, "force").verdict == "caution"
    assert best.figures["load"] == pytest.approx(0.98, abs=0.005)


# What is planned


def test_a_plan_never_stands_beside_a_proper_tool(shop: Shop) -> None:
    crib = shop(("rectangle", "22", "44"), ("round", "22", ""), ("obround", "22", "66"))
    found = ask(crib, "slot 22 x 66 thru 5 S275")
    assert tags(found) == ["P-3+D-3"]
    assert all(one.plan is None for one in found.picks)


def test_a_slot_by_round_ends_and_a_rectangle_between(shop: Shop) -> None:
    """44 x 22 - pi 11² = 588 of 968 mm²: the bridge bites 61 %."""
    crib = shop(("rectangle", "22", "44"), ("round", "22", ""))
    found = ask(crib, "slot 22 x 66 thru 5 S275")
    best = found.picks[0]
    assert best.plan is not None
    assert [hit.kind for hit in best.plan.hits] == ["full", "full", "bridge"]
    assert best.plan.hits[2].bite == pytest.approx((44 * 22 - pi * 121) / (44 * 22))
    assert best.plan.cusp_mm == 0.0
    assert say(best, "bridge bite").verdict == "ok"
    assert say(best, "web").value == pytest.approx(22.0)
    assert say(best, "web").limit == pytest.approx(2.5)
    assert tags(found)[0] == "P-2+D-2+P-1+D-1"
    assert list(best.tooling.tools) == ["punch", "die", "second punch", "second die"]


def test_the_wear_of_a_plan_counts_every_hit_with_its_weight(shop: Shop) -> None:
    crib = shop(("rectangle", "22", "44"), ("round", "22", ""))
    best = ask(crib, "slot 22 x 66 thru 5 S275").picks[0]
    full = ask(crib, "hole 22 thru 5 S275").picks[0].severities["punch"]
    once = ask(crib, "rectangle 22 x 44 thru 5 S275").picks[0].severities["punch"]
    assert best.severities["punch"] == pytest.approx(2 * full)
    assert best.severities["second punch"] == pytest.approx(1.3 * once)


def test_the_number_of_hits_and_the_plan_stand_in_the_answer_for_programs(shop: Shop) -> None:
    crib = shop(("rectangle", "40", "60"))
    pick = ask(crib, "rectangle 40 x 105 thru 5 S275").as_json()["picks"][0]
    assert pick["hits"] == 2
    assert [hit["x_mm"] for hit in pick["plan"]["hits"]] == [-22.5, 22.5]
    assert pick["least_bite"] == pytest.approx(0.75)
    assert [piece["role"] for piece in pick["pieces"]] == ["punch", "die"]


def test_a_chain_that_bites_60_to_75_per_cent_is_a_caution(shop: Shop) -> None:
    crib = shop(("rectangle", "40", "60"))
    best = ask(crib, "rectangle 40 x 98 thru 5 S275").picks[0]
    assert say(best, "chain bite").verdict == "caution"
    assert say(best, "chain bite").value == pytest.approx(38 / 60)
    assert not ask(crib, "rectangle 40 x 95 thru 5 S275").serves


def test_the_shop_may_ask_for_deeper_bites(shop: Shop) -> None:
    crib = shop(("rectangle", "40", "60"))
    rule(crib, "hit.chain_ok", "0.8")
    best = ask(crib, "rectangle 40 x 105 thru 5 S275").picks[0]
    assert say(best, "chain bite").verdict == "caution"


def test_a_web_thinner_than_half_the_plate_refuses_the_bridge(shop: Shop) -> None:
    """Ends of 60 leave 4 mm in 124; half of 10 mm is 5."""
    crib = shop(("obround", "20", "60"), ("rectangle", "20", "40"), rated_kn=2000)
    found = ask(crib, "slot 20 x 124 thru 10 S275")
    webs = [stops(one)["web"] for one in found.near_misses if "web" in stops(one)]
    assert webs
    assert webs[0].value == pytest.approx(4.0)
    assert webs[0].limit == pytest.approx(5.0)


def test_a_square_by_a_smaller_square_needs_bites_on_two_sides(shop: Shop) -> None:
    """58 by 32: the last hit cuts (26 / 32)² = 66 %, a caution; in 50 it cuts (18 / 32)² = 32 %."""
    crib = shop(("square", "32", ""))
    best = ask(crib, "square 58 thru 5 S275").picks[0]
    assert best.figures["hits"] == 4
    assert best.figures["least_bite"] == pytest.approx((26 / 32) ** 2)
    assert not ask(crib, "square 50 thru 5 S275").serves


def test_the_code_of_a_bolt_rules_the_hits_of_its_slot_too(shop: Shop) -> None:
    crib = shop(("rectangle", "22", "28"), ("round", "22", ""))
    phrase = "bolt M20 long thru {} S275"
    assert ask(crib, phrase.format("8"), code="UFGS").serves
    refused = ask(crib, phrase.format("21"), code="UFGS")
    assert not refused.serves
    assert all(one.plan is None for one in refused.near_misses)


@pytest.mark.parametrize("phrase", ["hole 30 thru 5 S275", "hexagon 30 thru 5 S275"])
def test_a_round_or_hexagonal_hole_is_never_nibbled(shop: Shop, phrase: str) -> None:
    crib = shop(("round", "22", ""), ("square", "20", ""), ("rectangle", "20", "30"))
    found = ask(crib, phrase)
    assert not found.serves
    assert all(one.plan is None for one in found.near_misses)


def test_a_plan_is_worked_out_once_and_when_it_is_looked_at(
    shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    lookup = Lookup(shop(("square", "40", ""), ("rectangle", "30", "40")))
    asked = read_asked("rectangle 40 x 100 thru 5 S275", lookup.reading, Circumstances())
    search = lookup.search(asked.ask, asked.facts)
    worked_out: list[object] = []
    plan = opening_hit_plans._plan

    def counted(*way: Any) -> Any:
        worked_out.append(way)
        if len(worked_out) == 2:
            message = "once only"
            raise BadValue(message)
        return plan(*way)

    monkeypatch.setattr(opening_hit_plans, "_plan", counted)
    first = next(hit_plans(search))
    assert next(hit_plans(search)) is first
    assert len(worked_out) == 1
    with pytest.raises(BadValue, match="once only"):
        list(hit_plans(search))
    again = list(hit_plans(search))
    assert again[0] == first
    assert len(again) > 1
