"""Measured sizes: they count from then on, and a slip of the hand is asked about."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from crib.acts import Confirmed, yes_to
from crib.desk.common.acting import stamp_for
from crib.desk.shelf.measure import Sizes, measure_piece, read_measured_sizes
from crib.errors import AskBack, BadQuantity, BadValue, Refused
from crib.stock.book import ledger
from crib.stock.book.ledger import NewEntry, rebuild
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
from tests.desk.rows import nothing_changes
from tests.shop import add_kind, add_piece, small_shop

_ODD: Confirmed = yes_to("odd-size")


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    session = small_shop(tmp_path / "shop.crib")
    yield session
    session.close()


def test_a_measured_size_counts_from_then_on(shop: Session) -> None:
    measured = measure_piece(
        shop, "p-0137", Sizes(width_mm=20.6, length_mm=69.0), "worn", by="bench 2"
    )
    assert (measured.width_mm, measured.length_mm) == (20.6, 69.0)
    assert measured.before == Sizes()
    assert measured.cautions == ()
    assert piece_by_tag(shop, "P-0137").measured_width_mm == 20.6
    again = measure_piece(shop, "P-0137", Sizes(width_mm=20.58), "again")
    assert again.before.width_mm == 20.6
    assert again.length_mm == 69.0
    assert rebuild(shop) == []


@pytest.mark.parametrize(
    ("kind_width", "measured_mm", "odd"),
    [
        ("10mm", 10.3, False),
        ("10mm", 10.31, True),
        ("10mm", 9.69, True),
        ("30mm", 30.5, False),
        ("30mm", 30.51, True),
    ],
)
def test_more_than_three_percent_or_half_a_millimetre_is_asked_about(
    shop: Session, kind_width: str, measured_mm: float, odd: bool
) -> None:
    add_piece(shop, "P-1", add_kind(shop, role="punch", width=kind_width))
    if odd:
        with nothing_changes(shop), pytest.raises(AskBack, match="off the nominal"):
            measure_piece(shop, "P-1", Sizes(width_mm=measured_mm), "mic")
    measured = measure_piece(
        shop, "P-1", Sizes(width_mm=measured_mm), "mic", confirmed=_ODD if odd else frozenset()
    )
    assert measured.width_mm == measured_mm


@pytest.mark.parametrize(
    ("length_mm", "odd"), [(70.5, False), (70.6, True), (67.0, False), (66.9, True)]
)
def test_a_length_that_grew_or_lost_too_much_is_asked_about(
    shop: Session, length_mm: float, odd: bool
) -> None:
    add_piece(shop, "P-1", add_kind(shop, role="punch", width="1/2", length_mm=70.0))
    if odd:
        with nothing_changes(shop), pytest.raises(AskBack, match="off the known"):
            measure_piece(shop, "P-1", Sizes(length_mm=length_mm), "mic")
    measured = measure_piece(
        shop, "P-1", Sizes(length_mm=length_mm), "mic", confirmed=_ODD if odd else frozenset()
    )
    assert measured.length_mm == length_mm


def test_a_mounted_punch_that_turns_out_too_big_is_called_out(shop: Session) -> None:
    station = shop.value("SELECT id FROM place WHERE name = 'Ironworker 1 / punch'")
    moves = [
        NewEntry("move", piece_by_tag(shop, t).id, place_id=station) for t in ("P-0137", "D-0201")
    ]
    ledger.write(shop, stamp_for(shop, ""), moves)
    measured = measure_piece(shop, "D-0201", Sizes(width_mm=20.6), "doubted", confirmed=_ODD)
    assert "is not bigger than punch P-0137" in measured.cautions[0].what


def test_a_kind_has_no_size_that_it_was_not_given(shop: Session) -> None:
    with nothing_changes(shop), pytest.raises(BadValue, match="P-0137 has no long side"):
        measure_piece(shop, "P-0137", Sizes(long_mm=40.0), "mic")


def test_the_size_is_the_shorter_side(shop: Session) -> None:
    kind = add_kind(shop, role="die", width="20mm", long="20.2mm", shape="obround")
    add_piece(shop, "D-1", kind)
    with nothing_changes(shop), pytest.raises(BadValue, match="is more than its long side"):
        measure_piece(shop, "D-1", Sizes(width_mm=20.3), "mic")


def test_nothing_measured_or_no_reason_is_refused(shop: Session) -> None:
    with nothing_changes(shop), pytest.raises(BadValue, match="nothing measured"):
        measure_piece(shop, "P-0137", Sizes(), "mic")
    with nothing_changes(shop), pytest.raises(BadValue, match="no reason given"):
        measure_piece(shop, "P-0137", Sizes(20.6), " ")


def test_a_retired_piece_is_not_measured(shop: Session) -> None:
    ledger.write(shop, stamp_for(shop, ""), [NewEntry("retire", 1, condition="retired")])
    with nothing_changes(shop), pytest.raises(Refused, match="P-0137 is retired"):
        measure_piece(shop, "P-0137", Sizes(20.6), "mic")


def test_sizes_are_read_in_the_cribs_unit(shop: Session) -> None:
    assert read_measured_sizes(shop, "0.5", "", "25.4mm") == Sizes(12.7, None, 25.4)
    with pytest.raises(BadQuantity, match="cannot be read"):
        read_measured_sizes(shop, "small", "", "")
