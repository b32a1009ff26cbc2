"""Blades that cut together are ground and turned alike, in one act where both are named."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from crib.acts import Said, act, acts_in, saying, yes_to
from crib.desk.book.undo import undo_last
from crib.desk.edges.broke import BreakRequest, report_break
from crib.desk.edges.grind import GrindRequest, record_grind, record_grinds
from crib.desk.edges.turn import TurnRequest, turn_edge, turn_edges
from crib.errors import BadInput, Refused
from crib.stock.book import ledger
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
from tests.desk.rows import nothing_changes
from tests.shop import add_kind, add_piece, add_station, small_shop

ALL = yes_to("whole-act")
SHEAR = "Ironworker 1 / bar shear"
GAP = "set the gap again, check the heights"


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    """Two round and one square blade at one shear, and a round one in a drawer."""
    session = small_shop(tmp_path / "shop.crib")
    add_station(session, "Ironworker 1", "bar shear", None, [], does="bar_shear")
    for tag, profile, place in (
        ("B-1", "round", SHEAR),
        ("B-2", "round", SHEAR),
        ("B-3", "square", SHEAR),
        ("B-4", "round", "A1"),
    ):
        kind = add_kind(session, role="blade", width="6", shape="", profile=profile, edges=2)
        add_piece(session, tag, kind, wear=4000, place=place)
    yield session
    assert ledger.rebuild(session) == []
    session.close()


def ground(session: Session, *tags: str, off: str = "0.2mm") -> tuple[Said, ...]:
    """Grind one blade or several; what is still to be done about those opposite."""
    if len(tags) == 1:
        return record_grind(session, GrindRequest(tags[0], off=off)).opposite
    return record_grinds(session, tags, GrindRequest("", off=off)).opposite


def test_grinding_one_of_a_pair_says_that_the_other_must_be_ground_as_much(shop: Session) -> None:
    first, then = ground(shop, "B-1")
    assert first == saying(
        "grind those opposite to 0.0079 in off in all as well; now B-2 0 in: ",
        act("grind.off", tag="B-2", off="0.0079in"),
    )
    assert then == "then set the gap again and check the heights"


def test_once_both_are_ground_only_the_gap_is_left(shop: Session) -> None:
    ground(shop, "B-1")
    assert ground(shop, "B-2") == (GAP,)


def test_what_the_other_lacks_is_the_difference_in_all(shop: Session) -> None:
    ground(shop, "B-1", "B-2")
    ground(shop, "B-1", off="0.3mm")
    first, _then = ground(shop, "B-1", off="0.1mm")
    assert acts_in(first) == (act("grind.off", tag="B-2", off="0.0157in"),)


def test_both_named_are_ground_in_one_act(shop: Session) -> None:
    before = shop.value("SELECT count(DISTINCT act) FROM entry")
    assert ground(shop, "B-1", "b-2") == (GAP,)
    assert shop.value("SELECT count(DISTINCT act) FROM entry") == before + 1
    assert [piece_by_tag(shop, tag).ground_um for tag in ("B-1", "B-2")] == [200, 200]
    undo_last(shop, "not ground after all", confirmed=ALL)
    cards = [piece_by_tag(shop, tag) for tag in ("B-1", "B-2")]
    assert [(one.ground_um, one.wear) for one in cards] == [(0, 4000.0)] * 2


@pytest.mark.parametrize("tag", ["B-3", "B-4", "P-0137"])
def test_what_has_none_opposite_says_nothing(shop: Session, tag: str) -> None:
    assert ground(shop, tag) == ()


@pytest.mark.parametrize(
    ("tags", "error", "message"),
    [
        (("B-1", "B-1"), BadInput, "a tag is named twice"),
        (("B-1", "P-0137"), Refused, "P-0137 is a punch, not a blade"),
        (("B-1", "B-3"), Refused, "these blades do not cut together: B-1 round, B-3 square"),
    ],
)
def test_what_is_no_pair_is_not_ground_together(
    shop: Session, tags: tuple[str, ...], error: type[BadInput], message: str
) -> None:
    with nothing_changes(shop), pytest.raises(error, match=message):
        ground(shop, *tags)


def test_both_or_none(shop: Session) -> None:
    report_break(shop, BreakRequest("B-2", ["lost"]))
    with nothing_changes(shop), pytest.raises(Refused, match="B-2 is lost"):
        ground(shop, "B-1", "B-2")


def test_turning_one_of_a_pair_says_that_the_other_is_to_be_turned(shop: Session) -> None:
    assert turn_edge(shop, TurnRequest("B-1")).opposite == (
        saying(
            "turn those opposite as well: B-2 is on edge 1, 4,000 weighted strokes: ",
            act("turn", tag="B-2"),
        ),
    )
    assert turn_edge(shop, TurnRequest("B-2")).opposite == ()


def test_both_named_are_turned_in_one_act(shop: Session) -> None:
    turned = turn_edges(shop, ["B-1", "B-2"], TurnRequest(""))
    assert [(one.tag, one.edge, one.edges_left) for one in turned.pieces] == [
        ("B-1", 2, 0),
        ("B-2", 2, 0),
    ]
    assert turned.opposite == ()
    acts = shop.rows("SELECT DISTINCT act FROM entry WHERE action = 'turn'")
    assert len(acts) == 1


def test_a_pair_of_which_one_has_no_fresh_edge_is_not_turned(shop: Session) -> None:
    turn_edge(shop, TurnRequest("B-2"))
    with nothing_changes(shop), pytest.raises(Refused, match="both edges are used"):
        turn_edges(shop, ["B-1", "B-2"], TurnRequest(""))
