"""Pieces between sites: sent and received, taken back, lost, counted; and that none is at two."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crib.desk.book.check import check_crib
from crib.desk.book.show import show_piece
from crib.desk.book.undo import undo_act, undo_last
from crib.desk.common.ways import on_the_way
from crib.desk.edges.broke import BreakRequest, report_break
from crib.desk.kit.hand_out import HandOut, lend
from crib.desk.kit.job_kit import HeldAtSite, list_held
from crib.desk.shelf.count import settle_count
from crib.desk.shelf.move import Move, move_pieces
from crib.desk.shelf.send import arrive_pieces, send_pieces
from crib.desk.shelf.stock import list_stock
from crib.errors import AskBack, BadValue, CribError, Refused
from crib.stock.book.sites import site_sizes, stand_at
from crib.stock.engine.session import Session
from crib.stock.queries.shelf import Filters
from tests.company import small_company
from tests.shop import small_shop

NOW = datetime(2027, 3, 1, 12, tzinfo=UTC)
LATER = datetime(2027, 3, 8, 12, tzinfo=UTC)


@pytest.fixture
def company(tmp_path: Path) -> Iterator[Session]:
    session = small_company(tmp_path / "company.crib")
    yield session
    session.close()


def place_of(session: Session, tag: str) -> str | None:
    return show_piece(session, tag).piece.place


def listed(session: Session, site: int | None) -> set[str]:
    stand_at(session, site)
    return {row.tag for row in list_stock(session, Filters()).pieces}


def test_what_is_sent_is_on_the_way_until_it_is_received(company: Session) -> None:
    sent = send_pieces(company, ["P-0137"], "south", now=NOW)
    assert (sent.from_site, sent.to_site, sent.due_on) == ("North", "South", "2027-03-03")
    assert place_of(company, "P-0137") == "North > South"
    assert "P-0137" not in listed(company, 1) | listed(company, 2)
    assert "P-0137" in listed(company, None)
    stand_at(company, 2)
    (way,) = on_the_way(company, LATER)
    assert (way.tag, way.sent_on, way.due_on, way.days_late) == (
        *("P-0137", "2027-03-01", "2027-03-03"),
        5,
    )
    arrived = arrive_pieces(company, ["P-0137"], "S2", now=LATER)
    assert [(one.tag, one.came_from, one.place) for one in arrived.pieces] == [
        ("P-0137", "North > South", "S2")
    ]
    assert on_the_way(company, LATER) == ()
    assert "P-0137" in listed(company, 2)
    assert check_crib(company, now=LATER).sound


def test_it_comes_home_to_the_drawer_it_lay_in(company: Session) -> None:
    send_pieces(company, ["P-0137"], "South", now=NOW)
    stand_at(company, 2)
    with pytest.raises(AskBack, match="P-0137 never lay in a drawer at South"):
        arrive_pieces(company, ["P-0137"], now=NOW)
    arrive_pieces(company, ["P-0137"], "S3", new_drawer=True, now=NOW)
    send_pieces(company, ["P-0137"], "North", now=NOW)
    stand_at(company, 1)
    arrive_pieces(company, ["P-0137"], now=NOW)
    assert place_of(company, "P-0137") == "A1"


def test_either_act_is_taken_back_by_itself(company: Session) -> None:
    send_pieces(company, ["P-0137"], "South", now=NOW)
    stand_at(company, 2)
    arrived = arrive_pieces(company, ["P-0137"], "S1", now=NOW)
    undo_act(company, arrived.act, "not this one", now=NOW)
    assert place_of(company, "P-0137") == "North > South"
    stand_at(company, 1)
    undo_last(company, "not sent", now=NOW)
    assert place_of(company, "P-0137") == "A1"


def test_what_is_lost_on_the_way_is_there_no_more_and_turns_up(company: Session) -> None:
    send_pieces(company, ["P-0137"], "South", now=NOW)
    report_break(company, BreakRequest("P-0137", ["lost"]), NOW)
    assert on_the_way(company, NOW) == ()
    stand_at(company, 2)
    with pytest.raises(Refused, match="P-0137 is lost"):
        arrive_pieces(company, ["P-0137"], "S1", now=NOW)
    settle_count(company, "S1", ["P-0137", "P-0501", "D-0501"], "in the van", now=NOW)
    assert place_of(company, "P-0137") == "S1"


def test_nothing_else_takes_a_piece_to_another_site(company: Session) -> None:
    with pytest.raises(Refused, match="S1 is at South, P-0137 is at North"):
        move_pieces(company, Move(("P-0137",), "S1"), now=NOW)
    with pytest.raises(Refused, match="A1 is at North, P-0501 is at South"):
        move_pieces(company, Move(("P-0501",), "A1"), now=NOW)
    with pytest.raises(Refused, match="P-0501 is at South"):
        lend(company, ["P-0501"], HandOut("nights"), now=NOW)
    send_pieces(company, ["P-0137"], "South", now=NOW)
    with pytest.raises(Refused, match=r"on the way: P-0137 \(North > South\)"):
        move_pieces(company, Move(("P-0137",), "A1"), now=NOW)


def test_what_cannot_be_sent_or_received_is_refused_with_each_reason(company: Session) -> None:
    lend(company, ["P-0140"], HandOut("nights"), now=NOW)
    with pytest.raises(Refused, match=r"P-0140 is out with nights .*; P-0501 is at South"):
        send_pieces(company, ["P-0140", "P-0501"], "South", now=NOW)
    with pytest.raises(BadValue, match="North is where it is sent from"):
        send_pieces(company, ["P-0137"], "North", now=NOW)
    send_pieces(company, ["P-0137"], "South", now=NOW)
    stand_at(company, 3)
    with pytest.raises(Refused, match="P-0137 does not come here: North > South"):
        arrive_pieces(company, ["P-0137"], "E1", now=NOW)
    stand_at(company, 2)
    with pytest.raises(Refused, match="E1 is no drawer at South"):
        arrive_pieces(company, ["P-0137"], "E1", now=NOW)
    with pytest.raises(Refused, match="P-0501 is not on the way, but in S1"):
        arrive_pieces(company, ["P-0501"], now=NOW)
    stand_at(company, None)
    with pytest.raises(BadValue, match="which site that is was not said"):
        arrive_pieces(company, ["P-0137"], "S1", now=NOW)


def test_one_shop_sends_nowhere(tmp_path: Path) -> None:
    session = small_shop(tmp_path / "shop.crib")
    with pytest.raises(BadValue, match="this crib has not several sites"):
        send_pieces(session, ["P-0137"], "South", now=NOW)
    session.close()


def test_what_is_late_on_the_way_stands_among_what_is_late(company: Session) -> None:
    send_pieces(company, ["P-0137"], "South", now=NOW)
    held = list_held(company, late=True, now=LATER)
    assert isinstance(held, HeldAtSite)
    assert [one.tag for one in held.on_the_way] == ["P-0137"]
    soon = list_held(company, late=True, now=NOW)
    assert isinstance(soon, HeldAtSite)
    assert soon.on_the_way == ()


STEPS = st.tuples(
    st.sampled_from(["send", "arrive", "undo"]),
    st.sampled_from(["P-0137", "P-0501", "D-0201"]),
    st.integers(1, 3),
    st.sampled_from([("North", "A1"), ("South", "S1"), ("East", "E1")]),
)


@settings(max_examples=12, deadline=None)
@given(st.lists(STEPS, min_size=3, max_size=12))
def test_no_piece_is_at_two_sites_and_what_was_sent_is_received_or_on_the_way(
    steps: list[tuple[str, str, int, tuple[str, str]]],
) -> None:
    with TemporaryDirectory() as folder:
        session = small_company(Path(folder) / "company.crib")
        every = len(listed(session, None))
        moves = {"sent": 0, "received": 0}
        done: list[tuple[str, str]] = []
        for what, tag, site, (name, drawer) in steps:
            stand_at(session, site)
            try:
                if what == "send":
                    done.append(("sent", send_pieces(session, [tag], name, now=NOW).act))
                    moves["sent"] += 1
                elif what == "arrive":
                    arrived = arrive_pieces(session, [tag], drawer, now=NOW)
                    done.append(("received", arrived.act))
                    moves["received"] += 1
                elif done:
                    undo_act(session, done[-1][1], "slip", now=NOW)
                    moves[done.pop()[0]] -= 1
            except CribError:
                continue
            stand_at(session, None)
            coming = len(on_the_way(session, NOW))
            assert moves["sent"] - moves["received"] == coming
            # The pieces that never had a place are at no site.
            nowhere = session.value("SELECT count(*) FROM piece WHERE place_id IS NULL")
            assert sum(size.pieces for size in site_sizes(session)) + coming + nowhere == every
        assert check_crib(session, now=NOW).sound
        session.close()
