"""Laws that reading and writing quantities must keep for every text and number."""

from __future__ import annotations

import re
from collections.abc import Callable
from fractions import Fraction

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from crib import units
from crib.errors import BadQuantity, BadValue
from crib.units import ForceUnit, System

READERS: dict[str, Callable[[str], object]] = {
    "length in": lambda text: units.read_length_mm(text, "in"),
    "length mm": lambda text: units.read_length_mm(text, "mm", allow_zero=True),
    "gauge": units.read_gauge,
    "looks like a length": units.looks_like_length,
    "force": units.read_force_n,
    "stress": lambda text: units.read_stress_mpa(text, None),
    "bare stress": lambda text: units.read_stress_mpa(text, "ksi"),
    "percent": units.read_percent,
    "count": units.read_count,
    "money": units.read_money_cents,
}
SYSTEMS = st.sampled_from(["in", "mm"])
NEAR_MISSES = st.text(
    alphabet="0123456789./-+ ,'\"⁄½⅞ⅷ²°inmftgakNUSsolde%$_\n\u00a0−１٣", max_size=14
)
FOUR_DECIMALS = st.integers(min_value=1, max_value=10**9).map(lambda n: n / 10**4)


def _answer(read: Callable[[str], object], text: str) -> object:
    """What a reader makes of a text; any other exception than a refusal fails the test."""
    try:
        return read(text)
    except (BadQuantity, BadValue) as caught:
        refusal = caught
    assert len(refusal.message) < 400
    assert refusal.way_out
    return None


@pytest.mark.parametrize("name", READERS)
@given(text=st.one_of(st.text(), NEAR_MISSES))
@settings(max_examples=200, deadline=None)
def test_any_text_is_read_or_refused(name: str, text: str) -> None:
    _answer(READERS[name], text)


_FIGURES = st.from_regex(r"[0-9]{0,4}([.,][0-9]{1,4}){0,3}", fullmatch=True)
_UNITS = st.sampled_from(["", " mm", "in", " cm", " kN", " tons", " t", " ksi", "%", " EUR", " ga"])
_HINT = re.compile(r"(?:write|write it like|say which:|such as) (?!it\b)(.*)")


def _hinted(way_out: str) -> list[str]:
    """What a way out says that one may write instead."""
    written = _HINT.search(way_out)
    return re.split(r", | or ", written[1]) if written else []


@pytest.mark.parametrize("name", [name for name in READERS if "looks" not in name])
@given(figures=_FIGURES, unit=_UNITS, sign=st.sampled_from(["", "$", "Ø", "-"]))
@settings(max_examples=250, deadline=None)
@example(figures="1.234,50", unit="", sign="")
@example(figures="1,200.0", unit="", sign="")
@example(figures="1,5", unit=" kN", sign="")
@example(figures="2.000", unit="", sign="")
@example(figures="0", unit=" tons", sign="")
def test_what_a_hint_says_to_write_is_read(name: str, figures: str, unit: str, sign: str) -> None:
    text = f"{sign}{figures}{unit}"
    try:
        READERS[name](text)
    except (BadQuantity, BadValue) as caught:
        way_out, asked = str(caught.way_out), getattr(caught, "readings", ())
    else:
        return
    is_example = "like" in way_out or "such as" in way_out
    for hint in (*_hinted(way_out), *asked):
        READERS[name](hint)
        assert is_example or set(re.findall("[1-9]", hint)) <= set(re.findall("[1-9]", text))


@given(word=st.text(alphabet="abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZµ", max_size=8))
@settings(max_examples=300, deadline=None)
@example(word="lambda")
@example(word="None")
@example(word="degC")
@example(word="dB")
@example(word="delta_degC")
def test_any_unit_word_is_read_or_refused(word: str) -> None:
    _answer(lambda text: units.read_length_mm(text, "in"), f"3 {word}")


@given(text=NEAR_MISSES)
@settings(max_examples=500, deadline=None)
def test_a_length_that_is_read_holds_no_sign_that_could_mean_another(text: str) -> None:
    if _answer(lambda text: units.read_length_mm(text, "in"), text) is not None:
        assert not set("，,_\n+−１٣'²°ⅷ%$") & set(text.strip())


@pytest.mark.parametrize("system", ["in", "mm"])
@pytest.mark.parametrize("with_unit", [True, False])
def test_every_64th_up_to_24_inches_reads_back_equal(system: System, with_unit: bool) -> None:
    for k in range(1, 24 * 64 + 1):
        length_mm = units.mm_from_inches(k / 64)
        written = units.format_length(length_mm, system, with_unit=with_unit)
        assert units.read_length_mm(written, system) == length_mm
        assert "." not in written or system == "mm"


@given(length_mm=FOUR_DECIMALS, system=SYSTEMS, with_unit=st.booleans())
@settings(max_examples=1000)
def test_four_decimals_of_a_millimetre_read_back_equal(
    length_mm: float, system: System, with_unit: bool
) -> None:
    written = units.format_length(length_mm, system, with_unit=with_unit)
    assert units.read_length_mm(written, system) == length_mm


@given(length_mm=st.floats(min_value=1e-3, max_value=1e5), system=SYSTEMS)
@settings(max_examples=1000)
def test_any_float_reads_back_equal(length_mm: float, system: System) -> None:
    assert units.read_length_mm(units.format_length(length_mm, system), system) == length_mm


@given(
    whole=st.integers(0, 400),
    above=st.integers(0, 999),
    below=st.integers(1, 1000),
    dash=st.sampled_from("- "),
)
def test_a_fraction_is_the_nearest_float_to_the_exact_value(
    whole: int, above: int, below: int, dash: str
) -> None:
    above %= below
    exact = (whole + Fraction(above, below)) * Fraction("25.4")
    text = f"{whole}{dash}{above}/{below}"
    assert units.read_length_mm(text, "mm", allow_zero=True) == float(exact)


@given(k=st.integers(1, 24 * 64))
def test_a_64th_is_the_same_float_in_every_spelling(k: int) -> None:
    spellings = [f"{k}/64", f"{k / 64} in", f"{Fraction(k, 64) * Fraction('25.4') * 10**6}"]
    spellings[2] = f"{int(spellings[2]) // 10**6}.{int(spellings[2]) % 10**6:06d} mm"
    assert len({units.read_length_mm(text, "in") for text in spellings}) == 1
    assert units.inches_from_mm(units.mm_from_inches(k / 64)) == k / 64


@given(first=FOUR_DECIMALS, second=FOUR_DECIMALS, bare=SYSTEMS)
def test_a_larger_figure_is_never_a_smaller_length(
    first: float, second: float, bare: System
) -> None:
    small, large = sorted((first / 100, second / 100))
    read = [units.read_length_mm(f"{value:.6f}", bare) for value in (small, large)]
    assert read == sorted(read)


@given(
    force_n=st.floats(min_value=1.0, max_value=9e7),
    unit=st.sampled_from(["US tons", "UK tons", "tonnes", "kN"]),
)
def test_a_written_force_reads_back_to_its_digits(force_n: float, unit: ForceUnit) -> None:
    written = units.format_force(force_n, unit, digits=6)
    assert units.read_force_n(written) == pytest.approx(force_n, abs=0.006)


@given(cents=st.integers(0, units.MOST_MONEY_CENTS))
def test_written_money_reads_back_to_the_cent(cents: int) -> None:
    assert units.read_money_cents(units.format_money(cents, "").strip()) == cents


@given(count=st.integers(0, units.MOST_COUNT))
def test_a_written_count_reads_back(count: int) -> None:
    assert units.read_count(str(count)) == count


@given(tenths=st.integers(0, 1000))
def test_a_percent_sign_divides_by_a_hundred(tenths: int) -> None:
    assert units.read_percent(f"{tenths / 10} %") == tenths / 1000
