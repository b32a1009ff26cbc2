"""The copies themselves: a source in every row, and tolerances from the last printed digit."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.validation.published import Printed, rows

_NAMES = sorted(path.stem for path in Path(__file__).with_name("data").glob("*.csv"))


@pytest.mark.parametrize("name", _NAMES)
def test_every_copied_row_names_its_source_and_how_it_was_had(name: str) -> None:
    for row in rows(name):
        assert row["source"]
        assert row["how"] in {"page", "library", "memory", "computed"}


@pytest.mark.parametrize(
    ("text", "value", "agrees"),
    [
        ("0.24", 0.2499, True),
        ("0.24", 0.2501, False),
        ("157.079", 157.0796, True),
        ("330", 329.9, True),
        ("330", 331.1, False),
    ],
)
def test_the_last_printed_digit_is_the_tolerance(text: str, value: float, agrees: bool) -> None:
    assert Printed(text).agrees_with(value) is agrees
