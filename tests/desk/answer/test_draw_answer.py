"""The first pick is drawn, or the nearest miss under a title that nobody can take for a pick."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import pytest

from crib.desk.answer.draw_answer import (
    NOT_A_PICK,
    draw_found,
    drawing_place,
    picture_of,
    screen_drawing,
)
from crib.errors import BadInput, Missing, Refused
from crib.features.common.picture import Dimension
from crib.features.common.speech import Speech
from crib.features.holes.distance_picture import distance_shapes
from crib.features.holes.distances import Distance, Distances
from crib.stock.engine.session import Session
from crib.trade.metal.shapes import Outline
from crib.trade.shop.shop_rules import Rules
from tests.desk.asks import ask, rule
from tests.shop import small_shop

HOLE = "hole 13/16 thru 3/8 A36"


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    made = small_shop(tmp_path / "shop.crib")
    yield made
    made.close()


def words(path: Path) -> str:
    """Every text of an SVG in one line."""
    root = ElementTree.parse(path).getroot()
    return " ".join(one.text or "" for one in root.iter() if one.tag.endswith("}text"))


def test_the_first_pick_is_drawn_with_what_was_asked(shop: Session, tmp_path: Path) -> None:
    place = tmp_path / "hole.svg"
    found = draw_found(shop, ask(shop, HOLE, quantity=300, job="J-1"), place)
    said = words(place)
    assert f"{HOLE}, 300 of them, job J-1" in said
    assert "Lock the power out" in said
    assert NOT_A_PICK not in said
    assert found.drawing == str(place)
    assert found.notes[-1] == f"drawn in {place}"
    assert found.as_json()["drawing"] == str(place)


@pytest.mark.parametrize(("unit", "sheet"), [("mm", "A4"), ("in", "Letter")])
def test_the_sheet_goes_with_the_unit(shop: Session, tmp_path: Path, unit: str, sheet: str) -> None:
    rule(shop, "crib.unit", unit)
    place = tmp_path / "hole.svg"
    draw_found(shop, ask(shop, "hole 20.6375mm thru 9.525mm A36"), place)
    wide = ElementTree.parse(place).getroot().get("width")
    assert wide == {"A4": "842pt", "Letter": "792pt"}[sheet]


def test_the_nearest_miss_says_so_and_why(shop: Session, tmp_path: Path) -> None:
    place = tmp_path / "miss.svg"
    found = draw_found(shop, ask(shop, "hole 13/16 thru 1 A514"), place)
    said = words(place)
    assert not found.serves
    assert f"{NOT_A_PICK} (nearest miss)" in said
    assert "STOP, " in said


def test_the_method_of_the_code_stands_under_the_picture(shop: Session) -> None:
    picture = picture_of(ask(shop, "bolt 3/4 thru 3/8", code="AISC 360"))
    assert picture is not None
    assert any(
        note.startswith("Method by AISC 360: punching it full size is allowed")
        for note in picture.notes
    )


def test_an_ask_that_no_piece_comes_near_is_not_drawn(shop: Session, tmp_path: Path) -> None:
    place = tmp_path / "none.pdf"
    asked = ask(shop, "hexagon 1 thru 3/8")
    found = draw_found(shop, replace(asked, near_misses=()), place)
    assert found.notes[-1] == "nothing was drawn: no piece comes near"
    assert found.as_json()["drawing"] is None
    assert not place.exists()


@pytest.mark.parametrize(
    ("name", "error", "match"),
    [
        ("hole.png", BadInput, "a drawing ends in"),
        ("there.svg", Refused, "is there already"),
        ("none/hole.svg", Missing, "there is no folder"),
    ],
)
def test_a_place_is_refused_before_anything_is_asked(
    tmp_path: Path, name: str, error: type[BadInput], match: str
) -> None:
    (tmp_path / "there.svg").write_text("mine")
    with pytest.raises(error, match=match):
        drawing_place(str(tmp_path / name))


def test_the_distances_of_a_hole_stand_in_its_picture(shop: Session) -> None:
    picture = picture_of(ask(shop, f"{HOLE} edge 1-1/4 end 2 pitch 3"))
    assert picture is not None
    told = [one.text for one in picture.shapes if isinstance(one, Dimension)]
    assert {"edge 1-1/4 in", "end 2 in", "pitch 3 in"} <= set(told)


def test_a_caution_stands_under_the_picture(shop: Session) -> None:
    picture = picture_of(ask(shop, f"{HOLE} edge 7/8"))
    assert picture is not None
    assert any(note.startswith("CAUTION, metal to edge: ") for note in picture.notes)
    assert any(note.startswith("force: 24.4 US tons") for note in picture.notes)


def test_a_long_hole_has_no_distances_in_its_picture() -> None:
    slot = Outline("obround", 20.0, 50.0)
    distances = Distances(edge=Distance(40.0))
    assert distance_shapes(slot, distances, Speech(Rules.defaults())) == ()


def test_a_screen_shows_the_pick_that_is_looked_at(shop: Session) -> None:
    found = ask(shop, HOLE)
    drawing = ElementTree.fromstring(screen_drawing(found, found.picks[0]))
    assert "dia. 13/16 in" in {one.text for one in drawing.iter()}
