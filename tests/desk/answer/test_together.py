"""Many asks looked up together: the same answers as one by one, and an error in its own place."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from crib.desk.answer.find import Found, find, find_each
from crib.desk.answer.lookup import Lookup
from crib.errors import BadPhrase
from crib.features.common.case import Circumstances
from crib.stock.engine.session import Session
from tests.demo_crib import NOW, demo_crib

INCH = (
    "hole 13/16 thru 3/8 A36",
    "hole 1-3/16 thru 3/8 A36",
    "hole 13/16 thru 1-1/4 A36",
    "slot 13/16 x 3 thru 3/8 A36",
    "slot 13/16 x 2-1/8 thru 3/8 A36",
    "rectangle 1 x 3 thru 1/4 A36",
    "notch 4 x 5 thru 1/4 A36",
    "saddle 1-1/2 tube 0.120 wall",
    "cut angle 3 x 3 x 1/4 A36",
    "bend 10 x 1/4 at 90 A36",
)
METRIC = ("hole 22 thru 12 S355", "slot 22 x 60 thru 8 S275", "slot 20 x 124 thru 10 S275")


@pytest.fixture(scope="module", params=["in", "mm"])
def demo(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[tuple[Session, tuple[str, ...]]]:
    """Each demo crib, with phrases in its unit."""
    metric, path = request.param == "mm", tmp_path_factory.mktemp("together") / "demo.crib"
    with closing(demo_crib(Path(path), metric)) as session:
        yield session, METRIC if metric else INCH


@pytest.mark.parametrize("quantity", [1, 400])
def test_asks_looked_up_together_get_the_answers_they_get_alone(
    demo: tuple[Session, tuple[str, ...]], quantity: int
) -> None:
    session, phrases = demo
    facts = Circumstances(quantity=quantity, job="J-9")
    answers = find_each(Lookup(session), [(phrase, facts) for phrase in phrases])
    for phrase, answer in zip(phrases, answers, strict=True):
        alone = find(session, phrase, facts, record=False, now=NOW)
        assert isinstance(answer, Found)
        assert answer.as_json() == alone.as_json()


def test_an_ask_that_cannot_be_read_has_its_error_in_its_place(
    demo: tuple[Session, tuple[str, ...]],
) -> None:
    session, (first, *_others) = demo
    asks = [("hole", Circumstances()), (first, Circumstances())]
    error, answer = find_each(Lookup(session), asks)
    assert isinstance(error, BadPhrase)
    assert isinstance(answer, Found)
    assert answer.serves


def test_nothing_asked_reads_nothing(demo: tuple[Session, tuple[str, ...]]) -> None:
    assert find_each(Lookup(demo[0]), []) == []
