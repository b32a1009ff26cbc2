"""The demo cribs hold what they promise, go in whole, and name nobody who is real."""

from __future__ import annotations

import csv
import json
import re
from collections.abc import Iterator
from math import hypot
from pathlib import Path

import pytest

from crib.desk.answer.find import find
from crib.desk.book.new_crib import new_crib
from crib.desk.tables.import_tables import take_in
from crib.features.common.plate_phrase import Reading
from crib.features.registry import feature_kinds, read_phrase
from crib.stock.book import ledger
from crib.stock.book.conditions import read_state
from crib.stock.book.settings import shop_rules
from crib.stock.book.subjects import DAMAGE
from crib.stock.engine.folders import seed_folder
from crib.stock.engine.opening import open_crib
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag, pieces_by_ids
from crib.trade.metal.die_geometry import die_wall_mm
from crib.trade.metal.shapes import SHAPES, Outline, diagonal_mm
from crib.words import STATION_WORK

SHOPS = {"inch": "in", "metric": "mm"}
PEOPLE = {
    "apprentice",
    "bench 1",
    "bench 2",
    "buyer",
    "estimator",
    "grinding room",
    "layout table",
    "lead hand",
    "nights",
    "saw line",
    "weekend",
    "window",
    "yard",
}
SUPPLIERS = {"", "Supplier one", "Harbour tool supply"}
PROFILES = {
    "flat_shear": {"flat"},
    "plate_shear": {"plate"},
    "angle_shear": {"angle"},
    "bar_shear": {"round", "square"},
    "channel_shear": {"channel"},
}
MACHINES = {
    "Ironworker 1 (north bay)",
    "Ironworker 2 (south bay)",
    "Ironworker 1 (long hall)",
}


SERVED = (
    "hole 13/16 thru 3/8",
    "bolt 3/4 thru 1/2",
    "square 1/2 thru 1/4",
    "rectangle 1/2 x 1 thru 1/4",
    "hexagon 5/8 thru 1/4",
    "slot 13/16 x 1-7/8 thru 3/8",
    "notch 4 x 3 thru 1/4",
    "notch 7 x 3 thru 1/4",
    "vee 2 thru 1/4",
    "corner 3 x 3 thru 1/4",
    "corner 6 x 6 thru 1/8",
    *(f"saddle {size} pipe sch 40" for size in ("3/4", "1", "1-1/4", "1-1/2", "2")),
    "cut flat 14 x 1/2",
    "cut flat 4 x 1/2 at 45",
    "cut plate 14 x 3/8",
    "cut angle 3 x 3 x 1/4",
    "cut angle 2-1/2 x 2-1/2 x 1/4 at 45",
    "cut round 3/4",
    "cut square 3/4",
    "cut channel 4 x 1-5/8 x 3/16",
    "cut tube 1 x 16ga",
    *(f"point {size}" for size in ("1/2", "5/8", "3/4")),
    "bend 10 x 1/4 at 90",
    "bend 6 x 3/8 at 90",
)
NOT_SERVED = (
    "hole 1-3/16 thru 3/8",
    "bolt M36 thru 3/8",
    "square 7/8 thru 1/4",
    "rectangle 3/4 x 1-1/4 thru 5/8",
    "hexagon 7/8 thru 1/4",
    "slot 13/16 x 2-1/4 thru 3/8",
    "notch 4 x 5 thru 1/4",
    "notch 4 x 3 thru 3/8",
    "vee 3 thru 1/4",
    "vee 2 thru 1/4 at 60",
    "corner 6 x 6 thru 1/4",
    "corner 4 x 4 thru 1/4",
    "saddle 1-1/2 tube 0.120 wall",
    "saddle 1-1/2 pipe sch 80",
    "saddle 1-1/2 pipe sch 40 onto 2 pipe",
    "cut flat 14 x 5/8",
    "cut flat 6 x 1/2 at 45",
    "cut plate 30 x 1/4",
    "cut angle 3 x 3 x 1/4 at 45",
    "cut round 1-1/2",
    "cut square 1-1/4",
    "cut channel 8 x 2-1/4 x 1/4",
    "cut tube 1-1/2 x 16ga",
    "bend 24 x 1/4 at 90",
    "bend 10 x 1/2 at 90",
    "point 7/8",
    "point round 1/2",
)


@pytest.fixture(scope="module")
def cribs(tmp_path_factory: pytest.TempPathFactory) -> Iterator[dict[str, Session]]:
    folder = tmp_path_factory.mktemp("seed")
    opened = {shop: taken(shop, folder / f"{shop}.crib") for shop in SHOPS}
    yield opened
    for session in opened.values():
        session.close()


@pytest.fixture(scope="module")
def inch(cribs: dict[str, Session]) -> Session:
    return cribs["inch"]


def taken(shop: str, path: Path) -> Session:
    """A crib with a shop's folder taken in."""
    new_crib(path, unit=SHOPS[shop])
    session = open_crib(path)
    take_in(session, seed_folder() / shop, by="")
    return session


def rows(shop: str, table: str) -> list[dict[str, str]]:
    """The rows of one file as they are written."""
    path = seed_folder() / shop / f"{table}.csv"
    with path.open(newline="", encoding="utf-8") as lines:
        return list(csv.DictReader(lines))


@pytest.mark.parametrize("shop", SHOPS)
def test_the_totals_are_what_the_ledger_amounts_to(cribs: dict[str, Session], shop: str) -> None:
    assert ledger.rebuild(cribs[shop]) == []
    assert cribs[shop].rows("PRAGMA foreign_key_check") == []


@pytest.mark.parametrize("shop", SHOPS)
def test_every_piece_begins_with_its_add_entry(cribs: dict[str, Session], shop: str) -> None:
    first = cribs[shop].rows(
        "SELECT action FROM entry WHERE id IN"
        " (SELECT min(id) FROM entry WHERE piece_id IS NOT NULL GROUP BY piece_id)"
    )
    assert {row[0] for row in first} == {"add"}
    assert len(first) == cribs[shop].value("SELECT count(*) FROM piece")


@pytest.mark.parametrize(
    ("count", "least"),
    [
        ("SELECT count(*) FROM piece", 300),
        ("SELECT count(*) FROM place WHERE sort = 'drawer'", 40),
        ("SELECT count(*) FROM person", 12),
        ("SELECT count(*) FROM machine", 2),
        ("SELECT count(*) FROM station", 5),
        ("SELECT count(*) FROM station WHERE does = 'punch' AND rated_force_n IS NULL", 1),
        ("SELECT count(DISTINCT does) FROM station", 6),
        ("SELECT count(*) FROM seat", 3),
        ("SELECT count(*) FROM kind WHERE role LIKE '%adapter' AND added_height_mm > 0", 2),
        ("SELECT count(*) FROM kind WHERE role = 'attachment' AND presents_seat_id > 0", 2),
        ("SELECT count(*) FROM envelope_point", 12),
        ("SELECT count(DISTINCT operation) FROM envelope_point", 11),
        ("SELECT count(*) FROM entry WHERE action = 'strokes'", 400),
        ("SELECT sum(quantity) FROM entry WHERE action = 'strokes'", 10_000),
        ("SELECT count(DISTINCT person_id) FROM entry WHERE action = 'strokes'", 6),
        ("SELECT count(DISTINCT material) FROM entry WHERE action = 'strokes'", 4),
        ("SELECT count(DISTINCT job) FROM entry WHERE job LIKE 'J-26%'", 30),
        ("SELECT count(*) FROM entry WHERE action = 'reverse'", 5),
        ("SELECT count(*) FROM entry WHERE action = 'break'", 4),
        ("SELECT count(*) FROM entry WHERE action = 'grind' AND length_mm > 0", 10),
        ("SELECT count(*) FROM entry WHERE action = 'turn'", 6),
        ("SELECT count(*) FROM entry WHERE action = 'retire'", 3),
        ("SELECT count(*) FROM entry WHERE action = 'defer'", 1),
        ("SELECT count(*) FROM piece WHERE measured_width_mm IS NOT NULL", 8),
        ("SELECT count(*) FROM kind WHERE least_count > 1", 8),
        ("SELECT count(*) FROM want", 40),
        ("SELECT count(*) FROM (SELECT DISTINCT ask, job FROM want)", 40),
        ("SELECT count(*) FROM offer WHERE from_quantity > 1", 20),
        ("SELECT count(*) FROM bundle", 1),
        ("SELECT count(*) FROM order_line WHERE open", 3),
        ("SELECT count(*) FROM job", 3),
        ("SELECT count(*) FROM job_line", 16),
    ],
)
def test_the_inch_crib_holds_at_least(inch: Session, count: str, least: int) -> None:
    assert inch.value(count) >= least


@pytest.mark.parametrize("condition", ["sound", "inspect", "locked", "broken", "lost", "retired"])
def test_the_inch_crib_has_a_piece_in_every_condition(inch: Session, condition: str) -> None:
    assert inch.value("SELECT count(*) FROM piece WHERE condition = ?", (condition,)) > 0


@pytest.mark.parametrize("sort", ["drawer", "station", "grinder", "person", "outside"])
def test_the_inch_crib_has_a_piece_in_every_sort_of_place(inch: Session, sort: str) -> None:
    sql = "SELECT count(*) FROM piece JOIN place ON place.id = place_id WHERE sort = ?"
    assert inch.value(sql, (sort,)) > 0


def test_the_inch_crib_runs_for_six_months(inch: Session) -> None:
    first, last = inch.rows("SELECT min(shift_on), max(shift_on) FROM entry")[0]
    assert (first, last) == ("2026-05-25", "2026-11-20")


@pytest.mark.parametrize(("low", "high"), [(0.7, 0.9), (0.9, 1.0), (1.0, 1.2), (1.2, 1.5)])
def test_the_inch_crib_has_an_edge_at_every_level(inch: Session, low: float, high: float) -> None:
    every = [row[0] for row in inch.rows("SELECT id FROM piece WHERE condition = 'sound'")]
    used = [card.used(5000) for card in pieces_by_ids(inch, every).values()]
    assert any(low <= share < high for share in used)


def test_the_metric_crib_is_smaller(cribs: dict[str, Session]) -> None:
    metric = cribs["metric"]
    assert 60 <= metric.value("SELECT count(*) FROM piece") <= 80
    assert metric.value("SELECT count(*) FROM place WHERE sort = 'drawer'") == 15
    assert metric.value("SELECT count(*) FROM seat WHERE head_diameter_mm IS NOT NULL") == 2
    assert metric.value("SELECT count(DISTINCT shift_on) FROM entry") >= 60
    assert shop_rules(metric).text("crib.unit") == "mm"


def test_a_13_16_hole_is_served_by_several_pairs(inch: Session) -> None:
    found = find(inch, "hole 13/16 thru 3/8 A36", record=False)
    first = found.picks[0]
    assert first.tooling.station.label == "Ironworker 1 (north bay) / main punch"
    dies = {one.tools[-1].kind for one in found.picks}
    assert {"round die 27/32 in, seat A", "round die 7/8 in, seat A"} <= dies
    assert len(found.picks) >= 6


def test_one_punch_stands_at_4100_weighted_strokes_of_5000(inch: Session) -> None:
    card = piece_by_tag(inch, "P-0137")
    assert (card.kind_name, card.wear_milli) == ("round punch 13/16 in, seat A", 4_100_000)


def test_one_punch_alone_makes_the_long_slot(inch: Session) -> None:
    sql = "SELECT count(*) FROM piece JOIN kind ON kind.id = kind_id WHERE kind.name = ?"
    assert inch.value(sql, ("obround punch 13/16 x 1-7/8 in, seat B",)) == 1


@pytest.mark.parametrize("shop", SHOPS)
def test_what_is_wanted_is_not_there(cribs: dict[str, Session], shop: str) -> None:
    session = cribs[shop]
    for want in session.rows("SELECT ask, missing FROM want"):
        found = find(session, want["ask"], record=False)
        assert (want["ask"], found.serves, found.phrase) == (want["ask"], False, want["ask"])
        lines = [one["text"] for one in json.loads(want["missing"])]
        assert bool(lines) == bool(found.order)


@pytest.mark.parametrize("phrase", SERVED)
def test_the_inch_crib_serves(inch: Session, phrase: str) -> None:
    assert find(inch, phrase, record=False).picks


@pytest.mark.parametrize("phrase", NOT_SERVED)
def test_the_inch_crib_does_not_serve(inch: Session, phrase: str) -> None:
    found = find(inch, phrase, record=False)
    assert not found.serves
    assert found.near_misses or found.order
    assert found.workarounds


def test_every_kind_of_feature_has_a_phrase_that_is_served_and_one_that_is_not() -> None:
    kinds = {kind.word for kind in feature_kinds().values()}
    assert {phrase.split()[0] for phrase in SERVED} == kinds
    assert {phrase.split()[0] for phrase in NOT_SERVED} == kinds


def test_every_work_that_a_feature_asks_for_has_a_station(inch: Session) -> None:
    does = {row[0] for row in inch.rows("SELECT does FROM station")}
    reading = Reading(shop_rules(inch))
    examples = [kind.example for kind in feature_kinds().values()]
    assert {read_phrase(text, reading).work for text in (*examples, *SERVED)} <= does


@pytest.mark.parametrize("shop", SHOPS)
def test_every_line_of_a_job_can_be_read(cribs: dict[str, Session], shop: str) -> None:
    reading = Reading(shop_rules(cribs[shop]))
    for line in rows(shop, "job_lines"):
        assert read_phrase(line["phrase"], reading).phrase(reading.system) == line["phrase"]


@pytest.mark.parametrize("shop", SHOPS)
def test_every_punch_and_die_goes_into_its_seat(cribs: dict[str, Session], shop: str) -> None:
    for kind in cribs[shop].rows(
        "SELECT kind.name, role, shape, width_mm, long_mm, body_diameter_mm, die_diameter_mm"
        " FROM kind JOIN seat ON seat.id = seat_id WHERE role IN ('punch', 'die')"
    ):
        shape = next(one for one in SHAPES if one == kind["shape"])
        outline = Outline(shape, kind["width_mm"], kind["long_mm"] or kind["width_mm"])
        across_mm = diagonal_mm(outline)
        if kind["role"] == "punch":
            assert across_mm <= kind["body_diameter_mm"], kind["name"]
        else:
            assert die_wall_mm(kind["die_diameter_mm"], across_mm) >= 6.35, kind["name"]


@pytest.mark.parametrize("shop", SHOPS)
def test_every_set_and_brake_tool_goes_into_its_seat(cribs: dict[str, Session], shop: str) -> None:
    """Its outline, corner to corner, stays inside the bolster that the seat describes."""
    for kind in cribs[shop].rows(
        "SELECT kind.name, width_mm, coalesce(depth_mm, 0) AS depth_mm, die_diameter_mm"
        " FROM kind LEFT JOIN seat ON seat.id = seat_id WHERE role IN ('set', 'brake_tool')"
    ):
        across_mm = hypot(kind["width_mm"] or 0.0, kind["depth_mm"])
        assert across_mm < (kind["die_diameter_mm"] or 0.0), kind["name"]


@pytest.mark.parametrize("shop", SHOPS)
def test_every_set_reaches_a_station_from_seat_to_seat(
    cribs: dict[str, Session], shop: str
) -> None:
    accepted = {row[0] for row in cribs[shop].rows("SELECT seat_id FROM station_seat")}
    attachments = cribs[shop].rows(
        "SELECT seat_id, presents_seat_id, rated_force_n FROM kind WHERE role = 'attachment'"
    )
    assert all(row["seat_id"] in accepted and row["rated_force_n"] for row in attachments)
    reached = accepted | {row["presents_seat_id"] for row in attachments}
    sql = "SELECT name, seat_id FROM kind WHERE role IN ('set', 'brake_tool')"
    assert [row["name"] for row in cribs[shop].rows(sql) if row["seat_id"] not in reached] == []


@pytest.mark.parametrize("shop", SHOPS)
def test_every_shear_has_blades_of_its_profile_mounted(
    cribs: dict[str, Session], shop: str
) -> None:
    standing: dict[str, set[str]] = {}
    for row in cribs[shop].rows(
        "SELECT station.does, kind.profile FROM station JOIN place ON place.station_id = station.id"
        " JOIN piece ON piece.place_id = place.id JOIN kind ON kind.id = piece.kind_id"
        " WHERE kind.role = 'blade' AND piece.condition = 'sound'"
    ):
        standing.setdefault(row["does"], set()).add(row["profile"])
    for does in {row[0] for row in cribs[shop].rows("SELECT does FROM station")} & set(PROFILES):
        assert PROFILES[does] <= standing[does] | ({"square"} if shop == "metric" else set())


def test_the_inch_crib_has_a_station_for_every_work(inch: Session) -> None:
    does = {row[0] for row in inch.rows("SELECT does FROM station")}
    assert does == set(STATION_WORK) - {"attachment"}


@pytest.mark.parametrize("shop", SHOPS)
def test_nobody_and_no_maker_is_real(shop: str) -> None:
    assert {row["name"] for row in rows(shop, "people")} <= PEOPLE
    assert {row["name"] for row in rows(shop, "machines")} <= MACHINES
    for table in ("kinds", "offers", "bundles", "orders"):
        assert {row["supplier"] for row in rows(shop, table)} <= SUPPLIERS


@pytest.mark.parametrize("shop", SHOPS)
def test_no_word_of_the_data_looks_like_a_name_or_a_part_number(shop: str) -> None:
    """Two capitalised words in a row, or letters and digits run together, unless they are ours."""
    ours = {"Nowhere Bay", "Nowhere Quay", "Bay Steelwork", "Quay Steelwork"}
    for path in sorted((seed_folder() / shop).glob("*.csv")):
        if path.name == "entries.csv":
            continue
        text = path.read_text("utf-8")
        assert set(re.findall(r"\b[A-Z][a-z]+ [A-Z][a-z]+\b", text)) <= ours
        assert re.findall(r"\b[A-Z]{2,}-?\d{3,}\b", text) == []


@pytest.mark.parametrize("shop", SHOPS)
def test_every_break_says_what_happened(cribs: dict[str, Session], shop: str) -> None:
    """So that it is known which pieces are in parts, and never come back."""
    broken = cribs[shop].rows("SELECT id, tag FROM piece WHERE condition = 'broken'")
    assert broken != []
    for row in broken:
        assert read_state(cribs[shop], row["id"]).harm in DAMAGE, row["tag"]
