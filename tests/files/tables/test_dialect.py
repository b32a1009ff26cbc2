"""Figures as shops write them: read where they can be one figure only, else asked back."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadInput, UnsureQuantity
from crib.files.tables.cells import Units, read_cell
from crib.files.tables.columns import find_table
from crib.files.tables.dialect import plain_count, plain_date, plain_length, plain_money
from crib.units import System, read_count, read_length_mm, read_money_cents

_WORDS = st.sampled_from(["", " pcs", " Stk", " St.", " Stück", "x", " ea.", " pieces"])
_DECIMALS = st.sampled_from(["", ".0", ",0", ",00"])


def grouped(number: int, sign: str) -> str:
    return f"{number:,}".replace(",", sign)


@given(count=st.integers(0, 999), decimals=_DECIMALS, word=_WORDS)
def test_a_count_is_read_with_its_word_and_its_decimals(
    count: int, decimals: str, word: str
) -> None:
    assert read_count(plain_count(f"{count}{decimals}{word}")) == count


@given(count=st.integers(1_000, 9_999_999), signs=st.sampled_from(["., ", ",.", ".", ","]))
def test_thousands_are_read_or_asked_back(count: int, signs: str) -> None:
    """Behind one sign 000 may be decimals; nothing else can be a whole number of pieces."""
    decimals = f"{signs[1].strip()}0" if len(signs) > 1 else ""
    text = grouped(count, signs[0]) + decimals
    if count < 1_000_000 and count % 1000 == 0 and not decimals:
        with pytest.raises(UnsureQuantity, match="may be") as caught:
            plain_count(text)
        assert {str(count // 1000), str(count)} == set(caught.value.readings)
    else:
        assert read_count(plain_count(text)) == count


@given(text=st.from_regex(r"[0-9]{1,4}([.,][0-9]{1,3}){0,2}", fullmatch=True))
def test_a_count_keeps_its_figures_or_is_refused(text: str) -> None:
    """Only nothing behind a sign is ever left out: 1,5 and 24.5 are no counts."""
    try:
        count = read_count(plain_count(text))
    except BadInput:
        return
    figures = text.replace(",", "").replace(".", "").lstrip("0")
    assert figures.startswith(str(count).lstrip("0"))
    assert not figures[len(str(count).lstrip("0")) :].strip("0")


@given(cents=st.integers(0, 99_999_999))
def test_an_amount_is_read_with_a_comma_or_a_point(cents: int) -> None:
    whole, part = divmod(cents, 100)
    written = [f"{whole}.{part:02}", f"{whole},{part:02}"]
    written += [f"{grouped(whole, '.')},{part:02}"]
    if whole >= 1000:
        written.append(f"{grouped(whole, ',')}.{part:02}")
    assert {read_money_cents(plain_money(text)) for text in written} == {cents}


@given(day=st.dates(date(2000, 1, 1), date(2099, 12, 31)), short=st.booleans())
def test_a_day_with_points_is_read(day: date, short: bool) -> None:
    year = day.year % 100 if short else day.year
    assert plain_date(f"{day.day}.{day.month:02}.{year:02}") == day.isoformat()


@pytest.mark.parametrize("text", ["3/4/2024", "31.02.2024", "2024.03.15", "1.2", "March"])
def test_what_is_no_day_with_points_stays(text: str) -> None:
    assert plain_date(text) == text


@given(
    tenths=st.integers(1, 9999),
    sign=st.sampled_from(["", "Ø", "Ø ", "ø", "dia ", "t="]),
    comma=st.booleans(),
    unit=st.sampled_from([None, "mm", "in"]),
    crib=st.sampled_from(["in", "mm"]),
)
def test_a_size_has_the_unit_of_its_heading_and_a_comma_where_it_can_be_one(
    tenths: int, sign: str, comma: bool, unit: System | None, crib: System
) -> None:
    figure = f"{tenths // 10}.{tenths % 10}"
    text = plain_length(sign + (figure.replace(".", ",") if comma else figure), unit, crib)
    if comma and unit is None and crib == "in":
        with pytest.raises(UnsureQuantity):
            read_length_mm(text, crib)
    else:
        assert read_length_mm(text, crib) == read_length_mm(figure, unit or crib)


@pytest.mark.parametrize(
    ("text", "plain"),
    [("18,5 mm", "18.5 mm"), ("1,200 mm", "1,200 mm"), ("0,5in", "0.5in"), ("18,5", "18,5")],
)
def test_a_comma_before_a_unit_is_read_where_it_can_be_one(text: str, plain: str) -> None:
    assert plain_length(text, None, "in") == plain


@pytest.mark.parametrize(
    ("table", "column", "text", "value"),
    [
        ("pieces", "bought on", "15.03.2024", "2024-03-15"),
        ("kinds", "price", "1.234,50 €", 123_450),
        ("kinds", "size", "Ø18 mm", 18.0),
    ],
)
def test_tables_read_the_dialect(table: str, column: str, text: str, value: object) -> None:
    found = find_table(table).column(column)
    assert read_cell(found, text, Units("in")) == value
