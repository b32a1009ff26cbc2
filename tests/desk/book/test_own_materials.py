"""Materials of the shop's own, from adding one to phrases, lists, certificates and files."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from crib.desk.book.own_materials import NewMaterial, add_material, list_materials
from crib.errors import BadInput, BadValue, UnknownName
from crib.stock.book.settings import set_rule, shop_rules
from crib.stock.engine.session import Session
from tests.desk.asks import ask, rule
from tests.desk.rows import nothing_changes
from tests.shop import small_shop

X400 = NewMaterial("X 400", "hsla", "500MPa", "640MPa", "EN 10149-2", ("Grade X",))


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    session = small_shop(tmp_path / "shop.crib")
    yield session
    session.close()


def test_one_that_was_added_is_read_in_phrases_and_judged(shop: Session) -> None:
    add_material(shop, X400, "job 24-118", by="nights")
    for phrase in ("hole 13/16 thru 3/8 X400", "hole 13/16 thru 3/8 grade x for 30"):
        found = ask(shop, phrase)
        assert found.phrase == "hole 13/16 thru 3/8 X 400"
        assert found.answers.case.plate.material.multiplier == pytest.approx(1.458)
    with pytest.raises(BadValue, match=r"outside 65 ksi to 102 ksi, what X 400 can have"):
        ask(shop, "hole 13/16 thru 3/8 X400", cert_tensile_mpa=400.0)


def test_it_may_be_what_is_meant_when_none_is_named(shop: Session) -> None:
    add_material(shop, X400, "job 24-118", by="nights")
    rule(shop, "material.default", "x400")
    assert ask(shop, "hole 13/16 thru 3/8").phrase.endswith("X 400")
    assert shop_rules(shop).text("material.default") == "X 400"


def test_adding_is_in_the_ledger_with_who_and_why(shop: Session) -> None:
    (line,) = add_material(shop, X400, "job 24-118", by="nights").materials
    assert (line.own, line.who, line.why) == (True, "nights", "job 24-118")
    note = shop.value("SELECT note FROM entry WHERE action = 'rule'")
    assert note == "material X 400: 500 to 640 MPa, x 1.458; job 24-118"


def test_the_same_name_again_changes_it(shop: Session) -> None:
    add_material(shop, X400, "job 24-118", by="nights")
    add_material(shop, replace(X400, multiplier=1.6), "measured", by="bench 2")
    (line,) = list_materials(shop, "X400").materials
    assert (line.multiplier, line.who) == (1.6, "bench 2")
    assert len([one for one in list_materials(shop).materials if one.own]) == 1


@pytest.mark.parametrize(
    ("changes", "by", "why", "said"),
    [
        ({}, "", "job", "nobody's name given"),
        ({}, "nights", " ", "no reason given"),
        ({"name": "A36"}, "nights", "job", "is A36, which the table has"),
        ({"name": "edge 2"}, "nights", "job", "reads as something else"),
        ({"name": "for 3"}, "nights", "job", "reads as something else"),
        ({"aliases": ("ss304",)}, "nights", "job", "is 304, which the table has"),
        ({"tensile": "500"}, "nights", "job", "it needs a unit"),
        ({"upper": ""}, "nights", "job", "no upper tensile strength"),
    ],
)
def test_what_cannot_be_a_material_is_refused_whole(
    shop: Session, changes: dict[str, object], by: str, why: str, said: str
) -> None:
    with nothing_changes(shop), pytest.raises(BadInput, match=said):
        add_material(shop, replace(X400, **changes), why, by=by)  # type: ignore[arg-type]


def test_two_of_the_shops_own_share_no_name(shop: Session) -> None:
    add_material(shop, X400, "job", by="nights")
    with nothing_changes(shop), pytest.raises(BadValue, match=r"'grade x' is X 400"):
        add_material(shop, replace(X400, name="Y 7", aliases=("grade x",)), "job", by="nights")


def test_it_has_no_rules_of_the_table_and_others_are_unknown(shop: Session) -> None:
    add_material(shop, X400, "job", by="nights")
    with pytest.raises(UnknownName, match="unknown material 'X 400'"):
        set_rule(shop, None, "material.X 400.multiplier", "1.5", "x")  # type: ignore[arg-type]
    with pytest.raises(UnknownName, match="unknown material 'X 500'"):
        list_materials(shop, "X 500")
