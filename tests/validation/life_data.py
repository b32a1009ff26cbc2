"""The published life data of this folder, as edges found dull or still sharp."""

from __future__ import annotations

from collections.abc import Iterator

from crib.trade.life.edge_life import Observation
from tests.validation.published import Printed, rows


def printed(identity: str) -> dict[str, Printed]:
    """What is printed of a set of data, by the name of each figure."""
    found = [row for row in rows("life_data") if row["id"] == identity]
    return {row["quantity"]: Printed(row["published_value"]) for row in found}


def lives(identity: str) -> list[Observation]:
    """The lives of a set of data."""
    row = next(row for row in rows("life_data") if row["id"] == identity)
    dull = [Observation(life, "dull") for life in _figures(row["failures"])]
    return dull + [Observation(life, "right") for life in _figures(row["right_censored"])]


def _figures(text: str) -> Iterator[float]:
    for word in text.split():
        figure, _, times = word.partition("x")
        yield from [float(figure)] * int(times or 1)
