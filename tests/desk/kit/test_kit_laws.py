"""Whatever two jobs do with the same pieces, none is with both and the crib stays sound."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path
from tempfile import TemporaryDirectory

from hypothesis import given, settings
from hypothesis import strategies as st

from crib.acts import yes_to
from crib.desk.book.check import check_crib
from crib.desk.book.undo import undo_last
from crib.desk.edges.broke import BreakRequest, report_break
from crib.desk.kit.hand_out import HandOut, hand_out
from crib.desk.kit.hold import hold_kit, release_kit
from crib.desk.kit.job_kit import show_kit
from crib.desk.kit.take_back import TakeBack, take_back
from crib.errors import BadInput
from crib.stock.engine.session import Session
from crib.stock.queries.history import last_act
from crib.stock.queries.jobs import job_called
from crib.stock.writers.holds import active_holds
from tests.desk.kitting import FIRST, SECOND, kit_shop, places, strokes

ALL = yes_to("whole-act")
DOES = ("hold", "out", "back", "back without strokes", "release", "undo")
STEPS = st.lists(st.tuples(st.sampled_from(DOES), st.sampled_from((FIRST, SECOND))), max_size=10)
BREAKS = st.sampled_from(("", "", "P-0137", "P-0138"))


def step(session: Session, does: str, job: str) -> None:
    """One thing that somebody does; it may be refused."""
    with suppress(BadInput):
        if does == "hold":
            hold_kit(session, job)
        elif does == "out":
            hand_out(session, job, HandOut("bench 2"))
        elif does == "release":
            release_kit(session, job)
        elif does == "undo":
            undo_kit(session)
        else:
            take_back(session, job, TakeBack(strokes=does == "back"))


def undo_kit(session: Session) -> None:
    """Take the last act back when it was about a kit."""
    act = last_act(session, 1)
    notes = session.rows("SELECT note FROM entry WHERE act = ? AND action = 'move'", (act,))
    if any(row[0].startswith(("handed out", "back from")) for row in notes):
        undo_last(session, "a slip", confirmed=ALL)


@contextmanager
def a_shop() -> Iterator[Session]:
    """A shop of one's own."""
    with TemporaryDirectory() as folder:
        with closing(kit_shop(Path(folder) / "shop.crib", "P-0138")) as session:
            yield session


def require_sound(session: Session) -> None:
    """No piece is with two, what is out is with its holder, and every check is well."""
    holds = active_holds(session)
    assert max(Counter(one.piece_id for one in holds).values(), default=1) == 1
    for one in holds:
        assert (one.state == "out") == (one.place == "bench 2"), one
    with_bench = {tag for tag, place in places(session).items() if place == "bench 2"}
    assert with_bench == {one.tag for one in holds if one.state == "out"}
    report = check_crib(session)
    assert (report.sound, report.remarks) == (True, ())


@settings(max_examples=25)
@given(steps=STEPS, breaks=BREAKS)
def test_no_piece_is_with_two_and_the_crib_is_sound(
    steps: list[tuple[str, str]], breaks: str
) -> None:
    with a_shop() as session:
        home = places(session)
        for at, (does, job) in enumerate(steps):
            step(session, does, job)
            if breaks and at == 2:
                with suppress(BadInput):
                    report_break(session, BreakRequest(breaks, ["snapped"]))
            require_sound(session)
        for job in (FIRST, SECOND):
            step(session, "back", job)
        require_sound(session)
        assert places(session) == home


@settings(max_examples=15)
@given(steps=STEPS)
def test_what_is_logged_is_what_was_planned(steps: list[tuple[str, str]]) -> None:
    with a_shop() as session:
        for does, job in steps:
            step(session, does, job)
        for job in (FIRST, SECOND):
            for does in ("back", "out", "back"):
                step(session, does, job)
            card = job_called(session, job)
            done = (card.logged, card.beyond) == (card.planned, 0)
            assert done or show_kit(session, job).pieces
        punches = {tag: count for tag, count in strokes(session).items() if tag[0] == "P"}
        logged = sum(job_called(session, job).logged for job in (FIRST, SECOND))
        assert sum(punches.values()) == logged
