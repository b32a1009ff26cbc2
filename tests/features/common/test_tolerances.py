"""A hole's own tolerance as people write it, and as it is written back."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadPhrase
from crib.features.common.plate_phrase import Reading
from crib.features.common.tolerances import Tolerance
from crib.features.holes.punched import Punched
from crib.features.registry import read_phrase
from tests.features.bench import IN, MM, mm


def read(text: str, reading: Reading) -> Tolerance:
    ask = read_phrase(text, reading)
    assert isinstance(ask, Punched)
    assert ask.tolerance is not None
    return ask.tolerance


@pytest.mark.parametrize(
    "said",
    ["+0.5 -0.2", "+0.5 −0.2", "+0.5/-0.2", "+ 0.5 - 0.2", "-0.2 +0.5", "+.5 -.2",
     "+0.5mm -0.2mm", "+0.5 mm -0.2 mm", "+0,5 -0,2"],
)  # fmt: skip
def test_two_sides_are_read_however_they_are_written(said: str) -> None:
    made = read(f"hole 22 {said} thru 12 S275", MM)
    assert (made.plus_mm, made.minus_mm) == pytest.approx((0.5, 0.2))


@pytest.mark.parametrize("said", ["±0.5", "+/-0.5", "+-0.5", "± 0.5", "±0.5 mm", "±.5mm"])
def test_one_figure_counts_for_both_sides(said: str) -> None:
    made = read(f"hole 22 {said} thru 12 S275", MM)
    assert (made.plus_mm, made.minus_mm) == (0.5, 0.5)


@pytest.mark.parametrize(
    "text",
    [
        "hole 22±0.5 thru 12",
        "hole 22mm±0.5 thru 12",
        "square 22 ±0.5 thru 12",
        "rectangle 22 x 40 ±0.5 thru 12",
        "slot 22 x 50 ±0.5 thru 12 along",
        "bolt M20 ±0.5 thru 12",
        "bolt M20 oversize ±0.5 per EN 1090-2 thru 12",
        "hole 22 ±0.5 thru 12 S355 edge 40 ream",
    ],
)
def test_it_stands_behind_the_size_of_every_punched_hole(text: str) -> None:
    assert read(text, MM).plus_mm == 0.5


def test_a_fraction_is_inches_and_a_bare_number_the_cribs_own() -> None:
    made = read("hole 13/16 +1/32 -0 thru 3/8", IN)
    assert made.plus_mm == pytest.approx(mm("1/32"))
    assert made.minus_mm == 0.0
    assert read("hole 13/16 ±.010 thru 3/8", IN).plus_mm == pytest.approx(0.254)
    assert read("hole 13/16 ±0.3 thru 10", MM).plus_mm == 0.3


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("hole 22 -0.5 thru 12", "names both sides"),
        ("hole 1 -1/8 thru 3/8", "names both sides"),
        ("hole 22 +0.5 thru 12", "names both sides"),
        ("hole 22 +0.5 +0.2 thru 12", "names both sides"),
        ("hole 22 ±0.5 12", "before 'thru'"),
        ("hole 22 thru 12 ±0.5", "before 'thru'"),
        ("slot 22 ±0.5 x 50 thru 12", "before 'thru'"),
        ("hole 22 ±5 thru 12", "out of reason"),
        ("hole 22 ±0 thru 12", "out of reason"),
        ("hole 5 +0 -3 thru 3", "less than half"),
        ("hole 22 ±banana thru 12", "names both sides"),
        ("cut flat 100 ±1 x 10", "±1"),
    ],
)
def test_what_is_no_tolerance_is_pointed_at_and_never_passed_over(text: str, word: str) -> None:
    with pytest.raises(BadPhrase, match=word):
        read_phrase(text, MM)


SIDES = st.one_of(
    st.integers(0, 128).map(lambda number: Fraction(number, 64) * Fraction(254, 10)),
    st.integers(0, 320).map(lambda number: Fraction(number, 100)),
)


def test_a_plus_in_a_materials_name_is_no_tolerance() -> None:
    ask = read_phrase("hole 22 ±0.5 thru 12 S355J2+N", MM)
    assert ask.plate.material.name == "S355"
    assert read_phrase("hole 22 thru 12 S355J2+N", MM).as_json().get("tolerance") is None


@given(SIDES, SIDES, st.sampled_from([IN, MM]), st.sampled_from(["hole 22mm", "slot 22mm x 50mm"]))
def test_what_is_written_back_reads_the_same(
    plus: Fraction, minus: Fraction, reading: Reading, hole: str
) -> None:
    plus_mm, minus_mm = min(float(plus), 3.2), min(float(minus), 3.2)
    if not plus_mm and not minus_mm:
        plus_mm = 0.1
    wanted = Tolerance(plus_mm, minus_mm)
    text = f"{hole}{wanted.phrase(reading.system)} thru 12mm S275"
    ask = read_phrase(text, reading)
    again = read_phrase(ask.phrase(reading.system), reading)
    assert isinstance(ask, Punched)
    assert isinstance(again, Punched)
    assert again == ask
    assert ask.tolerance is not None
    assert ask.tolerance.plus_mm == pytest.approx(plus_mm, abs=1e-9)
    assert ask.tolerance.minus_mm == pytest.approx(minus_mm, abs=1e-9)
