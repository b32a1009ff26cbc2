"""The shape that a shop's own edges show, and how reminders come to hold it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import log
from pathlib import Path

import pytest

from crib.desk.book.keep_shape import keep_shape
from crib.desk.book.shop_rules import change_rule
from crib.desk.life.fitted_shape import life_with_shape
from crib.desk.life.learning import ShapeTold
from crib.errors import Refused
from crib.stock.book import ledger
from crib.stock.book.ledger import NewEntry
from crib.stock.book.people import person_id
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
from tests.desk.rows import nothing_changes
from tests.shop import add_kind, add_piece, new_crib


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    """Two kinds of punch of one size, and a kind of die; each with one piece."""
    session = new_crib(tmp_path / "shop.crib")
    for tag, role, name in (
        ("P-1", "punch", "the punch"),
        ("N-1", "punch", "the neighbour"),
        ("D-1", "die", "the die"),
    ):
        add_piece(session, tag, add_kind(session, role=role, width="13/16", name=name))
    yield session
    assert ledger.rebuild(session) == []
    session.close()


def lives(shape: float, number: int, scale: float = 8000.0) -> list[int]:
    """Counts as evenly spread as a sample of that shape is in the long run."""
    shares = [(n + 0.5) / number for n in range(number)]
    return [round(scale * (-log(1 - share)) ** (1 / shape)) for share in shares]


def ends(session: Session, tag: str, counts: Sequence[int], found: str | None = "right") -> None:
    """One edge after the other does its count and is ground."""
    piece_id = piece_by_tag(session, tag).id
    stamp = ledger.new_stamp(person_id(session, ""))
    work = NewEntry("strokes", piece_id)
    with session.writing():
        for count in counts:
            worked = replace(work, quantity=count, weighted_milli=count * 1000)
            ground = NewEntry("grind", piece_id, ground_um=10, found=found)
            ledger.write(session, stamp, [worked, ground])


def shape(session: Session, name: str = "P-1") -> ShapeTold:
    told = life_with_shape(session, name).shape
    assert told is not None
    return told


@pytest.mark.parametrize("true", [1.5, 2.5, 4.0])
def test_the_true_shape_lies_in_the_interval(shop: Session, true: float) -> None:
    ends(shop, "P-1", lives(true, 40))
    told = shape(shop)
    assert (told.pool, told.dull, told.missing, told.held) == ("this kind", 40, 0, 2.5)
    assert told.shape == pytest.approx(true, rel=0.15)
    assert told.low is not None
    assert told.high is not None
    assert told.low < true < told.high


def test_with_the_held_shape_the_counts_are_those_of_the_life(shop: Session) -> None:
    ends(shop, "P-1", lives(4.0, 30))
    keep_shape(shop, "P-1", by="window")
    life = life_with_shape(shop, "P-1")
    assert life.shape is not None
    assert life.shape.at_10 == pytest.approx(life.learned.estimate.scale_10)
    assert life.shape.at_50 == pytest.approx(life.learned.estimate.scale_50)


@pytest.mark.parametrize(("number", "missing"), [(19, 1), (20, 0), (21, 0)])
def test_too_few_dull_edges_show_no_shape(shop: Session, number: int, missing: int) -> None:
    ends(shop, "P-1", lives(3.0, number))
    told = shape(shop)
    assert (told.dull, told.missing, told.shape is None) == (number, missing, missing > 0)


def test_the_narrowest_pool_that_has_enough_is_taken(shop: Session) -> None:
    ends(shop, "P-1", lives(4.0, 12))
    ends(shop, "N-1", lives(4.0, 12))
    told = shape(shop)
    assert (told.pool, told.dull) == ("same shape and size", 24)
    ends(shop, "P-1", lives(4.0, 8))
    told = shape(shop)
    assert (told.pool, told.dull) == ("this kind", 20)
    assert shape(shop, "D-1").pool == "all kinds"


def test_edges_ground_by_the_count_alone_show_no_shape(shop: Session) -> None:
    ends(shop, "P-1", [5100] * 30, found=None)
    assert (shape(shop).dull, shape(shop).missing) == (0, 20)
    with nothing_changes(shop), pytest.raises(Refused, match="the edges leave the shape open"):
        keep_shape(shop, "P-1", by="window")


def test_edges_all_dull_at_one_count_leave_it_open(shop: Session) -> None:
    ends(shop, "P-1", [5100] * 30)
    told = shape(shop)
    assert (told.missing, told.shape) == (0, None)
    with nothing_changes(shop), pytest.raises(Refused, match="the edges leave the shape open"):
        keep_shape(shop, "P-1", by="window")


def test_a_shape_that_no_edge_has_is_shown_and_not_held(shop: Session) -> None:
    ends(shop, "P-1", lives(20.0, 30))
    told = shape(shop)
    assert told.shape is not None
    assert (told.shape > 6, told.at_10) == (True, None)
    with nothing_changes(shop), pytest.raises(Refused, match=r"is not 1 to 6: were its edges"):
        keep_shape(shop, "P-1", by="window")


def test_a_kept_shape_moves_the_reminders_and_can_be_put_back(shop: Session) -> None:
    ends(shop, "P-1", lives(4.0, 30))
    change_rule(shop, "life.follow", "yes", "as set", by="window")
    change_rule(shop, "life.shape", "2.5", "as set", by="window")
    before = piece_by_tag(shop, "P-1").learned_strokes
    change = keep_shape(shop, "the punch", by="window")
    assert (change.key, change.before) == ("life.shape", "2.5")
    assert float(change.value) == pytest.approx(4.0, rel=0.1)
    assert change.why.startswith("fitted to 30 dull edges, ")
    assert piece_by_tag(shop, "P-1").learned_strokes != before
    assert shape(shop).held == float(change.value)
    note = shop.value("SELECT note FROM entry WHERE action = 'rule' ORDER BY id DESC LIMIT 1")
    assert note.startswith(f"life.shape: 2.5 -> {change.value}; fitted to 30 dull edges")
    with nothing_changes(shop), pytest.raises(Refused, match=r"life.shape is .* already"):
        keep_shape(shop, "P-1", by="window")
    change_rule(shop, "life.shape", "2.5", "back again", by="window")
    assert piece_by_tag(shop, "P-1").learned_strokes == before
