"""How forces, stresses, shares, counts and money are read and written at the edge of the crib."""

from __future__ import annotations

import pytest

from crib import units
from crib.errors import BadQuantity, BadValue
from crib.units import ForceUnit, StressUnit

LAST_BIT = 1e-15  # a product of two floats may differ from the exact value in its last bit


@pytest.mark.parametrize(
    ("text", "force_n"),
    [
        ("50 US tons", 444_822.16152605),
        ("50 us ton", 444_822.16152605),
        ("50 U.S. tons", 444_822.16152605),
        ("50 short tons", 444_822.16152605),
        ("100000 lbf", 444_822.16152605),
        ("100000lb", 444_822.16152605),
        ("50 UK tons", 498_200.820909176),
        ("50 long tons", 498_200.820909176),
        ("50 tonnes", 490_332.5),
        ("50 metric tons", 490_332.5),
        ("445 kN", 445_000.0),
        ("445000 N", 445_000.0),
        ("100000 kN", 1e8),
    ],
)
def test_a_force_is_read_in_the_unit_it_names(text: str, force_n: float) -> None:
    assert units.read_force_n(text) == pytest.approx(force_n, rel=LAST_BIT)


def test_a_bare_force_is_refused_with_every_unit_it_may_have() -> None:
    with pytest.raises(BadQuantity, match="'450' cannot be read: it needs a unit") as caught:
        units.read_force_n("450")
    assert caught.value.way_out == "say which: 450 US tons, 450 UK tons, 450 tonnes or 450 kN"


@pytest.mark.parametrize("word", ["t", "T", "ton", "tons", "Tons", "tonf"])
def test_a_ton_that_does_not_say_which_is_refused(word: str) -> None:
    with pytest.raises(BadQuantity, match=f"'{word}' may be three different forces") as caught:
        units.read_force_n(f"50.5 {word}")
    assert caught.value.way_out == ("say which: 50.5 US tons, 50.5 UK tons, 50.5 tonnes or 50.5 kN")


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("50", "it needs a unit"),
        ("", "nothing is written"),
        ("-5 kN", "a sign or a dash in front"),
        ("five kN", "there is no number"),
        ("1/2 kN", "not one plain fraction"),
        ("1e3 kN", "powers of ten"),
        ("100,000 lbf", "a comma is not part"),
        ("50 kg", "'kg' is not a unit of force"),
        ("50 French tons", "'French tons' is not a unit of force"),
    ],
)
def test_what_is_not_plainly_one_force_is_refused(text: str, why: str) -> None:
    with pytest.raises(BadQuantity, match=why):
        units.read_force_n(text)


@pytest.mark.parametrize(
    ("text", "why"), [("0 kN", "must be > 0"), ("100001 kN", "must be <= 100000000 N")]
)
def test_a_force_outside_its_limits_is_refused(text: str, why: str) -> None:
    with pytest.raises(BadValue, match=why):
        units.read_force_n(text)


@pytest.mark.parametrize(
    ("unit", "text"),
    [
        ("US tons", "24.4 US tons"),
        ("UK tons", "21.8 UK tons"),
        ("tonnes", "22.1 tonnes"),
        ("kN", "217.1 kN"),
    ],
)
def test_a_force_is_written_with_its_unit_in_full(unit: ForceUnit, text: str) -> None:
    assert units.format_force(217_073.0, unit) == text


@pytest.mark.parametrize(
    ("text", "bare", "stress_mpa"),
    [
        ("58 ksi", None, 399.895923),
        ("58000 psi", None, 399.895923),
        ("58", "ksi", 399.895923),
        ("58 KSI", "MPa", 399.895923),
        ("400 MPa", "ksi", 400.0),
        ("400", "MPa", 400.0),
        ("400 N/mm2", None, 400.0),
        ("400 N/mm²", None, 400.0),
        ("10000 MPa", None, 10_000.0),
    ],
)
def test_a_stress_is_read(text: str, bare: StressUnit | None, stress_mpa: float) -> None:
    assert units.read_stress_mpa(text, bare) == pytest.approx(stress_mpa, abs=5e-7)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("58", "it needs a unit"),
        ("58 kN", "'kN' is not a unit of stress"),
        ("58 N/in2", "not one number and one unit"),
        ("58,5 ksi", "a comma is not part"),
    ],
)
def test_what_is_not_plainly_one_stress_is_refused(text: str, why: str) -> None:
    with pytest.raises(BadQuantity, match=why):
        units.read_stress_mpa(text, None)


@pytest.mark.parametrize(
    ("text", "why"), [("0 ksi", "must be > 0"), ("10001 MPa", "must be <= 10000 MPa")]
)
def test_a_stress_outside_its_limits_is_refused(text: str, why: str) -> None:
    with pytest.raises(BadValue, match=why):
        units.read_stress_mpa(text, None)


def test_a_stress_is_written_whole_in_the_systems_unit() -> None:
    assert units.format_stress(648.1, "in") == "94 ksi"
    assert units.format_stress(648.1, "mm") == "648 MPa"


@pytest.mark.parametrize(
    ("text", "share"),
    [
        ("12 %", 0.12),
        ("12%", 0.12),
        ("0.12", 0.12),
        (".12", 0.12),
        ("0", 0.0),
        ("1", 1.0),
        ("8.3 %", 0.083),
        ("150 %", 1.5),
        ("1000 %", 10.0),
    ],
)
def test_a_share_is_read_as_a_fraction_of_one(text: str, share: float) -> None:
    assert units.read_percent(text) == share


@pytest.mark.parametrize(
    ("text", "why", "hint"),
    [
        ("12", "a number over 1 needs its % sign", "write 12 % or 0.12"),
        ("1.5", "a number over 1 needs its % sign", "write 1.5 % or 0.015"),
        ("12 mm", "'mm' is not a unit of share", "write it like 12 % or 0.12"),
        ("-1 %", "a sign or a dash in front", "write it like 12 % or 0.12"),
        ("12 %%", "'%%' is not a unit of share", "write it like 12 % or 0.12"),
        ("0,12", "a comma is not part", "write 0.12"),
    ],
)
def test_what_is_not_plainly_one_share_is_refused(text: str, why: str, hint: str) -> None:
    with pytest.raises(BadQuantity, match=why) as caught:
        units.read_percent(text)
    assert caught.value.way_out == hint


def test_a_share_over_1000_percent_is_refused() -> None:
    with pytest.raises(BadValue, match=r"must be <= 10 \(1000 %\)"):
        units.read_percent("1000.1 %")


@pytest.mark.parametrize(
    ("text", "count"), [("0", 0), (" 340 ", 340), ("007", 7), ("10000000", 10_000_000)]
)
def test_a_count_is_read(text: str, count: int) -> None:
    assert units.read_count(text) == count


@pytest.mark.parametrize(
    ("text", "why", "hint"),
    [
        ("", "nothing is written", "write it like 1200"),
        ("1e3", "powers of ten", "write it like 1200"),
        ("1.0", "not a whole number", "write it like 1200"),
        ("12 000", "not a whole number", "write it like 1200"),
        ("-1", "a sign or a dash", "write it like 1200"),
        ("١", "only the plain digits", "write it like 1200"),
        ("1_200", "underscore", "write it like 1200"),
        ("1,200", "a comma is not part", "write 1200"),
        ("1,5", "a comma is not part", "write it like 1200"),
        ("1,200.0", "a comma is not part", "write it like 1200"),
        ("9" * 5_000, "over 40 characters", "write it like 1200"),
    ],
)
def test_what_is_not_plainly_one_count_is_refused(text: str, why: str, hint: str) -> None:
    with pytest.raises(BadQuantity, match=why) as caught:
        units.read_count(text)
    assert caught.value.way_out == hint


def test_a_count_over_10_million_is_refused() -> None:
    with pytest.raises(BadValue, match=r"count '10000001' must be <= 10000000$"):
        units.read_count("10000001")


@pytest.mark.parametrize(
    ("text", "cents"),
    [
        ("12.50", 1250),
        ("$12.50", 1250),
        ("$ 12.50", 1250),
        ("12", 1200),
        ("1250.5", 125_050),
        (".05", 5),
        ("0.29", 29),
        ("0", 0),
        ("1000000000", 100_000_000_000),
    ],
)
def test_money_is_read_as_whole_cents(text: str, cents: int) -> None:
    assert units.read_money_cents(text) == cents


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("12.505", "at most two decimals"),
        ("12.", "at most two decimals"),
        ("$", "there is no number"),
        ("", "nothing is written"),
        ("-3", "a sign or a dash"),
        ("12,50", "a comma is not part"),
        ("EUR 12", "does not begin with a number"),
        ("12 EUR", "at most two decimals"),
    ],
)
def test_what_is_not_plainly_one_amount_is_refused(text: str, why: str) -> None:
    with pytest.raises(BadQuantity, match=why):
        units.read_money_cents(text)


def test_an_amount_over_a_thousand_million_is_refused() -> None:
    with pytest.raises(BadValue, match="must be <= 100000000000 cents"):
        units.read_money_cents("1000000000.01")


@pytest.mark.parametrize(
    ("cents", "text"),
    [(1250, "USD 12.50"), (5, "USD 0.05"), (0, "USD 0.00"), (-1250, "USD -12.50")],
)
def test_money_is_written_with_its_currency(cents: int, text: str) -> None:
    assert units.format_money(cents, "USD") == text
    assert units.format_amount(cents) == text.removeprefix("USD ")


def test_no_amount_is_written_as_nothing() -> None:
    assert units.format_amount(None) == ""
