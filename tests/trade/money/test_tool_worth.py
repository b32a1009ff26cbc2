"""Expected years, the share of a piece, what no spare covers, and a package's price in parts."""

from __future__ import annotations

from math import exp

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue
from crib.trade.money.money import break_even_holes, yearly_value_cents
from crib.trade.money.tool_worth import expected_years, uncovered_share, whole_prices, work_share


@pytest.mark.parametrize(
    ("life", "use", "most", "years"),
    [
        (60_000, 0, 5, 5),
        (60_000, 11_999, 5, 5),
        (60_000, 12_000, 5, 5),
        (60_000, 12_001, 5, 60_000 / 12_001),
        (60_000, 120_000, 5, 0.5),
    ],
)
def test_a_tool_serves_as_long_as_it_lives_but_no_longer_than_is_told(
    life: float, use: float, most: float, years: float
) -> None:
    assert expected_years(life, use, most) == pytest.approx(years)


def test_a_life_of_nothing_is_refused() -> None:
    with pytest.raises(BadValue, match="life_strokes=0"):
        expected_years(0, 1, 5)


@given(st.floats(0.01, 50))
def test_the_shares_of_all_pieces_are_the_whole_work(pieces_per_year: float) -> None:
    shares = [work_share(piece, pieces_per_year) for piece in range(1, 60)]
    assert sum(shares) == pytest.approx(1.0)
    assert shares == sorted(shares, reverse=True)


def test_there_is_no_piece_nought() -> None:
    with pytest.raises(BadValue, match="piece=0"):
        work_share(0, 1.0)


@pytest.mark.parametrize(
    ("pieces", "share"),
    [(1, 1.0), (2, 1 - exp(-0.1)), (3, 1 - exp(-0.1) * 1.1)],
)
def test_a_spare_covers_all_but_what_breaks_within_the_lead_time(pieces: int, share: float) -> None:
    assert uncovered_share(pieces, 3.65, 10.0) == pytest.approx(share)


@given(st.floats(0, 40), st.floats(0, 400))
def test_each_spare_leaves_less_uncovered(breaks: float, days: float) -> None:
    shares = [uncovered_share(pieces, breaks, days) for pieces in range(1, 8)]
    assert shares == sorted(shares, reverse=True)
    assert all(-1e-9 <= share <= 1 for share in shares)


def test_no_piece_at_all_is_no_case_of_spares() -> None:
    with pytest.raises(BadValue, match="pieces=0"):
        uncovered_share(0, 1.0, 10.0)


@given(
    st.integers(0, 10**6),
    st.lists(st.tuples(st.integers(1, 9), st.integers(0, 50_000)), min_size=1, max_size=9),
)
def test_the_parts_of_a_package_add_up_to_its_price(
    price: int, weights: list[tuple[int, int]]
) -> None:
    found = whole_prices(price, weights)
    assert sum(pieces * cents for line in found for pieces, cents in line) == price
    assert [sum(pieces for pieces, _ in line) for line in found] == [n for n, _ in weights]
    assert all(cents >= 0 for line in found for _, cents in line)


def test_a_package_of_nothing_is_refused() -> None:
    with pytest.raises(BadValue, match="lines=0"):
        whole_prices(100, [])


def test_a_pair_against_the_drill_worked_by_hand() -> None:
    # Drilled: 1.5 min at 60.00 an hour and 0.15 of drill; punched: 0.25 min.
    saving = 140.0
    # A pair at 98.00 has paid for itself with the 70th hole: 69 x 1.40 = 96.60.
    assert break_even_holes(9_800, saving) == 70
    # 300 holes a year, 98.00 spread over 5 years: 420.00 - 19.60.
    assert yearly_value_cents(300, saving, 0.0, 0, 0.0, 9_800, 5.0) == 40_040
