"""The chance that an edge is dull is one and the same, whoever asks for it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from pathlib import Path

import pytest

from crib.desk.book.show import show_piece
from crib.desk.edges.chart_life import life_curve
from crib.desk.life.learning import LifeOf, life_of
from crib.features.common.findings import Finding
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
from crib.trade.life.dulling import chance_dull_by
from crib.trade.life.edge_life import Prior
from crib.trade.life.kept_life import KeptLife, life_in_force
from tests.desk.asks import ask
from tests.desk.life.test_learning import edge, happens, works
from tests.desk.planning import hole, one_machine, part_list, plan

TAG, LIKE = "P-14", "P-15"
PHRASE, PARTS = hole("13/16"), 350
MORE = 2 * PARTS


def own_edges(shop: Session) -> None:
    for found in ("sharp", "overdue", "right", "sharp", "overdue"):
        edge(shop, 3500, found, TAG)


def like_edges(shop: Session) -> None:
    for _time in range(8):
        edge(shop, 2500, "overdue", LIKE)


def silent_edges(shop: Session) -> None:
    own_edges(shop)
    for _time in range(6):
        edge(shop, 4000, None, TAG)


STATES: dict[str, tuple[Callable[[Session], None], ...]] = {
    "nothing seen": (),
    "like kinds": (like_edges,),
    "its own": (own_edges,),
    "some silent": (silent_edges,),
    "all": (like_edges, silent_edges),
}


@pytest.fixture(params=STATES)
def shop(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Session]:
    """A worn punch over its die in a machine, and a kind that is like it."""
    session = one_machine(tmp_path / "shop.crib")
    for happened in STATES[request.param]:
        happened(session)
    happens(session, TAG, works(1900))
    yield session
    session.close()


def by_findings(findings: Iterable[Finding]) -> float:
    """What is said of the punch where a job is judged."""
    (said,) = [one for one in findings if one.rule == "lasting" and f"{TAG} ends" in one.text]
    assert said.chance is not None
    return said.chance


def asked(shop: Session, folder: Path) -> Iterator[tuple[str, float, float, float]]:
    """Every chance that somebody is told of: by whom, the wear, the strokes to come, the chance."""
    life = life_of(shop, TAG, MORE)
    for piece in life.pieces:
        yield "life", piece.wear, MORE, piece.chance_dull
        yield "life, 10 % in", piece.wear, piece.left_10, 0.1
    for level in life.levels:
        yield f"level {level.level}", 0.0, level.strokes, level.chance
    card = piece_by_tag(shop, TAG)
    drawn = life_curve(shop, card.kind_id, life.kind, life.learned, card)
    for point in drawn.curve:
        yield "curve", 0.0, point.strokes, point.chance
    for worn in drawn.pieces:
        yield "piece on the curve", 0.0, worn.wear, worn.chance
    shown = show_piece(shop, TAG).learned
    assert shown is not None
    yield "show", 0.0, shown.estimate.scale_10, 0.1
    yield "show", 0.0, shown.estimate.scale_50, 0.5
    pick = ask(shop, PHRASE, quantity=MORE).picks[0]
    weighted = pick.severities["punch"] * MORE
    yield "find", card.wear, weighted, by_findings(pick.findings)
    run = plan(shop, part_list(folder / "list.csv", ("B1", PHRASE, PARTS, 2))).runs[0]
    yield "plan", card.wear, weighted, by_findings(run.use.option.candidate.findings)


def kept(shop: Session) -> KeptLife:
    """What is kept beside the kind."""
    card = piece_by_tag(shop, TAG)
    return life_in_force(card.learned_life, Prior(card.interval(5000.0)))


def test_every_question_gives_the_chance_of_one_life(shop: Session, tmp_path: Path) -> None:
    told, life = list(asked(shop, tmp_path)), kept(shop)
    assert len({who for who, *_ in told}) == 11
    for who, wear, more, chance in told:
        assert chance == pytest.approx(life.chance_dull(wear, more), abs=1e-9), who


def test_that_life_is_what_edges_taught(shop: Session, tmp_path: Path) -> None:
    belief = life_of(shop, TAG).learned.estimate.dulling
    for who, wear, more, chance in asked(shop, tmp_path):
        if belief.sharp(wear + more) > 0.01:
            assert chance == pytest.approx(chance_dull_by(belief, wear, more), abs=0.005), who


def test_the_counts_lie_within_their_ranges(shop: Session) -> None:
    seen = life_of(shop, TAG).learned.estimate
    assert seen.low_10 <= seen.scale_10 <= seen.high_10
    assert seen.low_50 <= seen.scale_50 <= seen.high_50


def test_reminders_stand_where_their_level_says(shop: Session) -> None:
    life: LifeOf = life_of(shop, TAG)
    at = kept(shop).strokes_at_risk(0.0, 0.1)
    chances = [level.chance for level in life.levels]
    assert chances == sorted(chances)
    for level in life.levels:
        assert (level.chance > 0.1 + 1e-9) == (level.strokes > at * (1 + 1e-9))
