"""What is kept of a kind's life is what the ledger teaches, whatever was done last."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crib.acts import act, saying
from crib.desk.book.check import check_crib, mend_crib
from crib.desk.book.shop_rules import change_rule
from crib.desk.book.undo import undo_last
from crib.desk.edges.broke import BreakRequest, report_break
from crib.desk.edges.look import LookRequest, record_look
from crib.desk.life.learning import life_of
from crib.desk.life.taught import taught
from crib.desk.shelf.add import NewPiece
from crib.desk.shelf.add import add_piece as new_piece
from crib.desk.tables.export_tables import give_out
from crib.desk.tables.import_tables import take_in
from crib.errors import CribError
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.edge_ends import edge_kind
from crib.stock.queries.pieces import piece_by_tag
from tests.desk.life.test_relearn import edge, edges, works
from tests.shop import add_kind, add_piece, made_once, new_crib

pytestmark = pytest.mark.both_engines

OWN, LIKE, OTHER = "P-1", "L-1", "D-1"
TAGS = (OWN, "P-2", LIKE, OTHER)


@made_once
def kinds_alike(path: Path) -> Session:
    """Two kinds of punch alike, and a die that is like neither."""
    session = new_crib(path)
    punch = add_kind(session, role="punch", width="13/16", name="the punch", length_mm=70.0)
    for tag in (OWN, "P-2"):
        add_piece(session, tag, punch)
    add_piece(session, LIKE, add_kind(session, role="punch", width="7/8", name="the like"))
    add_piece(session, OTHER, add_kind(session, role="die", width="2", name="the die"))
    return session


def life(session: Session, tag: str) -> str:
    """What is kept of the life of a piece's kind."""
    return piece_by_tag(session, tag).learned_life


def anew(session: Session, tag: str) -> str:
    """What the ledger teaches of it today."""
    kind = edge_kind(session, piece_by_tag(session, tag).kind_id)
    return taught(session, kind, shop_rules(session)).life


def looked(session: Session, tag: str) -> None:
    works(session, 2000, tag)
    record_look(session, LookRequest(tag, sharp=True))


def broken(session: Session, tag: str) -> None:
    works(session, 900, tag)
    report_break(session, BreakRequest(tag, ["snapped"]))


def undone(session: Session, tag: str) -> None:
    undo_last(session, f"it was not {tag}")


def steeper(session: Session, tag: str) -> None:
    change_rule(session, "life.shape", "3", f"{tag} says so", by="window")


def shorter(session: Session, tag: str) -> None:
    change_rule(session, "wear.interval_strokes", "4000", f"{tag} says so", by="window")


ACTS: dict[str, Callable[[Session, str], None]] = {
    "sharp": lambda session, tag: edge(session, 3000, "sharp", tag),
    "right": lambda session, tag: edge(session, 4000, "right", tag),
    "overdue": lambda session, tag: edge(session, 4000, "overdue", tag),
    "chipped": lambda session, tag: edge(session, 1000, "chipped", tag),
    "without a word": lambda session, tag: edge(session, 4000, "", tag),
    "strokes": lambda session, tag: works(session, 700, tag),
    "looked": looked,
    "broken": broken,
    "undone": undone,
    "steeper": steeper,
    "shorter": shorter,
}

TELLING = set(ACTS) - {"strokes", "undone"}
"""After strokes a kind may still lag behind its neighbours; what is undone is of any piece."""


@settings(max_examples=15, deadline=None)
@given(history=st.lists(st.tuples(st.sampled_from(list(ACTS)), st.sampled_from(TAGS)), max_size=9))
def test_after_any_act_the_life_kept_is_the_one_learned_anew(
    history: list[tuple[str, str]],
) -> None:
    with TemporaryDirectory() as folder:
        session = kinds_alike(Path(folder) / "shop.crib")
        for name, tag in history:
            # What is refused, as to grind what broke, teaches nothing.
            with suppress(CribError):
                ACTS[name](session, tag)
                assert name not in TELLING or life(session, tag) == anew(session, tag)
        session.close()


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    """Two kinds alike, and one that is not."""
    session = kinds_alike(tmp_path / "shop.crib")
    yield session
    session.close()


def test_nothing_seen_is_nothing_kept(shop: Session) -> None:
    works(shop, 4000)
    edge(shop, 4000, "")
    assert [life(shop, tag) for tag in TAGS] == [""] * 4


def test_a_kind_without_an_edge_of_its_own_hears_of_its_like_at_once(shop: Session) -> None:
    edges(shop, 4, 2500, "overdue", LIKE)
    assert life(shop, OWN) == anew(shop, OWN) != ""
    assert piece_by_tag(shop, OWN).learned_strokes is None
    assert life(shop, OTHER) == ""


def test_a_kind_that_is_new_hears_of_its_like_when_its_first_piece_is_added(shop: Session) -> None:
    edges(shop, 4, 2500, "overdue", LIKE)
    add_kind(shop, role="punch", width="15/16", name="the new one")
    new_piece(shop, NewPiece("N-1", kind="the new one"))
    assert life(shop, "N-1") == anew(shop, "N-1") != ""


def test_one_with_its_own_hears_of_them_with_its_next(shop: Session) -> None:
    edge(shop, 4000, "right")
    before = life(shop, OWN)
    edges(shop, 4, 2500, "overdue", LIKE)
    assert life(shop, OWN) == before != anew(shop, OWN)
    edge(shop, 4000, "right")
    assert life(shop, OWN) == anew(shop, OWN)


def test_what_it_lags_behind_moves_no_count_out_of_its_range(shop: Session) -> None:
    edge(shop, 4000, "right")
    edges(shop, 30, 900, "overdue", LIKE)
    seen = life_of(shop, OWN).learned.estimate
    assert seen.low_10 <= seen.scale_10 <= seen.high_10
    assert seen.low_50 <= seen.scale_50 <= seen.high_50


def test_taking_the_only_edge_back_leaves_nothing_kept(shop: Session) -> None:
    edge(shop, 4000, "right")
    assert life(shop, LIKE) != ""
    undo_last(shop, "another piece")
    assert (life(shop, OWN), life(shop, LIKE)) == ("", "")


def test_a_shop_that_holds_its_settings_keeps_lives_all_the_same(shop: Session) -> None:
    change_rule(shop, "life.follow", "no", "we trust the card", by="window")
    edge(shop, 4000, "overdue")
    assert life(shop, OWN) == anew(shop, OWN) != ""


def test_a_ledger_taken_in_whole_keeps_the_same_lives(shop: Session, tmp_path: Path) -> None:
    edges(shop, 3, 3600, "right")
    give_out(shop, tmp_path / "out")
    other = new_crib(tmp_path / "other.crib")
    take_in(other, tmp_path / "out", by="")
    assert [life(other, tag) for tag in TAGS] == [anew(shop, tag) for tag in TAGS]
    other.close()


def set_by_hand(session: Session, text: str) -> None:
    with session.writing():
        session.run("UPDATE kind SET learned_life = ? WHERE name = ?", (text, "the punch"))


def test_the_check_finds_one_that_cannot_be_read(shop: Session) -> None:
    edge(shop, 4000, "overdue")
    before = life(shop, OWN)
    set_by_hand(shop, "100 90")
    faults = [fault for one in check_crib(shop).checks for fault in one.faults]
    assert faults == ["the punch: '100 90' is no life: 14 rising counts"]
    assert mend_crib(shop).sound
    assert life(shop, OWN) == before


def test_one_that_was_learned_before_lives_were_kept_is_remarked(shop: Session) -> None:
    edge(shop, 4000, "overdue")
    before = life(shop, OWN)
    set_by_hand(shop, "")
    # Till then all tell the settings' life, about the interval that reminders use.
    seen = life_of(shop, OWN).learned.estimate
    assert seen.scale_10 == pytest.approx(piece_by_tag(shop, OWN).learned_strokes)
    words = "what edges of the punch taught is not in use yet: "
    assert check_crib(shop).remarks == (saying(words, act("check.mend")),)
    assert mend_crib(shop).remarks == ()
    assert life(shop, OWN) == before
