"""What is on the shelf: filters, measured sizes, counts, and the speed in a big crib."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from crib.desk.shelf.shelf_words import read_filters
from crib.desk.shelf.stock import SCREENFUL, RoleCount, list_stock
from crib.errors import AskBack, BadQuantity, BadValue, CribError, UnknownName
from crib.stock.engine.session import Session
from crib.stock.tables.shelf import PlaceRecord
from crib.units import read_length_mm
from tests.shop import add_kind, add_piece, insert, small_shop


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    session = small_shop(tmp_path / "shop.crib")
    yield session
    session.close()


def tags(shop: Session, *words: str, place: str = "", kind: str = "", condition: str = "") -> str:
    chosen = (condition,) if condition else ()
    filters = read_filters(shop, words, place=place, kind=kind, conditions=chosen)
    return " ".join(one.tag for one in list_stock(shop, filters).pieces)


@pytest.mark.parametrize(
    ("words", "found"),
    [
        ("", "D-0201 D-0301 D-0202 P-0137 P-0140"),
        ("die", "D-0201 D-0301 D-0202"),
        ("dies seat B", "D-0301"),
        ("punch 13/16", "P-0137"),
        ("punches .8125", "P-0137"),
        ("PUNCH 20.6375mm", "P-0137"),
        ("20.64 mm", "P-0137"),
        ("7/8", "D-0202 P-0140"),
        ("7/8 die A2", "D-0202"),
        ("round a1", "P-0137"),
        ("square", ""),
    ],
)
def test_loose_words_filter_by_role_shape_size_seat_and_place(
    shop: Session, words: str, found: str
) -> None:
    assert tags(shop, *words.split()) == found


def test_the_options_filter_too(shop: Session) -> None:
    assert tags(shop, place="a1") == "P-0137"
    assert tags(shop, kind="die 7/8") == "D-0202"
    assert tags(shop, kind="%") == ""


def test_a_measured_size_is_found_and_the_nominal_one_no_longer(shop: Session) -> None:
    kind = add_kind(shop, role="punch", width="1/2")
    add_piece(shop, "P-0500", kind, measured_width_mm=12.4)
    assert tags(shop, "1/2") == ""
    assert tags(shop, "12.4mm") == "P-0500"


def test_a_long_side_follows_an_x(shop: Session) -> None:
    kind = add_kind(shop, role="punch", width="13/16", long="1-7/8", shape="obround")
    add_piece(shop, "P-0600", kind)
    assert tags(shop, "13/16", "x", "1-7/8") == "P-0600"
    assert tags(shop, "13/16x1-7/8") == "P-0600"
    assert tags(shop, "slot") == "P-0600"


def test_what_is_gone_is_listed_only_when_asked_for(shop: Session) -> None:
    kind = add_kind(shop, role="punch", width="1/4")
    add_piece(shop, "P-0700", kind, condition="lost")
    add_piece(shop, "P-0701", kind, condition="broken")
    assert tags(shop, "1/4") == "P-0701"
    assert tags(shop, "1/4", "lost") == "P-0700"
    assert tags(shop, condition="lost") == "P-0700"


def test_the_count_line_counts_by_role(shop: Session) -> None:
    shelf = list_stock(shop, read_filters(shop, []))
    assert shelf.counts == (RoleCount("die", 3), RoleCount("punch", 2))
    assert (shelf.total, shelf.more) == (5, 0)


@pytest.mark.parametrize(
    ("words", "error", "said"),
    [
        ("flange", UnknownName, "'flange' is no role, shape, size, condition or place"),
        ("seat Z", UnknownName, "no seat called 'Z'; known: A, B"),
        ("seat", UnknownName, "no seat called ''"),
        ("13/16 7/8", BadValue, "a second size, 7/8"),
        ("A1 A2", BadValue, "a second place, A2"),
        ("A1 flange", BadValue, "a second place, flange"),
        ("seat A seat B", BadValue, "a second seat, B"),
        ("x 7/8", BadValue, "an x stands between two sizes"),
        ("7/8 x", BadValue, "an x stands between two sizes"),
        ("0,8125", BadQuantity, "a comma is not part of a number"),
    ],
)
def test_a_word_that_means_nothing_is_refused(
    shop: Session, words: str, error: type[CribError], said: str
) -> None:
    with pytest.raises(error, match=said):
        read_filters(shop, words.split())


@pytest.mark.parametrize(
    ("words", "width", "long"),
    [
        ("1 3/16", "1-3/16", None),
        ("1 3 / 16 in", "1-3/16", None),
        ("2 ½ x 3 1⁄4", "2-1/2", "3-1/4"),
        ("13/16x1-7/8", "13/16", "1-7/8"),
        ("13/16 × 1 7/8", "13/16", "1-7/8"),
    ],
)
def test_a_size_is_read_as_in_a_phrase(
    shop: Session, words: str, width: str, long: str | None
) -> None:
    filters = read_filters(shop, words.split())
    assert filters.width_mm == read_length_mm(width, "in")
    assert filters.long_mm == (read_length_mm(long, "in") if long else None)


def test_a_place_that_begins_like_a_size_is_a_place(shop: Session) -> None:
    for name in ("3A", "12"):
        insert(shop, PlaceRecord, name=name, sort="drawer", walk_order=9)
    assert read_filters(shop, ["3a"]).place_id is not None
    assert read_filters(shop, ["die", "3A"]).width_mm is None
    with pytest.raises(AskBack, match="may be a size, or the place 12"):
        read_filters(shop, ["12"])
    assert read_filters(shop, ["12in"]).width_mm == 304.8


def test_an_unknown_condition_lists_the_known_ones(shop: Session) -> None:
    with pytest.raises(UnknownName, match="no condition 'rusty'; known: sound, inspect"):
        read_filters(shop, [], conditions=["rusty"])


def test_a_big_crib_shows_a_screenful(shop: Session) -> None:
    kinds = [add_kind(shop, role="punch", width=f"{n}/64", seat_id=1) for n in range(8, 64)]
    with shop.writing():
        shop.run_many(
            "INSERT INTO piece (kind_id, tag, place_id, condition, edge, wear_milli, strokes_edge,"
            " strokes_total, grinds, ground_um, acknowledged, deferred, changed_on, latest_on,"
            " dedicated_to, bought_on, note)"
            " VALUES (?, ?, 1, 'sound', 1, 0, 0, 0, 0, 0, '', 0, '', '', '', '', '')",
            ((kinds[n % len(kinds)], f"X-{n:06}") for n in range(30_000)),
        )
    shelf = list_stock(shop, read_filters(shop, []))
    sized = list_stock(shop, read_filters(shop, ["13/64"]))
    assert len(shelf.pieces) == SCREENFUL
    assert shelf.more == 30_005 - SCREENFUL
    assert sized.total > 500
    assert len(list_stock(shop, read_filters(shop, ["13/64"]), every=True).pieces) == sized.total
