"""One cell: what is written reads back equal, and what cannot be read says what to write."""

from __future__ import annotations

from contextlib import suppress
from random import Random
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib import words
from crib.errors import AskBack, BadInput, BadQuantity
from crib.files.tables.cells import Units, harmless_cell, read_cell, unguarded, write_cell
from crib.files.tables.columns import TABLES, Column, find_table
from crib.units import N_PER_US_TON, mm_from_inches
from crib.unseen import made_seen
from tests.features.written import any_size

INCH = Units("in", "US tons", "USD")
METRIC = Units("mm", "kN", "EUR")

lengths = st.floats(0.001, 90_000) | st.integers(1, 64 * 900).map(lambda n: n * 254 / 640)
# What is not seen cannot be stored, so no cell holds it.
texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=40).map(made_seen)
angles = st.sets(st.integers(0, 359), min_size=1).map(lambda a: " ".join(map(str, sorted(a))))
VALUES: dict[str, st.SearchStrategy[Any]] = {
    "text": texts,
    "name": texts,
    "tag": texts.map(str.upper),
    "length": lengths,
    "microns": st.integers(0, 50_000_000),
    "force": st.floats(0.01, 9e7) | st.integers(1, 500).map(lambda n: n * N_PER_US_TON),
    "stress": st.floats(0.01, 9000),
    "percent": st.just(0.0) | st.floats(1e-6, 0.999) | st.integers(0, 99).map(lambda n: n / 100),
    "count": st.integers(0, 4),
    "wear": st.integers(0, 999_999_999),
    "money": st.integers(0, 99_999_999_999),
    "date": st.dates().map(lambda day: day.isoformat()),
    "moment": st.datetimes().map(lambda moment: moment.isoformat() + "Z"),
    "yes/no": st.booleans(),
    "angle": st.integers(0, 8999).map(lambda n: n / 100),
    "angles": angles,
    "number": st.floats(0, 100),
    "level": texts.filter(lambda text: text != "nothing"),
    "reference": texts,
}


def columns(reader: str) -> list[Column]:
    return [column for table in TABLES for column in table.columns if column.reader == reader]


def column(table: str, name: str) -> Column:
    return find_table(table).column(name)


@pytest.mark.parametrize("crib", [INCH, METRIC], ids=["in", "mm"])
@pytest.mark.parametrize("reader", VALUES)
@given(data=st.data())
def test_a_value_reads_back_as_it_was(reader: str, crib: Units, data: st.DataObject) -> None:
    value = data.draw(VALUES[reader])
    column = columns(reader)[0]
    back = read_cell(column, str(write_cell(column, value, crib)), crib)
    assert back == (value if value != "" or reader == "level" else column.blank)


@pytest.mark.parametrize("crib", [INCH, METRIC], ids=["in", "mm"])
def test_every_spelling_of_a_length_is_read_exactly_or_refused(crib: Units) -> None:
    draw, read, thickness = Random(f"cells in {crib.system}"), 0, column("entries", "thickness")
    for _ in range(3_000):
        size = any_size(draw, crib.system)
        with suppress(BadInput):
            assert read_cell(thickness, size.text, crib) == size.mm, size.text
            read += 1
    assert read > 1_500


@pytest.mark.parametrize("text", ["1 3 / 16", "1 3⁄16", "1 3∕16", "1³⁄₁₆", "1-3/ 16"])
def test_a_fraction_in_a_cell_reads_as_it_does_in_a_phrase(text: str) -> None:
    assert read_cell(column("entries", "thickness"), text, METRIC) == mm_from_inches(1.1875)


def test_a_decimal_comma_reads_in_a_metric_crib_and_is_asked_back_in_an_inch_crib() -> None:
    thickness = column("entries", "thickness")
    assert read_cell(thickness, "20,6", METRIC) == 20.6
    for crib, text in ((INCH, "20,6"), (METRIC, "1,200")):
        with pytest.raises(AskBack, match="a comma"):
            read_cell(thickness, text, crib)


@given(text=texts)
def test_no_text_goes_out_as_a_formula(text: str) -> None:
    cell = harmless_cell(text)
    assert cell[:1] not in tuple("=+-@\t\r\n")
    assert unguarded(cell) == text


@pytest.mark.parametrize("word", words.PROFILES)
def test_what_a_tool_is_made_for_comes_in_as_it_is_kept(word: str) -> None:
    made_for = column("kinds", "made for")
    assert read_cell(made_for, word, INCH) == word
    assert write_cell(made_for, word, INCH) == word


@pytest.mark.parametrize("choice", column("kinds", "role").choices)
def test_a_choice_reads_back_as_it_was(choice: str) -> None:
    role = column("kinds", "role")
    kept = read_cell(role, choice, INCH)
    assert kept == choice.replace(" ", "_")
    assert write_cell(role, kept, INCH) == choice


@pytest.mark.parametrize(
    ("table", "name", "text", "value"),
    [
        ("kinds", "size", '13/16"', mm_from_inches(0.8125)),
        ("kinds", "size", ".8125", mm_from_inches(0.8125)),
        ("kinds", "size", "20.6375mm", 20.6375),
        ("kinds", "bevel", "0", 0.0),
        ("kinds", "key", "90°, 0°", "0 90"),
        ("kinds", "key", "0,90", "0 90"),
        ("kinds", "role", "Punch-Adapter", "punch_adapter"),
        ("kinds", "role", "coupling nut", "nut"),
        ("kinds", "shape", "HEX", "hexagon"),
        ("kinds", "price", "$12.5", 1250),
        ("kinds", "price", "USD 12.50", 1250),
        ("kinds", "price", "12.50 €", 1250),
        ("stations", "rated force", "50 US tons", 50 * N_PER_US_TON),
        ("stations", "rated force", "445 kN", 445_000.0),
        ("stations", "derate", "10 %", 0.1),
        ("machines", "in service", "X", True),
        ("machines", "in service", "N", False),
        ("pieces", "wear", "1200.5", 1_200_500),
        ("pieces", "tag", " p-0137 ", "P-0137"),
        ("pieces", "kind", " round   punch ", "round punch"),
        ("pieces", "ground off", "0.010 in", 254),
        ("pieces", "note", "'=A1", "=A1"),
        ("pieces", "note", "'til Friday", "'til Friday"),
        ("pieces", "bought on", "2026-03-02", "2026-03-02"),
        ("envelopes", "angle", "45 deg", 45.0),
    ],
)
def test_a_cell_is_read_as_people_write_it(table: str, name: str, text: str, value: object) -> None:
    assert read_cell(column(table, name), text, INCH) == value


@pytest.mark.parametrize(
    ("table", "name", "text", "message", "way_out"),
    [
        ("kinds", "size", "20,6", "a comma is not part of a number", "write 20.6"),
        ("kinds", "size", "13-Jan", "is a date", "set the cells to text"),
        ("kinds", "size", "Mar-16", "is a date", "set the cells to text"),
        ("kinds", "size", "2026-03-08", "is a date", "such as 13/16"),
        ("kinds", "size", "03/08/2026", "is a date", "such as 13/16"),
        ("kinds", "size", "big", "there is no number in it", "13/16"),
        ("kinds", "size", "0", "must be > 0", "13/16"),
        ("kinds", "role", "pnch", "role 'pnch' is not known", "one of: punch, die"),
        ("kinds", "edges", "5", "edges 5 must be at most 4", ""),
        ("kinds", "key", "22.5", "not in whole degrees", "0 90"),
        ("kinds", "key", "north", "not an angle", "45"),
        ("kinds", "least count", "two", "not", "1200"),
        ("kinds", "price", "12.345", "two decimals", "12.50"),
        ("stations", "rated force", "450", "it needs a unit", "450 US tons, 450 UK tons, 450"),
        ("kinds", "rated force", "450", "it needs a unit", "450 kN"),
        ("stations", "rated force", "50 tons", "may be three different forces", "50 US tons"),
        ("stations", "derate", "12", "needs its % sign", "12 %"),
        ("machines", "in service", "maybe", "is not yes or no", "write yes or no"),
        ("pieces", "wear", "1.2345", "at most three decimals", "1200.5"),
        ("pieces", "bought on", "2/3/2026", "is not a date", "YYYY-MM-DD"),
        ("pieces", "bought on", "2026-02-30", "is not a date", "YYYY-MM-DD"),
        ("wants", "first at", "yesterday", "is not a moment", "T14:30"),
        ("entries", "severity", "heavy", "is not a number", "decimal point"),
        ("envelopes", "angle", "360", "not an angle", "45"),
    ],
)
def test_a_cell_that_cannot_be_read_says_what_to_write(
    table: str, name: str, text: str, message: str, way_out: str
) -> None:
    with pytest.raises(BadInput, match=message) as caught:
        read_cell(column(table, name), text, INCH)
    assert way_out in str(caught.value.way_out)


def test_a_bare_number_is_in_the_cribs_unit() -> None:
    assert read_cell(column("kinds", "size"), "20.6", METRIC) == 20.6


def test_a_size_is_written_in_the_cribs_unit() -> None:
    size = column("kinds", "size")
    assert write_cell(size, 20.6375, INCH) == "13/16 in"
    assert write_cell(size, 20.6375, METRIC) == "20.6375 mm"


def test_a_force_is_written_as_the_shop_says_it() -> None:
    rated = column("stations", "rated force")
    assert write_cell(rated, 50 * N_PER_US_TON, INCH) == "50 US tons"
    assert write_cell(rated, 444_822.2, INCH) == "444822.2 N"
    assert write_cell(rated, 444_500.0, METRIC) == "444.5 kN"


@pytest.mark.parametrize(("text", "count"), [("2", 2), ("-1", -1), ("0", 0)])
def test_a_change_may_be_below_nothing(text: str, count: int) -> None:
    column = find_table("receipts").column("quantity")
    assert read_cell(column, text, Units()) == count
    assert str(write_cell(column, count, Units())) == text


@pytest.mark.parametrize("text", ["1.5", "--1", "two", "- 1"])
def test_a_change_is_a_whole_number(text: str) -> None:
    column = find_table("receipts").column("quantity")
    with pytest.raises(BadQuantity, match="is not a whole number"):
        read_cell(column, text, Units())
