"""Sharpenings and turnings: only what can be true is recorded, and the edge starts again."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from crib.acts import Confirmed, Doubt, act, saying, yes_to
from crib.desk.book.history import read_history
from crib.desk.book.shop_rules import change_rule
from crib.desk.common.piece_wear import piece_wear
from crib.desk.edges.broke import BreakRequest, report_break
from crib.desk.edges.grind import GrindRequest, Ground, record_grind
from crib.desk.edges.turn import TurnRequest, turn_edge
from crib.desk.shelf.measure import Sizes, measure_piece
from crib.errors import AskBack, BadInput, BadValue, Missing, Refused
from crib.stock.book import ledger
from crib.stock.book.ledger import NewEntry
from crib.stock.book.people import person_id
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
from crib.words import FOUND
from tests.desk.rows import nothing_changes
from tests.shop import add_kind, add_piece, small_shop


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    session = small_shop(tmp_path / "shop.crib")
    kind = add_kind(
        session, role="punch", width="13/16", name="punch with a length",
        length_mm=70.0, least_length_mm=67.0,
    )  # fmt: skip
    add_piece(session, "P-1", kind, wear=4800, length_mm=69.0)
    add_piece(session, "P-2", kind, wear=4800)
    add_piece(session, "P-3", add_kind(session, role="punch", width="1/2"), wear=4800)
    for edges, tag in ((1, "B-1"), (2, "B-2"), (4, "B-4")):
        blade = add_kind(session, role="blade", width="1", shape="", edges=edges)
        add_piece(session, tag, blade, wear=4800)
    yield session
    assert ledger.rebuild(session) == []
    session.close()


_EVERY: Confirmed = frozenset(
    {"damage-not-gone", "lengths-disagree", "much-ground-off", "too-short", "typed-already"}
)


def grind(
    session: Session, tag: str, length: str = "", off: str = "", *, sure: bool = False
) -> Ground:
    return record_grind(
        session, GrindRequest(tag, length, off, confirmed=_EVERY if sure else frozenset())
    )


def test_a_grind_starts_the_edge_again_and_keeps_the_life(shop: Session) -> None:
    ground = grind(shop, "P-1", "68.75mm")
    assert (ground.before_mm, ground.length_mm, ground.off_mm) == (69.0, 68.75, 0.25)
    assert (ground.wear_before, ground.wear, ground.grinds, ground.grinds_left) == (4800, 0, 1, 7)
    after = piece_by_tag(shop, "P-1")
    assert (after.strokes_edge, after.strokes_total, after.ground_um) == (0, 4800, 250)


@pytest.mark.parametrize(
    ("tag", "length", "off", "before_mm", "length_mm", "off_mm"),
    [
        ("P-1", "", "0.25mm", 69.0, 68.75, 0.25),
        ("P-1", "68.75mm", "0.25mm", 69.0, 68.75, 0.25),
        ("P-2", "69.8mm", "", 70.0, 69.8, pytest.approx(0.2)),
        ("P-2", "", "0.25mm", 70.0, 69.75, 0.25),
        ("P-3", "60mm", "0.25mm", 60.25, 60.0, 0.25),
        ("P-3", "60mm", "", None, 60.0, None),
        ("P-3", "", "0.25mm", None, None, 0.25),
        ("P-1", "2.7", "", 69.0, 68.58, pytest.approx(0.42)),
    ],
)
def test_length_and_what_came_off_complete_each_other(
    shop: Session,
    tag: str,
    length: str,
    off: str,
    before_mm: float | None,
    length_mm: float | None,
    off_mm: float | None,
) -> None:
    ground = grind(shop, tag, length, off)
    assert ground.before_mm == before_mm
    assert ground.length_mm == length_mm
    assert ground.off_mm == off_mm


def test_without_any_figure_nothing_is_recorded(shop: Session) -> None:
    with pytest.raises(Missing, match="no length after the grind"):
        grind(shop, "P-1")
    assert piece_by_tag(shop, "P-1").wear == 4800


@pytest.mark.parametrize(
    ("length", "off", "match"),
    [
        ("69.1mm", "", "it cannot be 2.7205 in after a grind"),
        ("69mm", "", "it cannot be 2.7165 in after a grind"),
        ("70.1mm", "", "is above .* when new"),
        ("", "0mm", "cannot be 2.7165 in after a grind"),
        ("", "69mm", "cannot come off"),
    ],
)
def test_lengths_that_cannot_be_true_are_refused(
    shop: Session, length: str, off: str, match: str
) -> None:
    with pytest.raises(BadValue, match=match):
        grind(shop, "P-1", length, off, sure=True)


@pytest.mark.parametrize(
    ("length", "off", "match"),
    [
        ("67.9mm", "", "off at once, more than"),
        ("", "1.01mm", "off at once, more than"),
        ("68.75mm", "0.3mm", "by its lengths"),
    ],
)
def test_what_looks_odd_is_asked_back(shop: Session, length: str, off: str, match: str) -> None:
    with pytest.raises(AskBack, match=match):
        grind(shop, "P-1", length, off)
    assert grind(shop, "P-1", length, off, sure=True).wear == 0


@pytest.mark.parametrize(("length", "refused"), [("67mm", False), ("66.99mm", True)])
def test_below_the_least_length_a_piece_is_retired_or_locked(
    shop: Session, length: str, refused: bool
) -> None:
    grind(shop, "P-1", "68mm")
    grind(shop, "P-1", "67.5mm")
    if not refused:
        ground = grind(shop, "P-1", length)
        assert (ground.condition, ground.grinds_left) == ("sound", 0)
        assert ground.notes == ("no grind is left: order a replacement",)
        return
    with pytest.raises(AskBack, match="below its least length"):
        grind(shop, "P-1", length)
    ground = grind(shop, "P-1", length, sure=True)
    assert ground.condition == "locked"
    assert "below its least length: locked; retire it" in ground.notes


def test_more_in_all_than_a_life_allows_is_told(shop: Session) -> None:
    for off in ("0.9mm", "0.91mm", "0.89mm"):
        grind(shop, "P-3", off=off)
    assert grind(shop, "P-3", off="0.3mm").notes == ("no grind is left: order a replacement",)
    ground = grind(shop, "P-3", off="0.1mm")
    assert ground.off_in_all_mm == pytest.approx(3.1)
    assert "no grind is left, order a replacement" in str(ground.notes[0])


def test_the_next_to_last_grind_says_so(shop: Session) -> None:
    ground = grind(shop, "P-1", "68mm")
    assert ground.notes == ()
    assert grind(shop, "P-1", "67.3mm").notes == (
        "the next grind is the last: order a replacement",
    )


def test_a_chip_ground_out_brings_a_piece_back_when_somebody_is_sure(shop: Session) -> None:
    report_break(shop, BreakRequest("P-1", ["chipped"]))
    with pytest.raises(AskBack, match=r"reported broken \(chipped\)"):
        grind(shop, "P-1", "68.5mm")
    assert grind(shop, "P-1", "68.5mm", sure=True).condition == "sound"


@pytest.mark.parametrize("happened", ["cracked", "snapped", "shattered"])
def test_no_grind_brings_back_what_is_cracked_or_in_parts(shop: Session, happened: str) -> None:
    report_break(shop, BreakRequest("P-1", [happened]))
    with nothing_changes(shop), pytest.raises(Refused, match=f"P-1 was reported {happened}"):
        grind(shop, "P-1", "68.5mm", sure=True)


@pytest.mark.parametrize("sure", sorted(_EVERY))
def test_each_doubt_has_a_yes_of_its_own(shop: Session, sure: Doubt) -> None:
    report_break(shop, BreakRequest("P-1", ["chipped"]))
    request = GrindRequest("P-1", "66.5mm", "2.2mm", confirmed=yes_to(sure))
    with nothing_changes(shop), pytest.raises((AskBack, Refused)):
        record_grind(shop, request)
    needed = yes_to("damage-not-gone", "lengths-disagree", "much-ground-off", "too-short")
    assert record_grind(shop, replace(request, confirmed=needed)).condition == "locked"


def test_the_same_grind_by_the_same_hand_is_asked_about_for_ten_minutes(shop: Session) -> None:
    noon = datetime(2026, 3, 2, 12, tzinfo=UTC)
    request = GrindRequest("P-1", off="0.1mm", by="nights")
    record_grind(shop, request, noon)
    with nothing_changes(shop), pytest.raises(AskBack, match="looks typed already"):
        record_grind(shop, request, noon + timedelta(minutes=9))
    record_grind(shop, replace(request, by="bench 2"), noon + timedelta(minutes=9))
    yes = replace(request, confirmed=yes_to("typed-already"))
    record_grind(shop, yes, noon + timedelta(minutes=9))
    assert record_grind(shop, request, noon + timedelta(minutes=20)).grinds == 4


LENGTHS = st.tuples(
    st.sampled_from(("length", "off", "measure")), st.integers(1, 90_000).map(lambda um: um / 1000)
)


@settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(st.lists(LENGTHS, max_size=6))
def test_no_piece_has_more_grinds_left_than_its_length_when_new_allows(
    shop: Session, said: list[tuple[str, float]]
) -> None:
    for what, length_mm in said:
        text = f"{length_mm}mm"
        with suppress(BadInput):
            if what == "measure":
                sizes = Sizes(length_mm=length_mm)
                measure_piece(shop, "P-1", sizes, "law", confirmed=yes_to("odd-size"))
            else:
                record_grind(shop, GrindRequest("P-1", **{what: text}, confirmed=_EVERY))
        left = piece_wear(piece_by_tag(shop, "P-1"), shop_rules(shop)).grinds_left
        assert left is not None
        assert left <= (70.0 - 67.0) / 0.25


def test_a_lost_piece_is_not_ground(shop: Session) -> None:
    report_break(shop, BreakRequest("P-1", ["lost"]))
    with pytest.raises(Refused, match="P-1 is lost"):
        grind(shop, "P-1", "68.5mm", sure=True)


def test_a_grind_taken_back_brings_the_wear_back(shop: Session) -> None:
    grind(shop, "P-1", "68.75mm")
    entry = shop.value("SELECT max(id) FROM entry")
    ledger.reverse(shop, ledger.new_stamp(person_id(shop, "")), [entry], "wrong piece")
    after = piece_by_tag(shop, "P-1")
    assert (after.wear, after.length_mm, after.grinds) == (4800.0, 69.0, 0)


def test_a_blade_is_turned_until_its_edges_are_used(shop: Session) -> None:
    edges = [turn_edge(shop, TurnRequest("B-4")).edge for _turn in range(3)]
    assert edges == [2, 3, 4]
    assert piece_by_tag(shop, "B-4").wear == 0
    with pytest.raises(Refused, match="all 4 edges are used"):
        turn_edge(shop, TurnRequest("B-4"))
    grind(shop, "B-4", "100mm")
    assert piece_by_tag(shop, "B-4").edge == 1
    assert turn_edge(shop, TurnRequest("B-4")).edge == 2


def test_an_edge_may_be_chosen_but_not_a_used_one(shop: Session) -> None:
    turned = turn_edge(shop, TurnRequest("B-4", edge=3))
    assert (turned.edge_before, turned.edge, turned.edges_left) == (1, 3, 2)
    with pytest.raises(Refused, match="edge 1 is used already; fresh: 2, 4"):
        turn_edge(shop, TurnRequest("B-4", edge=1))
    assert turn_edge(shop, TurnRequest("B-4")).edge == 4
    assert turn_edge(shop, TurnRequest("B-4")).edge == 2


@pytest.mark.parametrize(
    ("tag", "edge", "error", "match"),
    [
        ("B-1", 0, Refused, "has one edge"),
        ("B-2", 3, BadValue, "edge 3 must be 1 to 2"),
        ("B-2", -1, BadValue, "edge -1 must be 1 to 2"),
        ("B-2", 1, Refused, "edge 1 is used already; fresh: 2"),
    ],
)
def test_a_turn_that_cannot_be_is_refused(
    shop: Session, tag: str, edge: int, error: type[BadInput], match: str
) -> None:
    with pytest.raises(error, match=match):
        turn_edge(shop, TurnRequest(tag, edge=edge))


def test_the_last_turn_taken_back_frees_its_edge(shop: Session) -> None:
    turn_edge(shop, TurnRequest("B-2"))
    entry = shop.value("SELECT max(id) FROM entry")
    ledger.reverse(shop, ledger.new_stamp(person_id(shop, "")), [entry], "not done")
    assert piece_by_tag(shop, "B-2").edge == 1
    assert turn_edge(shop, TurnRequest("B-2")).edge == 2


@pytest.mark.parametrize("found", FOUND)
def test_how_the_edge_was_found_is_kept(shop: Session, found: str) -> None:
    record_grind(shop, GrindRequest("P-1", "68.75mm", found=found.upper()))
    turn_edge(shop, TurnRequest("B-2", found=f" {found} "))
    kept = shop.rows("SELECT found FROM entry WHERE action IN ('grind', 'turn')")
    assert [row[0] for row in kept] == [found, found]
    assert read_history(shop, "P-1").lines[0].what.endswith(f"found {found}")


def test_nothing_is_kept_of_how_an_edge_was_found_when_nobody_says(shop: Session) -> None:
    grind(shop, "P-1", "68.75mm")
    assert shop.value("SELECT found FROM entry WHERE action = 'grind'") is None
    assert "found" not in read_history(shop, "P-1").lines[0].what


def test_a_finding_that_is_not_known_is_refused(shop: Session) -> None:
    request = GrindRequest("P-1", "68.75mm", found="blunt")
    with nothing_changes(shop), pytest.raises(BadValue, match="'blunt' is not known"):
        record_grind(shop, request)
    turning = TurnRequest("B-2", found="blunt")
    with nothing_changes(shop), pytest.raises(BadValue, match="'blunt' is not known"):
        turn_edge(shop, turning)


@pytest.mark.parametrize(
    ("strokes", "found", "told"),
    [
        (999, "chipped", True),
        (999, "overdue", True),
        (1000, "chipped", False),
        (999, "right", False),
        (999, "", False),
        (0, "chipped", False),
    ],
)
def test_a_fault_that_is_soon_back_asks_whether_to_retire(
    shop: Session, strokes: int, found: str, told: bool
) -> None:
    change_rule(shop, "life.follow", "no", "as set", by="nights")
    grind(shop, "P-3", off="0.1mm")
    if strokes:
        worked = NewEntry("strokes", piece_by_tag(shop, "P-3").id, strokes, strokes * 1000)
        ledger.write(shop, ledger.new_stamp(person_id(shop, "")), [worked])
    notes = record_grind(shop, GrindRequest("P-3", off="0.2mm", found=found)).notes
    retire = act("retire", tag="P-3", why=None)
    asks = saying("came back within 20 % of an interval (999 of 5,000): retire it? ", retire)
    assert (asks in notes) == told


@pytest.mark.parametrize(
    ("strokes", "found", "told"),
    [(999, "chipped", True), (1000, "chipped", False), (999, "right", False), (999, "", False)],
)
def test_a_fault_that_is_soon_back_on_a_turned_blade_asks_the_same(
    shop: Session, strokes: int, found: str, told: bool
) -> None:
    change_rule(shop, "life.follow", "no", "as set", by="nights")
    assert turn_edge(shop, TurnRequest("B-4", found="chipped")).notes == ()
    worked = NewEntry("strokes", piece_by_tag(shop, "B-4").id, strokes, strokes * 1000)
    ledger.write(shop, ledger.new_stamp(person_id(shop, "")), [worked])
    notes = turn_edge(shop, TurnRequest("B-4", found=found)).notes
    retire = act("retire", tag="B-4", why=None)
    asks = saying("came back within 20 % of an interval (999 of 5,000): retire it? ", retire)
    assert (asks in notes) == told


def test_a_first_fault_says_nothing_of_coming_back(shop: Session) -> None:
    add_piece(shop, "P-9", piece_by_tag(shop, "P-3").kind_id, wear=500)
    notes = record_grind(shop, GrindRequest("P-9", off="0.1mm", found="chipped")).notes
    assert not any("came back" in str(note) for note in notes)
