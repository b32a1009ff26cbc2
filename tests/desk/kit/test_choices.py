"""A kit is chosen anew from the same wishes each time, and no copy is given twice."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import FrozenInstanceError
from pathlib import Path

import pytest

from crib.desk.kit.choices import choose
from crib.desk.kit.wishes import read_wishes
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
from tests.desk.kitting import FIRST, kit_shop
from tests.desk.planned import plan_job, run
from tests.shop import add_piece

WORN = 2600.0


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    """Three worn punches like P-0137 that a job wants."""
    session = kit_shop(tmp_path / "shop.crib", "P-0151", "P-0152", "P-0153", wear=WORN)
    plan_job(session, "worn", *(run(session, tag, 10) for tag in ("P-0151", "P-0152", "P-0153")))
    yield session
    session.close()


def add_copies(session: Session, *tags: str) -> None:
    """More punches of the kind, as new."""
    kind = piece_by_tag(session, "P-0137").kind_id
    for tag in tags:
        add_piece(session, tag, kind, place="A4")


def instead(session: Session) -> dict[str, str]:
    """The copy to take for each piece that will not do."""
    choices = choose(session, read_wishes(session, "worn"))
    return {one.card.tag: one.instead.tag for one in choices if one.instead}


def spares(session: Session) -> dict[str, str]:
    """The spare behind each piece that has one."""
    choices = choose(session, read_wishes(session, "worn"))
    return {one.spare_for: one.card.tag for one in choices if one.spare_for}


def test_choosing_leaves_the_wishes_as_they_were(shop: Session) -> None:
    add_copies(shop, "P-0161")
    wishes = read_wishes(shop, "worn")
    first = choose(shop, wishes)
    assert len(choose(shop, wishes, spares=False)) == 3
    assert choose(shop, wishes) == first
    with pytest.raises(FrozenInstanceError):
        wishes.runs = ()  # type: ignore[misc]


def test_no_spare_stands_behind_two_pieces(shop: Session) -> None:
    assert spares(shop) == {"P-0151": "P-0137"}
    add_copies(shop, "P-0161")
    assert spares(shop) == {"P-0151": "P-0161", "P-0152": "P-0137"}
    assert [one.card.tag for one in choose(shop, read_wishes(shop, "worn")) if one.no_spare] == [
        "P-0153"
    ]


def test_no_copy_is_taken_for_two_pieces(shop: Session) -> None:
    add_copies(shop, "P-0161")
    with shop.writing():
        shop.run("UPDATE piece SET condition = 'locked' WHERE tag LIKE 'P-015%'")
    assert instead(shop) == {"P-0151": "P-0161", "P-0152": "P-0137"}
    assert spares(shop) == {}


def test_what_is_taken_for_one_piece_is_no_spare_of_another(shop: Session) -> None:
    with shop.writing():
        shop.run("UPDATE piece SET condition = 'locked' WHERE tag = 'P-0153'")
    assert instead(shop) == {"P-0153": "P-0137"}
    assert spares(shop) == {}


def test_a_piece_that_two_runs_want_is_one_choice(shop: Session) -> None:
    plan_job(shop, FIRST, run(shop, "P-0137", 5, mark="B1"), run(shop, "P-0137", 7, mark="B2"))
    (choice,) = choose(shop, read_wishes(shop, FIRST))
    assert [each.mark for each in choice.runs] == ["B1", "B2"]


def test_the_copy_to_take_is_kept_where_no_spare_is_left(shop: Session) -> None:
    with shop.writing():
        shop.run("UPDATE piece SET condition = 'inspect' WHERE tag = 'P-0151'")
    assert instead(shop) == {"P-0151": "P-0137"}
    assert spares(shop) == {}
