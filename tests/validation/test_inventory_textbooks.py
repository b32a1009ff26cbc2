"""Order sizes and reorder points of the textbooks, each named in ``data/inventory_examples.csv``.

Snyder and Shen, Fundamentals of Supply Chain Theory, 2nd ed. (2019), by the figures that a library
made for the book gives for its examples; Silver, Pyke and Peterson, Inventory Management and
Production Planning and Scheduling; Nahmias, Production and Operations Analysis; Hopp and Spearman,
Factory Physics; Sherbrooke, Optimal Inventory Modeling of Systems; the last four from memory.

``data/inventory_library.csv`` holds what that general-purpose library (stockpyl 1.0.2) answered
once to inputs drawn at random. It is not a dependency: it would bring some sixty packages along.
"""

from __future__ import annotations

import pytest

from tests.validation.inventory import answers
from tests.validation.published import Printed, rows

_EXAMPLES = rows("inventory_examples")
_LIBRARY = rows("inventory_library")

Row = dict[str, str]


@pytest.mark.parametrize("row", _EXAMPLES, ids=lambda row: f"{row['id']} {row['quantity']}")
def test_the_printed_figure(row: Row) -> None:
    found = answers(row["model"], row["inputs"])[row["quantity"]]
    assert Printed(row["published_value"]).agrees_with(found)


@pytest.mark.parametrize("model", sorted({row["model"] for row in _LIBRARY}))
def test_a_general_library_says_the_same_of_inputs_at_random(model: str) -> None:
    asked = [row for row in _LIBRARY if row["model"] == model]
    assert len(asked) >= 8
    for row in asked:
        found = answers(model, row["inputs"])[row["quantity"]]
        assert found == pytest.approx(float(row["value"]), rel=1e-5), row


def test_every_row_says_where_its_figure_is_from() -> None:
    assert {row["how"] for row in _EXAMPLES} == {"library", "memory", "computed"}
    assert all(row["source"] for row in _EXAMPLES)
