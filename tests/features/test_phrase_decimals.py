"""No phrase of any kind shows a length finer than a shop measures, whatever unit it came in."""

from __future__ import annotations

import re
from contextlib import suppress

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crib.errors import BadInput
from crib.features.registry import feature_kinds, read_phrase
from crib.units import read_length_mm
from tests.features.bench import IN, MM

EXAMPLES = sorted({kind.example for kind in feature_kinds().values()})
_SIZE = re.compile(r"(?<![\w./-])(?:\d+-)?\d+(?:/\d+)?(?:\.\d+)?(?![\w./-])")
_NO_SIZE = re.compile(r"\b(?:at|sch|per)\s*$")
_ENDLESS = re.compile(r"\.\d{5,}")


def resized(phrase: str, share: float, decimals: int, unit: str) -> str:
    """The phrase with each of its sizes a little larger or smaller, written in this unit."""

    def put(size: re.Match[str]) -> str:
        if _NO_SIZE.search(phrase[: size.start()]):
            return size[0]
        made = read_length_mm(size[0], "in") * share / (25.4 if unit == "in" else 1.0)
        return f"{made:.{decimals}f}{unit}"

    return _SIZE.sub(put, phrase)


@pytest.mark.parametrize("example", EXAMPLES)
@given(share=st.floats(0.8, 1.25), decimals=st.integers(1, 7), unit=st.sampled_from(["in", "mm"]))
@settings(max_examples=15, deadline=None)
def test_no_length_in_a_phrase_is_finer_than_a_shop_measures(
    example: str, share: float, decimals: int, unit: str
) -> None:
    for reading in (IN, MM):
        with suppress(BadInput):
            ask = read_phrase(resized(example, share, decimals, unit), reading)
            for system in ("in", "mm"):
                assert not _ENDLESS.search(ask.phrase(system))
                read_phrase(ask.phrase(system), reading)


def test_the_sizes_of_most_examples_can_be_changed() -> None:
    read = 0
    for example in EXAMPLES:
        with suppress(BadInput):
            read_phrase(resized(example, 1.01, 3, "mm"), IN)
            read += 1
    assert read > len(EXAMPLES) * 2 / 3
