"""Why the latest strokes weigh what they do: what their entry keeps, and nothing else."""

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
from crib.desk.strokes.stroke_weight import SeverityWhy
from crib.stock.book import ledger
from crib.stock.book.ledger import NewEntry
from crib.stock.book.settings import set_rule
from crib.stock.engine.session import Session
from tests.shop import add_kind, add_piece, small_shop

NOW = datetime(2026, 3, 2, 15, 0, tzinfo=UTC)


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


def weighing(told: SeverityWhy) -> dict[str, float]:
    """The factors that weigh anything, by their names."""
    return {name: value for name, value in factors(told).items() if value != 1.0}


def writes(session: Session, tag: str, **columns: float | str) -> None:
    """Strokes as a sheet or another program may have brought them."""
    piece_id = session.value("SELECT id FROM piece WHERE tag = ?", (tag,))
    entry = NewEntry("strokes", piece_id, quantity=10, weighted_milli=10_000, **columns)  # type: ignore[arg-type]
    ledger.write(session, stamp_for(session, "nights"), [entry])


def test_half_an_inch_of_a572_weighs_one_and_two_thirds(shop: Session) -> None:
    log(shop, "P-0137 400 thru 1/2 A572-50")
    told = why(shop)
    assert told.each == pytest.approx(1.25 * 4 / 3)
    assert weighing(told) == {"material": 1.25, "thickness": pytest.approx(4 / 3)}
    assert told.record == "kept"


def test_a_tight_pair_is_told_by_its_name(shop: Session) -> None:
    log(shop, "P-0137 400 thru 1/2 A36 with D-0201")
    assert weighing(why(shop)) == {"thickness": pytest.approx(4 / 3), "clearance": 1.3}


def test_a_die_takes_its_share(shop: Session) -> None:
    log(shop, "P-0137 400 thru 3/8 A36 with D-0201")
    assert weighing(why(shop, "D-0201")) == {"die_share": 0.5}


@pytest.mark.parametrize(
    ("words", "name", "value"),
    [("thru 1/2 A572-50 dry", "dry", 1.5), ("thru 1 A36", "stress", 1.5), ("chain", "hit", None)],
)
def test_each_factor_is_told_by_its_name(
    shop: Session, words: str, name: str, value: float | None
) -> None:
    log(shop, f"P-0137 60 {words}")
    told = why(shop)
    assert factors(told).get(name) == value
    assert prod(factors(told).values()) == told.each


def test_a_blade_has_no_clearance_and_no_stress_to_speak_of(shop: Session) -> None:
    add_piece(shop, "B-1", add_kind(shop, role="blade", width="10", shape="", name="a blade"))
    log(shop, "B-1 60 thru 3/8 A36")
    assert list(factors(why(shop, "B-1"))) == ["material", "thickness", "dry", "hit"]


def test_a_rule_that_was_changed_since_changes_nothing(shop: Session) -> None:
    log(shop, "P-0137 400 thru 1/2 A572-50")
    before = why(shop)
    stamp = stamp_for(shop, "bench 2")
    set_rule(shop, stamp, "material.A572-50.wear_factor", "1.4", "a harder plate")
    assert why(shop) == before


def test_without_a_thickness_it_counts_one(shop: Session) -> None:
    log(shop, "P-0137 400 with D-0201")
    assert (why(shop).factors, why(shop).record) == ((), "no_thickness")
    assert factors(why(shop, "D-0201")) == {"die_share": 0.5}
    assert why(shop, "D-0201").record == "no_thickness"


@pytest.mark.parametrize(
    ("columns", "record"),
    [
        ({"severity": 1.0}, "no_thickness"),
        ({"severity": 1.5}, "not_kept"),
        ({"severity": 1.5, "thickness_mm": 12.7}, "not_kept"),
        ({"severity": 1.0, "thickness_mm": 9.525, "material": "A36"}, "not_kept"),
        ({"severity": 1.0, "thickness_mm": 9.525, "material": "gone"}, "not_kept"),
    ],
)
def test_of_an_older_entry_nothing_is_guessed(
    shop: Session, columns: dict[str, float | str], record: str
) -> None:
    writes(shop, "P-0137", **columns)
    assert (why(shop).factors, why(shop).record) == ((), record)
    assert why(shop).each == columns["severity"]


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
    assert told["record"] == "kept"
