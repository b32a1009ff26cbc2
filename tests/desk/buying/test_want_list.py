"""Wants are listed, struck out, merged and opened again; what is struck stays out of buying."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import closing, suppress
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crib.desk.answer.find import find
from crib.desk.answer.wants import remember_want
from crib.desk.book.new_crib import new_crib
from crib.desk.buying.want_list import Wants, list_wants, merge, reopen, show_wants, strike_out
from crib.desk.tables.export_tables import give_out
from crib.desk.tables.import_tables import take_in
from crib.errors import BadInput, BadValue, Refused, UnknownName
from crib.features.common.case import Circumstances
from crib.stock.engine.opening import open_crib
from crib.stock.engine.session import Session
from tests.desk.buying_shop import LATER, plan
from tests.desk.rows import nothing_changes
from tests.shop import small_shop

ASKS = ("hole 1-3/16 thru 3/8 A36", "hole 1-1/16 thru 3/8 A36", "bolt 1 oversize thru 3/8 A36")


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    """A small shop that missed two asks, one of them twice."""
    with closing(small_shop(tmp_path / "shop.crib")) as session:
        for ask in (ASKS[0], ASKS[1], ASKS[1]):
            find(session, ask, Circumstances(quantity=60), by="bench 2", now=LATER)
        yield session


def numbers(wants: Wants) -> list[int]:
    """The numbers of some wants."""
    return [line.card.id for line in wants.lines]


def test_wants_are_listed_with_what_they_lack_and_who_asked(shop: Session) -> None:
    first, second = list_wants(shop).lines
    assert (first.card.ask, first.card.who, first.card.times_asked) == (ASKS[0], "bench 2", 1)
    assert (second.card.times_asked, second.card.quantity) == (2, 60)
    assert first.lacks is not None
    assert first.lacks[0] == "punch round 1-3/16 in, seat A"


def test_a_slip_is_struck_out_with_who_when_and_why(shop: Session) -> None:
    bought = [line.what for line in plan(shop).lines]
    done = strike_out(shop, [1], "mistyped: 3/4 was meant", by="nights", now=LATER)
    (line,) = done.lines
    assert (line.card.status, line.card.struck_by) == ("dropped", "nights")
    assert line.card.struck_why == "mistyped: 3/4 was meant"
    assert line.card.struck_at[:10] == LATER.date().isoformat()
    assert (numbers(list_wants(shop)), numbers(list_wants(shop, every=True))) == ([2], [1, 2])
    left = [line.what for line in plan(shop).lines]
    assert [what for what in bought if what not in left] == [
        "punch round 1-3/16 in, seat A",
        "die round 1-7/32 in, seat A",
    ]


def test_asked_again_it_is_wanted_again_and_says_who_struck_it(shop: Session) -> None:
    strike_out(shop, [1], "a slip", by="nights")
    find(shop, ASKS[0])
    (line,) = show_wants(shop, [1]).lines
    assert (line.card.status, line.card.times_asked, line.card.struck_by) == ("open", 2, "nights")


def test_a_plan_that_meets_it_again_leaves_it_struck(shop: Session) -> None:
    strike_out(shop, [1], "bought outside")
    want = remember_want(
        shop, ASKS[0], job="", quantity=90, missing=(), by="", asked=False, now=LATER
    )
    assert (want.is_open, numbers(list_wants(shop))) == (False, [2])


def test_the_same_under_other_words_is_merged_into_one(shop: Session) -> None:
    find(shop, ASKS[2], Circumstances(quantity=90), now=LATER)
    done = merge(shop, [1, 3], 2, by="nights")
    kept, *gone = (line.card for line in done.lines)
    assert (kept.id, kept.quantity, kept.times_asked, kept.status) == (2, 90, 4, "open")
    assert {(one.status, one.struck_by) for one in gone} == {("dropped", "nights")}
    assert gone[0].struck_why == f"the same as want 2: {ASKS[1]}"
    assert numbers(list_wants(shop)) == [2]


def test_what_was_struck_by_mistake_is_wanted_again(shop: Session) -> None:
    strike_out(shop, [1, 2], "a slip")
    assert plan(shop).lines == ()
    assert numbers(reopen(shop, [2])) == [2]
    assert numbers(list_wants(shop)) == [2]
    with nothing_changes(shop), pytest.raises(Refused, match="want 2 is open already"):
        reopen(shop, [1, 2])


@pytest.mark.parametrize(
    ("call", "error", "said"),
    [
        (partial(strike_out, numbers=[1], why=" "), BadValue, "no reason given"),
        (partial(strike_out, numbers=[1, 9], why="x"), UnknownName, "no want 9"),
        (partial(strike_out, numbers=[], why="x"), UnknownName, "no want named"),
        (partial(strike_out, numbers=[1, 2], why="x"), Refused, "struck out by nights"),
        (partial(strike_out, numbers=[1], why="x", by="nobody"), UnknownName, "nobody"),
        (partial(merge, numbers=[1], into=2), Refused, "struck out by nights"),
        (partial(merge, numbers=[1], into=1), BadValue, "into itself"),
    ],
)
def test_what_cannot_be_is_refused_and_changes_nothing(
    shop: Session, call: Callable[[Session], Wants], error: type[BadInput], said: str
) -> None:
    strike_out(shop, [2], "a slip", by="nights")
    with nothing_changes(shop), pytest.raises(error, match=said):
        call(shop)


STEPS = st.lists(
    st.tuples(
        st.sampled_from(("ask", "meet", "strike", "reopen", "merge")),
        st.integers(0, 2),
        st.integers(0, 2),
    ),
    max_size=12,
)


@settings(max_examples=40, deadline=None)
@given(steps=STEPS)
def test_only_what_was_asked_since_it_was_struck_is_bought(
    steps: list[tuple[str, int, int]],
) -> None:
    with TemporaryDirectory() as folder, closing(small_shop(Path(folder) / "s.crib")) as session:
        wanted: dict[str, bool] = {}
        for does, first, second in steps:
            ids = {line.card.ask: line.card.id for line in list_wants(session, every=True).lines}
            ask, other = ASKS[first], ASKS[second]
            if does in ("ask", "meet"):
                asked = does == "ask"
                remember_want(session, ask, job="", quantity=1, missing=(), by="", asked=asked)
                wanted[ask] = asked or wanted.get(ask, True)
                continue
            with suppress(Refused, UnknownName, BadValue):
                if does == "strike":
                    strike_out(session, [ids.get(ask, 99)], "a slip")
                    wanted[ask] = False
                elif does == "reopen":
                    reopen(session, [ids.get(ask, 99)])
                    wanted[ask] = True
                else:
                    merge(session, [ids.get(ask, 98)], ids.get(other, 99))
                    wanted[ask] = False
            is_open = {line.card.ask for line in list_wants(session).lines}
            assert is_open == {ask for ask, is_wanted in wanted.items() if is_wanted}


def test_a_struck_want_goes_out_and_comes_in_whole(shop: Session, tmp_path: Path) -> None:
    strike_out(shop, [1], "a slip", by="nights", now=LATER)
    give_out(shop, tmp_path / "out")
    new_crib(tmp_path / "copy.crib")
    with closing(open_crib(tmp_path / "copy.crib")) as session:
        take_in(session, tmp_path / "out", by="")
        assert list_wants(session, every=True) == list_wants(shop, every=True)
