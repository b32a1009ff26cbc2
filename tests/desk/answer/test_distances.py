"""The metal beside a hole, from the phrase to the answer: the tooling's side and the code's."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from crib.desk.answer.find import Found
from crib.errors import BadPhrase
from crib.features.common.case import Circumstances
from crib.features.common.findings import Finding
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.tables.all_tables import PlaceRecord
from crib.trade.common.verdicts import Verdict
from tests.desk.asks import ask, rule, say, stops
from tests.shop import add_kind, add_piece, add_seat, add_station, insert, new_crib, small_shop

HOLE = "hole 22 thru 12 S275"


@pytest.fixture
def inch(tmp_path: Path) -> Iterator[Session]:
    shop = small_shop(tmp_path / "inch.crib")
    yield shop
    shop.close()


@pytest.fixture
def metric(tmp_path: Path) -> Iterator[Session]:
    """One station of 450 kN with a 22 pair, die 24, and a 22 x 50 pair, die 24 x 52."""
    shop = new_crib(tmp_path / "metric.crib", unit="mm")
    seat = add_seat(shop, "A", die_diameter_mm=84.0, body_diameter_mm=60.0)
    add_station(shop, "Ironworker 1", "main punch", 450_000.0, [seat])
    insert(shop, PlaceRecord, name="A2", sort="drawer", walk_order=1)
    slotted = {"shape": "obround", "key_angles": "0 90"}
    add_piece(shop, "P-22", add_kind(shop, role="punch", width="22mm", seat_id=seat))
    add_piece(shop, "D-24", add_kind(shop, role="die", width="24mm", seat_id=seat))
    punch = add_kind(shop, role="punch", width="22mm", long="50mm", seat_id=seat, **slotted)
    die = add_kind(shop, role="die", width="24mm", long="52mm", seat_id=seat, **slotted)
    add_piece(shop, "P-50", punch)
    add_piece(shop, "D-52", die)
    yield shop
    shop.close()


def told(found: Found, name: str) -> Finding:
    """One rule's finding on the first pick, or on the nearest miss."""
    return say((*found.picks, *found.near_misses)[0], name)


# M11


def test_m11_two_22_holes_at_35_in_12_mm_are_a_caution_for_the_tooling(metric: Session) -> None:
    """35 - 22 = 13 mm of metal; 13 / 12 = 1.08 t, between 1 and 1.5."""
    found = ask(metric, f"{HOLE} pitch 35")
    metal = told(found, "metal to pitch")
    assert found.serves
    assert (metal.verdict, metal.limit) == ("caution", 18.0)
    assert metal.value == pytest.approx(13.0)
    assert "13 mm of metal to the next hole = 1.08 t, at least 1 t, better 1.5 t" in metal.text


def test_m11_the_code_stops_it_and_sends_it_to_the_engineer(metric: Session) -> None:
    """2.4 x 22 = 52.8 > 35: the load may be square to it."""
    found = ask(metric, f"{HOLE} pitch 35", code="EN 1090-2", execution_class=2)
    assert not found.serves
    code = stops(found.near_misses[0])["code pitch"]
    assert code.value == 35.0
    assert code.limit == pytest.approx(2.4 * 22)
    assert "EN 1993-1-8: 35 mm to the next hole, at least 52.8 mm" in code.text
    assert "the load's direction is not said" in code.text
    assert code.text.endswith(": ask the engineer")
    assert told(found, "metal to pitch").verdict == "caution"
    assert found.order == ()
    assert "ask the engineer" in found.why_no_order
    assert found.workarounds[0].text.startswith("ask the engineer for another distance")
    assert not any("drill" in one.text for one in found.workarounds)


@pytest.mark.parametrize(
    ("tail", "limit_mm", "verdict"),
    [
        ("pitch 50", 52.8, "refuse"),
        ("pitch 50 p1", 48.4, "ok"),
        ("pitch 50 p2", 52.8, "refuse"),
        ("pitch 53", 52.8, "ok"),
    ],
)
def test_a_pitch_whose_load_nobody_named_keeps_to_the_stricter_limit(
    metric: Session, tail: str, limit_mm: float, verdict: Verdict
) -> None:
    """EN 1993-1-8 Table 3.3: p1 2.2 d0 along the load, p2 2.4 d0 across it."""
    code = told(ask(metric, f"{HOLE} {tail}", code="EN 1090-2", execution_class=2), "code pitch")
    assert code.verdict == verdict
    assert code.limit == pytest.approx(limit_mm)


# The tooling's side


@pytest.mark.parametrize(
    ("tail", "name", "verdict", "metal_mm"),
    [
        ("edge 22.99", "metal to edge", "refuse", 11.99),
        ("edge 23", "metal to edge", "caution", 12.0),
        ("edge 28.99", "metal to edge", "caution", 17.99),
        ("edge 29", "metal to edge", "ok", 18.0),
        ("end 22.99", "metal to end", "refuse", 11.99),
        ("end 29", "metal to end", "ok", 18.0),
        ("pitch 33.99", "metal to pitch", "refuse", 11.99),
        ("pitch 34", "metal to pitch", "caution", 12.0),
        ("pitch 40", "metal to pitch", "ok", 18.0),
    ],
)
def test_metal_below_one_thickness_is_refused_and_below_one_and_a_half_a_caution(
    metric: Session, tail: str, name: str, verdict: Verdict, metal_mm: float
) -> None:
    found = ask(metric, f"{HOLE} {tail}")
    finding = told(found, name)
    assert finding.verdict == verdict
    assert finding.value == pytest.approx(metal_mm)
    assert found.serves is (verdict != "refuse")
    assert "common practice" in finding.source


@pytest.mark.parametrize(
    ("tail", "name", "text"),
    [
        ("edge 11", "metal to edge", "no metal to the edge: edge 11 mm"),
        ("pitch 20", "metal to pitch", "the holes run into each other: pitch 20 mm"),
    ],
)
def test_a_hole_that_breaks_out_is_a_stop_that_nobody_may_override(
    metric: Session, tail: str, name: str, text: str
) -> None:
    stop = stops(ask(metric, f"{HOLE} {tail}").near_misses[0])[name]
    assert (stop.final, stop.text) == (True, text)


def test_the_shop_sets_how_much_metal_it_wants(metric: Session) -> None:
    rule(metric, "edge.prefer_t", "2")
    assert told(ask(metric, f"{HOLE} edge 29"), "metal to edge").verdict == "caution"
    rule(metric, "edge.refuse_t", "1.6")
    assert not ask(metric, f"{HOLE} edge 29").serves


@pytest.mark.parametrize(
    ("tail", "metal_mm", "words"),
    [
        ("edge 40", 15.0, "long side towards it; or else say sideways"),
        ("edge 40 sideways", 29.0, "narrow side towards it"),
        ("pitch 70", 20.0, "long side towards it"),
        ("pitch 70 sideways", 48.0, "narrow side towards it"),
    ],
)
def test_a_slot_lies_with_its_long_side_towards_the_edge_unless_it_is_said(
    metric: Session, tail: str, metal_mm: float, words: str
) -> None:
    found = ask(metric, f"slot 22 x 50 thru 8 S275 {tail}")
    finding = told(found, f"metal to {tail.split()[0]}")
    assert finding.value == pytest.approx(metal_mm)
    assert words in finding.text


def test_a_hole_too_near_to_punch_may_be_drilled(metric: Session) -> None:
    found = ask(metric, f"{HOLE} edge 20")
    texts = [one.text for one in found.workarounds]
    assert any(text.startswith("drill 22 mm") for text in texts)
    assert found.workarounds[0].ask == "hole 22mm thru 12mm S275 edge 20mm ream"


# The code's side


@pytest.mark.parametrize(
    ("phrase", "code", "name", "verdict", "limit_mm"),
    [
        ("bolt 3/4 thru 3/8 edge 31/32", "AISC 360", "code edge", "refuse", 25.4),
        ("bolt 3/4 thru 3/8 edge 1", "AISC 360", "code edge", "ok", 25.4),
        ("bolt 3/4 thru 3/8 end 1-1/4", "aisc360", "code end", "ok", 25.4),
        ("bolt 3/4 thru 3/8 pitch 1-31/32", "AISC 360", "code pitch", "refuse", 50.8),
        ("bolt 3/4 thru 3/8 pitch 2", "AISC 360", "code pitch", "caution", 57.15),
        ("bolt 3/4 thru 3/8 pitch 2-1/4", "AISC 360", "code pitch", "ok", 57.15),
        ("bolt 3/4 thru 3/8 edge 1-5/16", "AS 4100", "code edge", "ok", 33.3375),
        ("bolt 3/4 thru 3/8 edge 1-1/4", "AS 4100", "code edge", "refuse", 33.3375),
        ("bolt 3/4 thru 3/8 edge 1-1/4", "as/nzs 5131", "code edge", "refuse", 33.3375),
        ("hole 13/16 thru 3/8 edge 31/32", "EN 1090-2", "code edge", "refuse", 24.765),
        ("hole 13/16 thru 3/8 edge 1", "EN 1090-2", "code edge", "ok", 24.765),
    ],
)
def test_each_code_counts_in_its_own_way(
    inch: Session, phrase: str, code: str, name: str, verdict: Verdict, limit_mm: float
) -> None:
    """AISC: 3/4 bolt 1 in, 2-2/3 d, 3 d preferred. AS: 1.75 d sheared. EN: 1.2 d0 of 13/16."""
    found = ask(inch, phrase, code=code, execution_class=2)
    finding = told(found, name)
    assert finding.verdict == verdict
    assert finding.limit == pytest.approx(limit_mm)


def test_a_slot_stands_towards_the_edge_from_its_end_centre_in_the_european_code(
    metric: Session,
) -> None:
    """1.5 x 22 = 33; upright 47 - (50 - 22) / 2 = 33, sideways 33 from the axis."""
    slot = "slot 22 x 50 thru 8 S275"
    for tail, verdict in (
        ("edge 47", "ok"),
        ("edge 46", "refuse"),
        ("edge 33 sideways", "ok"),
        ("edge 32 sideways", "refuse"),
    ):
        found = ask(metric, f"{slot} {tail}", code="EN 1090-2", execution_class=2)
        finding = told(found, "code edge")
        assert (tail, finding.verdict) == (tail, verdict)
        assert finding.limit == pytest.approx(33.0)


def test_an_aisc_slot_adds_its_length_only_where_it_stands_towards_the_edge(inch: Session) -> None:
    """1 + 1/8 = 1-1/8 in upright, 1 in sideways."""
    slot = "bolt 3/4 short thru 3/8"
    rules, facts = shop_rules(inch), Circumstances(code="AISC 360")
    limits = [
        one.limit
        for tail in ("", " sideways")
        for one in ask(inch, f"{slot} edge 2{tail}").ask.answers(rules, facts).feature_findings
        if one.rule == "code edge"
    ]
    assert limits == [pytest.approx(25.4 * 1.125), pytest.approx(25.4)]


@pytest.mark.parametrize("code", ["AISC 360", "AS 4100"])
def test_a_code_that_counts_from_the_bolt_asks_which_bolt(inch: Session, code: str) -> None:
    found = ask(inch, "hole 13/16 thru 3/8 edge 2", code=code)
    assert "counts from the bolt, and its size is missing" in told(found, "which bolt").text
    assert found.workarounds[0].text.startswith("say which bolt the hole is for")


def test_a_code_whose_distances_are_not_held_is_a_caution(inch: Session) -> None:
    found = ask(inch, "bolt 3/4 thru 3/8 edge 2", code="CSA S16")
    finding = told(found, "code edge")
    assert (finding.verdict, finding.limit) == ("caution", None)
    assert "read them in the contract's copy" in finding.text


def test_without_a_code_only_the_tooling_speaks(inch: Session) -> None:
    found = ask(inch, "hole 13/16 thru 3/8 edge 2 end 2 pitch 3")
    names = [one.rule for one in found.picks[0].findings if one.rule.startswith(("metal", "code"))]
    assert names == ["metal to edge", "metal to end", "metal to pitch"]


def test_without_distances_nothing_is_said_of_them(inch: Session) -> None:
    found = ask(inch, "bolt 3/4 thru 3/8", code="AISC 360")
    assert not [one for one in found.picks[0].findings if one.rule.startswith(("metal", "code"))]


# The phrase


@pytest.mark.parametrize(
    ("phrase", "canonical"),
    [
        ("hole 13/16 thru 3/8 A36 pitch 3 edge 1-1/4", "edge 1-1/4 pitch 3"),
        ("bolt 3/4 thru 3/8 end 50mm", "end 50mm"),
        ("square 1/2 thru 1/4 A36 edge 1 for 10", "edge 1"),
        ("slot 13/16 x 2 thru 3/8 end 2 edge 1 sideways", "edge 1 sideways end 2"),
    ],
)
def test_the_distances_stand_in_the_canonical_phrase_which_reads_back(
    inch: Session, phrase: str, canonical: str
) -> None:
    found = ask(inch, phrase)
    assert found.phrase.endswith(f" {canonical}")
    again = ask(inch, found.phrase)
    assert again.phrase == found.phrase
    assert again.as_json()["ask"]["feature"] == found.ask.feature


def test_the_distances_stand_in_the_json(inch: Session) -> None:
    asked = ask(inch, "slot 13/16 x 2 thru 3/8 edge 1 sideways pitch 4").as_json()["ask"]
    assert (asked["edge_mm"], asked["edge_sideways"]) == (25.4, True)
    assert asked["pitch_mm"] == pytest.approx(101.6)
    assert "end_mm" not in asked
    assert "pitch_sideways" not in asked


@pytest.mark.parametrize(
    ("tail", "match"),
    [
        ("edge", "expected the edge distance"),
        ("edge 0", "expected the edge distance"),
        ("edge 1 edge 2", "'edge' is said twice"),
        ("edge 1 sideways", "cannot place 'sideways'"),
        ("pitch 1,5", "expected the pitch distance"),
    ],
)
def test_a_distance_that_cannot_be_read_is_pointed_at(inch: Session, tail: str, match: str) -> None:
    with pytest.raises(BadPhrase, match=match):
        ask(inch, f"hole 13/16 thru 3/8 A36 {tail}")


# The method


@pytest.mark.parametrize(
    ("phrase", "facts", "ruling", "chosen"),
    [
        ("bolt M20 thru 12 S275", {"execution_class": 2}, "allowed", "punch full size"),
        ("bolt M20 thru 12 S275", {"execution_class": 3}, "not allowed", "none yet"),
        ("bolt M20 thru 12 S275", {}, "undecided", "none yet"),
        ("hole 20 thru 12 S275 ream", {"execution_class": 3}, "not allowed", "none yet"),
        ("hole 24 thru 12 S275 ream", {"execution_class": 3}, "not allowed", "none yet"),
        ("hole 25 thru 12 S275 ream", {"execution_class": 3}, "not allowed",
         "punch under size and ream"),
    ],
)  # fmt: skip
def test_the_answer_records_how_the_code_wants_the_hole_made(
    metric: Session, phrase: str, facts: dict[str, int], ruling: str, chosen: str
) -> None:
    made = ask(metric, phrase, code="en1090-2", **facts).as_json()["method"]
    assert (made["code"], made["ruling"], made["chosen"]) == ("EN 1090-2", ruling, chosen)
    assert (made["instead"] is None) is (ruling == "allowed")


def test_a_bolt_hole_that_may_not_be_punched_full_size_is_punched_small_and_reamed(
    metric: Session,
) -> None:
    found = ask(metric, "bolt M20 thru 12 S275", code="EN 1090-2", execution_class=3)
    assert not found.serves
    assert found.workarounds[0].ask == "bolt M20 per EN 1090-2 thru 12mm S275 ream"


def test_without_a_code_no_method_is_recorded(metric: Session) -> None:
    assert ask(metric, HOLE).as_json()["method"] is None
