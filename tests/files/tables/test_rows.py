"""Rows of a sheet: each fault with its file, line and column, and what is expected there."""

from __future__ import annotations

import pytest

from crib.files.tables.cells import Units
from crib.files.tables.columns import find_table
from crib.files.tables.rows import Rows, read_rows
from crib.files.tables.sheets import read_csv


def read(table: str, text: str) -> Rows:
    (sheet,) = read_csv(find_table(table), f"{table}.csv", text.encode())
    return read_rows(sheet, Units())


def test_a_row_has_a_value_for_every_column() -> None:
    found = read("places", "Drawer;Order\nA1;3\n")
    assert found.faults == []
    assert [column.name for column in found.columns] == ["name", "walk order"]
    assert found.rows[0].values == {
        "name": "A1",
        "walk order": 3,
        "sort": "drawer",
        "station": None,
        "site": None,
        "to site": None,
    }


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        (
            "role,diametre\npunch,1",
            "kinds.csv line 1, diametre: no such column; nearest: size",
        ),
        (
            "role,colour of paint\npunch,red",
            "kinds.csv line 1, colour of paint: no such column; known: name, role",
        ),
        ("role,size,dia\npunch,1,1", "kinds.csv line 1, dia: the column size comes twice"),
        ("name\nx", "kinds.csv line 1, role: the column is needed and not there: What it is"),
        ("name,role\nx,", "kinds.csv line 2, role: it is empty; expected one of: punch, die"),
        ("role,size\npunch,1,2", "kinds.csv line 2: it has more cells than there are headings"),
        ("role,,size\npunch,x,2", "kinds.csv line 2: cell 'x' stands under no heading"),
        (
            "role,size\npunch,20;6\n",
            "kinds.csv line 2, size: length '20;6' cannot be read",
        ),
        ("role,edges\npunch,9", "kinds.csv line 2, edges: edges 9 must be at most 4; expected a"),
    ],
)
def test_a_fault_says_where_it_is_and_what_is_expected(text: str, fault: str) -> None:
    (found,) = read("kinds", text).faults
    assert str(found).startswith(fault)


def test_every_fault_of_every_row_is_kept() -> None:
    found = read("kinds", "role,size,price\npunch,x,y\ndie,1,2\nnail,2,z\n")
    assert [(fault.line, fault.column) for fault in found.faults] == [
        (2, "size"),
        (2, "price"),
        (4, "role"),
        (4, "price"),
    ]
    assert [row.bad for row in found.rows] == [True, False, True]


def test_an_example_row_is_left_out_and_counted() -> None:
    found = read("people", "name,role\nEXAMPLE bench 2,lead\nbench 3,\n")
    assert found.examples == 1
    assert [row.values["name"] for row in found.rows] == ["bench 3"]
