"""Why the latest strokes weigh what they do: what is known is told, and nothing else."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from math import prod
from pathlib import Path

import pytest

from crib.cli.door import plain
from crib.desk.book.show import show_piece
from crib.desk.common.acting import stamp_for
from crib.desk.strokes.log import LogOptions, log_words
from crib.desk.strokes.stroke_weight import CHANGED, NOT_GIVEN, NOT_KEPT, SeverityWhy
from crib.stock.book import ledger
from crib.stock.book.ledger import NewEntry
from crib.stock.book.settings import set_rule
from crib.stock.engine.session import Session
from tests.shop import add_kind, add_piece, small_shop

NOW = datetime(2026, 3, 2, 15, 0, tzinfo=UTC)
PAIR_REST = ("clearance", "oil", "kind of hit", "stress")


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    session = small_shop(tmp_path / "shop.crib")
    yield session
    session.close()


def log(session: Session, words: str) -> None:
    """Log strokes as they are typed at the window."""
    log_words(session, words.split(), LogOptions(), NOW)


def why(session: Session, tag: str = "P-0137") -> SeverityWhy:
    """What is told of the latest strokes."""
    told = show_piece(session, tag).why
    assert told is not None
    return told


def factors(told: SeverityWhy) -> dict[str, float]:
    """The factors by their names."""
    return {one.name: one.value for one in told.factors}


def writes(session: Session, tag: str, **columns: float | str) -> None:
    """Strokes as a sheet or another program may have brought them."""
    piece_id = session.value("SELECT id FROM piece WHERE tag = ?", (tag,))
    entry = NewEntry("strokes", piece_id, quantity=10, weighted_milli=10_000, **columns)  # type: ignore[arg-type]
    ledger.write(session, stamp_for(session, "nights"), [entry])


def test_half_an_inch_of_a572_weighs_one_and_two_thirds(shop: Session) -> None:
    log(shop, "P-0137 400 thru 1/2 A572-50")
    told = why(shop)
    assert told.each == pytest.approx(1.25 * 4 / 3)
    assert factors(told) == {"material": 1.25, "thickness": pytest.approx(4 / 3)}
    assert told.rest == pytest.approx(1.0)
    assert (told.rest_of, told.note) == (PAIR_REST, "")


def test_a_tight_pair_leaves_a_rest_whose_cause_is_not_named(shop: Session) -> None:
    log(shop, "P-0137 400 thru 1/2 A36 with D-0201")
    told = why(shop)
    assert factors(told) == {"material": 1.0, "thickness": pytest.approx(4 / 3)}
    assert told.rest == pytest.approx(1.3)
    assert (told.rest_of, told.note) == (PAIR_REST, "")


def test_a_die_takes_its_share(shop: Session) -> None:
    log(shop, "P-0137 400 thru 3/8 A36 with D-0201")
    told = why(shop, "D-0201")
    assert factors(told) == {"material": 1.0, "thickness": 1.0, "share of a die": 0.5}
    assert told.rest == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("words", "rest"), [("thru 1/4 A36", 1.0), ("thru 1/2 A572-50 dry", 1.5), ("thru 1 A36", 1.5)]
)
def test_the_factors_and_the_rest_multiply_to_the_weight(
    shop: Session, words: str, rest: float
) -> None:
    log(shop, f"P-0137 60 {words}")
    told = why(shop)
    assert told.rest == pytest.approx(rest)
    assert prod(factors(told).values()) * rest == pytest.approx(told.each)


def test_a_blade_has_no_clearance_to_speak_of(shop: Session) -> None:
    add_piece(shop, "B-1", add_kind(shop, role="blade", width="10", shape="", name="a blade"))
    log(shop, "B-1 60 thru 3/8 A36")
    assert why(shop, "B-1").rest_of == ("oil", "kind of hit")


def test_when_a_rule_was_changed_since_it_says_that_they_do_not_multiply(shop: Session) -> None:
    log(shop, "P-0137 400 thru 1/2 A572-50")
    stamp = stamp_for(shop, "bench 2")
    set_rule(shop, stamp, "material.A572-50.wear_factor", "1.4", "a harder plate")
    told = why(shop)
    assert told.each == pytest.approx(5 / 3)
    assert factors(told) == {"material": 1.4, "thickness": pytest.approx(4 / 3)}
    assert (told.rest, told.rest_of, told.note) == (None, (), CHANGED)


def test_without_a_thickness_it_counts_one(shop: Session) -> None:
    log(shop, "P-0137 400 with D-0201")
    assert (why(shop).factors, why(shop).rest, why(shop).note) == ((), None, NOT_GIVEN)
    assert factors(why(shop, "D-0201")) == {"share of a die": 0.5}
    assert why(shop, "D-0201").note == NOT_GIVEN


@pytest.mark.parametrize(
    ("columns", "note"),
    [
        ({"severity": 1.5}, NOT_KEPT),
        ({"severity": 1.5, "thickness_mm": 12.7}, NOT_KEPT),
        ({"severity": 1.0, "thickness_mm": 9.525, "material": "gone"}, "gone is not among the"),
    ],
)
def test_what_was_not_kept_is_not_known(
    shop: Session, columns: dict[str, float | str], note: str
) -> None:
    writes(shop, "P-0137", **columns)
    told = why(shop)
    assert (told.factors, told.rest) == ((), None)
    assert told.note.startswith(note)


def test_a_weight_that_was_typed_with_two_decimals_is_still_the_same(shop: Session) -> None:
    writes(shop, "P-0137", severity=1.67, thickness_mm=12.7, material="A572-50")
    assert why(shop).rest == pytest.approx(1.0, abs=0.005)


def test_strokes_that_were_taken_back_are_passed_over(shop: Session) -> None:
    log(shop, "P-0137 400 thru 3/8 A36")
    kept = why(shop).entry
    log(shop, "P-0137 90 thru 1/2 A572-50")
    ledger.reverse(shop, stamp_for(shop, ""), [why(shop).entry], "wrong plate")
    assert why(shop).entry == kept


def test_a_piece_without_strokes_has_nothing_to_explain(shop: Session) -> None:
    assert show_piece(shop, "P-0140").why is None
    writes(shop, "P-0140")
    assert show_piece(shop, "P-0140").why is None


def test_the_json_holds_the_factors(shop: Session) -> None:
    log(shop, "P-0137 400 thru 1/2 A572-50")
    told = plain(show_piece(shop, "P-0137"))["why"]
    assert told["factors"][0] == {"name": "material", "value": 1.25}
    assert told["rest"] == pytest.approx(1.0)
