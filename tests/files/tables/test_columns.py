"""The declared tables: findable by every spelling, and equal to the records they fill."""

from __future__ import annotations

import re

import pytest
from sqlalchemy import CheckConstraint

from crib.errors import UnknownName
from crib.files.tables.cells import Units, read_cell, write_cell
from crib.files.tables.columns import TABLES, Table, find_column, find_table, plain_word
from crib.stock.tables import all_tables

MODELS = {
    model.__tablename__: model
    for model in (getattr(all_tables, name) for name in all_tables.__all__)
    if model.__tablename__ not in ("station_seat", "ledger_end", "pairing_code", "pin")
}
"""Stations carry their seats; where the ledger ends is made anew with the seals of its entries;
what is secret never leaves the crib."""
each_table = pytest.mark.parametrize("table", TABLES, ids=lambda table: table.name)


def test_every_record_of_the_crib_has_a_table() -> None:
    assert {table.record for table in TABLES} == set(MODELS)


@each_table
def test_no_heading_means_two_columns(table: Table) -> None:
    headings = [plain_word(w) for c in table.columns for w in (c.name, *c.aliases)]
    assert len(headings) == len(set(headings))


@each_table
def test_a_column_is_one_of_the_record(table: Table) -> None:
    fields = set(MODELS[table.record].model_fields)
    assert {column.field for column in table.columns if column.field} <= fields


@each_table
def test_an_empty_cell_stands_for_the_records_own_default(table: Table) -> None:
    completed = {"strokes_total", "strokes_edge", "wear_milli", "first_at", "last_at", "changed_at"}
    for column in table.columns:
        field = MODELS[table.record].model_fields.get(column.field)
        if field is None or column.needed or field.is_required() or column.field in completed:
            continue
        assert column.blank == (
            field.default.replace("_", " ")
            if column.reader == "choice" and field.default
            else field.default
        ), column.name


@each_table
def test_a_key_and_a_reference_name_what_is_there_before(table: Table) -> None:
    before = [one.name for one in TABLES[: TABLES.index(table)]]
    assert all(table.column(name) for name in table.key)
    assert all(column.of in before for column in table.columns if column.of)


@each_table
def test_every_column_says_what_it_means(table: Table) -> None:
    assert all(column.help.endswith(".") for column in table.columns)
    assert table.help.endswith(".")


@pytest.mark.parametrize("word", ["Job Lines", "job_lines", "JOB-LINES", "job line", "parts"])
def test_a_table_is_found_by_any_spelling(word: str) -> None:
    assert find_table(word).name == "job_lines"


def test_an_unknown_table_names_the_nearest() -> None:
    with pytest.raises(UnknownName, match="no table is called 'peices'") as caught:
        find_table("peices")
    assert "pieces" in str(caught.value.way_out)


@pytest.mark.parametrize(
    ("table", "heading", "name"),
    [
        ("kinds", "Dia.", "size"),
        ("kinds", "LEAD_DAYS", "lead days"),
        ("pieces", "Drawer", "place"),
        ("pieces", "location", "place"),
        ("stations", "Tonnage", "rated force"),
        ("stations", "capacity", "rated force"),
        ("seats", "O.D.", "die diameter"),
        ("job_lines", "Qty", "quantity"),
    ],
)
def test_a_column_is_found_by_other_spellings(table: str, heading: str, name: str) -> None:
    found = find_column(find_table(table), heading)
    assert found is not None
    assert found.name == name


def test_an_unknown_heading_finds_nothing() -> None:
    assert find_column(find_table("kinds"), "colour") is None


def _allowed(record: str, field: str) -> set[str]:
    """The words that a record's table lets a column hold; none where it says nothing."""
    checks = [c for c in MODELS[record].__table__.constraints if isinstance(c, CheckConstraint)]
    closed = [str(check.sqltext) for check in checks]
    listed = [text for text in closed if text.startswith(f"{field} IN (")]
    return set(re.findall(r"'([^']*)'", " ".join(listed)))


@each_table
def test_every_choice_reads_as_a_word_that_the_record_takes_and_writes_back(table: Table) -> None:
    for column in table.columns:
        if column.reader == "choice" and column.field:
            read = {choice: read_cell(column, choice, Units()) for choice in column.choices}
            allowed = _allowed(table.record, column.field)
            assert not allowed or set(read.values()) <= allowed, column.name
            again = {
                read_cell(column, str(write_cell(column, word, Units())), Units())
                for word in read.values()
            }
            assert again == set(read.values())
