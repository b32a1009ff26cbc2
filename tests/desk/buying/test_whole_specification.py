"""A tool that was missed goes whole through want, line, order and receipt, whatever it is."""

from __future__ import annotations

import csv
import json
from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from crib.desk.answer.find import find
from crib.desk.answer.wants import read_missing
from crib.desk.buying.chosen_lines import OrderRequest
from crib.desk.buying.lines_csv import write_order_sheet
from crib.desk.buying.order_files import write_order_file
from crib.desk.buying.place_orders import PlacedOrder, make_orders, show_orders
from crib.desk.buying.receive import Delivery, receive
from crib.features.common.case import Circumstances
from crib.features.common.tool_spec import ToolSpec
from crib.stock.engine.session import Session
from crib.stock.queries.kind_specs import all_kind_specs
from crib.stock.queries.order_specs import spec_text
from crib.stock.tables.all_tables import EnvelopePointRecord, OrderLineRecord, StationSeatRecord
from crib.stock.writers.kinds import add_kind as add_kind_of
from crib.units import mm_from_inches
from tests.desk.asks import ask, change
from tests.desk.buying_shop import LATER, only, plan, seat, want
from tests.desk.every_work import ASKS, bare_shop
from tests.shop import add_kind, add_piece, add_seat, insert

SETS = {name: phrase for name, phrase in ASKS.items() if name not in ("punch and die",)}
NOTCH = ASKS["notch"]
FOR_THE_SUPPLIER = ("quantity", "needed_by", "job", "for_station", "for_thickness_mm")


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    with closing(bare_shop(tmp_path / "bare.crib")) as session:
        yield session


def miss(shop: Session, phrase: str, job: str = "24-1") -> tuple[ToolSpec, ...]:
    """Ask for what is not there; returns what would be ordered."""
    found = find(shop, phrase, Circumstances(quantity=60, job=job), now=LATER)
    return tuple(line.spec for line in found.order)


def order(shop: Session) -> PlacedOrder:
    """Order every line there is."""
    names = tuple(line.name for line in plan(shop).lines)
    (made,) = make_orders(shop, OrderRequest(names, supplier="North"), now=LATER).orders
    return made


def kinds(shop: Session) -> list[ToolSpec]:
    """Every kind as a specification."""
    return [kind.spec for kind in all_kind_specs(shop)]


def of_design(spec: ToolSpec) -> dict[str, Any]:
    """What makes the tool, whomever it is for."""
    long_mm = None if spec.long_mm == spec.width_mm else spec.long_mm
    plain: dict[str, Any] = {
        **dict.fromkeys(("needed_by", "job", "for_station", "for_material", "note"), ""),
        **dict.fromkeys(("nest_for", "header_for"), ""),
        **dict.fromkeys(
            ("punch_width_mm", "punch_long_mm", "for_thickness_mm", "ream_to_mm"), None
        ),
        **{
            "stroke_force_n": None,
            "hole_plus_mm": None,
            "hole_minus_mm": None,
            "strokes": 1,
            "quantity": 1,
            "long_mm": long_mm,
        },
    }
    return replace(spec, **plain).as_json()


@pytest.mark.parametrize("phrase", ASKS.values(), ids=ASKS)
def test_the_want_keeps_the_whole_specification(shop: Session, phrase: str) -> None:
    specs = miss(shop, phrase)
    text = shop.value("SELECT missing FROM want")
    kept = read_missing(text)
    assert kept is not None
    assert specs
    assert [(one.spec, one.kind, one.whole) for one in kept] == [
        (spec, None, True) for spec in specs
    ]
    assert {"role", "text", "because", "width_mm", "seat", "kind"} <= json.loads(text)[0].keys()


@pytest.mark.parametrize("phrase", ASKS.values(), ids=ASKS)
def test_what_is_bought_ordered_and_received_has_every_figure_of_it(
    shop: Session, phrase: str
) -> None:
    specs = miss(shop, phrase)
    lines = plan(shop).lines
    assert [of_design(line.spec) for line in lines] == [of_design(spec) for spec in specs]
    assert [line.gaps for line in lines] == [()] * len(specs)
    made = order(shop)
    assert [line.spec for line in made.card.lines] == [line.spec for line in lines]
    assert made.gaps == ()
    assert [of_design(spec) for spec in kinds(shop)] == [of_design(spec) for spec in specs]
    assert not ask(shop, phrase).serves
    assert plan(shop).lines == ()
    came = receive(shop, Delivery(made.card.number, place="A1"), now=LATER)
    assert [len(line.tags) for line in came.lines] == [1] * len(specs)
    assert ask(shop, phrase).serves
    after = plan(shop)
    assert after.lines == ()
    assert str(after.notes[0]).partition("; ")[0].endswith("is in the crib or on order by now")


@pytest.mark.parametrize("phrase", ASKS.values(), ids=ASKS)
def test_a_want_of_an_older_crib_is_bought_as_what_it_is(shop: Session, phrase: str) -> None:
    specs = miss(shop, phrase)
    rows = json.loads(shop.value("SELECT missing FROM want"))
    for row in rows:
        del row["specification"]
    change(shop, "UPDATE want SET missing = ?", json.dumps(rows))
    lines = plan(shop).lines
    assert [of_design(line.spec) for line in lines] == [of_design(spec) for spec in specs]
    assert [line.gaps for line in lines] == [()] * len(specs)


def test_the_key_of_a_lone_tool_that_an_older_crib_wanted_is_that_of_the_other_half(
    shop: Session,
) -> None:
    row = {"role": "die", "shape": "obround", "width_mm": 21.43, "long_mm": 29.37, "seat": "A"}
    add_piece(
        shop,
        "P-1",
        add_kind(shop, role="punch", shape="obround", width="13/16", long="1-1/8",
                 seat_id=seat(shop), key_angles="45"),
    )  # fmt: skip
    want(shop, [row], ASKS["shaped pair"])
    line = only(plan(shop))
    assert (line.spec.key_angles, line.gaps) == ((45,), ())
    other = {"shape": "obround", "width": "13/16", "long": "1-1/8", "key_angles": "90"}
    add_piece(shop, "P-2", add_kind(shop, role="punch", seat_id=seat(shop), **other))
    assert only(plan(shop)).gaps == ("the key angle to the throat",)


def test_an_older_want_whose_words_cannot_be_read_says_what_it_lacks(shop: Session) -> None:
    row = {"role": "set", "shape": "round", "width_mm": 38.1, "long_mm": 38.1, "seat": "A"}
    want(shop, [row], "a saddle of the old book")
    line = only(plan(shop))
    assert line.gaps == ("what it is made for",)
    made = order(shop)
    assert made.gaps == ((1, "what it is made for"),)
    assert [shown.gaps for shown in show_orders(shop).orders] == [made.gaps]


def shelve(shop: Session, tag: str, spec: ToolSpec) -> None:
    """A piece of a kind that is made so."""
    with shop.writing():
        kind_id = add_kind_of(shop, f"kind of {tag}", spec)
    add_piece(shop, tag, kind_id, place="A1")


def other_tools(spec: ToolSpec) -> Iterator[ToolSpec]:
    """Tools that agree with a set in role, outline, seat and width, but not in all."""
    yield replace(spec, profile="tube" if spec.profile == "saddle" else "saddle", envelope=())
    if spec.depth_mm:
        yield replace(spec, depth_mm=0.8 * spec.depth_mm)
        yield replace(spec, depth_mm=0.8 * spec.depth_mm, envelope=())
    if spec.angle_deg:
        yield replace(spec, angle_deg=spec.angle_deg + 20)
    if spec.header_mm:
        yield replace(spec, header_mm=1.5 * spec.header_mm)
        yield replace(spec, header_mm=None)
    if spec.most_wall_mm:
        yield replace(spec, most_wall_mm=0.8 * spec.most_wall_mm, least_wall_mm=None)
    if spec.envelope:
        (point,) = spec.envelope
        yield replace(spec, envelope=(replace(point, thickness_mm=0.8 * point.thickness_mm),))
        yield replace(spec, envelope=(), rated_force_n=1000.0)
    if spec.work_length_mm:
        yield replace(spec, work_length_mm=0.8 * spec.work_length_mm)
    if spec.key_angles:
        yield replace(spec, key_angles=(45,))


@pytest.mark.parametrize("phrase", SETS.values(), ids=SETS)
def test_only_a_tool_with_which_find_serves_is_what_was_wanted(shop: Session, phrase: str) -> None:
    """No other tool of that role, outline and width is taken for it, on the shelf or coming."""
    specs = miss(shop, phrase)
    for number, other in enumerate(other_tools(specs[0])):
        shelve(shop, f"T-{number}", other)
        answer = ask(shop, phrase)
        assert not [pick for pick in answer.picks if pick.plan is None]
        assert not [line.kind for line in answer.order if line.kind]
        found = plan(shop)
        assert {line.kind for line in found.lines} == {None}, other
        coming = spec_text(other)
        insert(shop, OrderLineRecord, text="1 tool", quantity=1, specification=coming)
        assert [line.spec for line in plan(shop).lines] == [line.spec for line in found.lines]


def test_the_shallow_notch_set_is_not_what_the_deep_notch_needs(shop: Session) -> None:
    """4 in wide in the same seat, but 4 in deep: find orders another, and so does buy."""
    (spec,) = miss(shop, NOTCH)
    shelve(shop, "N-1", replace(spec, depth_mm=mm_from_inches(4)))
    (line,) = ask(shop, NOTCH).order
    assert line.kind is None
    bought = only(plan(shop))
    assert bought.spec.depth_mm == pytest.approx(mm_from_inches(5))
    assert "at least 5 in deep" in bought.text


def test_a_set_that_reaches_further_is_what_was_wanted(shop: Session) -> None:
    (spec,) = miss(shop, NOTCH)
    shelve(shop, "N-1", replace(spec, depth_mm=mm_from_inches(6)))
    assert ask(shop, NOTCH).serves
    assert plan(shop).lines == ()


def test_a_saddle_set_is_bought_with_nest_header_and_walls(shop: Session) -> None:
    miss(shop, ASKS["tube saddle"])
    line = only(plan(shop))
    assert line.text == (
        "1 saddle set, both halves matched, nest 1.500 in for 1-1/2 tube, cut radius 0.750 in for"
        " a header 1.500 in outside (1-1/2 tube), square, axes meeting, walls up to 0.120 in, say"
        " the thinnest it takes, seat A: die OD 54 mm (2.126 in), height 29 mm (1.142 in), to cut"
        " A36 in 2 strokes of 7.2 US tons, for Ironworker 1 / saddle, our job 24-1"
    )
    assert line.as_json()["specification"]["header_mm"] == 38.1


def test_a_vee_that_was_judged_by_a_certificate_is_bought_without_it(shop: Session) -> None:
    facts = Circumstances(quantity=60, cert_tensile_mpa=400.0)
    found = find(shop, "bend 10 x 1/4 at 90 Galvanized", facts, now=LATER)
    assert of_design(only(plan(shop)).spec) == of_design(found.order[0].spec)
    shelve(shop, "V-1", found.order[0].spec)
    assert plan(shop).lines == ()


def test_a_set_of_another_seat_that_came_since_serves(shop: Session) -> None:
    (spec,) = miss(shop, ASKS["tube saddle"])
    other = add_seat(shop, "B")
    station = shop.value("SELECT id FROM station WHERE does = 'saddle'")
    insert(shop, StationSeatRecord, station_id=station, seat_id=other)
    assert len(plan(shop).lines) == 1
    shelve(shop, "N-1", replace(spec, seat_name="B"))
    assert ask(shop, ASKS["tube saddle"]).serves
    assert plan(shop).lines == ()


def test_what_is_kept_for_another_material_is_not_what_was_wanted(shop: Session) -> None:
    (spec,) = miss(shop, NOTCH)
    shelve(shop, "N-1", spec)
    assert plan(shop).lines == ()
    change(shop, "UPDATE piece SET dedicated_to = 'stainless'")
    assert not ask(shop, NOTCH).serves
    assert only(plan(shop)).kind is None
    made = order(shop)
    assert [line.kind for line in made.card.lines] == ["kind of N-1"]
    assert plan(shop).lines == ()
    receive(shop, Delivery(made.card.number, place="A1"), now=LATER)
    assert ask(shop, NOTCH).serves
    assert plan(shop).lines == ()


def test_a_set_is_for_the_stations_that_do_its_work(shop: Session) -> None:
    miss(shop, NOTCH)
    assert only(plan(shop)).spec.for_station == "Ironworker 1 / notch"


def test_two_depths_of_one_width_are_two_lines(shop: Session) -> None:
    for depth in (5, 4, 6):
        miss(shop, f"notch 4 x {depth} thru 1/4 A36")
    deep = sorted(line.spec.depth_mm or 0.0 for line in plan(shop).lines)
    assert deep == [mm_from_inches(5), mm_from_inches(6)]


def test_two_thicknesses_are_one_line_that_must_be_proven_for_both(shop: Session) -> None:
    miss(shop, NOTCH)
    miss(shop, "notch 4 x 5 thru 3/8 A36")
    line = only(plan(shop))
    assert [point.thickness_mm for point in line.spec.envelope] == [6.35, 9.525]
    proven = "4 in by 1/4 in A36 to 5 in deep and 4 in by 3/8 in A36 to 5 in deep"
    assert f"at least {proven}" in line.text


def test_what_was_ordered_as_proven_is_to_be_seen_on_its_own_list(shop: Session) -> None:
    miss(shop, NOTCH)
    miss(shop, ASKS["picket"])
    made = order(shop)
    notes = receive(shop, Delivery(made.card.number, place="A1"), now=LATER).notes
    assert [str(note) for note in notes] == [
        "line 2 was ordered as proven for 4 in by 1/4 in A36 to 5 in deep: see that the list that"
        " came with it says so"
    ]


def test_what_is_on_its_way_for_thinner_plate_does_not_serve_thicker(shop: Session) -> None:
    miss(shop, NOTCH)
    order(shop)
    miss(shop, "notch 4 x 5 thru 3/8 A36", "24-2")
    line = only(plan(shop))
    assert (line.kind, line.spec.for_thickness_mm) == (None, 9.525)
    order(shop)
    assert [len(spec.envelope) for spec in kinds(shop)] == [1, 1]
    assert plan(shop).lines == ()


def test_an_order_without_a_kind_becomes_one_when_it_comes(shop: Session) -> None:
    (spec,) = miss(shop, NOTCH)
    order(shop)
    change(shop, "UPDATE order_line SET kind_id = NULL")
    change(shop, "DELETE FROM envelope_point")
    change(shop, "DELETE FROM kind")
    assert plan(shop).lines == ()
    receive(shop, Delivery(show_orders(shop).orders[0].card.number, place="A1"), now=LATER)
    assert [of_design(kind) for kind in kinds(shop)] == [of_design(spec)]
    assert ask(shop, NOTCH).serves


def test_a_line_of_an_older_crib_without_a_kind_brings_no_piece(shop: Session) -> None:
    miss(shop, NOTCH)
    order(shop)
    change(shop, "UPDATE order_line SET kind_id = NULL, specification = ''")
    (shown,) = show_orders(shop).orders
    assert (shown.card.lines[0].spec, shown.gaps) == (None, ())
    assert len(plan(shop).lines) == 1
    came = receive(shop, Delivery(shown.card.number), now=LATER)
    assert came.lines[0].tags == ()


def test_what_is_kept_for_a_material_is_received_so(shop: Session) -> None:
    kind = add_kind(shop, role="punch", width="1/2", seat_id=seat(shop), least_count=2)
    add_piece(shop, "P-1", kind, dedicated_to="stainless")
    made = order(shop)
    receive(shop, Delivery(made.card.number), now=LATER)
    rows = shop.rows("SELECT dedicated_to FROM piece")
    assert [row[0] for row in rows] == ["stainless", "stainless"]


def test_a_gap_stands_on_every_paper_of_the_order(shop: Session, tmp_path: Path) -> None:
    """A kind of saddle set of which nobody entered the header."""
    columns: dict[str, Any] = {
        "shape": "round",
        "profile": "saddle",
        "seat_id": seat(shop),
        "least_count": 1,
    }
    add_kind(shop, role="set", width="1-1/2", name="our saddle set", **columns)
    gaps = ("the outside of the header", "the walls it takes")
    found = plan(shop)
    assert only(found).gaps == gaps
    write_order_sheet(found, tmp_path / "lines.csv")
    order(shop)
    orders = show_orders(shop, now=LATER)
    assert orders.orders[0].as_json()["lines"][0]["gaps"] == list(gaps)
    for name in ("order.csv", "order.xlsx"):
        write_order_file(shop, orders, tmp_path / name)
    for name in ("lines.csv", "order.csv"):
        with (tmp_path / name).open(encoding="utf-8-sig", newline="") as file:
            head, row = csv.reader(file)
        assert dict(zip(head, row, strict=True))["to be settled"] == "; ".join(gaps)
    sheet = load_workbook(tmp_path / "order.xlsx").worksheets[0]
    assert list(sheet.iter_rows(values_only=True))[1][-1] == "; ".join(gaps)


def test_a_kind_that_lists_more_serves_and_one_that_lists_less_does_not(shop: Session) -> None:
    (spec,) = miss(shop, NOTCH)
    shelve(shop, "N-1", replace(spec, envelope=()))
    listed = {"operation": "notch", "size_mm": 101.6, "thickness_mm": 3.0}
    kind_id = shop.value("SELECT id FROM kind")
    insert(shop, EnvelopePointRecord, kind_id=kind_id, **listed)
    assert (ask(shop, NOTCH).serves, len(plan(shop).lines)) == (False, 1)
    insert(shop, EnvelopePointRecord, kind_id=kind_id, **listed | {"thickness_mm": 7.0})
    assert (ask(shop, NOTCH).serves, len(plan(shop).lines)) == (True, 0)
