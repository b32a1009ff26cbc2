"""The chance that an edge is dull is one and the same, whoever asks for it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from crib.desk.book.show import show_piece
from crib.desk.edges.chart_life import life_curve
from crib.desk.life.learning import LifeOf, life_of
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
from crib.trade.life.dulling import chance_dull_by, count_at_risk
from crib.trade.life.estimate import LifeEstimate
from tests.desk.life.test_learning import edge, happens, works
from tests.shop import add_kind, add_piece, new_crib

MORE = 700


def own_edges(shop: Session) -> None:
    for found in ("sharp", "overdue", "right", "sharp", "overdue"):
        edge(shop, 3500, found)


def like_edges(shop: Session) -> None:
    for _time in range(8):
        edge(shop, 2500, "overdue", "L-1")


def silent_edges(shop: Session) -> None:
    own_edges(shop)
    for _time in range(6):
        edge(shop, 4000, None)


STATES: dict[str, tuple[Callable[[Session], None], ...]] = {
    "nothing seen": (),
    "like kinds": (like_edges,),
    "its own": (own_edges,),
    "some silent": (silent_edges,),
    "all": (like_edges, silent_edges),
}


@pytest.fixture(params=STATES)
def shop(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Session]:
    """A kind with two worn pieces, and one that is like it."""
    session = new_crib(tmp_path / "shop.crib")
    kind = add_kind(session, role="punch", width="13/16", name="the punch", stress_limit_mpa=1650.0)
    add_piece(session, "P-1", kind)
    add_piece(session, "L-1", add_kind(session, role="punch", width="7/8", name="the like"))
    for happened in STATES[request.param]:
        happened(session)
    happens(session, "P-1", works(1900))
    yield session
    session.close()


def asked(shop: Session) -> Iterator[tuple[str, float, float, float]]:
    """Every chance that somebody is told of: by whom, the wear, the strokes to come, the chance."""
    life = life_of(shop, "P-1", MORE)
    for piece in life.pieces:
        yield "life", piece.wear, MORE, piece.chance_dull
        yield "life, 10 % in", piece.wear, piece.left_10, 0.1
    for level in life.levels:
        yield f"level {level.level}", 0.0, level.strokes, level.chance
    card = piece_by_tag(shop, "P-1")
    drawn = life_curve(shop, card.kind_id, life.kind, life.learned, card)
    for point in drawn.curve:
        yield "curve", 0.0, point.strokes, point.chance
    for worn in drawn.pieces:
        yield "piece on the curve", 0.0, worn.wear, worn.chance
    shown = show_piece(shop, "P-1").learned
    assert shown is not None
    yield "show", 0.0, shown.estimate.scale_10, 0.1
    yield "show", 0.0, shown.estimate.scale_50, 0.5


def believed(life: LifeOf) -> LifeEstimate:
    return life.learned.estimate


def test_every_question_gives_the_chance_of_one_belief(shop: Session) -> None:
    belief = believed(life_of(shop, "P-1", MORE)).dulling
    told = list(asked(shop))
    assert len({who for who, *_ in told}) == 9
    for who, wear, more, chance in told:
        assert chance == pytest.approx(chance_dull_by(belief, wear, more), abs=1e-6), who


def test_two_spans_leave_as_many_sharp_as_one(shop: Session) -> None:
    seen = believed(life_of(shop, "P-1"))
    for first, second in ((500.0, 900.0), (3000.0, 10.0), (0.0, 5000.0)):
        apart = (1 - seen.chance_dull(1900.0, first)) * (
            1 - seen.chance_dull(1900.0 + first, second)
        )
        assert 1 - seen.chance_dull(1900.0, first + second) == pytest.approx(apart, abs=1e-9)


def test_reminders_stand_where_their_level_says(shop: Session) -> None:
    life = life_of(shop, "P-1")
    at = count_at_risk(believed(life).dulling, 0.0, 0.1)
    chances = [level.chance for level in life.levels]
    assert chances == sorted(chances)
    for level in life.levels:
        assert (level.chance > 0.1) == (level.strokes > at * (1 + 1e-9))
