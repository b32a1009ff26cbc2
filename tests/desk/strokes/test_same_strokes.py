"""The set that a plan names is the set that every door counts: each edge, stroke for stroke."""

from __future__ import annotations

import shutil
from collections import Counter
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crib.acts import yes_to
from crib.desk.kit.hand_out import HandOut, hand_out
from crib.desk.kit.hold import hold_kit
from crib.desk.kit.open_jobs import Closing, close
from crib.desk.kit.take_back import TakeBack, take_back
from crib.desk.plan.make_plan import PlanRequest, make_plan
from crib.desk.strokes.log import LogOptions, log_lines, log_words
from crib.desk.strokes.shift import line_said, lines_to_ask, plate_text, proposed_lines
from crib.desk.strokes.stroke_paper import PaperRequest, make_paper
from crib.desk.strokes.stroke_sheet import take_sheet
from crib.stock.book import ledger
from crib.stock.book.ledger import NewEntry
from crib.stock.book.people import person_id
from crib.stock.engine.opening import open_crib
from crib.stock.engine.session import Session
from crib.stock.queries.jobs import job_called, planned_runs
from crib.stock.queries.pieces import piece_by_tag
from tests.demo_crib import NOW, demo_crib
from tests.desk.planned import plan_job, run
from tests.shop import add_kind, add_piece, add_station, made_once, small_shop

JOB = "26-041"
PUNCHES, SHEAR, NOTCH = "Ironworker 1 / punch", "Shear 1 / flat", "Notcher 1 / notch"
BLADES, HALVES = ("B-1", "B-2", "B-3"), ("T-1P", "T-1D")
SURE = yes_to("typed-already", "many-strokes")


@made_once
def edges_shop(path: Path) -> Session:
    """Beside the small shop a shear with three blades, two of one kind, and a set in two halves."""
    session = small_shop(path)
    add_station(session, "Shear 1", "flat", 1e6, [], does="flat_shear")
    add_station(session, "Notcher 1", "notch", 1e6, [], does="notch")
    blade: dict[str, Any] = {
        "role": "blade",
        "width": "1",
        "shape": "",
        "profile": "flat",
        "edges": 4,
    }
    lower = add_kind(session, name="lower blade", **blade)
    upper = add_kind(session, name="upper blade", **blade)
    for tag, kind in zip(BLADES, (lower, lower, upper), strict=True):
        add_piece(session, tag, kind, place=SHEAR)
    half: dict[str, Any] = {"role": "set", "shape": "rectangle", "long": "6", "profile": "notch"}
    for tag, width in zip(HALVES, ("4", "4-1/32"), strict=True):
        add_piece(session, tag, add_kind(session, width=width, name=tag, **half), place=NOTCH)
    copy = piece_by_tag(session, "P-0137").kind_id
    add_piece(session, "P-0138", copy)
    return session


@dataclass(frozen=True)
class Work:
    """One run of a plan: what strikes, what cuts with it, how often, in which plate."""

    tag: str
    die: str
    beside: tuple[str, ...]
    station: str
    strokes: int
    thickness_mm: float


def cut_by(
    lead: str, every: tuple[str, ...], station: str
) -> tuple[str, str, tuple[str, ...], str]:
    """A cut of which one edge stands for all."""
    return lead, "", tuple(tag for tag in every if tag != lead), station


@st.composite
def works_of_a_plan(draw: st.DrawFn) -> list[Work]:
    """Some runs; a plan lets one and the same edge of a shear or set stand for the cut."""
    sets = [
        ("P-0137", "D-0201", (), PUNCHES),
        ("P-0137", "D-0202", (), PUNCHES),
        ("P-0138", "D-0202", (), PUNCHES),
        cut_by(draw(st.sampled_from(BLADES)), BLADES, SHEAR),
        cut_by(draw(st.sampled_from(HALVES)), HALVES, NOTCH),
    ]
    each = st.tuples(
        st.sampled_from(sets), st.integers(1, 900), st.sampled_from((6.35, 9.525, 12.7))
    )
    return [
        Work(*chosen, strokes, thick_mm)
        for chosen, strokes, thick_mm in draw(st.lists(each, min_size=1, max_size=6))
    ]


MOUNTED = st.lists(st.sampled_from(("P-0137", "P-0138", "D-0201", "D-0202")), unique=True)


def planned(session: Session, works: list[Work], mounted: list[str]) -> None:
    """Mount some pieces, then keep a plan of some work."""
    place = session.value("SELECT id FROM place WHERE name = ?", (PUNCHES,))
    moves = [NewEntry("move", piece_by_tag(session, tag).id, place_id=place) for tag in mounted]
    ledger.write(session, ledger.new_stamp(person_id(session, "")), moves)
    plan_job(
        session,
        JOB,
        *(
            run(
                session,
                work.tag,
                work.strokes,
                die=work.die,
                station=work.station,
                thickness_mm=work.thickness_mm,
                beside=tuple(piece_by_tag(session, tag).id for tag in work.beside),
            )
            for work in works
        ),
    )


def by_kit(session: Session, _folder: Path) -> None:
    """Handed out and taken back as planned."""
    hold_kit(session, JOB, spares=False)
    hand_out(session, JOB, HandOut("bench 2"))
    take_back(session, JOB, TakeBack())


def by_sheet(session: Session, folder: Path) -> None:
    """Printed, and each planned line typed back by its code with the planned count."""
    made = make_paper(session, PaperRequest(folder / "sheet.pdf", blank=0))
    lines = [line for line in made.lines if line.planned is not None]
    words = [word for line in lines for word in (line.code, str(line.planned))]
    log_words(session, words, LogOptions(confirmed=SURE))


def by_sheet_file(session: Session, folder: Path) -> None:
    """Printed, and the planned lines' codes and counts taken in as one file."""
    made = make_paper(session, PaperRequest(folder / "sheet.pdf", blank=0))
    rows = [f"{line.code},{line.planned}" for line in made.lines if line.planned is not None]
    take_sheet(
        session, "\n".join(["line,strokes", *rows]).encode(), "x.csv", LogOptions(confirmed=SURE)
    )


def by_prompts(session: Session, _folder: Path) -> None:
    """Enter at each planned line."""
    asked = [line for line in lines_to_ask(proposed_lines(session)) if line.strokes is not None]
    lines = [line_said(session, line.known, [str(line.strokes)]) for line in asked]
    log_lines(session, lines, LogOptions(confirmed=SURE))


def by_words(session: Session, _folder: Path) -> None:
    """Each run by its tool's tag, with its plate and the job's name."""
    words: list[str] = []
    for one in planned_runs(session, job_called(session, JOB).id):
        plate = plate_text(one.thickness_mm or 0.0, one.material, "in").split()
        words += [one.tag, str(one.left), "thru", *plate]
    log_words(session, words, LogOptions(job=JOB, confirmed=SURE))


def by_closing(session: Session, _folder: Path) -> None:
    """Closed, the planned strokes assumed."""
    close(session, JOB, Closing(assume=True))


DOORS: tuple[Callable[[Session, Path], None], ...] = (
    *(by_kit, by_sheet, by_sheet_file, by_prompts, by_words, by_closing),
)


def booked(session: Session) -> dict[str, int]:
    """Strokes of every piece that made any."""
    rows = session.rows("SELECT tag, strokes_total FROM piece WHERE strokes_total > 0")
    return {row[0]: row[1] for row in rows}


def weighed(session: Session) -> dict[str, int]:
    """Their wear in thousandths."""
    rows = session.rows("SELECT tag, wear_milli FROM piece WHERE strokes_total > 0")
    return {row[0]: row[1] for row in rows}


@settings(max_examples=12, deadline=None)
@given(works=works_of_a_plan(), mounted=MOUNTED)
def test_every_door_counts_what_the_plan_names(works: list[Work], mounted: list[str]) -> None:
    wanted: Counter[str] = Counter()
    for work in works:
        for tag in (work.tag, *([work.die] if work.die else []), *work.beside):
            wanted[tag] += work.strokes
    wears = []
    with TemporaryDirectory() as name:
        folder = Path(name)
        with closing(edges_shop(folder / "shop.crib")) as session:
            planned(session, works, mounted)
            session.rows("PRAGMA wal_checkpoint(TRUNCATE)")
        for door in DOORS:
            place = folder / door.__name__
            place.mkdir()
            shutil.copy(folder / "shop.crib", place / "shop.crib")
            with closing(open_crib(place / "shop.crib")) as session:
                door(session, place)
                assert booked(session) == wanted, door.__name__
                card = job_called(session, JOB)
                assert (card.left, card.beyond) == (0, 0), door.__name__
                assert ledger.rebuild(session) == []
                wears.append(weighed(session))
    assert all(wear == wears[0] for wear in wears)


@pytest.fixture
def shop(tmp_path: Path) -> Session:
    return edges_shop(tmp_path / "shop.crib")


@pytest.mark.parametrize("tag", [*BLADES, *HALVES])
def test_every_edge_of_a_cut_is_counted_by_any_of_its_tags(shop: Session, tag: str) -> None:
    cut = BLADES if tag in BLADES else HALVES
    log_words(shop, [tag, "30"], LogOptions())
    assert booked(shop) == dict.fromkeys(cut, 30)
    shop.close()


def test_edges_with_lines_of_their_own_count_once(shop: Session) -> None:
    logged = log_words(shop, "B-3 30 B-1 20 T-1P 7".split(), LogOptions())
    assert booked(shop) == {"B-1": 20, "B-2": 20, "B-3": 30, "T-1P": 7, "T-1D": 7}
    assert logged.notes == ("B-3 has lines of its own: not counted with B-1 as well",)
    shop.close()


def test_a_planned_cut_typed_by_another_of_its_blades_is_the_planned_one(shop: Session) -> None:
    planned(shop, [Work("B-1", "", ("B-2", "B-3"), SHEAR, 60, 9.525)], [])
    log_words(shop, "B-3 60 thru 3/8 A36".split(), LogOptions(job=JOB))
    assert booked(shop) == dict.fromkeys(BLADES, 60)
    card = job_called(shop, JOB)
    assert (card.left, card.beyond) == (0, 0)
    shop.close()


def test_a_count_of_one_blade_at_the_window_is_one_of_the_cut(shop: Session) -> None:
    planned(shop, [Work("B-1", "", ("B-2", "B-3"), SHEAR, 60, 9.525)], [])
    hold_kit(shop, JOB)
    hand_out(shop, JOB, HandOut("bench 2"))
    take_back(shop, JOB, TakeBack(counts=("B-2=50", "B-1=48")))
    assert booked(shop) == {"B-1": 48, "B-2": 50, "B-3": 48}
    shop.close()


def test_a_shear_is_asked_about_once(shop: Session) -> None:
    lines = {line.tag: line.beside for line in proposed_lines(shop)}
    assert lines == {"B-1": ("B-2", "B-3"), "T-1D": ("T-1P",)}
    shop.close()


def test_two_sizes_of_a_set_side_by_side_are_two_tools(shop: Session) -> None:
    kind = add_kind(shop, role="set", width="3", long="6", shape="rectangle", profile="notch")
    add_piece(shop, "T-2", kind, place=NOTCH)
    log_words(shop, "T-1P 5".split(), LogOptions())
    assert booked(shop) == {"T-1P": 5, "T-1D": 5}
    shop.close()


def test_a_demo_job_is_printed_and_asked_with_the_set_that_its_plan_names(tmp_path: Path) -> None:
    with closing(demo_crib(tmp_path / "demo.crib")) as demo:
        plan = make_plan(demo, PlanRequest(job="J-2680", keep=True, seconds=0.2), NOW)
        named = [{tool.tag for tool in one.tools} for one in plan.runs]
        lines = [line for line in proposed_lines(demo) if line.job == "J-2680"]
        proposed = [{line.tag, line.die_tag, *line.beside} - {""} for line in lines]
        assert sorted(map(sorted, proposed)) == sorted(map(sorted, named))
        assert {"B-0605", "B-0607", "B-0608"} in named
        assert {"B-0601", "B-0603"} in named


@pytest.mark.parametrize("door", DOORS)
def test_a_plan_that_names_one_blade_is_counted_with_those_that_stand_with_it(
    shop: Session, tmp_path: Path, door: Callable[[Session, Path], None]
) -> None:
    planned(shop, [Work("B-1", "", (), SHEAR, 60, 9.525)], [])
    door(shop, tmp_path)
    assert booked(shop) == dict.fromkeys(BLADES, 60)
    assert (job_called(shop, JOB).left, job_called(shop, JOB).beyond) == (0, 0)
    shop.close()
