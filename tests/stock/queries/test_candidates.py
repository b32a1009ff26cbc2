"""Tooling for many asks at once: each as if asked alone, and the few that could come first."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from crib.features.common.ask import Need
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.candidates import (
    EACH,
    MOST_MEASURED,
    all_measured_pieces,
    kinds_for,
    measured_pieces,
    usable_pieces,
)
from crib.stock.queries.near_pieces import any_pieces, count_steps, nearest_pieces
from crib.stock.queries.tool_shelf import ToolShelf
from crib.stock.queries.tooling_terms import KindAsk, NeedAsk, Wanted
from tests.shop import add_kind, add_piece, small_shop

MM = 25.4


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    session = small_shop(tmp_path / "shop.crib")
    yield session
    session.close()


def need(role: str, least: float, most: float, shape: str = "round", long: float = 0.0) -> Need:
    """A need by its limits in inches; of one size unless it has a long side."""
    long_mm = (long or least) * MM
    aim_mm = (least + most) / 2 * MM
    return Need(role, shape, least * MM, most * MM, long_mm - 1, long_mm + 1, aim_mm, "")


PUNCH, DIE = need("punch", 0.8, 0.83), need("die", 0.83, 0.9)
SLOT = need("punch", 0.8, 0.83, "obround", 1.25)
NEEDS = [PUNCH, DIE, SLOT, PUNCH]


def test_kinds_for_many_needs_are_those_for_each(shop: Session) -> None:
    add_kind(shop, role="punch", width="13/16", long="1-1/4", shape="obround", name="slot punch")
    together = kinds_for(shop, NEEDS)
    assert together == [kinds_for(shop, [one])[0] for one in NEEDS]
    assert [kind.name for kind in together[2]] == ["slot punch"]
    assert [round(kind.off_mm, 3) for kind in together[1]] == [0.254, 0.54, 0.54]


def test_of_a_kind_the_least_worn_come_first_and_the_most_worn_that_lasts(shop: Session) -> None:
    kind = add_kind(shop, role="punch", width="5/8", name="five", interval_strokes=1000)
    for number in range(3 * EACH):
        add_piece(shop, f"X-{number:02d}", kind, wear=50.0 * number)
    lasting = KindAsk(kind, "mild steel", Wanted(job_strokes=700.0))
    (cards,) = usable_pieces(shop, [lasting])
    assert [card.tag for card in cards] == ["X-00", "X-01", "X-02", "X-03", "X-06", "X-05", "X-04"]
    # The most worn that last 700 more of 1,000 strokes have at most 300 on them.
    others = KindAsk(kind, "mild steel", Wanted(job_strokes=0.0))
    both = usable_pieces(shop, [others, lasting])
    assert both[1] == cards
    assert [card.tag for card in both[0]][EACH:] == ["X-11", "X-10", "X-09", "X-08"]


@pytest.mark.parametrize(
    "columns",
    [
        {"condition": "inspect"},
        {"dedicated_to": "stainless"},
        {"length_mm": 50.0},
        {"measured_width_mm": 15.9},
    ],
)
def test_what_is_not_at_hand_or_too_short_or_measured_is_no_usable_piece(
    shop: Session, columns: dict[str, object]
) -> None:
    kind = add_kind(shop, role="punch", width="5/8", name="five", length_mm=70.0, regrind_mm=3.0)
    add_piece(shop, "X-1", kind, **columns)  # type: ignore[arg-type]
    add_piece(shop, "X-2", kind)
    ((card,),) = usable_pieces(shop, [KindAsk(kind, "mild steel")])
    assert card.tag == "X-2"


def test_of_many_measured_pieces_only_a_few_could_come_first(shop: Session) -> None:
    kind = add_kind(shop, role="punch", width="5/8", name="five")
    for number in range(4 * MOST_MEASURED):
        width_mm = 20.5 + 0.01 * number
        add_piece(shop, f"X-{number:02d}", kind, wear=number, measured_width_mm=width_mm)
    asked = NeedAsk(PUNCH, "mild steel", Wanted(interval_strokes=5000.0))
    (few,), (every,) = measured_pieces(shop, [asked]), all_measured_pieces(shop, [asked])
    assert not few.whole
    assert every.whole
    assert len(every.cards) == 4 * MOST_MEASURED
    assert {card.tag for card in few.cards} < {card.tag for card in every.cards}
    assert few.cards[0] == every.cards[0]


def test_a_piece_measured_along_its_length_counts_by_that(shop: Session) -> None:
    kind = add_kind(shop, role="punch", width="13/16", long="1", shape="obround", name="slot")
    add_piece(shop, "X-1", kind, measured_long_mm=1.25 * MM)
    asked = [NeedAsk(PUNCH, "mild steel"), NeedAsk(SLOT, "mild steel")]
    of_round, of_slot = measured_pieces(shop, asked)
    assert [card.tag for card in of_slot.cards] == ["X-1"]
    assert of_slot.whole
    assert of_round.cards == ()


def test_a_shelf_knows_what_stands_mounted_as_the_queries_would(shop: Session) -> None:
    place = shop.value("SELECT id FROM place WHERE sort = 'station' ORDER BY id")
    for tag in ("P-0137", "D-0201"):
        with shop.writing():
            shop.run("UPDATE piece SET place_id = ? WHERE tag = ?", (place, tag))
    shelf = ToolShelf(shop, shop_rules(shop))
    asked = [NeedAsk(one, "mild steel") for one in NEEDS]
    assert [[card.tag for card in shelf.mounted(one)] for one in asked] == [
        ["P-0137"],
        ["D-0201"],
        [],
        ["P-0137"],
    ]
    assert [card.tag for card in shelf.standing("punch", "")] == ["P-0137"]


def test_near_pieces_and_steps_of_many_needs_are_those_of_each(shop: Session) -> None:
    add_piece(shop, "X-1", shop.value("SELECT min(id) FROM kind"), condition="broken")
    asked = [NeedAsk(one, "mild steel") for one in NEEDS]
    assert any_pieces(shop, asked) == [any_pieces(shop, [one])[0] for one in asked]
    assert nearest_pieces(shop, NEEDS) == [nearest_pieces(shop, [one])[0] for one in NEEDS]
    steps = count_steps(shop, asked)
    assert steps == [count_steps(shop, [one])[0] for one in asked]
    assert (steps[0].role, steps[0].shape, steps[0].width, steps[0].at_hand) == (3, 3, 2, 1)
    assert (steps[2].role, steps[2].shape) == (3, 0)


def test_the_nearest_are_told_from_either_side_the_nearest_first(shop: Session) -> None:
    (nearest,) = nearest_pieces(shop, [need("die", 0.85, 0.86)])
    assert [card.tag for card in nearest.wider] == ["D-0202"]
    assert [card.tag for card in nearest.narrower] == ["D-0301", "D-0201"]
    assert [card.tag for card in nearest.few(1)] == ["D-0202", "D-0301"]
