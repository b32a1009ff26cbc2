"""A feature that takes several hits, against a plain hole, in a crib of the demo's size."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from crib.desk.answer.find import Found, find
from crib.desk.book.demo import make_demo
from crib.stock.engine.opening import open_crib
from crib.stock.engine.session import Session
from tests.bench.ratios import compare, timed

pytestmark = pytest.mark.bench

ROUNDS = 61


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Session]:
    """The inch demo crib."""
    path: Path = tmp_path_factory.mktemp("demo") / "demo.crib"
    make_demo(path)
    session = open_crib(path)
    yield session
    session.close()


@pytest.mark.parametrize("phrase", ["rectangle 1 x 3 thru 1/4", "rectangle 1 x 1-3/4 thru 1/4"])
def test_a_plan_adds_less_than_a_fifth_to_the_time_of_a_plain_hole(
    demo: Session, phrase: str
) -> None:
    def ask(asked: str) -> Found:
        return find(demo, asked, record=False)

    assert ask(phrase).picks[0].plan is not None
    found = compare(
        f"find {phrase}",
        lambda: timed(lambda: ask(phrase)),
        ("hole 13/16 thru 3/8 A36", lambda: timed(lambda: ask("hole 13/16 thru 3/8 A36"))),
        limit=1.2,
        rounds=ROUNDS,
    )
    assert found.ratio <= found.limit, found.line
