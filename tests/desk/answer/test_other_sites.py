"""An ask is answered from the asker's site first, then from others, with where and how far."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from crib.desk.answer.find import Found, find, find_each
from crib.desk.answer.lookup import Lookup
from crib.desk.shelf.send import send_pieces
from crib.features.common.case import Circumstances
from crib.stock.book.sites import stand_at
from crib.stock.engine.session import Session
from tests.company import small_company
from tests.shop import add_piece, small_shop
from tests.stock.counted import statements

HOLE = "hole 13/16 thru 1/4 A36"
MOST_STATEMENTS = 24
"""What an answer from other sites may ask: less than twice what one from the own site does."""


@pytest.fixture
def company(tmp_path: Path) -> Iterator[Session]:
    session = small_company(tmp_path / "company.crib")
    yield session
    session.close()


def asked(session: Session, phrase: str) -> Found:
    return find(session, phrase, record=False)


def tags(found: Found) -> list[tuple[str, ...]]:
    return [tuple(tool.tag for tool in pick.tools) for pick in found.picks]


def test_a_clean_answer_at_the_own_site_is_the_whole_answer(
    company: Session, tmp_path: Path
) -> None:
    shop = small_shop(tmp_path / "shop.crib")
    own, alone = asked(company, HOLE), asked(shop, HOLE)
    assert own.as_json() == alone.as_json()
    shop.close()


def test_what_is_lacking_comes_from_another_site_with_the_days(company: Session) -> None:
    stand_at(company, 2)
    found = asked(company, HOLE)
    first = found.picks[0]
    assert [(one.tag, one.site, one.site_days) for one in first.tools] == [
        ("P-0137", "North", 2),
        ("D-0201", "North", 2),
    ]
    assert {pick.tooling.station.machine for pick in found.picks} == {"Ironworker S"}
    piece = found.as_json()["picks"][0]["pieces"][0]
    assert (piece["site"], piece["days"]) == ("North", 2)
    (send,) = [note for note in found.notes if "to have them here" in str(note)]
    assert "send(tags=('P-0137', 'D-0201'), to='South', site='North')" in str(send)


def test_a_pair_whole_from_one_site_comes_before_one_pieced_together(company: Session) -> None:
    die, punch = (
        company.value("SELECT kind_id FROM piece WHERE tag = ?", (tag,))
        for tag in ("D-0201", "P-0137")
    )
    add_piece(company, "D-0601", die, place="E1")
    stand_at(company, 2)
    assert [one.site for one in asked(company, HOLE).picks[0].tools] == ["North", "North"]
    add_piece(company, "P-0601", punch, place="E1")
    found = asked(company, HOLE)
    # East is a day nearer than North.
    assert [one.tag for one in found.picks[0].tools] == ["P-0601", "D-0601"]
    assert all(len({one.site for one in pick.tools}) == 1 for pick in found.picks[:2])


def test_the_own_piece_and_one_from_elsewhere_come_before_two_from_two(company: Session) -> None:
    stand_at(company, 2)
    found = asked(company, "hole 7/8 thru 1/4 A36")
    assert all(one.site in ("", "North") for one in found.picks[0].tools)


def test_no_station_but_the_own_is_offered_and_nothing_on_the_way(company: Session) -> None:
    send_pieces(company, ["D-0201"], "South")
    stand_at(company, 2)
    found = asked(company, HOLE)
    assert not any("D-0201" in one for one in tags(found))
    stand_at(company, 3)
    assert asked(company, HOLE).picks == ()


def test_many_asks_cost_no_more_statements_than_few(company: Session) -> None:
    def cost(asks: list[str]) -> int:
        def ask(session: Session) -> None:
            stand_at(session, 2)
            find_each(Lookup(session), [(one, Circumstances()) for one in asks])

        return len(statements(company, ask))

    assert cost([HOLE]) <= MOST_STATEMENTS
    assert cost([HOLE, "hole 13/16 thru 5/16 A36"]) == cost(
        [HOLE, *(f"hole 13/16 thru {n}/32 A36" for n in range(6, 12))]
    )
