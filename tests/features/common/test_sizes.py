"""A size is written in the unit it is made in, and a phrase reads back as the same size."""

from __future__ import annotations

import re

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from crib.features.common.sizes import clean_pair, clean_text, natural_system, size_word
from crib.units import System, read_length_mm
from tests.features.bench import mm

SYSTEMS: st.SearchStrategy[System] = st.sampled_from(["in", "mm"])


@pytest.mark.parametrize(
    ("length_mm", "made"),
    [
        (21.9949, "in"),
        (21.995, "mm"),
        (22.0, "mm"),
        (22.005, "mm"),
        (22.0051, "in"),
        (21.6, "in"),
        (22.5, "mm"),
        (25.0, "mm"),  # 63/64 in is near as well, and farther
        (mm("63/64"), "in"),
        (mm("13/16"), "in"),
        (mm("0.63in"), "in"),  # 16.002 mm, but meant in thousandths
        (mm("2-1/2"), "in"),  # 63.5 mm: clean in both
        (0.1, "in"),
        (0.0, "in"),
    ],
)
def test_an_inch_crib_leaves_what_is_clean_only_in_millimetres(
    length_mm: float, made: System
) -> None:
    assert natural_system(length_mm, "in") == made


@pytest.mark.parametrize(
    ("length_mm", "made"),
    [
        (20.6324, "mm"),
        (20.6325, "in"),
        (20.6375, "in"),
        (20.64, "in"),
        (20.6425, "in"),
        (20.6426, "mm"),
        (12.3, "mm"),  # 31/64 in is near by chance
        (12.7, "in"),  # 1/2 in exactly
        (63.5, "mm"),
        (25.0, "mm"),
        (22.0, "mm"),
        (0.0, "mm"),
    ],
)
def test_a_metric_crib_leaves_what_is_clean_only_in_inches(length_mm: float, made: System) -> None:
    assert natural_system(length_mm, "mm") == made


@pytest.mark.parametrize(
    ("length_mm", "system", "text"),
    [
        (25.0, "in", "25 mm"),
        (22.003, "in", "22 mm"),
        (mm("13/16"), "in", "13/16 in"),
        (mm("0.83in"), "in", "0.83 in"),
        (mm("13/16"), "mm", "13/16 in"),
        (20.64, "mm", "13/16 in"),
        (22.003, "mm", "22.003 mm"),
    ],
)
def test_people_read_a_clean_size(length_mm: float, system: System, text: str) -> None:
    assert clean_text(length_mm, system) == text


@pytest.mark.parametrize(
    ("width_mm", "long_mm", "text"),
    [
        (22.0, 50.0, "22 x 50 mm"),
        (mm("13/16"), mm("1-7/8"), "13/16 x 1-7/8 in"),
        (22.0, mm("1-7/8"), "22 mm x 1-7/8 in"),
    ],
)
def test_two_sizes_share_a_unit_only_where_both_are_made_in_it(
    width_mm: float, long_mm: float, text: str
) -> None:
    assert clean_pair(width_mm, long_mm, "in") == text


@pytest.mark.parametrize(
    ("size_mm", "system", "word"),
    [
        (25.0, "in", "25mm"),
        (25.4, "in", "1"),
        (mm("0.82in"), "in", "0.82in"),
        (mm("63/64"), "mm", "63/64"),
        (20.6375, "mm", "20.6375mm"),
        (20.64, "in", "20.64mm"),
        (mm("0.333333in"), "in", "8.4667mm"),
        (3.41630000001, "mm", "3.4163mm"),
        (3.41630000001, "in", "0.1345in"),
    ],
)
def test_a_phrase_takes_the_other_unit_only_to_avoid_endless_decimals(
    size_mm: float, system: System, word: str
) -> None:
    assert size_word(size_mm, system) == word


@given(
    size_mm=st.one_of(
        st.integers(min_value=1, max_value=9999).map(lambda n: n / 2),
        st.integers(min_value=1, max_value=99_999).map(lambda n: n / 1000),
        st.integers(min_value=1, max_value=99_999).map(lambda n: mm(f"{n / 10_000:.4f}in")),
        st.integers(min_value=1, max_value=9999).map(lambda n: n * 254 / 640),
    ),
    system=SYSTEMS,
)
@example(size_mm=25.003, system="in")
@example(size_mm=mm("3"), system="mm")
def test_a_size_that_somebody_wrote_reads_back_equal(size_mm: float, system: System) -> None:
    assert read_length_mm(size_word(size_mm, system), system) == size_mm


@given(size_mm=st.floats(min_value=0.00001, max_value=5000.0), system=SYSTEMS)
def test_no_size_in_a_phrase_has_more_than_four_decimals(size_mm: float, system: System) -> None:
    word = size_word(size_mm, system)
    assert not re.search(r"\.[0-9]{5}", word)
    assert abs(read_length_mm(word, system) - size_mm) <= 0.0001
