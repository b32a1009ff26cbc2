"""A job's kit: what is taken from where, spares, and two jobs that want one piece."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from crib.acts import act, saying
from crib.desk.edges.broke import BreakRequest, report_break
from crib.desk.kit.hand_out import HandOut, hand_out
from crib.desk.kit.hold import hold_kit, release_kit
from crib.desk.kit.job_kit import Kit, list_held, show_kit
from crib.desk.shelf.move import Move, move_pieces
from crib.errors import Refused, UnknownName
from crib.stock.book.ledger import new_stamp
from crib.stock.engine.session import Session
from crib.stock.queries.jobs import JobLineRow, job_called, planned_runs
from crib.stock.queries.pieces import piece_by_tag
from crib.stock.writers.keep_jobs import JobFacts, close_job, keep_plan
from tests.desk.kitting import DUE, FIRST, SECOND, held, kit_shop
from tests.desk.planned import plan_job, run
from tests.shop import add_kind, add_piece, add_seat

PUNCH = "Ironworker 1 / punch"


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    """Two jobs that want the same pair, of which there is one."""
    session = kit_shop(tmp_path / "shop.crib")
    yield session
    session.close()


@pytest.fixture
def rich(tmp_path: Path) -> Iterator[Session]:
    """The same with a second punch and a second die."""
    session = kit_shop(tmp_path / "rich.crib", "P-0138")
    add_piece(session, "D-0203", piece_by_tag(session, "D-0201").kind_id, place="A4")
    yield session
    session.close()


def tags(kit: Kit) -> list[str]:
    """The tags of a kit in its order."""
    return [one.tag for one in kit.pieces]


def spares(kit: Kit) -> dict[str, str]:
    """Each spare with the piece that it is for."""
    return {one.tag: one.spare_for for one in kit.pieces if one.spare}


def test_the_kit_is_listed_in_walking_order(shop: Session) -> None:
    assert tags(show_kit(shop, SECOND)) == ["P-0137", "D-0201", "D-0204", "P-0140"]
    move_pieces(shop, Move(("P-0137",), "A4"))
    move_pieces(shop, Move(("D-0204",), "A1"))
    kit = show_kit(shop, SECOND)
    assert [(one.place, one.tag) for one in kit.pieces] == [
        ("A1", "D-0204"),
        ("A2", "D-0201"),
        ("A2", "P-0140"),
        ("A4", "P-0137"),
    ]


def test_what_is_mounted_where_it_is_wanted_is_not_walked_for(shop: Session) -> None:
    move_pieces(shop, Move(("P-0137", "D-0201"), PUNCH))
    move_pieces(shop, Move(("P-0140",), "Ironworker 2 / punch"))
    kit = show_kit(shop, SECOND)
    assert [one.tag for one in kit.pieces if one.mounted] == ["D-0201", "P-0137"]
    assert next(one for one in kit.pieces if one.tag == "P-0140").mounted is False
    assert tags(kit)[-2:] == ["D-0201", "P-0137"]


def test_the_printed_list_counts_only_what_is_to_be_fetched(shop: Session, tmp_path: Path) -> None:
    from crib.desk.kit.kit_paper import KitPaper, draw_kit
    from tests.files.paper_samples import pages

    move_pieces(shop, Move(("P-0137", "D-0201"), PUNCH))
    fetched = len(show_kit(shop, SECOND).pieces) - 2
    draw_kit(shop, SECOND, KitPaper(tmp_path / "kit.pdf"))
    (said,) = pages((tmp_path / "kit.pdf").read_bytes())
    assert f"{fetched} to take, 2 mounted already" in said


def test_a_piece_says_which_runs_want_it(shop: Session) -> None:
    kit = show_kit(shop, SECOND)
    (use,) = next(one for one in kit.pieces if one.tag == "P-0140").uses
    assert (use.mark, use.phrase, use.station, use.left) == (
        "B2",
        "hole 7/8 thru 3/8 A36",
        PUNCH,
        25,
    )
    assert (kit.strokes_left, kit.due_on, kit.missing, kit.notes) == (65, DUE, (), ())


def test_a_feature_without_a_run_is_missing(shop: Session) -> None:
    lines = [
        JobLineRow("B1", "hole 13/16 thru 3/8 A36", 60, 2),
        JobLineRow("B9", "slot 13/16 x 2 thru 3/8", 8, 2),
    ]
    own = run(shop, "P-0137", 40)
    keep_plan(shop, new_stamp(1), JobFacts("24-119"), lines, [own])
    missing = [(one.mark, one.phrase, one.quantity) for one in show_kit(shop, "24-119").missing]
    assert missing == [
        ("B1", "hole 13/16 thru 3/8 A36", 20),
        ("B9", "slot 13/16 x 2 thru 3/8", 8),
    ]


def test_a_job_without_runs_says_how_to_plan_it(shop: Session) -> None:
    plan_job(shop, "later on")
    plan = act("plan.keep", job="later on")
    assert show_kit(shop, "later on").notes == (saying("no run is planned: ", plan),)
    with pytest.raises(Refused, match="job later on has no planned run that is not done"):
        hold_kit(shop, "later on")


def test_an_unknown_job_is_refused(shop: Session) -> None:
    with pytest.raises(UnknownName, match="no job is called '24-999'"):
        show_kit(shop, "24-999")


@pytest.mark.parametrize(("wear", "wanted"), [(2460.0, False), (2501.0, True), (4970.0, True)])
def test_a_piece_past_half_of_its_life_gets_a_spare(
    tmp_path: Path, wear: float, wanted: bool
) -> None:
    session = kit_shop(tmp_path / "worn.crib", "P-0138", "P-0139", wear=wear)
    plan_job(session, "worn", run(session, "P-0139", 20))
    assert spares(show_kit(session, "worn")) == ({"P-0138": "P-0139"} if wanted else {})
    session.close()


def test_a_piece_that_the_job_would_wear_out_gets_a_spare(rich: Session) -> None:
    weighty = run(rich, "P-0137", 100, weighted_milli=5_001_000)
    plan_job(rich, "long", weighty)
    assert spares(show_kit(rich, "long")) == {"P-0138": "P-0137"}
    plan_job(rich, "short", run(rich, "P-0137", 100, weighted_milli=5_000_000))
    assert spares(show_kit(rich, "short")) == {}


def test_a_die_takes_its_share_of_the_planned_strokes(rich: Session) -> None:
    plan_job(rich, "dies", run(rich, "P-0140", 100, die="D-0201", weighted_milli=10_002_000))
    kit = show_kit(rich, "dies")
    assert spares(kit) == {"D-0203": "D-0201"}
    assert kit.notes == (
        "no spare for P-0140: 0 % used, 200 % after the job, and no other sound copy is free",
    )


def test_the_least_worn_spare_that_lasts_is_taken_and_no_dull_one(tmp_path: Path) -> None:
    session = kit_shop(tmp_path / "s.crib", "P-0138", wear=900.0)
    kind = piece_by_tag(session, "P-0137").kind_id
    add_piece(session, "P-0141", kind, place="A4", wear=300.0)
    add_piece(session, "P-0142", kind, place="A1", wear=5001.0)
    add_piece(session, "P-0143", kind, place="A1", condition="locked")
    add_piece(session, "P-0150", kind, place="A3", wear=2600.0)
    plan_job(session, "worn", run(session, "P-0150", 20))
    first = hold_kit(session, FIRST)
    assert set(first.tags) == {"P-0137", "D-0201"}
    assert spares(show_kit(session, "worn")) == {"P-0141": "P-0150"}
    session.close()


def test_an_adapter_that_the_seat_needs_is_in_the_kit(shop: Session) -> None:
    seat_c = add_seat(shop, "C")
    seat_a = shop.value("SELECT id FROM seat WHERE name = 'A'")
    small = add_kind(shop, role="punch", width="3/8", seat_id=seat_c)
    add_piece(shop, "P-0300", small)
    plan_job(shop, "small", run(shop, "P-0300", 10))
    assert show_kit(shop, "small").notes == (f"P-0300 is seat C: no adapter for {PUNCH}",)
    sleeve = add_kind(
        shop, role="punch_adapter", width="1", seat_id=seat_a, presents_seat_id=seat_c
    )
    add_piece(shop, "A-0001", sleeve, place="A4")
    kit = show_kit(shop, "small")
    assert (tags(kit), kit.notes) == (["P-0300", "A-0001"], ())
    assert set(hold_kit(shop, "small").tags) == {"P-0300", "A-0001"}


def test_adapters_that_do_not_close_with_their_tools_are_said(shop: Session) -> None:
    seat_c = add_seat(shop, "C")
    seat_a = shop.value("SELECT id FROM seat WHERE name = 'A'")
    for tag, role, width in (("P-0300", "punch", "3/8"), ("D-0300", "die", "13/32")):
        add_piece(shop, tag, add_kind(shop, role=role, width=width, seat_id=seat_c))
    seats = {"width": "1", "seat_id": seat_a, "presents_seat_id": seat_c}
    for tag, role, adds_mm in (("A-0001", "punch_adapter", 0.0), ("A-0002", "die_adapter", 12.0)):
        kind = add_kind(shop, role=role, **seats, added_height_mm=adds_mm)
        add_piece(shop, tag, kind, place="A4")
    plan_job(shop, "small", run(shop, "P-0300", 10, die="D-0300"))
    (note,) = show_kit(shop, "small").notes
    assert "with A-0001 0 in and A-0002" in str(note)
    assert "the punch goes 0.6496 in into the die" in str(note)
    with shop.writing():
        shop.run("UPDATE kind SET added_height_mm = 0 WHERE role = 'die_adapter'")
    assert show_kit(shop, "small").notes == ()


def test_a_copy_that_does_not_close_over_the_die_is_no_other_copy(rich: Session) -> None:
    with rich.writing():
        rich.run("UPDATE piece SET length_mm = 65 WHERE tag = 'P-0138'")
        rich.run("UPDATE piece SET condition = 'broken' WHERE tag = 'P-0137'")
    seen = next(one for one in show_kit(rich, SECOND).pieces if one.tag == "P-0137")
    assert seen.instead == ""
    with rich.writing():
        rich.run("UPDATE piece SET length_mm = 67 WHERE tag = 'P-0138'")
    seen = next(one for one in show_kit(rich, SECOND).pieces if one.tag == "P-0137")
    assert seen.instead == "P-0138"


def test_everything_is_promised_once(shop: Session) -> None:
    kit = hold_kit(shop, SECOND)
    assert kit.done == f"promised 4 pieces to job {SECOND}"
    assert set(held(shop).values()) == {f"{SECOND} held"}
    again = hold_kit(shop, SECOND)
    assert (again.done, again.tags, len(held(shop))) == ("nothing new to promise", (), 4)


def test_the_second_job_gets_the_other_copy(rich: Session) -> None:
    hold_kit(rich, FIRST)
    seen = next(one for one in show_kit(rich, SECOND).pieces if one.tag == "P-0137")
    assert (seen.trouble, seen.instead, seen.instead_place) == (
        f"promised to job {FIRST}, due {DUE}",
        "P-0138",
        "A3",
    )
    kit = hold_kit(rich, SECOND)
    assert {(one.tag, one.instead_of) for one in kit.swaps} == {
        ("P-0138", "P-0137"),
        ("D-0203", "D-0201"),
    }
    first, _other = planned_runs(rich, job_called(rich, SECOND).id)
    assert (first.tag, first.with_tag) == ("P-0138", "D-0203")
    assert held(rich)["P-0138"] == f"{SECOND} held"
    assert [one.tag for one in planned_runs(rich, job_called(rich, FIRST).id)] == ["P-0137"]


def test_the_second_job_is_refused_with_who_has_it(shop: Session) -> None:
    hold_kit(shop, FIRST)
    before = held(shop)
    said = f"P-0137 is promised to job {FIRST}, due {DUE}.*no other copy is free"
    with pytest.raises(Refused, match=said):
        hold_kit(shop, SECOND)
    assert held(shop) == before


def test_a_copy_of_another_size_is_no_copy(tmp_path: Path) -> None:
    session = kit_shop(tmp_path / "s.crib", "P-0138", measured_width_mm=20.5)
    hold_kit(session, FIRST)
    with pytest.raises(Refused, match=f"P-0137 is promised to job {FIRST}"):
        hold_kit(session, SECOND)
    session.close()


def test_a_broken_piece_gives_its_runs_to_a_copy(rich: Session) -> None:
    hold_kit(rich, FIRST)
    report_break(rich, BreakRequest("P-0137", ["snapped"]))
    seen = next(one for one in show_kit(rich, FIRST).pieces if one.tag == "P-0137")
    assert (seen.trouble, seen.instead) == ("broken", "P-0138")
    kit = hold_kit(rich, FIRST)
    assert [(one.tag, one.because) for one in kit.swaps] == [("P-0138", "P-0137 is broken")]
    assert held(rich) == {"D-0201": f"{FIRST} held", "P-0138": f"{FIRST} held"}


def test_a_spare_steps_in_for_what_broke(tmp_path: Path) -> None:
    session = kit_shop(tmp_path / "s.crib", "P-0138", "P-0139")
    plan_job(session, "worn", run(session, "P-0137", 100, weighted_milli=6_000_000))
    assert spares(hold_kit(session, "worn")) == {"P-0138": "P-0137"}
    report_break(session, BreakRequest("P-0137", ["chipped"]))
    kit = hold_kit(session, "worn")
    assert [(one.tag, one.instead_of) for one in kit.swaps] == [("P-0138", "P-0137")]
    assert spares(kit) == {"P-0139": "P-0138"}
    assert set(held(session)) == {"P-0138", "P-0139"}
    session.close()


def test_a_piece_at_the_grinder_is_promised_and_told(rich: Session) -> None:
    insert_place(rich, "grinder", "grinder")
    move_pieces(rich, Move(("P-0137",), "grinder"))
    kit = hold_kit(rich, FIRST)
    seen = next(one for one in kit.pieces if one.tag == "P-0137")
    assert (seen.state, seen.trouble, seen.instead) == ("held", "at the grinder", "P-0138")


def insert_place(session: Session, name: str, sort: str) -> None:
    """A place of a sort."""
    with session.writing():
        session.insert("place", {"name": name, "sort": sort, "walk_order": 99})


def test_what_no_run_wants_any_more_is_let_go(shop: Session) -> None:
    hold_kit(shop, SECOND)
    plan_job(shop, SECOND, run(shop, "P-0140", 25))
    hold_kit(shop, SECOND)
    assert held(shop) == {"P-0140": f"{SECOND} held"}


def test_without_spares_none_is_promised(rich: Session) -> None:
    plan_job(rich, "long", run(rich, "P-0137", 100, weighted_milli=6_000_000))
    assert hold_kit(rich, "long", spares=False).tags == ("P-0137",)
    assert hold_kit(rich, "long").tags == ("P-0138",)


def test_released_pieces_are_free(shop: Session) -> None:
    hold_kit(shop, FIRST)
    assert release_kit(shop, FIRST).done == "released 2 pieces"
    assert held(shop) == {}
    assert hold_kit(shop, SECOND).swaps == ()
    with pytest.raises(Refused, match=f"nothing is promised to job {FIRST}"):
        release_kit(shop, FIRST)


def test_a_closed_job_is_promised_nothing(shop: Session) -> None:
    close_job(shop, job_called(shop, FIRST), "2026-03-02")
    with pytest.raises(Refused, match=f"job {FIRST} was closed on 2026-03-02"):
        hold_kit(shop, FIRST)


def test_everything_promised_is_listed_by_job(shop: Session) -> None:
    hold_kit(shop, SECOND)
    found = list_held(shop)
    assert [(one.job, one.tag, one.state, one.days_late) for one in found.pieces] == [
        (SECOND, tag, "held", 0) for tag in ("D-0201", "D-0204", "P-0137", "P-0140")
    ]
    assert list_held(shop, late=True).pieces == ()


def test_the_kit_list_is_drawn_as_it_was_to_be_taken_whenever_it_is_printed(
    shop: Session, tmp_path: Path
) -> None:
    from crib.desk.kit.kit_paper import KitPaper, draw_kit
    from tests.files.paper_samples import pages

    def drawn(name: str) -> str:
        draw_kit(shop, SECOND, KitPaper(tmp_path / name))
        (said,) = pages((tmp_path / name).read_bytes())
        return said

    hold_kit(shop, SECOND)
    before = drawn("before.pdf")
    hand_out(shop, SECOND, HandOut("bench 2"))
    after = drawn("after.pdf")
    tags = [piece.tag for piece in show_kit(shop, SECOND).pieces]
    assert len(tags) == 4
    assert sorted(tags, key=before.index) == sorted(tags, key=after.index)
    assert "4 to take, 4 of them out by now" in after
    assert f"A1 out with bench 2 until {DUE} P-0137" in after
    assert "A1 P-0137" in before
    move_pieces(shop, Move(("P-0137", "D-0201"), "Ironworker 1 / punch"))
    mounted = drawn("mounted.pdf")
    assert sorted(tags, key=before.index) == sorted(tags, key=mounted.index)
    assert f"A1 out with bench 2 until {DUE} P-0137" in mounted


def test_what_stood_mounted_when_it_was_handed_out_is_not_taken_from_a_drawer(
    shop: Session,
) -> None:
    move_pieces(shop, Move(("P-0137", "D-0201"), "Ironworker 1 / punch"))
    hand_out(shop, SECOND, HandOut("bench 2"))
    homes = {piece.tag: piece.home for piece in show_kit(shop, SECOND).pieces}
    assert homes == {"P-0137": "", "D-0201": "", "P-0140": "A2", "D-0204": "A2"}
