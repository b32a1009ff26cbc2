"""What a quantity costs: packs, price breaks, and no more than is used."""

from __future__ import annotations

import pytest

from crib.acts import fact
from crib.desk.common.prices import cheapest_offer
from crib.features.common.tool_spec import ToolSpec
from crib.stock.queries.demand import KindStock, OfferRow

KIND = KindStock(
    1, "punch", "punch", "round", 20.6375, None, "A", None, None, None, 1, None,
    5000, 7, "own supplier", 0, 0, 0, 0, "", ToolSpec("punch"),
)  # fmt: skip


def offer(
    supplier: str, price_cents: int, from_quantity: int = 1, pack: int = 1, days: int | None = 5
) -> OfferRow:
    return OfferRow(supplier, pack, from_quantity, price_cents, days)


@pytest.mark.parametrize(
    ("offers", "quantity", "bought", "total", "supplier"),
    [
        ([], 2, 2, 10_000, "own supplier"),
        ([offer("one", 4000)], 2, 2, 8_000, "one"),
        ([offer("one", 4000), offer("two", 3900)], 2, 2, 7_800, "two"),
        ([offer("one", 4000), offer("one", 3300, 5)], 4, 4, 16_000, "one"),
        ([offer("one", 4000), offer("one", 3000, 5)], 5, 5, 15_000, "one"),
        ([offer("one", 4000), offer("one", 2900, 5)], 4, 5, 14_500, "one"),
        ([offer("one", 1000, pack=3)], 2, 3, 3_000, "one"),
        ([offer("one", 1000, pack=3)], 3, 3, 3_000, "one"),
        ([offer("one", 1000, 4, pack=3)], 2, 6, 6_000, "one"),
        ([offer("slow", 4000, days=9), offer("swift", 4000, days=2)], 1, 1, 4_000, "swift"),
        ([offer("vague", 4000, days=None), offer("swift", 4000)], 1, 1, 4_000, "swift"),
    ],
)
def test_the_cheapest_way_counts_packs_and_breaks(
    offers: list[OfferRow], quantity: int, bought: int, total: int, supplier: str
) -> None:
    price = cheapest_offer(KIND, offers, quantity, None)
    assert (price.quantity, price.total_cents, price.supplier) == (bought, total, supplier)


def test_a_price_break_does_not_buy_beyond_the_brake() -> None:
    offers = [offer("one", 4000), offer("one", 1000, 5)]
    assert cheapest_offer(KIND, offers, 2, 4).quantity == 2
    assert cheapest_offer(KIND, offers, 2, 5).quantity == 5


def test_a_pack_is_bought_beyond_the_brake_when_nothing_smaller_is_sold() -> None:
    price = cheapest_offer(KIND, [offer("one", 1000, pack=10)], 2, 3)
    assert (price.quantity, price.why) == (10, fact("buy.packs", needed=2, pack_size=10))


def test_no_price_is_not_a_price_of_nothing() -> None:
    price = cheapest_offer(None, [], 1, None)
    assert (price.unit_cents, price.total_cents) == (None, None)
