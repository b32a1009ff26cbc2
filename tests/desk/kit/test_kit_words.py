"""The words behind a kit: which are a job's name, which counts, which the tags of what was lent."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from crib.acts import act, acts_in
from crib.desk.kit.hand_out import HandOut, hand_out, lend
from crib.desk.kit.kit_words import come_back, job_named
from crib.desk.kit.take_back import TakeBack
from crib.errors import BadValue, Refused, UnknownName
from crib.stock.engine.session import Session
from tests.desk.kitting import SECOND, held, kit_shop
from tests.desk.planned import plan_job, run


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    """Two jobs."""
    session = kit_shop(tmp_path / "shop.crib")
    yield session
    session.close()


def test_a_jobs_name_may_be_of_several_words() -> None:
    assert job_named(["gate", "frame"]) == "gate frame"


@pytest.mark.parametrize(
    ("words", "job"), [(["24-118", "P-0137=4"], "24-118"), (["P-0137=4"], None)]
)
def test_a_count_is_no_part_of_a_jobs_name(words: list[str], job: str | None) -> None:
    with pytest.raises(BadValue, match="P-0137=4 is a count") as told:
        job_named(words)
    right = act("kit.back", job=job, counts="P-0137=4")
    assert acts_in(told.value.way_out) == (right, act("log"))


def test_a_job_comes_back_with_its_counts_wherever_they_stand(shop: Session) -> None:
    hand_out(shop, SECOND, HandOut("bench 2"))
    back = come_back(shop, ["P-0140=31", SECOND, "P-0137=7"], TakeBack())
    assert {one.tag: one.count for one in back.strokes} == {"P-0140": 31, "P-0137": 7}
    assert held(shop) == {}


def test_tags_come_back_from_a_loan(shop: Session) -> None:
    lend(shop, ["P-0137", "D-0201"], HandOut("bench 2"))
    assert come_back(shop, ["p", "137", "D-0201"], TakeBack()).job == ""
    assert held(shop) == {}


def test_a_job_that_is_called_like_a_tag_comes_first(shop: Session) -> None:
    plan_job(shop, "P-0137", run(shop, "P-0140", 5))
    hand_out(shop, "P-0137", HandOut("bench 2"))
    assert come_back(shop, ["P-0137"], TakeBack()).job == "P-0137"


@pytest.mark.parametrize(
    ("words", "error", "said"),
    [
        (["P-0137=4"], BadValue, "which job's kit is back"),
        (["24-999"], UnknownName, "no job is called '24-999'"),
        (["P-0137"], Refused, "P-0137 is not lent to anybody"),
    ],
)
def test_what_cannot_come_back_is_refused(
    shop: Session, words: list[str], error: type[Exception], said: str
) -> None:
    with pytest.raises(error, match=said):
        come_back(shop, words, TakeBack())
