"""The published values that the tests of this folder check against.

They are copies of their own, kept in ``data`` beside this file with a source in every row, so that
a wrong figure in the program's tables cannot vouch for itself.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pytest

_DATA = Path(__file__).with_name("data")


@dataclass(frozen=True)
class Printed:
    """A value as its source prints it."""

    text: str

    @property
    def last_digit(self) -> float:
        """One unit of the last printed digit."""
        _, _, decimals = self.text.partition(".")
        return float(10 ** -len(decimals))

    def agrees_with(self, value: float) -> bool:
        """Whether a value is the printed one to one unit of its last digit.

        One unit and not half of one, because authors both round and cut off.
        """
        return value == pytest.approx(float(self.text), rel=0, abs=self.last_digit)


@cache
def rows(name: str) -> tuple[dict[str, str], ...]:
    """The rows of one of the copies, as text."""
    with (_DATA / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return tuple(csv.DictReader(file))


def example(identity: str) -> Printed:
    """The published answer of a worked example."""
    found = {row["id"]: row["published_value"] for row in rows("worked_examples")}
    return Printed(found[identity])
