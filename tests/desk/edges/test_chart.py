"""A piece's wear over its shifts, and the life of its kind, as the ledger tells them."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from crib.cli.door import plain
from crib.desk.common.reminder_levels import interval_of
from crib.desk.edges.chart import Charted, ChartRequest, chart_of, drawn_svg
from crib.desk.edges.chart_life import MOST_PIECES, LifeCurve
from crib.desk.edges.chart_wear import MOST_LOOKS, MOST_POINTS, WearStory
from crib.errors import BadInput, Refused, UnknownName
from crib.files.paper.chart import Chart, Series
from crib.stock.book import ledger
from crib.stock.book.ledger import NewEntry
from crib.stock.book.people import person_id
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
from crib.stock.tables.all_tables import PieceRecord
from tests.desk.rows import nothing_changes
from tests.shop import add_kind, add_piece, insert, new_crib
from tests.stock.sql_seen import full_scans, statements_of

DAY = date(2020, 1, 6)
GRIND = NewEntry("grind", ground_um=200, found="right")
LOOK = NewEntry("look", found="sharp")


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    """One kind with one piece that did nothing yet, and a nut."""
    session = new_crib(tmp_path / "shop.crib")
    kind = add_kind(session, role="punch", width="13/16", name="the punch", stress_limit_mpa=1650.0)
    piece_id = insert(session, PieceRecord, kind_id=kind, tag="P-1", condition="retired")
    # It came before its first shift, not on the day of this test.
    stamp = ledger.new_stamp(person_id(session, ""), shift_on=DAY - timedelta(days=4))
    ledger.write(session, stamp, [NewEntry("add", piece_id, condition="sound")])
    add_piece(session, "N-1", add_kind(session, role="nut", width="1", name="a nut"))
    yield session
    assert ledger.rebuild(session) == []
    session.close()


def works(strokes: int, severity: float = 1.0) -> NewEntry:
    """Strokes of one weight."""
    return NewEntry("strokes", quantity=strokes, weighted_milli=round(1000 * strokes * severity))


def happens(session: Session, day: int, *entries: NewEntry, tag: str = "P-1") -> None:
    """Write entries of a piece for one shift, counted from the first."""
    piece_id = piece_by_tag(session, tag).id
    stamp = ledger.new_stamp(person_id(session, ""), shift_on=DAY + timedelta(days=day))
    ledger.write(session, stamp, [replace(one, piece_id=piece_id) for one in entries])


def story(session: Session, tag: str = "P-1") -> WearStory:
    """What the edges of a piece did."""
    told = chart_of(session, ChartRequest(tag)).told
    assert isinstance(told, WearStory)
    return told


def life(session: Session, name: str = "P-1") -> LifeCurve:
    """The curve of a kind."""
    told = chart_of(session, ChartRequest(name, life=True)).told
    assert isinstance(told, LifeCurve)
    return told


def drawn(charted: Charted) -> Chart:
    """The chart that there must be."""
    assert charted.chart is not None
    return charted.chart


def series(session: Session, name: str) -> Series:
    """A series of the chart of a piece's wear, by the beginning of its name."""
    chart = drawn(chart_of(session, ChartRequest("P-1")))
    return next(one for one in chart.series if one.name.startswith(name))


def agrees(session: Session) -> None:
    """The laws: the last wear is the piece's own, and the strokes are all of its strokes."""
    card, told = piece_by_tag(session, "P-1"), story(session)
    line = series(session, "wear").points
    assert line[-1][1] == card.wear
    assert sum(one.strokes for one in told.points) == card.strokes_total
    assert all(first[0] <= second[0] for first, second in pairwise(line))


# The saw-tooth


def test_the_line_rises_with_each_shift_and_falls_to_zero_at_a_grind(shop: Session) -> None:
    happens(shop, 0, works(100))
    happens(shop, 1, works(200, 1.25), works(50))
    happens(shop, 2, works(10), GRIND, works(30, 2.0))
    first = float(DAY.toordinal())
    line = series(shop, "wear").points
    assert [(x - first, y) for x, y in line] == [
        *((-4, 0.0), (-4, 0.0), (0, 100.0), (1, 400.0), (2, 410.0), (2, 0.0), (2, 60.0)),
    ]
    assert [(mark.action, mark.wear) for mark in story(shop).marks] == [("grind", 410.0)]
    assert series(shop, "ground").mark == "G"
    agrees(shop)


def test_a_grind_that_was_undone_is_not_drawn(shop: Session) -> None:
    happens(shop, 0, works(100))
    happens(shop, 1, GRIND)
    happens(shop, 2, works(20))
    grind = story(shop).marks[0].entry
    ledger.reverse(shop, ledger.new_stamp(person_id(shop, "")), [grind], "wrong tag")
    told = story(shop)
    assert told.marks == ()
    assert [point.wear for point in told.points] == [0.0, 100.0, 120.0]
    agrees(shop)


def test_strokes_that_were_undone_are_out(shop: Session) -> None:
    happens(shop, 0, works(100))
    happens(shop, 1, works(900))
    entry = shop.value("SELECT max(id) FROM entry")
    ledger.reverse(shop, ledger.new_stamp(person_id(shop, "")), [entry], "typed twice")
    assert [point.wear for point in story(shop).points] == [0.0, 100.0]
    agrees(shop)


def test_a_late_shift_counts_against_the_edge_it_was_made_with(shop: Session) -> None:
    happens(shop, 5, works(100), GRIND)
    happens(shop, 2, works(40))
    assert [mark.wear for mark in story(shop).marks] == [140.0]
    assert story(shop).points[-1].edge == 0
    assert series(shop, "wear").points[-1][1] == 0.0
    agrees(shop)


def test_a_look_and_a_break_stand_at_the_wear_they_found(shop: Session) -> None:
    happens(shop, 0, works(100), LOOK)
    happens(shop, 1, works(100), NewEntry("break", condition="broken"))
    told = [(mark.action, mark.found, mark.wear) for mark in story(shop).marks]
    assert told == [("look", "sharp", 100.0), ("break", "broken", 200.0)]
    assert series(shop, "looked at").mark == "L"
    assert series(shop, "broke").texts == ("broken",)
    agrees(shop)


def test_a_turn_brings_a_fresh_edge(shop: Session) -> None:
    kind = add_kind(shop, role="blade", width="1", name="a blade", edges=4)
    add_piece(shop, "B-1", kind, wear=700)
    today = (date.today() - DAY).days
    happens(shop, today, NewEntry("turn", edge=2), works(30), tag="B-1")
    told = story(shop, "B-1")
    assert [(point.edge, point.wear) for point in told.points] == [(0, 700.0), (1, 30.0)]
    assert "turned 1 x" in str(chart_of(shop, ChartRequest("B-1")).notes[0])


def test_the_levels_are_shares_of_the_interval_that_reminders_follow(shop: Session) -> None:
    happens(shop, 0, works(100))
    told = story(shop)
    assert told.interval == interval_of(piece_by_tag(shop, "P-1"), shop_rules(shop))
    assert [(one.name, one.strokes / told.interval) for one in told.levels] == [
        *(("plan to grind", 0.7), ("grind before the next job", 1.0)),
    ]


def test_what_is_not_for_finish_work_is_shown_once_an_edge_was_dull(shop: Session) -> None:
    happens(shop, 0, works(5100))
    told = story(shop)
    assert told.levels[-1].name == "not for finish work"
    assert told.levels[-1].strokes == pytest.approx(1.2 * told.interval)


def test_every_level_and_height_stands_on_the_chart(shop: Session) -> None:
    happens(shop, 0, works(9000))
    chart = drawn(chart_of(shop, ChartRequest("P-1")))
    for one in chart.series:
        for x, y in one.points:
            assert chart.across.low <= x <= chart.across.high
            assert chart.up.low <= y <= chart.up.high


def test_a_piece_that_did_nothing_says_so_kindly(shop: Session, tmp_path: Path) -> None:
    charted = chart_of(shop, ChartRequest("P-1", place=tmp_path / "p.svg"))
    assert (charted.chart, charted.drawing) == (None, None)
    assert charted.notes[0] == "P-1 has made no strokes yet: there is no wear to draw"
    assert charted.notes[-1] == "nothing was drawn"
    assert not (tmp_path / "p.svg").exists()


_DAYS = st.lists(
    st.tuples(
        st.integers(0, 40),
        st.lists(
            st.one_of(st.builds(works, st.integers(1, 400)), st.just(GRIND), st.just(LOOK)),
            min_size=1,
            max_size=3,
        ),
    ),
    min_size=1,
    max_size=6,
)


@settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(_DAYS)
def test_whatever_happens_the_line_ends_at_the_pieces_own_wear(
    shop: Session, days: list[tuple[int, list[NewEntry]]]
) -> None:
    happens(shop, 0, works(1))
    for day, entries in days:
        happens(shop, day, *entries)
    agrees(shop)


def test_a_long_story_is_drawn_with_a_few_hundred_points(shop: Session) -> None:
    piece_id = piece_by_tag(shop, "P-1").id
    day, batches = date(2015, 1, 1), []
    for number in range(2600):
        entries = [works(7), *([GRIND] if number % 200 == 199 else []), LOOK]
        stamp = ledger.new_stamp(person_id(shop, ""), shift_on=day + timedelta(days=number))
        batches.append((stamp, [replace(one, piece_id=piece_id) for one in entries]))
    ledger.write_all(shop, batches)
    charted = chart_of(shop, ChartRequest("P-1"))
    told = story(shop)
    assert told.days_together > 1
    assert f"the shifts of {told.days_together} days together" in str(charted.notes[-1])
    assert len(told.points) <= MOST_POINTS + 14
    assert [mark.wear for mark in told.marks if mark.action == "grind"] == [1400.0] * 13
    assert sum(mark.action == "look" for mark in told.marks) == MOST_LOOKS
    assert max(point.wear for point in told.points) == 1400.0
    agrees(shop)


# The life of a kind


def test_the_curve_only_rises_and_passes_the_learned_counts(shop: Session) -> None:
    happens(shop, 0, works(6000), GRIND, works(2000))
    told = life(shop)
    seen = told.learned.estimate
    assert all(
        first.strokes < second.strokes and first.chance < second.chance
        for first, second in pairwise(told.curve)
    )
    chances = {one.strokes: one.chance for one in told.curve}
    assert chances[seen.scale_10] == pytest.approx(0.1)
    assert chances[seen.scale_50] == pytest.approx(0.5)
    assert (told.curve[0].strokes, told.curve[0].chance) == (0.0, 0.0)
    assert told.curve[-1].strokes >= seen.high_50


def test_the_pieces_stand_on_the_curve_by_their_wear(shop: Session) -> None:
    happens(shop, 0, works(2000))
    kind_id = piece_by_tag(shop, "P-1").kind_id
    add_piece(shop, "P-2", kind_id, wear=4000)
    add_piece(shop, "P-3", kind_id, wear=9000, condition="retired")
    told = life(shop, "THE punch")
    assert told.tag == ""
    assert [(one.tag, one.wear) for one in told.pieces] == [("P-2", 4000.0), ("P-1", 2000.0)]
    for one in told.pieces:
        assert one.chance == told.learned.estimate.chance_dull(0.0, one.wear)


def test_the_piece_that_was_asked_for_has_its_own_mark(shop: Session) -> None:
    add_piece(shop, "P-2", piece_by_tag(shop, "P-1").kind_id, wear=4000)
    chart = drawn(chart_of(shop, ChartRequest("p-2", life=True)))
    marks = {one.mark: (one.name, one.texts) for one in chart.series if one.style == "marks"}
    assert marks == {"o": ("pieces in use", ("P-1",)), "@": ("P-2", ("P-2",))}


def test_of_many_pieces_the_most_worn_are_placed_and_the_one_asked_for(shop: Session) -> None:
    kind_id = piece_by_tag(shop, "P-1").kind_id
    for number in range(30):
        add_piece(shop, f"Q-{number:02d}", kind_id, wear=100.0 + 10 * number)
    told = life(shop)
    tags = [one.tag for one in told.pieces]
    assert len(tags) == MOST_PIECES
    assert (tags[0], tags[-1], told.pieces_more) == ("Q-29", "P-1", 11)


def test_a_piece_worn_beyond_the_curve_is_named(shop: Session) -> None:
    happens(shop, 0, works(900_000))
    charted = chart_of(shop, ChartRequest("P-1", life=True))
    assert "worn further than the chart goes: P-1" in charted.notes


# The window


def test_a_tool_without_an_edge_is_refused_as_its_life_is(shop: Session) -> None:
    with pytest.raises(Refused, match="a nut is a nut: it has no edge that dulls"):
        chart_of(shop, ChartRequest("N-1"))


def test_a_name_that_is_neither_is_refused(shop: Session) -> None:
    with pytest.raises(UnknownName, match="no piece with tag and no kind called 'the punhc'"):
        chart_of(shop, ChartRequest("the punhc"))


def test_a_wrong_place_is_refused_before_anything_is_asked(shop: Session, tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="a drawing ends in"):
        chart_of(shop, ChartRequest("P-9", place=tmp_path / "p.png"))


@pytest.mark.parametrize("is_life", [False, True])
def test_a_chart_without_a_file_is_the_one_in_the_file(
    shop: Session, tmp_path: Path, is_life: bool
) -> None:
    happens(shop, 0, works(1000), GRIND, works(400))
    chart_of(shop, ChartRequest("P-1", is_life, tmp_path / "p.svg"))
    made = drawn_svg(shop, chart_of(shop, ChartRequest("P-1", is_life)))
    assert made == (tmp_path / "p.svg").read_bytes()


def test_nothing_is_drawn_of_a_piece_that_did_nothing(shop: Session) -> None:
    assert drawn_svg(shop, chart_of(shop, ChartRequest("P-1"))) == b""


@pytest.mark.parametrize("is_life", [False, True])
def test_the_drawings_hold_their_texts(shop: Session, tmp_path: Path, is_life: bool) -> None:
    happens(shop, 0, works(1000), GRIND, works(400))
    for ending in ("svg", "pdf"):
        place = tmp_path / f"p.{ending}"
        charted = chart_of(shop, ChartRequest("P-1", is_life, place))
        assert charted.drawing == str(place)
        assert charted.notes[-1] == f"drawn in {place}"
    told = "how long an edge lasts" if is_life else "P-1 the punch: wear of the edge in use"
    svg = ET.fromstring((tmp_path / "p.svg").read_text("utf-8"))
    texts = [one.text or "" for one in svg.iter() if one.tag.endswith("}text")]
    page = PdfReader(tmp_path / "p.pdf").pages[0].extract_text()
    assert any(told in one for one in texts)
    assert told in page
    for text in ("weighted strokes", "chance" if is_life else "ground"):
        assert any(text in one for one in texts)
        assert text in page


def test_the_json_holds_the_figures_flat(shop: Session) -> None:
    happens(shop, 0, works(100), GRIND)
    made = plain(chart_of(shop, ChartRequest("P-1")))
    assert (made["shows"], made["tag"], made["wear"], made["drawing"]) == ("wear", "P-1", 0.0, None)
    assert made["points"][-1] == {"shift_on": "2020-01-06", "edge": 0, "strokes": 100, "wear": 100}
    assert made["marks"][0]["action"] == "grind"
    curve = plain(chart_of(shop, ChartRequest("P-1", life=True)))
    assert (curve["shows"], curve["learned"]["rests_on"]) == ("life", "settings")


def test_nothing_is_scanned_and_nothing_is_changed(shop: Session) -> None:
    happens(shop, 0, works(100), GRIND)
    with nothing_changes(shop), statements_of(shop) as seen:
        chart_of(shop, ChartRequest("P-1"))
        chart_of(shop, ChartRequest("the punch"))
    scans = {sql: full_scans(shop.connection, sql, ("entry", "piece")) for sql in seen}
    assert {sql: found for sql, found in scans.items() if found} == {}
