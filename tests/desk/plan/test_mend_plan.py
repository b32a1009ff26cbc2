"""Planned again after a break, a job keeps what it has and what is done."""

from __future__ import annotations

from collections import Counter
from contextlib import closing
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crib.acts import yes_to
from crib.desk.edges.broke import BreakRequest, report_break
from crib.desk.edges.look import LookRequest, record_look
from crib.desk.kit.hand_out import HandOut, hand_out
from crib.desk.kit.job_kit import show_kit
from crib.desk.kit.take_back import TakeBack, take_back
from crib.desk.plan.plan_result import Plan
from crib.desk.strokes.log import LogOptions, log_words
from crib.errors import AskBack
from crib.stock.engine.session import Session
from crib.stock.queries.jobs import RunCard, job_called, job_lines, planned_runs
from crib.stock.queries.pieces import piece_by_tag
from tests.desk.kitting import held
from tests.desk.planning import DIE_OVER, hole, kind_of, one_machine, part_list, plan
from tests.shop import add_piece, made_once

JOB = "26-041"
SIZES = ("1/2", "9/16", "11/16", "13/16")
MANY = yes_to("many-strokes", "typed-already", "no-job")


@made_once
def running(path: Path, copies: int = 1) -> Session:
    """A job of four sizes, kept; of each piece there are some more copies."""
    session = one_machine(path, 4)
    for size in SIZES:
        for role in ("punch", "die"):
            for number in range(copies):
                tag = f"{role[0].upper()}-9{SIZES.index(size)}{number}"
                own = size if role == "punch" else DIE_OVER[size]
                add_piece(session, tag, kind_of(session, role, own))
    lines = [(f"B{number}", hole(size), 30, 2) for number, size in enumerate(SIZES)]
    plan(session, part_list(path.with_suffix(".csv"), *lines), job=JOB, keep=True)
    return session


def runs(session: Session) -> list[RunCard]:
    return planned_runs(session, job_called(session, JOB).id)


def facts(run: RunCard) -> tuple[object, ...]:
    """All that is planned of a run, but for its place in the plan."""
    names = ("station_id", "tag", "with_tag", "mark", "phrase", "quantity", "strokes", "logged")
    return tuple(getattr(run, name) for name in names)


def again(session: Session, **options: object) -> Plan:
    return plan(session, job=JOB, keep=True, **options)


def broke(session: Session, tag: str) -> None:
    """It snaps, and what stood with it is looked over and found sound."""
    for other in report_break(session, BreakRequest(tag, ["snapped"])).to_inspect:
        record_look(session, LookRequest(other, inspected=True))


def worn(session: Session, run: RunCard, count: int) -> None:
    words = [run.tag, str(count), "thru", "3/8", "A36"]
    log_words(session, words, LogOptions(job=JOB, confirmed=MANY))


@settings(max_examples=10, deadline=None)
@given(
    logged=st.tuples(*[st.integers(0, 60)] * 4),
    broken=st.lists(st.tuples(st.integers(0, 3), st.sampled_from((0, 1))), max_size=3),
    out=st.booleans(),
)
def test_what_a_break_does_not_touch_stays_as_it_is(
    logged: tuple[int, ...], broken: list[tuple[int, int]], out: bool
) -> None:
    with TemporaryDirectory() as folder, closing(running(Path(folder) / "shop.crib")) as session:
        if out:
            hand_out(session, JOB, HandOut("window", until="2099-01-01"))
        for run, count in zip(runs(session), logged, strict=True):
            if count:
                worn(session, run, count)
        before = runs(session)
        tags = {(before[at].tag, before[at].with_tag or "")[role] for at, role in broken}
        for tag in tags:
            broke(session, tag)
        again(session)
        after = runs(session)
        touched = [run for run in before if {run.tag, run.with_tag} & tags and run.left > 0]
        kept = Counter(map(facts, after))
        assert Counter(facts(run) for run in before if run not in touched) <= kept
        for run in touched:
            own = [one for one in after if one.phrase == run.phrase]
            assert sum(one.logged for one in own) == run.logged
            assert sum(one.strokes for one in own) == run.strokes
            assert all({one.tag, one.with_tag} & tags == set() for one in own if one.left > 0)
            # What is left takes the piece that did not break, which the job has in hand.
            whole = {run.tag, run.with_tag} - tags
            assert all(whole <= {one.tag, one.with_tag} for one in own)
        card = job_called(session, JOB)
        assert (card.planned, card.logged, card.beyond) == (240, sum(logged), 0)
        assert [(line.mark, line.quantity) for line in job_lines(session, card.id)] == [
            (f"B{number}", 60) for number in range(4)
        ]
        assert [run.mark for run in after] == sorted(
            (run.mark for run in after), key=[run.mark for run in before].index
        )


@pytest.fixture
def shop(tmp_path: Path) -> Session:
    return running(tmp_path / "shop.crib")


def test_what_was_in_hand_with_the_broken_one_waits_for_a_look(shop: Session) -> None:
    hand_out(shop, JOB, HandOut("window", until="2099-01-01"))
    first, *rest = runs(shop)
    found = report_break(shop, BreakRequest(first.tag, ["snapped"]))
    assert found.to_inspect == (first.with_tag,)
    others = {tag for run in rest for tag in (run.tag, run.with_tag or "")} - {first.with_tag}
    assert {piece_by_tag(shop, str(tag)).condition for tag in others} == {"sound"}
    again(shop)
    used = {tag for run in runs(shop) if run.left > 0 for tag in (run.tag, run.with_tag)}
    assert not used & {first.tag, first.with_tag}


def test_the_rest_of_a_kit_that_is_out_is_used_on(shop: Session) -> None:
    hand_out(shop, JOB, HandOut("window", until="2099-01-01"))
    first = runs(shop)[0]
    worn(shop, first, 10)
    broke(shop, first.tag)
    made = again(shop)
    assert made.missing == ()
    assert made.lost == ((first.tag, "broken"),)
    (run,) = made.runs
    assert (run.quantity, run.tools[1].tag) == (50, first.with_tag)
    assert [(one.tag, one.strokes, one.logged) for one in runs(shop)[:2]] == [
        (first.tag, 10, 10),
        (run.tools[0].tag, 50, 0),
    ]
    assert len(made.stands) == 3
    assert "kept as job 26-041: 5 runs, 3 of them as before" in made.notes
    kit = {piece.tag: piece.state for piece in show_kit(shop, JOB).pieces}
    assert (kit[first.with_tag or ""], kit[run.tools[0].tag]) == ("out", "")
    shop.close()


def test_a_spare_of_the_kit_steps_in_first(tmp_path: Path) -> None:
    with closing(running(tmp_path / "shop.crib", 3)) as shop:
        first = runs(shop)[0]
        log_words(shop, [first.tag, "3000"], LogOptions(confirmed=MANY))
        hand_out(shop, JOB, HandOut("window", until="2099-01-01"))
        (spare,) = [piece.tag for piece in show_kit(shop, JOB).pieces if piece.spare]
        broke(shop, first.tag)
        (run,) = again(shop).runs
        assert run.tools[0].tag == spare
        assert held(shop)[spare] == f"{JOB} out"


def test_nothing_changes_where_nothing_broke(shop: Session) -> None:
    before = [facts(run) for run in runs(shop)]
    made = again(shop)
    assert (made.runs, made.serves, len(made.stands)) == ((), True, 4)
    assert [facts(run) for run in runs(shop)] == before
    shop.close()


def test_what_has_no_copy_is_missing_and_the_rest_stands(tmp_path: Path) -> None:
    with closing(running(tmp_path / "shop.crib", 0)) as shop:
        first, *others = runs(shop)
        broke(shop, first.tag)
        made = again(shop)
        assert [one.phrase for one in made.missing] == [first.phrase]
        assert [facts(run) for run in runs(shop)] == [facts(run) for run in others]


def test_a_job_is_planned_afresh_only_when_told(shop: Session) -> None:
    first = runs(shop)[0]
    worn(shop, first, 10)
    with pytest.raises(AskBack, match="logged already"):
        again(shop, afresh=True)
    made = again(shop, afresh=True, confirmed=yes_to("strokes-of-earlier-plan"))
    assert (len(made.runs), made.stands) == (4, ())
    shop.close()


def test_a_kit_comes_back_after_it_was_planned_again(shop: Session) -> None:
    hand_out(shop, JOB, HandOut("window", until="2099-01-01"))
    first = runs(shop)[0]
    worn(shop, first, 10)
    broke(shop, first.tag)
    again(shop)
    hand_out(shop, JOB, HandOut("window", until="2099-01-01"))
    take_back(shop, JOB, TakeBack())
    card = job_called(shop, JOB)
    assert (card.left, card.beyond) == (0, 0)
    shop.close()
