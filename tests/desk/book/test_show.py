"""Everything about one piece."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from crib.cli.door import plain
from crib.desk.book.show import LAST_ENTRIES, show_piece
from crib.desk.common.acting import stamp_for
from crib.errors import UnknownName
from crib.stock.book import ledger
from crib.stock.book.ledger import NewEntry
from crib.stock.engine.session import Session
from tests.shop import add_kind, add_piece, small_shop


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    session = small_shop(tmp_path / "shop.crib")
    yield session
    session.close()


def test_wear_length_and_what_is_left_to_grind(shop: Session) -> None:
    kind = add_kind(
        shop, role="punch", width="13/16", length_mm=70.0, interval_strokes=4000, seat_id=1
    )
    add_piece(shop, "P-0900", kind, wear=3000, strokes=2500, length_mm=68.0)
    report = show_piece(shop, "p-0900")
    stands = report.standing
    assert (stands.used, stands.state) == (0.75, "dulling")
    assert (report.length_mm, stands.least_length_mm, stands.grinds_left) == (68.0, 67.0, 4)
    assert (report.piece.strokes_edge, report.piece.strokes_total) == (2500, 2500)
    assert report.seat is not None
    assert report.seat.die_diameter_mm == 54.0


def test_a_length_nobody_measured_is_reckoned_from_the_new_one(shop: Session) -> None:
    kind = add_kind(shop, role="punch", width="1/2", length_mm=70.0)
    piece_id = add_piece(shop, "P-0901", kind)
    ledger.write(shop, stamp_for(shop, ""), [NewEntry("grind", piece_id, ground_um=500)])
    report = show_piece(shop, "P-0901")
    assert report.length_mm == 69.5
    assert report.standing.grinds_left == 10


def test_without_any_length_the_shops_total_says_what_is_left(shop: Session) -> None:
    report = show_piece(shop, "P-0137")
    assert report.length_mm is None
    assert report.standing.least_length_mm is None
    assert report.standing.grinds_left == 12


def test_a_spent_piece_is_called_spent(shop: Session) -> None:
    kind = add_kind(shop, role="die", width="1/2", length_mm=29.0, least_length_mm=28.0)
    add_piece(shop, "D-0900", kind, wear=4000, length_mm=28.1)
    assert show_piece(shop, "D-0900").standing.state == "spent"


def test_a_blade_with_fresh_edges_is_not_spent(shop: Session) -> None:
    kind = add_kind(shop, role="blade", width="1/2", shape="", edges=4, regrind_mm=0.0)
    add_piece(shop, "B-0001", kind, wear=6000)
    stands = show_piece(shop, "B-0001").standing
    assert (stands.edges_left, stands.state) == (3, "dull")


def test_a_stripper_has_no_edge(shop: Session) -> None:
    kind = add_kind(shop, role="stripper", width="1/2", shape="")
    add_piece(shop, "S-0001", kind)
    stands = show_piece(shop, "S-0001").standing
    assert (stands.state, stands.grinds_left) == ("", None)


def test_only_the_last_entries_are_shown_and_the_rest_is_counted(shop: Session) -> None:
    for count in range(1, 11):
        entry = NewEntry("strokes", 1, quantity=count, weighted_milli=1000 * count, severity=1.0)
        ledger.write(shop, stamp_for(shop, "nights"), [entry])
    report = show_piece(shop, "P-0137")
    assert len(report.entries) == LAST_ENTRIES
    assert report.entries[0].what == "10 strokes, each weighs 1"
    assert report.entries_more == 3


def test_json_is_flat_and_keeps_row_numbers_inside(shop: Session) -> None:
    told = plain(show_piece(shop, "P-0137"))
    assert told["tag"] == "P-0137"
    assert told["width_mm"] == pytest.approx(20.6375)
    assert told["seat"]["name"] == "A"
    assert (told["used"], told["state"], told["wear"]) == (0.0, "sharp", 0.0)
    assert not {"id", "kind_id", "place_id", "wear_milli"} & set(told)


def test_an_unknown_tag_names_the_nearest_ones(shop: Session) -> None:
    with pytest.raises(UnknownName, match="no piece with tag 'P-0173'") as caught:
        show_piece(shop, "P-0173")
    assert "P-0137" in str(caught.value.way_out)
