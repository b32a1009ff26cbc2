"""What the shop's own edges teach, from the ledger alone."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from crib.desk.life.learning import Learned, PoolSeen, life_of
from crib.desk.life.relearn import relearn_all
from crib.errors import BadValue, Refused, UnknownName
from crib.stock.book import ledger
from crib.stock.book.ledger import NewEntry
from crib.stock.book.people import person_id
from crib.stock.book.settings import set_rule
from crib.stock.engine.session import Session
from crib.stock.queries.edge_ends import MOST_PIECES
from crib.stock.queries.pieces import piece_by_tag
from crib.trade.life.dulling import count_at_risk
from crib.trade.life.dulling_learned import learned_dulling
from crib.trade.life.edge_life import Observation, Outcome, Prior
from crib.trade.life.estimate import Pool, life_estimate
from crib.trade.life.silence import Silence, silent_dull
from tests.desk.rows import nothing_changes
from tests.shop import add_kind, add_piece, new_crib
from tests.stock.sql_seen import full_scans, statements_of

LONG = ("entry", "piece")
INTERVAL, PER_BREAK = 5000.0, 25000.0


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    """One kind with one piece that did nothing yet."""
    session = new_crib(tmp_path / "shop.crib")
    kind = add_kind(session, role="punch", width="13/16", name="the punch", stress_limit_mpa=1650.0)
    add_piece(session, "P-1", kind)
    yield session
    assert ledger.rebuild(session) == []
    session.close()


def happens(session: Session, tag: str, *entries: NewEntry) -> None:
    """Write entries for a piece, in this order; every kind learns of them."""
    piece_id = piece_by_tag(session, tag).id
    stamp = ledger.new_stamp(person_id(session, ""))
    with session.writing():
        ledger.write(session, stamp, [replace(one, piece_id=piece_id) for one in entries])
        relearn_all(session)


def works(strokes: int) -> NewEntry:
    """Strokes that weigh 1 each."""
    return NewEntry("strokes", quantity=strokes, weighted_milli=strokes * 1000)


def edge(session: Session, strokes: int, found: str | None, tag: str = "P-1") -> None:
    """One edge: it works, and is ground."""
    happens(session, tag, works(strokes), NewEntry("grind", ground_um=200, found=found))


def learned(session: Session, name: str = "P-1") -> Learned:
    """What is known of a kind's edges."""
    return life_of(session, name).learned


def own(session: Session) -> PoolSeen:
    """What was seen of the kind itself."""
    return learned(session).pools[-1]


def at_10(session: Session) -> float:
    """Strokes of a fresh edge at a risk of 10 %."""
    return learned(session).estimate.scale_10


def expected(*edges: Observation) -> float:
    """The same count, from edges of the kind alone."""
    return life_estimate([Pool("this kind", edges)], Prior(INTERVAL), PER_BREAK).scale_10


def test_with_no_history_it_is_what_the_settings_say(shop: Session) -> None:
    told = learned(shop)
    assert told.estimate.scale_10 == pytest.approx(INTERVAL)
    assert told.estimate.dulling == learned_dulling(Prior(INTERVAL), [])
    assert (told.edges, told.estimate.rests_on, told.estimate.broken) == (0, "settings", 0)


def test_the_kinds_own_interval_is_what_it_starts_from(shop: Session) -> None:
    kind = add_kind(shop, role="punch", width="1", name="long", interval_strokes=9000)
    add_piece(shop, "P-9", kind)
    assert learned(shop, "P-9").estimate.scale_10 == pytest.approx(9000)


def test_the_settings_of_the_shop_are_used(shop: Session) -> None:
    stamp = ledger.new_stamp(person_id(shop, ""))
    for key, value in (("wear.interval_strokes", "7000"), ("life.shape", "3")):
        set_rule(shop, stamp, key, value, "our plate is clean")
    told = learned(shop)
    assert round(told.estimate.scale_10) == 7000
    assert told.estimate.dulling == learned_dulling(Prior(7000.0, 3.0), [])


def test_edges_found_overdue_lower_it(shop: Session) -> None:
    for _time in range(6):
        edge(shop, 3000, "overdue")
    assert at_10(shop) < 0.8 * INTERVAL
    assert at_10(shop) == pytest.approx(expected(*[Observation(3000.0, "left")] * 6))
    assert learned(shop).estimate.rests_on == "this kind"


def test_edges_found_sharp_raise_it(shop: Session) -> None:
    for _time in range(12):
        edge(shop, 9000, "sharp")
    assert at_10(shop) > 1.2 * INTERVAL
    assert at_10(shop) == pytest.approx(expected(*[Observation(9000.0, "right")] * 12))


@pytest.mark.parametrize(
    ("strokes", "found", "outcome", "broken"),
    [
        (4000, "sharp", "right", False),
        (4000, "right", "dull", False),
        (4000, "overdue", "left", False),
        (4000, "chipped", "right", True),
    ],
)
def test_an_edge_teaches_what_was_found(
    shop: Session, strokes: int, found: str | None, outcome: Outcome, broken: bool
) -> None:
    edge(shop, strokes, found)
    assert at_10(shop) == pytest.approx(expected(Observation(float(strokes), outcome, broken)))
    assert (own(shop).dull, own(shop).broken) == (int(outcome != "right"), int(broken))
    assert own(shop).strokes == strokes


@pytest.mark.parametrize("strokes", [200, 4999, 5001, 60_000])
def test_an_edge_ground_without_a_word_teaches_nothing(shop: Session, strokes: int) -> None:
    edge(shop, strokes, None)
    assert at_10(shop) == pytest.approx(INTERVAL)
    assert (own(shop).ground, own(shop).told, own(shop).dull) == (1, 0, 0)
    assert learned(shop).follow == INTERVAL


def test_one_without_a_word_was_sharp_when_it_was_last_looked_at(shop: Session) -> None:
    happens(shop, "P-1", works(6000), NewEntry("look", found="sharp"), works(900))
    happens(shop, "P-1", NewEntry("grind", ground_um=200))
    assert at_10(shop) == pytest.approx(expected(Observation(6000.0, "right")))
    assert (own(shop).ground, own(shop).told) == (1, 1)


def test_a_chip_or_a_break_is_no_word_of_sharp_or_dull(shop: Session) -> None:
    edge(shop, 3000, "chipped")
    edge(shop, 3000, None)
    assert learned(shop).estimate.dulling == learned_dulling(
        Prior(INTERVAL), [[[Observation(3000.0, "right")]]]
    )


def test_those_nobody_told_of_were_dull_as_often_as_the_told_ones_teach(shop: Session) -> None:
    for _time in range(6):
        edge(shop, 3000, "overdue")
    for _time in range(4):
        edge(shop, 3000, None)
    seen = learned(shop)
    assert (own(shop).ground, own(shop).told) == (10, 6)
    silence = Silence((3000.0,) * 4, dull=6)
    belief = learned_dulling(Prior(INTERVAL), [[[Observation(3000.0, "left")] * 6]], silence)
    assert seen.estimate.dulling == belief
    assert seen.silent_dull == pytest.approx(silent_dull(silence, belief.sharp(3000.0)))
    # Nobody told of a sharp one, so that is what a silent one may well have been.
    assert 1.0 < seen.silent_dull < 4 * seen.estimate.chance_dull(0.0, 3000.0)


def test_an_edge_that_broke_by_accident_was_sharp_and_counts_as_a_breakage(shop: Session) -> None:
    happens(shop, "P-1", works(2000), NewEntry("break", condition="broken", note="snapped"))
    assert at_10(shop) == pytest.approx(expected(Observation(2000.0, "right")))
    assert (own(shop).edges, own(shop).dull, own(shop).broken) == (1, 0, 1)
    assert life_of(shop, "P-1").pieces == ()
    assert learned(shop).estimate.breakage.events == 5.0


def test_a_chip_that_is_ground_out_is_one_breakage(shop: Session) -> None:
    happens(shop, "P-1", works(2000), NewEntry("break", condition="broken", note="chipped"))
    happens(shop, "P-1", NewEntry("grind", ground_um=300, condition="sound", found="chipped"))
    assert (own(shop).edges, own(shop).broken) == (1, 1)


def test_a_lost_piece_is_no_breakage(shop: Session) -> None:
    happens(shop, "P-1", works(2000), NewEntry("break", condition="lost", note="lost"))
    assert (own(shop).edges, own(shop).broken) == (1, 0)


def test_an_edge_in_use_is_known_sharp_as_far_as_somebody_looked(shop: Session) -> None:
    happens(shop, "P-1", works(6000))
    assert at_10(shop) == pytest.approx(INTERVAL)
    happens(shop, "P-1", NewEntry("look", found="sharp"), works(500))
    assert at_10(shop) == pytest.approx(expected(Observation(6000.0, "right")))
    assert (own(shop).strokes, own(shop).ground) == (6500, 0)
    assert learned(shop).estimate.breakage.exposure == 4 * PER_BREAK + 6500


def test_what_was_taken_back_teaches_nothing(shop: Session) -> None:
    edge(shop, 3000, "overdue")
    entries = [row[0] for row in shop.rows("SELECT id FROM entry WHERE action <> 'add'")]
    with shop.writing():
        ledger.reverse(shop, ledger.new_stamp(person_id(shop, "")), entries, "another piece")
        relearn_all(shop)
    assert own(shop).edges == 0
    assert at_10(shop) == pytest.approx(INTERVAL)


def test_a_turn_ends_an_edge_as_a_grind_does(shop: Session) -> None:
    blade = add_kind(shop, role="blade", width="1", shape="", edges=2, name="the blade")
    add_piece(shop, "B-1", blade)
    happens(shop, "B-1", works(6000), NewEntry("turn", edge=2, found="right"), works(100))
    seen = learned(shop, "B-1").pools[-1]
    assert (seen.edges, seen.dull, seen.strokes) == (2, 1, 6100)


@pytest.mark.parametrize(
    ("columns", "pool"),
    [
        ({"role": "punch", "width": "7/8"}, "same shape and size"),
        ({"role": "punch", "width": "2", "stress_limit_mpa": 1650.0}, "same role and steel"),
        ({"role": "punch", "width": "2", "stress_limit_mpa": 2000.0}, "all kinds"),
        ({"role": "die", "width": "7/8"}, "all kinds"),
        ({"role": "blade", "width": "7/8", "shape": ""}, "all kinds"),
    ],
)
def test_another_kind_teaches_in_one_pool_only(
    shop: Session, columns: dict[str, Any], pool: str
) -> None:
    add_piece(shop, "X-1", add_kind(shop, **columns))
    for _time in range(8):
        edge(shop, 2000, "overdue", "X-1")
    told = learned(shop)
    assert {one.name: one.edges for one in told.pools if one.edges} == {pool: 8}
    assert told.estimate.rests_on == pool
    assert told.estimate.scale_10 < INTERVAL


def test_a_tool_without_an_edge_teaches_nothing(shop: Session) -> None:
    add_piece(shop, "N-1", add_kind(shop, role="nut", width="1", name="a nut"))
    edge(shop, 2000, "overdue", "N-1")
    assert learned(shop).edges == 0
    with pytest.raises(Refused, match="a nut is a nut: it has no edge"):
        life_of(shop, "N-1")


def test_another_kind_counts_by_the_share_of_its_own_interval(shop: Session) -> None:
    twice = add_kind(shop, role="punch", width="7/8", interval_strokes=10_000)
    add_piece(shop, "X-1", twice)
    edge(shop, 8000, "right", "X-1")
    seen = learned(shop)
    like = [[Observation(4000.0, "dull")]]
    belief = learned_dulling(Prior(INTERVAL), [[], [], like, [[]]])
    assert at_10(shop) == pytest.approx(count_at_risk(belief, 0.0, 0.1))
    assert seen.pools[2].strokes == 8000
    assert seen.estimate.breakage.exposure == pytest.approx(4 * PER_BREAK + 8000)


def test_a_pool_says_when_it_has_more_pieces_than_are_looked_at(shop: Session) -> None:
    kind = piece_by_tag(shop, "P-1").kind_id
    for number in range(MOST_PIECES):
        add_piece(shop, f"Q-{number}", kind, wear=100)
    assert (own(shop).pieces, own(shop).capped) == (MOST_PIECES, True)
    edge(shop, 2000, "overdue", "P-1")
    assert own(shop).dull == 0


def test_a_kind_tells_of_its_usable_pieces_the_riskiest_first(shop: Session) -> None:
    kind = piece_by_tag(shop, "P-1").kind_id
    add_piece(shop, "P-2", kind, wear=4000)
    add_piece(shop, "P-3", kind, wear=4000, condition="locked")
    add_piece(shop, "P-4", kind, wear=9000, condition="broken")
    told = life_of(shop, " The  PUNCH", 500)
    assert [one.tag for one in told.pieces] == ["P-2", "P-3", "P-1"]
    assert (told.kind, told.more, told.pieces_more) == ("the punch", 500, 0)
    for one in told.pieces:
        assert one.chance_dull == told.learned.estimate.chance_dull(one.wear, 500)
        assert max(one.chance_dull, one.chance_broken) < one.chance_lost < 1


def test_a_tag_tells_of_that_piece_alone(shop: Session) -> None:
    add_piece(shop, "P-2", piece_by_tag(shop, "P-1").kind_id, wear=4000)
    assert [one.tag for one in life_of(shop, "p-2").pieces] == ["P-2"]


@pytest.mark.parametrize("more", [0, 1_000_001])
def test_strokes_to_come_have_limits(shop: Session, more: int) -> None:
    with pytest.raises(BadValue, match=f"more={more} must be 1 to 1,000,000"):
        life_of(shop, "P-1", more)


def test_a_name_that_is_neither_is_refused_with_the_nearest(shop: Session) -> None:
    with pytest.raises(UnknownName, match="no kind called 'the pinch'") as refused:
        life_of(shop, "the pinch")
    assert refused.value.way_out == "did you mean 'the punch'?"
    with pytest.raises(UnknownName, match="no kind called 'P-11'") as refused:
        life_of(shop, "P-11")
    assert "P-1" in str(refused.value.way_out)


def test_asking_changes_nothing_and_never_reads_the_whole_ledger(shop: Session) -> None:
    edge(shop, 3000, "overdue")
    with nothing_changes(shop), statements_of(shop) as seen:
        life_of(shop, "P-1")
    scans = {sql: full_scans(shop.connection, sql, LONG) for sql in seen}
    assert {sql: found for sql, found in scans.items() if found} == {}
