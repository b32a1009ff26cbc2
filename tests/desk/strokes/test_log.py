"""Strokes said at the window: weights, the die under the punch, questions asked back, undoing."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from crib.acts import Confirmed, act, acts_in, yes_to
from crib.desk.edges.look import LookRequest, record_look
from crib.desk.strokes.log import LogOptions, LogResult, log_words
from crib.errors import AskBack, BadInput, BadPhrase, BadValue, Refused, UnknownName
from crib.stock.book import ledger
from crib.stock.book.ledger import NewEntry
from crib.stock.book.people import person_id
from crib.stock.book.settings import set_rule
from crib.stock.engine.opening import open_crib
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
from tests.shop import add_kind, add_piece, long_there, new_crib, small_shop

NOON = datetime(2026, 3, 5, 12, 0, tzinfo=UTC)
STATION = "Ironworker 1 / punch"
_MANY: Confirmed = yes_to("many-strokes")


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    session = small_shop(tmp_path / "shop.crib")
    long_there(session)
    yield session
    assert ledger.rebuild(session) == []
    session.close()


def log(
    session: Session, text: str, now: datetime | None = None, options: LogOptions | None = None
) -> LogResult:
    return log_words(session, text.split(), options or LogOptions(), now)


def move(session: Session, tag: str, place: str) -> None:
    place_id = session.value("SELECT id FROM place WHERE name = ?", (place,))
    entry = NewEntry("move", piece_by_tag(session, tag).id, place_id=place_id)
    ledger.write(session, ledger.new_stamp(person_id(session, "")), [entry])


def entries(session: Session) -> int:
    return int(session.value("SELECT count(*) FROM entry"))


def test_half_inch_of_grade_50_weighs_one_and_two_thirds(shop: Session) -> None:
    (line,) = log(shop, "P-0137 400 thru 1/2 A572-50").lines
    assert line.weight_each == pytest.approx(5 / 3)
    assert line.why == "material 1.25 x thickness 1.333"
    assert (line.weighted, line.wear) == (666.667, 666.667)
    assert (line.count, line.level, line.material) == (400, "fine", "A572-50")


def test_ten_mm_of_mild_steel_weighs_one_in_a_metric_crib(tmp_path: Path) -> None:
    session = new_crib(tmp_path / "metric.crib", "mm")
    kind = add_kind(session, role="punch", width="18mm")
    add_piece(session, "P-22", kind, wear=3000)
    result = log(session, "P-22 300 thru 10 S275")
    assert result.unit == "mm"
    assert result.lines[0].weight_each == 1.0
    assert (result.lines[0].wear, result.lines[0].used) == (3300.0, 0.66)


@pytest.mark.parametrize(
    ("words", "each", "why"),
    [
        ("thru 3/8 A36", 1.0, "all factors 1"),
        ("thru 3/8", 1.0, "all factors 1"),
        ("", 1.0, "thickness not given: counted at 1.00 a stroke"),
        ("thru 1/8 A36", 0.5, "thickness 0.5"),
        ("thru 3/8 304", 2.5, "material 2.5"),
        ("thru 3/8 304 dry", 5.0, "material 2.5 x dry 2"),
        ("thru 3/8 A36 bridge", 1.3, "hit 1.3"),
        ("thru 3/8 A36 chain dry", 2.4, "dry 1.5 x hit 1.6"),
        ("thru 3/8 A36 with D-0201", 1.0, "all factors 1"),
        ("thru 1/2 A36 with D-0201", 4 / 3 * 1.3, "thickness 1.333 x clearance 1.3"),
        ("thru 3/4 A36 with D-0201", 4.0, "thickness 2 x clearance 2"),
        ("thru 3/16 A36 with D-0202", 0.55, "thickness 0.5 x clearance 1.1"),
        ("thru 1-1/4 A514", 18.0, "material 4 x thickness 3 x stress 1.5"),
    ],
)
def test_a_stroke_weighs_what_it_did(shop: Session, words: str, each: float, why: str) -> None:
    line = log(shop, f"P-0137 10 {words}").lines[0]
    assert line.weight_each == pytest.approx(each)
    assert line.why == why


def test_a_gauge_is_read_by_its_material(shop: Session) -> None:
    result = log(shop, "P-0137 10 thru 10ga P-0140 10 thru 10 gauge 304")
    assert [line.thickness_mm for line in result.lines] == pytest.approx([3.416, 3.571], abs=2e-3)


def test_the_die_named_takes_half(shop: Session) -> None:
    punch, die = log(shop, "P-0137 400 thru 3/8 304 with d-0201").lines
    assert (punch.tag, punch.under, punch.wear) == ("P-0137", "", 1000.0)
    assert (die.tag, die.under, die.wear, die.count) == ("D-0201", "P-0137", 500.0, 400)
    assert die.why == "0.5 of 2.50 on P-0137"


def test_the_die_in_the_same_station_takes_half_and_sets_the_clearance(shop: Session) -> None:
    move(shop, "P-0137", STATION)
    move(shop, "D-0201", STATION)
    punch, die = log(shop, "P-0137 100 thru 1/2 A36").lines
    assert punch.weight_each == pytest.approx(4 / 3 * 1.3)
    assert die.tag == "D-0201"
    assert die.weight_each == pytest.approx(4 / 3 * 1.3 / 2)


def test_a_die_in_a_drawer_beside_its_punch_takes_nothing(shop: Session) -> None:
    move(shop, "P-0137", "A2")
    assert [line.tag for line in log(shop, "P-0137 100").lines] == ["P-0137"]


def test_a_die_logged_itself_in_the_same_call_is_not_worn_twice(shop: Session) -> None:
    result = log(shop, "P-0137 400 thru 3/8 A36 with D-0201 D-0201 380 thru 3/8 A36")
    assert [(line.tag, line.count) for line in result.lines] == [("P-0137", 400), ("D-0201", 380)]
    assert piece_by_tag(shop, "D-0201").wear == 190.0


def test_two_dies_that_fit_at_the_station_are_asked_about(shop: Session) -> None:
    for tag in ("P-0137", "D-0201", "D-0202"):
        move(shop, tag, STATION)
    result = log(shop, "P-0137 100")
    assert [line.tag for line in result.lines] == ["P-0137"]
    assert "D-0201, D-0202; which of them was under it?" in str(result.notes[0])


@pytest.mark.parametrize("die", ["D-0202", "P-0137"])
def test_a_pair_that_cannot_be_is_refused(shop: Session, die: str) -> None:
    with pytest.raises(Refused, match=r"not bigger than punch|`with` joins a die"):
        log(shop, f"P-0140 60 thru 3/8 with {die}")
    assert entries(shop) == 5


def test_a_line_over_several_pieces_is_one_act(shop: Session) -> None:
    result = log(
        shop, "P-0137 400 about thru 3/8 A572 Gr 50 p-0140 ~60 thru 1 1/8 in job J-12 D-0301 5"
    )
    assert [(one.tag, one.count, one.estimate) for one in result.lines] == [
        ("P-0137", 400, True),
        ("P-0140", 60, True),
        ("D-0301", 5, False),
    ]
    assert [one.job for one in result.lines] == ["", "J-12", ""]
    assert result.lines[1].thickness_mm == 28.575
    assert shop.value("SELECT count(DISTINCT act) FROM entry WHERE action = 'strokes'") == 1
    assert len(result.entries) == 3


def test_options_stand_for_every_line(shop: Session) -> None:
    options = LogOptions(by="Nights", on="2026-03-04", job="J-9", about=True)
    result = log(shop, "P-0137 400 P-0140 5 job J-10", NOON, options)
    assert (result.by, result.shift_on) == ("nights", "2026-03-04")
    assert [(one.job, one.estimate) for one in result.lines] == [("J-9", True), ("J-10", True)]


@pytest.mark.parametrize(
    ("words", "error", "match"),
    [
        ("P-0137", BadPhrase, "how many strokes of P-0137"),
        ("P-0137 400 3/8", BadPhrase, "cannot place '3/8': say thru 3/8"),
        ("P-0137 1,200", BadPhrase, "a comma is not part of a number"),
        ("P-0137 12.5", BadPhrase, "expected a count"),
        ("P-0137 0", BadValue, "count 0 must be > 0"),
        ("P-0137 5 thru", BadPhrase, "expected a thickness after `thru`"),
        ("P-0137 5 with", BadPhrase, "expected a die's tag"),
        ("P-0137 5 job", BadPhrase, "expected the job's name"),
        ("P-0137 5 thru 3/8 through 1/2", BadPhrase, "stands twice"),
        ("P-0137 5 thru 12", BadValue, "must be <= 150 mm"),
        ("P-0137 5 thru 3/8 A63", UnknownName, "unknown material 'A63'"),
        ("P-0138 5", UnknownName, "no piece with tag 'P-0138'"),
        ("P-0137 5 thru 3/8 P-0138 60", UnknownName, "no piece with tag 'P-0138'"),
        ("P-0137 5 with D-9999", UnknownName, "no piece with tag 'D-9999'"),
        ("P-0137 5 thru 3/8 AR400", Refused, "AR400 has no wear factor"),
    ],
)
def test_what_cannot_be_read_changes_nothing(
    shop: Session, words: str, error: type[BadInput], match: str
) -> None:
    with pytest.raises(error, match=match):
        log(shop, f"P-0140 60 {words}")
    assert entries(shop) == 5


def test_a_material_without_a_wear_factor_names_the_rule_and_then_works(shop: Session) -> None:
    with pytest.raises(Refused) as caught:
        log(shop, "P-0137 5 thru 3/8 AR400")
    key = "material.AR400.wear_factor"
    assert acts_in(caught.value.way_out) == (act("rules.change", key=key, value=None, why=None),)
    stamp = ledger.new_stamp(person_id(shop, ""))
    set_rule(shop, stamp, "material.AR400.wear_factor", "6", "asked the works")
    assert "material 6" in log(shop, "P-0137 5 thru 3/8 AR400").lines[0].why


def test_the_error_points_at_the_word(shop: Session) -> None:
    with pytest.raises(BadPhrase) as caught:
        log(shop, "P-0137 400 on top")
    assert caught.value.text[caught.value.start : caught.value.end] == "on"


def test_the_same_line_within_ten_minutes_is_asked_back(shop: Session) -> None:
    log(shop, "P-0137 400 thru 3/8", NOON)
    at = NOON.astimezone().strftime("%H:%M")
    with pytest.raises(AskBack, match=f"P-0137 400 looks typed already at {at} as entry 6") as one:
        log(shop, "P-0137 400 thru 3/8", NOON + timedelta(minutes=10))
    assert one.value.confirm == "typed-already"
    assert piece_by_tag(shop, "P-0137").wear == 400.0


@pytest.mark.parametrize(
    ("words", "minutes", "options"),
    [
        ("P-0137 400", 11, LogOptions()),
        ("P-0137 401", 1, LogOptions()),
        ("P-0140 400", 1, LogOptions()),
        ("P-0137 400", 1, LogOptions(by="nights")),
        ("P-0137 400", 1, LogOptions(confirmed=yes_to("typed-already"))),
    ],
)
def test_another_line_is_not_asked_back(
    shop: Session, words: str, minutes: int, options: LogOptions
) -> None:
    log(shop, "P-0137 400", NOON)
    log(shop, words, NOON + timedelta(minutes=minutes), options)
    assert entries(shop) == 7


def test_a_line_taken_back_may_be_typed_again(shop: Session) -> None:
    first = log(shop, "P-0137 400", NOON)
    ledger.reverse(shop, ledger.new_stamp(person_id(shop, ""), now=NOON), first.entries, "wrong")
    assert piece_by_tag(shop, "P-0137").strokes_total == 0
    log(shop, "P-0137 400", NOON)
    assert piece_by_tag(shop, "P-0137").strokes_total == 400


def test_the_same_line_twice_in_one_call_is_asked_back(shop: Session) -> None:
    with pytest.raises(AskBack, match="P-0137 400 stands twice in this call"):
        log(shop, "P-0137 400 P-0137 400")
    assert (
        log(shop, "P-0137 400 P-0137 400", None, LogOptions(confirmed=yes_to("typed-already")))
        .lines[0]
        .wear
        == 800.0
    )


def test_an_answer_lost_after_the_commit_does_not_count_twice(shop: Session) -> None:
    log(shop, "P-0137 400 thru 3/8 with D-0201")
    other_window = open_crib(shop.path)
    with pytest.raises(AskBack, match="looks typed already"):
        log(other_window, "P-0137 400 thru 3/8 with D-0201")
    other_window.close()
    assert piece_by_tag(shop, "P-0137").strokes_total == 400
    assert piece_by_tag(shop, "D-0201").strokes_total == 400


@pytest.mark.parametrize(("count", "asked"), [(3999, False), (4000, True), (40000, True)])
def test_ten_times_the_usual_is_asked_back(shop: Session, count: int, asked: bool) -> None:
    for usual in (390, 400, 410):
        log(shop, f"P-0137 {usual}", NOON)
    if asked:
        with pytest.raises(AskBack, match="10 times its usual 400 or more"):
            log(shop, f"P-0137 {count}", NOON)
    log(shop, f"P-0137 {count}", NOON, LogOptions(confirmed=_MANY if asked else frozenset()))
    assert piece_by_tag(shop, "P-0137").strokes_total == 1200 + count


@pytest.mark.parametrize(("count", "asked"), [(20000, False), (20001, True)])
def test_a_very_long_line_is_asked_back(shop: Session, count: int, asked: bool) -> None:
    if asked:
        with pytest.raises(AskBack, match="more than 20000 in one line"):
            log(shop, f"P-0137 {count}")
    assert (
        log(shop, f"P-0137 {count}", None, LogOptions(confirmed=_MANY if asked else frozenset()))
        .lines[0]
        .wear
        == count
    )


def set_condition(session: Session, tag: str, condition: str) -> None:
    entry = NewEntry("correct", piece_by_tag(session, tag).id, condition=condition)
    ledger.write(session, ledger.new_stamp(person_id(session, "")), [entry])


@pytest.mark.parametrize("condition", ["retired", "lost"])
def test_a_piece_that_is_gone_takes_no_strokes(shop: Session, condition: str) -> None:
    set_condition(shop, "P-0137", condition)
    with pytest.raises(Refused, match=f"P-0137 is {condition}"):
        log(shop, "P-0137 400")


@pytest.mark.parametrize(
    ("condition", "note"),
    [("broken", "reported broken"), ("locked", "locked"), ("inspect", "to be inspected")],
)
def test_a_piece_that_should_not_run_is_counted_with_a_note(
    shop: Session, condition: str, note: str
) -> None:
    set_condition(shop, "P-0137", condition)
    assert note in str(log(shop, "P-0137 400").notes[0])


def test_a_late_shift_wears_the_edge_it_was_made_with(shop: Session) -> None:
    log(shop, "P-0137 400", NOON)
    piece = piece_by_tag(shop, "P-0137")
    stamp = ledger.new_stamp(person_id(shop, ""), now=NOON + timedelta(days=1))
    ledger.write(shop, stamp, [NewEntry("grind", piece.id, ground_um=250)])
    late = log(shop, "P-0137 90", NOON + timedelta(days=2), LogOptions(on="2026-03-05"))
    assert late.lines[0].wear == 0.0
    assert late.notes == ("P-0137 was sharpened on 2026-03-06: these wore the edge before that",)
    assert piece_by_tag(shop, "P-0137").strokes_total == 490


def test_a_new_level_is_told_once(shop: Session) -> None:
    kind = piece_by_tag(shop, "P-0137").kind_id
    add_piece(shop, "P-0150", kind, wear=3300)
    first = log(shop, "P-0150 250 thru 3/8")
    assert [(one.tag, one.level) for one in first.became_due] == [("P-0150", "plan")]
    assert first.became_due[0].words == "plan to grind it"
    assert log(shop, "P-0150 260 thru 3/8").became_due == ()
    assert [one.level for one in log(shop, "P-0150 700").became_due] == ["after_this_job"]


def test_a_level_that_was_seen_before_is_not_told(shop: Session) -> None:
    kind = piece_by_tag(shop, "P-0137").kind_id
    add_piece(shop, "P-0150", kind, wear=3600)
    record_look(shop, LookRequest("P-0150", sharp=True))
    first = log(shop, "P-0150 300", NOON + timedelta(days=900))
    ledger.reverse(shop, ledger.new_stamp(person_id(shop, "")), first.entries, "not tonight")
    assert log(shop, "P-0150 310", NOON + timedelta(days=901)).became_due == ()
    assert piece_by_tag(shop, "P-0150").wear == 3910.0


@pytest.mark.parametrize(
    ("shape", "long", "why"),
    [("round", "", "stress 1.5"), ("obround", "2", "all factors 1")],
)
def test_a_slot_punch_is_stressed_by_its_own_outline(
    shop: Session, shape: str, long: str, why: str
) -> None:
    """By hand: 4 x 50.93 x 3/8 / 5/16 = 244 ksi round; 4.357 in round 0.604 in2 is 138 ksi."""
    kind = add_kind(shop, role="punch", width="5/16", shape=shape, long=long)
    add_piece(shop, "P-0900", kind)
    (line,) = log(shop, "P-0900 10 thru 3/8 A36").lines
    assert line.why == why
