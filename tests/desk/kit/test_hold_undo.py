"""Whatever is lent, given back and taken back, in any order: holds and places are what is left."""

from __future__ import annotations

from contextlib import closing, suppress
from dataclasses import dataclass, field
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crib.acts import yes_to
from crib.desk.book.check import check_crib
from crib.desk.book.undo import undo_act, undo_entries
from crib.desk.edges.broke import BreakRequest, report_break
from crib.desk.kit.hand_out import HandOut, hand_out, lend
from crib.desk.kit.hold import hold_kit
from crib.desk.kit.take_back import TakeBack, take_back, take_loans_back
from crib.desk.shelf.move import Move, move_pieces
from crib.errors import BadInput, Refused
from crib.stock.engine.session import Session
from tests.desk.kitting import FIRST, SECOND, held, kit_shop, places
from tests.shop import small_shop

ALL = yes_to("whole-act")
TAGS, TAKERS = ("P-0137", "P-0140"), ("bench 2", "nights")
STEPS = st.lists(
    st.one_of(
        st.tuples(st.sampled_from(("lend", "back", "move")), st.integers(0, 1), st.integers(0, 1)),
        st.tuples(st.just("undo"), st.integers(0, 40), st.just(0)),
    ),
    max_size=16,
)


@dataclass
class Told:
    """What a clerk would write down of one piece: moves, each with the loan that it is a step of.

    A move is its number, where to, the loan and whether the piece went out; a line is struck out
    when it is taken back.
    """

    moves: list[tuple[int, str, int, bool]] = field(default_factory=list)

    @property
    def place(self) -> str | None:
        """Where the last line that stands says."""
        return self.moves[-1][1] if self.moves else None

    @property
    def taker(self) -> str | None:
        """Who has it on loan: the last line about a loan that stands says it went out."""
        loans = [move for move in self.moves if move[2]]
        return loans[-1][1] if loans and loans[-1][3] else None


def newest(session: Session) -> int:
    """The newest entry of the ledger."""
    number: int = session.value("SELECT max(id) FROM entry")
    return number


def one_step(
    session: Session, book: dict[str, Told], loans: list[int], step: tuple[str, int, int]
) -> None:
    """One thing that somebody does; what is refused is not written down."""
    does, first, second = step
    if does == "undo":
        standing = [(tag, move) for tag, told in book.items() for move in told.moves]
        if not standing:
            return
        tag, move = standing[first % len(standing)]
        try:
            undo_entries(session, [move[0]], "a slip")
        except Refused:
            # Only the end of a loan is refused, while the piece is out on another one.
            is_end_of_loan = bool(move[2]) and not move[3]
            assert (is_end_of_loan, book[tag].taker is not None) == (True, True)
            return
        book[tag].moves.remove(move)
        return
    tag, before = TAGS[first], newest(session)
    told, to = book[tag], f"A{second + 1}"
    lent = [move[2] for move in told.moves if move[2]]
    with suppress(BadInput):
        if does == "lend":
            lend(session, [tag], HandOut(TAKERS[second]))
            loans.append(len(loans) + 1)
            told.moves.append((newest(session), TAKERS[second], loans[-1], True))
        elif does == "back":
            take_loans_back(session, [tag], TakeBack(to="A4"))
            told.moves.append((newest(session), "A4", lent[-1], False))
        elif move_pieces(session, Move((tag,), to)) and newest(session) > before:
            told.moves.append((newest(session), to, 0, False))


@settings(max_examples=60, deadline=None)
@given(steps=STEPS)
def test_holds_and_places_are_what_the_lines_that_stand_say(
    steps: list[tuple[str, int, int]],
) -> None:
    with TemporaryDirectory() as folder, closing(small_shop(Path(folder) / "s.crib")) as session:
        home, book, loans = places(session), {tag: Told() for tag in TAGS}, list[int]()
        for step in steps:
            one_step(session, book, loans, step)
            for tag, told in book.items():
                assert places(session)[tag] == (told.place or home[tag])
                assert held(session).get(tag) == (told.taker and f"{told.taker} out")
        assert check_crib(session).sound


def test_an_older_return_taken_back_leaves_the_newest_loan_alone(tmp_path: Path) -> None:
    with closing(small_shop(tmp_path / "shop.crib")) as session:
        acts = []
        for taker in TAKERS:
            lend(session, ["P-0137"], HandOut(taker))
            acts.append(take_loans_back(session, ["P-0137"], TakeBack()).act)
        undo_act(session, acts[0], "it never came back from bench 2", confirmed=ALL)
        assert (held(session), places(session)["P-0137"]) == ({}, "A1")
        undo_act(session, acts[1], "nor from nights", confirmed=ALL)
        assert held(session) == {"P-0137": "nights out"}
        undo_entries(session, [newest(session) - 3], "never lent to nights")
        assert (held(session), places(session)["P-0137"]) == ({"P-0137": "bench 2 out"}, "bench 2")


def test_what_was_lost_is_out_again_with_the_rest(tmp_path: Path) -> None:
    with closing(kit_shop(tmp_path / "shop.crib")) as session:
        hand_out(session, SECOND, HandOut("bench 2"))
        out = held(session)
        report_break(session, BreakRequest("D-0204", ["lost"]))
        back = take_back(session, SECOND, TakeBack())
        assert held(session) == {}
        undo_act(session, back.act, "it is still out", confirmed=ALL)
        assert held(session) == out


def test_a_kit_not_handed_out_after_all_is_not_promised_twice(tmp_path: Path) -> None:
    with closing(kit_shop(tmp_path / "shop.crib")) as session:
        hand_out(session, FIRST, HandOut("bench 2"))
        gone = session.value("SELECT act FROM entry ORDER BY id DESC LIMIT 1")
        take_back(session, FIRST, TakeBack(strokes=False))
        hold_kit(session, SECOND)
        with pytest.raises(Refused, match="promised to job 24-118"):
            undo_act(session, str(newest(session)), "not back")
        undo_act(session, gone, "never handed out", confirmed=ALL)
        assert set(held(session).values()) == {f"{SECOND} held"}
