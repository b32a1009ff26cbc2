"""What is taken in is found by an ask, or the crib's check lists it and says why."""

from __future__ import annotations

import csv
import json
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crib import words
from crib.desk.answer.find import find
from crib.desk.book.check import check_crib
from crib.desk.book.new_crib import new_crib
from crib.desk.book.reach import unreached
from crib.desk.tables.import_tables import take_in
from crib.errors import BadRows
from crib.features.common.asked_tool import AskedTool
from crib.features.common.case import Circumstances
from crib.features.common.plate_phrase import Reading
from crib.features.registry import asked_tools, read_phrase
from crib.files.tables.template import write_template
from crib.stock.book.settings import shop_rules
from crib.stock.engine.opening import open_crib
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
from crib.stock.tables.all_tables import EnvelopePointRecord
from tests.desk.every_work import ASKS, bare_shop
from tests.desk.tables.test_import_tables import folder, values
from tests.shop import add_kind, add_piece, add_seat, add_station, insert

SHEARS = {
    "flat": "flat_shear",
    "plate": "plate_shear",
    "angle": "angle_shear",
    "round": "bar_shear",
    "square": "bar_shear",
    "channel": "channel_shear",
}
CUTS = {
    "flat": "cut flat 50mm x 5mm",
    "plate": "cut plate 50mm x 5mm",
    "angle": "cut angle 50mm x 50mm x 5mm",
    "round": "cut round 12mm",
    "square": "cut square 12mm",
    "channel": "cut channel 80mm x 40mm x 5mm",
}


def every_shop(path: Path) -> Session:
    """A shop that does every sort of work, every shear with a station of its own."""
    session = bare_shop(path)
    for work in dict.fromkeys(SHEARS.values()):
        add_station(session, "Ironworker 1", work, 5e6, [], does=work)
    add_seat(session, "B")
    return session


def ask_of(kind: dict[str, Any]) -> str | None:
    """The ask that should find a tool, from its row alone; None where nobody would ask for it."""
    size, long, shape = kind["size"] or 0.0, kind["long"] or 0.0, kind["shape"]
    size_in = size - 0.4 if kind["role"] == "die" else size
    long_in = long - 0.4 if kind["role"] == "die" else long
    wall = kind["most wall"] or 2.0
    match (kind["role"], kind["made for"], shape):
        case ("punch" | "die", _, "round"):
            return f"hole {size_in}mm thru 4mm A36"
        case ("punch" | "die", _, "square" | "hexagon"):
            return f"{shape} {size_in}mm thru 4mm A36"
        case ("punch" | "die", _, "rectangle" | "obround"):
            word = {"obround": "slot"}.get(shape, shape)
            return f"{word} {size_in}mm x {long_in}mm thru 4mm A36" if long > size else None
        case ("set", "notch", _):
            return f"notch {size}mm x {kind['depth'] or size}mm thru 4mm A36"
        case ("set", "vee", _):
            return f"vee {size}mm thru 4mm A36 at {kind['angle'] or 90}"
        case ("set", "corner", _):
            return f"corner {size}mm x {kind['depth'] or size}mm thru 4mm A36"
        case ("set", "saddle", _):
            return f"saddle {size}mm tube {wall}mm wall onto {kind['header'] or size}mm tube A36"
        case ("set", "tube", "rectangle"):
            return f"cut tube {size}mm x {long}mm x {wall}mm A36" if long > size else None
        case ("set", "tube", _):
            return f"cut tube {'round ' if shape == 'round' else ''}{size}mm x {wall}mm A36"
        case ("set", "picket", _):
            return f"point {'round ' if shape == 'round' else ''}{size}mm A36"
        case ("brake_tool", _, _):
            return f"bend 20mm x {size / 8}mm at 90 A36"
        case ("blade", made_for, _):
            return CUTS.get(made_for)
    return None


def named(session: Session, phrase: str) -> tuple[set[str], set[str]]:
    """Every tag that an answer names, be it as what came nearest; and those that it picks."""
    answer = find(session, phrase, Circumstances(), record=False).as_json()
    every = {row[0] for row in session.rows("SELECT tag FROM piece")}
    whole, picks = (json.dumps(one, default=str) for one in (answer, answer["picks"]))
    beside = {tag for tag in every if f"with {tag} " in whole}
    return {tag for tag in every if f'"{tag}"' in whole} | beside, {
        tag for tag in every if f'"{tag}"' in picks
    }


def blank_or(values: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    """A cell that is empty as often as not."""
    return st.one_of(st.just(""), values)


FIGURES = ("shape", "size", "long", "depth", "angle", "header", "most wall", "seat")


def likely(one: AskedTool, random: dict[str, str], odd: str | None) -> dict[str, str]:
    """A row such as a shop would write for a sort of tool, with at most one odd cell."""
    whole = {
        "role": one.role.replace("_", " "),
        "made for": one.profile,
        "shape": one.shapes[-1] if len(one.shapes) > 1 or one.role in ("punch", "die") else "",
        "size": random["size"] or "25 mm",
        "long": "50 mm" if one.shapes in (("rectangle",), ("obround",)) and not one.profile else "",
        "depth": "30 mm" if one.profile in ("notch", "corner") else "",
        "angle": "90" if one.profile == "vee" else "",
        "header": "48 mm" if one.profile == "saddle" else "",
        "least wall": "1 mm" if one.profile == "tube" else "",
        "most wall": "3 mm" if one.profile in ("tube", "saddle") else "",
        "work length": "300 mm" if one.role == "brake_tool" else "",
        "seat": "A",
        "presents seat": "",
    }
    return random | whole | ({odd: random[odd]} if odd else {})


MM = st.integers(16, 48).map(lambda mm: f"{mm} mm")
KIND = st.fixed_dictionaries(
    {
        "role": st.sampled_from([role.replace("_", " ") for role in words.ROLES]),
        "shape": blank_or(st.sampled_from(words.SHAPES)),
        "size": blank_or(MM),
        "long": blank_or(MM),
        "made for": blank_or(st.sampled_from(words.PROFILES)),
        "depth": blank_or(MM),
        "angle": st.sampled_from(("", "60", "90")),
        "header": blank_or(MM),
        "least wall": st.sampled_from(("", "1 mm")),
        "most wall": st.sampled_from(("", "3 mm")),
        "work length": st.sampled_from(("", "300 mm")),
        "seat": st.sampled_from(("", "A", "A", "B")),
        "presents seat": st.sampled_from(("", "A", "B")),
        "rated force": st.sampled_from(("", "300 kN")),
    }
)
LIKELY = st.tuples(st.sampled_from(asked_tools()), KIND, st.sampled_from((None, *FIGURES))).map(
    lambda drawn: likely(*drawn)
)
KEPT_FOR = st.sampled_from(("", "", "mild", "Mild", "A36", "304", "Stainless", "banana"))


def written(path: Path, kind: dict[str, str], kept_for: str, place: str) -> Path:
    """A folder with one kind and one piece of it."""
    path.mkdir()
    tables = {
        "kinds": {"name": "it", **kind},
        "pieces": {"tag": "X-1", "kind": "it", "drawer": place, "dedicated to": kept_for},
    }
    for name, row in tables.items():
        with (path / f"{name}.csv").open("w", encoding="utf-8", newline="") as file:
            writer = csv.DictWriter(file, list(row))
            writer.writeheader()
            writer.writerow(row)
    return path


@settings(max_examples=150, deadline=None)
@given(kind=st.one_of(KIND, LIKELY, LIKELY), kept_for=KEPT_FOR, mounted=st.booleans())
def test_what_is_taken_in_is_found_by_an_ask_or_listed(
    kind: dict[str, str], kept_for: str, mounted: bool
) -> None:
    with TemporaryDirectory() as temporary, closing(every_shop(Path(temporary) / "s.crib")) as shop:
        work = SHEARS.get(kind["made for"], "") if kind["role"] == "blade" else ""
        place = f"Ironworker 1 / {work}" if work and mounted else "A1"
        try:
            take_in(shop, written(Path(temporary) / "in", kind, kept_for, place), by="")
        except BadRows:
            return
        (row,) = values(shop, "kinds")
        is_listed = any("X-1" in one.what for one in unreached(shop))
        phrase = ask_of(row) or ask_through(shop, row)
        told: tuple[set[str], set[str]] = (set(), set())
        if phrase is not None:
            family = piece_by_tag(shop, "X-1").dedicated_to
            phrase = phrase.replace("A36", "304") if family == "stainless" else phrase
            add_partner(shop, row)
            told = named(shop, phrase)
        assert "X-1" in told[0] or is_listed, (row, phrase)
        assert not (is_listed and "X-1" in told[1]), (row, phrase)


def ask_through(shop: Session, row: dict[str, Any]) -> str | None:
    """The ask for a tool that only an adapter seats, which is put on the shelf for it."""
    seat = shop.value("SELECT id FROM seat WHERE name = ?", (row["presents seat"],))
    own = shop.value("SELECT id FROM seat WHERE name = ?", (row["seat"],))
    if row["role"] == "attachment":
        notch: dict[str, Any] = {
            "shape": "rectangle",
            "profile": "notch",
            "depth_mm": 50.0,
            "name": "notch",
        }
        add_piece(shop, "S-1", add_kind(shop, role="set", width="2", seat_id=seat, **notch))
        return "notch 2 x 1 thru 1/8 A36"
    sides = {"punch_adapter": ("punch", "1"), "die_adapter": ("die", "1-1/32")}
    if row["role"] not in sides:
        return None
    for role, width in sides.values():
        through = role == sides[row["role"]][0]
        kind = add_kind(shop, role=role, width=width, seat_id=seat if through else own)
        add_piece(shop, role.upper(), kind, place="A1")
    return "hole 1 thru 1/4 A36"


def add_partner(shop: Session, row: dict[str, Any]) -> None:
    """Put the punch beside a lone die, for half a pair punches nothing."""
    if row["role"] == "die":
        size = f"{row['size'] - 0.4:.3f}mm"
        long = f"{row['long'] - 0.4:.3f}mm" if row["long"] else ""
        seat = shop.value("SELECT id FROM seat WHERE name = ?", (row["seat"],))
        kind = add_kind(
            shop, role="punch", width=size, long=long, shape=row["shape"], seat_id=seat, name="p"
        )
        add_piece(shop, "P-1", kind, place="A1")


@pytest.mark.parametrize("unit", ["in", "mm"])
def test_every_worked_row_of_the_template_is_found_or_an_accessory(
    unit: str, tmp_path: Path
) -> None:
    write_template(tmp_path / "t", "in" if unit == "in" else "mm")
    for path in (tmp_path / "t").glob("*.csv"):
        path.write_text(path.read_text("utf-8").replace("EXAMPLE ", ""), encoding="utf-8")
    new_crib(tmp_path / "shop.crib", unit=unit)
    with closing(open_crib(tmp_path / "shop.crib")) as shop:
        take_in(shop, tmp_path / "t", by="")
        rows = {row["name"]: row for row in values(shop, "kinds")}
        assert {row["role"] for row in rows.values()} == set(words.ROLES)
        sorts = {(row["role"], row["made for"]) for row in rows.values()}
        assert sorts >= {(one.role, one.profile) for one in asked_tools() if not one.mounted}
        ids = {row[1]: row[0] for row in shop.rows("SELECT id, name FROM kind")}
        for number, (name, row) in enumerate(rows.items()):
            place = "Ironworker 1 / flat shear" if row["role"] == "blade" else "K1"
            add_piece(shop, f"X-{number}", ids[name], place=place)
        listed = {tag for one in unreached(shop) for tag in one.what}
        accessories = [n for n, row in enumerate(rows.values()) if ask_of(row) is None]
        joins = ("punch_adapter", "die_adapter", "attachment")
        for number, row in enumerate(rows.values()):
            phrase = ask_of(row)
            if phrase is not None:
                add_partner(shop, row)
                assert f"X-{number}" in named(shop, phrase)[0], (row["name"], phrase)
            elif row["role"] not in joins:
                assert f"X-{number}" in listed, row["name"]
        assert len(accessories) == 6


def test_every_need_of_a_feature_is_a_sort_of_tool_that_it_declares() -> None:
    with TemporaryDirectory() as temporary, closing(bare_shop(Path(temporary) / "s")) as shop:
        rules = shop_rules(shop)
    declared = {
        (one.role, one.profile, one.work): one.shapes for one in asked_tools() if not one.mounted
    }
    shapes = {(one.role, one.profile, s) for one in asked_tools() for s in one.shapes}
    phrases = [*ASKS.values(), *HOLES, "point round 5/8", "cut tube round 1 x 0.083"]
    for phrase in (*phrases, *CUTS.values()):
        ask = read_phrase(phrase, Reading(rules))
        answers = ask.answers(rules, Circumstances())
        for need in answers.needs():
            assert (need.role, need.profile, ask.work) in declared
            assert (need.role, need.profile, need.shape) in shapes
        if answers.mounted_need is not None:
            role, profile = answers.mounted_need
            assert any(
                (one.role, one.profile, one.work, one.mounted) == (role, profile, ask.work, True)
                for one in asked_tools()
            )


HOLES = (
    "hole 13/16 thru 3/8",
    "square 1/2 thru 1/4",
    "rectangle 1 x 1/2 thru 1/4",
    "hexagon 5/8 thru 1/4",
    "slot 13/16 x 2 thru 3/8",
    "bolt 3/4 oversize thru 1/4",
)


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    with closing(every_shop(tmp_path / "shop.crib")) as session:
        yield session


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        ("flat", "cut flat"),
        ("Cut Flats", "cut flat"),
        ("flat bar", "cut flat"),
        ("angle iron", "cut angle"),
        ("shear plate", "cut plate"),
        ("notching", "notch"),
        ("V-notch", "vee"),
        ("bending", "bend"),
    ],
)
def test_an_operation_spelt_otherwise_is_the_one_that_is_meant(
    shop: Session, tmp_path: Path, typed: str, kept: str
) -> None:
    text = f"station,operation,size,thickness\nIronworker 1 / notch,{typed},4,3/8\n"
    take_in(shop, folder(tmp_path / "in", {"envelopes": text}), by="")
    assert [row["operation"] for row in values(shop, "envelopes")] == [kept]
    again = take_in(shop, tmp_path / "in", by="").tables["envelopes"]
    assert (again.added, again.already) == (0, 1)


@pytest.mark.parametrize(
    ("table", "text", "says"),
    [
        ("envelopes", "station,operation,size,thickness\nIronworker 1 / notch,drill,4,1", "drill"),
        ("pieces", "tag,kind,dedicated to\nX-1,it,banana", "'banana' is no family of materials"),
        ("kinds", "name,role,shape,size,seat\nx,set,square,2,A", "reach.made-for"),
        ("kinds", "name,role,made for,shape,size,seat\nx,set,notch,round,2,A", "reach.shape"),
        ("kinds", "name,role,made for,size,seat\nx,set,tube,2,A", "reach.shape"),
        ("kinds", "name,role,made for,seat\nx,set,notch,A", "reach.size"),
        ("kinds", "name,role,made for,size\nx,brake tool,vee die,2", "reach.seat"),
        ("kinds", "name,role,made for,shape,size,seat\nx,punch,round,round,2,A", "reach.made-for"),
        ("kinds", "name,role,shape,size\nx,punch,round,1", "reach.seat"),
        ("kinds", "name,role,shape,size,long,seat\nx,punch,obround,1,1,A", "reach.long"),
        ("kinds", "name,role,seat\nx,attachment,A", "presents seat"),
    ],
)
def test_what_no_question_would_know_is_demanded(
    shop: Session, tmp_path: Path, table: str, text: str, says: str
) -> None:
    add_kind(shop, role="punch", width="1", seat_id=1, name="it")
    with pytest.raises(BadRows) as caught:
        take_in(shop, folder(tmp_path / "in", {table: text + "\n"}), by="")
    assert says in " ".join(str(fault) for fault in caught.value.faults)


def test_a_price_of_a_tool_that_was_there_is_changed_without_its_seat(
    shop: Session, tmp_path: Path
) -> None:
    add_kind(shop, role="set", width="1", name="old set", shape="")
    text = "name,role,price\nold set,set,99.00\n"
    taken = take_in(shop, folder(tmp_path / "in", {"kinds": text}), by="", update=True)
    assert taken.tables["kinds"].changed == 1


def test_check_lists_what_an_older_crib_holds_and_why(shop: Session) -> None:
    add_piece(shop, "S-1", add_kind(shop, role="set", width="1", name="old set"), place="A1")
    away = add_kind(shop, role="punch", width="1", seat_id=2, name="B punch")
    add_piece(shop, "P-2", away, place="A1")
    good = add_kind(shop, role="punch", width="1", seat_id=1, name="A punch")
    add_piece(shop, "P-3", good, place="A1", dedicated_to="304")
    add_piece(shop, "P-4", good, place="A1")
    point = {"size_mm": 100.0, "thickness_mm": 10.0, "station_id": 2}
    insert(shop, EnvelopePointRecord, operation="Notch it", **point)
    insert(shop, EnvelopePointRecord, operation="cut flat", **point)
    report = check_crib(shop)
    assert report.sound
    assert {(one.reason.code, one.what) for one in report.unreached} == {
        ("reach.made-for", ("S-1",)),
        ("reach.no-seat", ("P-2",)),
        ("reach.kept-for", ("P-3",)),
        ("reach.operation", ("Ironworker 1 / notch",)),
        ("reach.other-work", ("Ironworker 1 / notch",)),
    }
