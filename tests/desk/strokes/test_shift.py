"""What is proposed for a shift: what is mounted, and what was planned with it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from crib.desk.strokes.log import LogOptions, log_words
from crib.desk.strokes.log_book import KnownLine
from crib.desk.strokes.shift import (
    ProposedLine,
    line_said,
    line_text,
    lines_to_ask,
    plate_text,
    proposed_lines,
)
from crib.errors import BadInput, BadPhrase, UnknownName
from crib.stock.book import ledger
from crib.stock.book.ledger import NewEntry
from crib.stock.book.people import person_id
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
from tests.desk.planned import plan_job, run
from tests.shop import add_piece, small_shop

NOON = datetime(2026, 3, 5, 12, 0, tzinfo=UTC)
FIRST, SECOND = "Ironworker 1 / punch", "Ironworker 2 / punch"


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    session = small_shop(tmp_path / "shop.crib")
    yield session
    assert ledger.rebuild(session) == []
    session.close()


def mount(session: Session, place: str, *tags: str) -> None:
    place_id = session.value("SELECT id FROM place WHERE name = ?", (place,))
    entries = [NewEntry("move", piece_by_tag(session, tag).id, place_id=place_id) for tag in tags]
    ledger.write(session, ledger.new_stamp(person_id(session, "")), entries)


def short(lines: list[ProposedLine]) -> list[tuple[str, str, int | None, str]]:
    return [(one.tag, one.die_tag, one.strokes, one.job) for one in lines]


def test_nothing_mounted_and_nothing_planned_proposes_nothing(shop: Session) -> None:
    assert proposed_lines(shop) == []


def test_a_mounted_pair_is_proposed_with_its_last_plate(shop: Session) -> None:
    mount(shop, FIRST, "P-0137", "D-0201")
    log_words(shop, "P-0137 5 thru 1/2 A572-50".split(), LogOptions())
    (line,) = proposed_lines(shop)
    assert (line.station, line.tag, line.dies, line.die_tag) == (
        *(FIRST, "P-0137", "D-0201"),
        "D-0201",
    )
    assert (line.strokes, line.thickness_mm, line.material) == (None, 12.7, "A572-50")


def test_a_planned_run_stands_behind_its_mounted_tool(shop: Session) -> None:
    mount(shop, FIRST, "P-0137", "D-0201")
    plan_job(shop, "J-1", run(shop, "P-0137", 400, die="D-0201"))
    lines = proposed_lines(shop)
    assert short(lines) == [("P-0137", "D-0201", None, ""), ("P-0137", "D-0201", 400, "J-1")]
    assert short(lines_to_ask(lines)) == [("P-0137", "D-0201", 400, "J-1")]


def test_what_is_logged_already_is_not_proposed_again(shop: Session) -> None:
    mount(shop, FIRST, "P-0137", "D-0201")
    plan_job(shop, "J-1", run(shop, "P-0137", 400))
    log_words(shop, "P-0137 150 thru 3/8 A36 job J-1".split(), LogOptions(), NOON)
    assert short(lines_to_ask(proposed_lines(shop))) == [("P-0137", "D-0201", 250, "J-1")]
    log_words(shop, "P-0137 250 thru 3/8 A36 job J-1".split(), LogOptions(), NOON)
    assert short(lines_to_ask(proposed_lines(shop))) == [("P-0137", "D-0201", None, "")]


def test_the_planned_set_stays_proposed_where_a_copy_is_mounted(shop: Session) -> None:
    add_piece(shop, "P-0150", piece_by_tag(shop, "P-0137").kind_id)
    mount(shop, FIRST, "P-0150", "D-0202")
    plan_job(shop, "J-1", run(shop, "P-0137", 400, die="D-0201"))
    line = proposed_lines(shop)[1]
    assert (line.tag, line.standing, line.die_tag, line.mounted) == (
        *("P-0137", "P-0150", "D-0201"),
        False,
    )


def test_the_planned_die_stays_proposed_where_another_is_mounted(shop: Session) -> None:
    mount(shop, FIRST, "P-0137", "D-0201")
    plan_job(shop, "J-1", run(shop, "P-0137", 400, die="D-0202"))
    mounted, planned = proposed_lines(shop)
    assert (mounted.die_tag, planned.die_tag, planned.other_die) == ("D-0201", "D-0202", "D-0201")


def test_a_run_of_a_tool_that_is_not_mounted_keeps_its_own_die(shop: Session) -> None:
    mount(shop, FIRST, "P-0140", "D-0301")
    plan_job(shop, "J-1", run(shop, "P-0137", 400, die="D-0201"))
    line = proposed_lines(shop)[-1]
    assert (line.tag, line.die_tag, line.dies, line.mounted) == (
        *("P-0137", "D-0201", "D-0201"),
        False,
    )


def test_a_die_that_cannot_run_with_the_punch_is_not_taken(shop: Session) -> None:
    mount(shop, FIRST, "P-0140", "D-0201")
    (line,) = proposed_lines(shop)
    assert (line.dies, line.die_tag) == ("D-0201", "")


def test_two_dies_that_fit_are_left_open_unless_the_plan_names_one(shop: Session) -> None:
    mount(shop, FIRST, "P-0137", "D-0201", "D-0202")
    plan_job(shop, "J-1", run(shop, "P-0137", 400, die="D-0202"))
    assert [one.die_tag for one in proposed_lines(shop)] == ["", "D-0202"]


def test_one_machine_is_enough(shop: Session) -> None:
    mount(shop, FIRST, "P-0137")
    mount(shop, SECOND, "P-0140")
    plan_job(shop, "J-1", run(shop, "P-0137", 40), run(shop, "P-0140", 60, station=SECOND))
    assert {one.tag for one in proposed_lines(shop, "ironworker 2")} == {"P-0140"}
    assert len(proposed_lines(shop)) == 4
    with pytest.raises(UnknownName, match="no machine called 'Press'; known: Ironworker 1"):
        proposed_lines(shop, "Press")


KNOWN = KnownLine("P-0137", "D-0201", 9.525, "304", "J-1")


@pytest.mark.parametrize(
    ("said", "as_by_hand"),
    [
        ("400", "P-0137 400 thru 3/8 304 with D-0201 job J-1"),
        ("~400", "P-0137 400 about thru 3/8 304 with D-0201 job J-1"),
        ("400 about", "P-0137 400 about thru 3/8 304 with D-0201 job J-1"),
        ("400 thru 1/4", "P-0137 400 thru 1/4 304 with D-0201 job J-1"),
        ("400 thru 1/4 A36", "P-0137 400 thru 1/4 A36 with D-0201 job J-1"),
        ("400 with D-0202 dry", "P-0137 400 thru 3/8 304 with D-0202 dry job J-1"),
        ("400 chain job J-2", "P-0137 400 thru 3/8 304 with D-0201 chain job J-2"),
    ],
)
def test_what_is_said_beats_what_is_known(shop: Session, said: str, as_by_hand: str) -> None:
    line = line_said(shop, KNOWN, said.split())
    assert line_text(line, "in") == as_by_hand
    assert line == line_said(shop, KnownLine("P-0137"), as_by_hand.split()[1:])


def test_one_line_is_said_at_a_time(shop: Session) -> None:
    with pytest.raises(BadInput, match="is more than one line"):
        line_said(shop, KNOWN, ["400", "P-0137", "60"])
    with pytest.raises(BadPhrase, match="expected a count"):
        line_said(shop, KNOWN, ["many"])


@pytest.mark.parametrize(
    ("thickness_mm", "material", "unit", "text"),
    [(9.525, "A36", "in", "3/8 A36"), (10.0, "S275", "mm", "10mm S275"), (12.7, "", "in", "1/2")],
)
def test_a_plate_is_written_as_it_is_typed(
    thickness_mm: float, material: str, unit: str, text: str
) -> None:
    assert plate_text(thickness_mm, material, "mm" if unit == "mm" else "in") == text
