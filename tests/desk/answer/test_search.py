"""The search looks at few pieces, and yet no piece that is added can hide an answer."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing, suppress
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from crib.desk.answer.find import Found, find
from crib.desk.answer.lookup import Lookup
from crib.desk.answer.rank import LINES, Candidate, few_of_each, ranked
from crib.desk.answer.search import Search
from crib.features.common.case import Circumstances
from crib.features.common.findings import cautions, refusals
from crib.features.common.tooling import Tool
from crib.features.registry import read_phrase
from crib.stock.book.settings import shop_rules
from crib.stock.engine.opening import open_crib
from crib.stock.engine.session import Session
from crib.stock.queries.candidates import EACH
from crib.stock.queries.pieces import select_cards
from crib.stock.queries.tool_shelf import ToolShelf
from crib.units import N_PER_US_TON
from tests.bench.big_crib import Size, build
from tests.demo_crib import demo_crib
from tests.desk.asks import HOLE, ask, change, first, measure, one_station, pair, tags
from tests.features.bench import IN
from tests.shop import add_kind, add_piece, add_seat, add_station, small_shop
from tests.stock.sql_seen import explain, statements_of


@pytest.fixture
def bare(tmp_path: Path) -> Iterator[Session]:
    """One station, one seat, one pair."""
    with closing(one_station(tmp_path / "bare.crib")) as shop:
        pair(shop)
        yield shop


def many(shop: Session, role: str, width: str, count: int, **columns: Any) -> None:
    """So many pieces of one new kind."""
    kind = add_kind(shop, role=role, width=width, **({"seat_id": 1} | columns))
    for number in range(count):
        add_piece(shop, f"X-{kind}-{number}", kind, place="A3")


def test_measured_pieces_of_a_seat_that_no_station_takes_hide_nothing(bare: Session) -> None:
    other = add_seat(bare, "Z")
    many(bare, "die", "27/32", 45, seat_id=other)
    change(bare, "UPDATE piece SET measured_width_mm = 21.43 WHERE tag LIKE 'X-%'")
    measure(bare, "D-1", 21.44)
    assert first(ask(bare)) == "P-1+D-1"


def test_measured_dies_that_are_too_wide_hide_nothing(bare: Session) -> None:
    many(bare, "die", "31/32", 45)
    change(bare, "UPDATE piece SET measured_width_mm = 24.6 WHERE tag LIKE 'X-%'")
    measure(bare, "D-1", 21.44)
    assert first(ask(bare)) == "P-1+D-1"


def test_measured_dies_further_from_the_policy_do_not_push_the_closest_one_out(
    bare: Session,
) -> None:
    many(bare, "die", "7/8", 30)
    change(bare, "UPDATE piece SET measured_width_mm = 22.0 + id * 0.005 WHERE tag LIKE 'X-%'")
    found = ask(bare)
    assert first(found) == "P-1+D-1"
    assert found.decided_by == "clearance closest to the policy"


@pytest.mark.parametrize("appearance", ["any", "finish"])
def test_dull_measured_punches_of_the_very_size_do_not_hide_a_sharp_one(
    bare: Session, appearance: str
) -> None:
    kind = bare.value("SELECT kind_id FROM piece WHERE tag = 'P-1'")
    for number in range(20):
        add_piece(bare, f"P-9{number:02d}", kind, wear=5300, measured_width_mm=20.6375)
    measure(bare, "P-1", 20.66)
    found = ask(bare, appearance=appearance)
    assert first(found) == "P-1+D-1"
    assert found.decided_by == "no cautions"


def test_rough_work_finds_the_worn_one_among_many_that_were_measured(bare: Session) -> None:
    kind = bare.value("SELECT kind_id FROM piece WHERE tag = 'P-1'")
    for number in range(40):
        width_mm = 20.6375 + number * 0.001
        add_piece(bare, f"P-9{number:02d}", kind, wear=100 * number, measured_width_mm=width_mm)
    assert first(ask(bare, appearance="rough")) == "P-939+D-1"


def test_dull_dies_close_to_the_policy_do_not_hide_a_sharp_one_further_off(
    tmp_path: Path,
) -> None:
    with closing(one_station(tmp_path / "s.crib")) as shop:
        pair(shop, opening="7/8")
        for number in range(8):
            kind = add_kind(shop, role="die", width="27/32", seat_id=1)
            add_piece(shop, f"D-9{number}", kind, wear=5200)
        found = ask(shop)
        assert first(found) == "P-1+D-1"
        assert found.decided_by == "no cautions"


@pytest.mark.parametrize("quantity", [1, 500])
def test_rough_work_takes_the_most_worn_piece_that_lasts_out_of_many(
    bare: Session, quantity: int
) -> None:
    kind = bare.value("SELECT kind_id FROM piece WHERE tag = 'P-1'")
    for number in range(3 * EACH):
        add_piece(bare, f"P-1{number:02d}", kind, wear=4990.0 - number)
    for number in range(3 * EACH):
        add_piece(bare, f"P-2{number:02d}", kind, wear=4400.0 - 10 * number)
    expected = "P-100" if quantity == 1 else "P-200"
    assert first(ask(bare, appearance="rough", quantity=quantity)).split("+")[0] == expected


def test_finish_work_takes_the_sharpest_of_many(bare: Session) -> None:
    kind = bare.value("SELECT kind_id FROM piece WHERE tag = 'P-1'")
    change(bare, "UPDATE piece SET wear_milli = 900000 WHERE tag = 'P-1'")
    for number in range(3 * EACH):
        add_piece(bare, f"P-1{number:02d}", kind, wear=400.0 - 10 * number)
    assert first(ask(bare, appearance="finish")).split("+")[0] == "P-111"


def test_a_mounted_piece_is_found_among_many_others(bare: Session) -> None:
    kind = bare.value("SELECT kind_id FROM piece WHERE tag = 'P-1'")
    for number in range(3 * EACH):
        add_piece(bare, f"P-1{number:02d}", kind, wear=100.0 * number)
    add_piece(bare, "P-200", kind, wear=550.0, place="Ironworker 1 / punch")
    found = ask(bare)
    assert first(found) == "P-200+D-1"
    assert found.decided_by == "already mounted there"


def test_the_die_beside_a_punch_is_the_best_of_its_kind(bare: Session) -> None:
    kind = bare.value("SELECT kind_id FROM piece WHERE tag = 'D-1'")
    add_piece(bare, "D-0", kind, wear=4900, place="A1")
    assert first(ask(bare)) == "P-1+D-0"
    assert first(ask(bare, quantity=1000)) == "P-1+D-1"


def test_a_long_side_says_nothing_of_a_round_tool(bare: Session) -> None:
    change(bare, "UPDATE kind SET long_mm = 50")
    assert first(ask(bare)) == "P-1+D-1"


# The law: whatever sound piece is added, what was found stays found.


class Back(Exception):
    """Take back what was written."""


STRANGE = st.fixed_dictionaries(
    {
        "of_kind": st.sampled_from([None, None, "P-0137", "D-0201", "D-0202"]),
        "role": st.sampled_from(["punch", "die"]),
        "size_mm": st.one_of(
            st.sampled_from([20.6375, 21.43125, 22.225, 20.7, 24.4, 24.6]),
            st.floats(15.0, 30.0),
        ),
        "shape": st.sampled_from(["round", "round", "round", "square", "obround", "special"]),
        "seat_id": st.sampled_from([1, 1, 2, 3, None]),
        "measured_mm": st.one_of(st.none(), st.floats(15.0, 30.0), st.just(20.6375)),
        "wear": st.sampled_from([0.0, 10.0, 4999.0, 5500.0, 9000.0]),
        "copies": st.integers(1, 8),
        "length_mm": st.sampled_from([None, 40.0, 69.9]),
        "stress_limit_mpa": st.sampled_from([None, 300.0, 2000.0]),
        "place": st.sampled_from(["A1", "A4", "Ironworker 2 / punch"]),
        "dedicated_to": st.sampled_from(["", "", "mild", "stainless"]),
    }
)


@pytest.fixture(scope="module")
def law_shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Session]:
    """The small shop with a seat that no station takes."""
    with closing(small_shop(tmp_path_factory.mktemp("law") / "shop.crib")) as shop:
        add_seat(shop, "Z")
        yield shop


def put(shop: Session, number: int, one: dict[str, Any]) -> None:
    """Some copies of one made-up piece on the shelf, each a little more worn than the last."""
    long = {"long_mm": one["size_mm"] + 5} if one["shape"] in ("obround", "special") else {}
    kind = shop.value("SELECT kind_id FROM piece WHERE tag = ?", (one["of_kind"],)) or add_kind(
        shop,
        role=one["role"],
        width="1",
        width_mm=one["size_mm"],
        shape=one["shape"],
        seat_id=one["seat_id"],
        stress_limit_mpa=one["stress_limit_mpa"],
        length_mm=70.0,
        name=f"law {number}",
        **long,
    )
    for copy in range(one["copies"]):
        add_piece(
            shop,
            f"L-{number}-{copy}",
            kind,
            place=("A1", one["place"], "A3")[copy % 3],
            wear=one["wear"] + 150 * copy,
            length_mm=one["length_mm"],
            measured_width_mm=one["measured_mm"],
            dedicated_to=one["dedicated_to"],
        )


@given(
    strangers=st.lists(STRANGE, max_size=8),
    appearance=st.sampled_from(["any", "finish", "rough"]),
    quantity=st.sampled_from([1, 300]),
)
@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_a_sound_piece_that_is_added_never_makes_a_found_ask_unfound(
    law_shop: Session, strangers: list[dict[str, Any]], appearance: Any, quantity: int
) -> None:
    facts: dict[str, Any] = {"appearance": appearance, "quantity": quantity}
    with suppress(Back), law_shop.writing():
        for number, one in enumerate(strangers):
            put(law_shop, number, one)
        found = ask(law_shop, HOLE, **facts)
        assert found.serves
        best = found.picks[0]
        assert all(finding.verdict != "refuse" for finding in best.findings)
        if best.findings != ask(law_shop, HOLE, "P-0137", "D-0201", **facts).picks[0].findings:
            assert not any(finding.verdict == "caution" for finding in best.findings)
        raise Back


def by_hand(shop: Session, facts: Circumstances) -> list[Candidate]:
    """Every punch beside every die in every station, the slow way."""
    rules = shop_rules(shop)
    search = Search(ToolShelf(shop, rules), read_phrase(HOLE, IN).answers(rules, facts))
    tools = search.tools(select_cards(shop, "kind.role IN ('punch', 'die')"))
    every = [
        search.judged({"punch": punch, "die": die}, station)
        for punch in tools
        for die in tools
        for station in search.stations
        if (punch.role, die.role) == ("punch", "die")
    ]
    return ranked([one for one in every if not refusals(one.findings)], search.case)


@given(
    strangers=st.lists(STRANGE, min_size=1, max_size=5),
    appearance=st.sampled_from(["any", "finish", "rough"]),
    quantity=st.sampled_from([1, 300, 2000]),
)
@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_what_comes_first_is_what_the_slow_way_puts_first(
    law_shop: Session, strangers: list[dict[str, Any]], appearance: Any, quantity: int
) -> None:
    facts = Circumstances(quantity=quantity, appearance=appearance)
    with suppress(Back), law_shop.writing():
        for number, one in enumerate(strangers):
            put(law_shop, number, one | {"copies": min(one["copies"], 3)})
        slow = by_hand(law_shop, facts)
        found = find(law_shop, HOLE, facts, record=False)
        assert bool(found.picks) == bool(slow)
        if slow and not cautions(slow[0].findings):
            quick = found.picks[0]
            for name, line in LINES:
                case = found.answers.case
                assert (name, line(quick, case)) == (name, line(slow[0], case))
        raise Back


# What it costs.


def test_the_way_to_the_candidates_never_scans_the_pieces(bare: Session) -> None:
    with statements_of(bare) as seen:
        ask(bare)
        ask(bare, quantity=300)
        ask(bare, "slot 13/16 x 1-1/4 thru 3/8 A36")
    plans = [
        f"{step} <- {' '.join(sql.split())[:200]}"
        for sql in seen
        if sql.lstrip().startswith(("SELECT", "WITH"))
        for step in explain(bare.connection, sql)
    ]
    assert plans != []
    assert [plan for plan in plans if "SCAN piece" in plan] == []
    assert [plan for plan in plans if "ix_piece_condition" in plan] == []


def test_a_tool_that_is_refused_alone_is_not_paired(bare: Session, monkeypatch: Any) -> None:
    many(bare, "die", "7/8", 3)
    phrase = "hole 13/16 thru 1 A36"
    answers = read_phrase(phrase, IN).answers(shop_rules(bare), Circumstances())
    search = Search(ToolShelf(bare, answers.case.rules), answers)
    judged: list[int] = []
    plain = type(answers).judge

    def count(self: Any, tooling: Any) -> Any:
        judged.append(len(tooling.tools))
        return plain(self, tooling)

    monkeypatch.setattr(type(answers), "judge", count)
    assert search.candidates() == []
    assert set(judged) == {1}


def test_the_same_pair_in_the_stronger_station_when_the_weaker_one_refuses(
    tmp_path: Path,
) -> None:
    with closing(one_station(tmp_path / "s.crib", 20 * N_PER_US_TON)) as shop:
        pair(shop)
        add_station(shop, "Ironworker 2", "punch", 50 * N_PER_US_TON, [1])
        found = ask(shop)
        assert tags(found) == ["P-1+D-1"]
        assert found.picks[0].tooling.station.machine == "Ironworker 2"


@pytest.mark.parametrize("size", ["0.79in", "0.80in", "13/16", "0.83in", "0.90in", "0.92in"])
def test_widening_a_holes_tolerance_never_loses_a_pick(tmp_path: Path, size: str) -> None:
    shop = small_shop(tmp_path / "shop.crib")
    before: set[tuple[str, ...]] = set()
    for tolerance in ("±0.01", "±0.02", "+0.02 -0.03", "±0.03", "±0.1", "±1/8"):
        found = ask(shop, f"hole {size} {tolerance} thru 3/8 A36")
        picks = {tuple(tool.tag for tool in pick.tools) for pick in found.picks}
        assert before <= picks, tolerance
        before = picks
        assert all(within(found, tool) for pick in found.picks for tool in pick.tools[:1])
    assert before
    shop.close()


def within(found: Found, punch: Tool) -> bool:
    """Whether a punch lies within the tolerance that the phrase states."""
    made = found.ask.as_json()
    allowed = made["tolerance"]
    least, most = made["size_mm"] - allowed["minus_mm"], made["size_mm"] + allowed["plus_mm"]
    return bool(least - 1e-6 <= punch.width_mm <= most + 1e-6)


@pytest.fixture(scope="module")
def stocked(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Session, Session]]:
    """The demo crib, and one of many kinds of punches and dies, some of them measured."""
    folder = tmp_path_factory.mktemp("stocked")
    path = build(folder / "many.crib", Size(6_000, 1_200, 24_000))
    with closing(demo_crib(folder / "demo.crib")) as demo, closing(open_crib(path)) as many:
        yield demo, many


@given(
    which=st.sampled_from([0, 1]),
    width=st.sampled_from(["1/2", "9/16", "3/4", "13/16", "1", "1-1/16"]),
    thickness=st.sampled_from(["1/8", "3/16", "1/4", "3/8", "1/2", "5/8", "3/4"]),
    material=st.sampled_from(["A36", "A572-50", "304"]),
    work=st.sampled_from(["any", "finish", "rough"]),
    quantity=st.sampled_from([1, 400]),
)
@settings(max_examples=40, deadline=None)
def test_what_is_put_off_for_its_cautions_would_not_be_shown(
    stocked: tuple[Session, Session], which: int, width: str, thickness: str, **facts: Any
) -> None:
    """Whoever wants every choice and takes the first of each set gets what a find shows."""
    shop, phrase = stocked[which], f"hole {width} thru {thickness} {facts['material']}"
    around = Circumstances(appearance=facts["work"], quantity=facts["quantity"])
    found = find(shop, phrase, around, record=False)
    every = Lookup(shop).search(read_phrase(phrase, IN), around)
    shown = few_of_each(ranked(every.candidates(), every.case))
    assert [pick.tooling for pick in found.picks] == [pick.tooling for pick in shown]
