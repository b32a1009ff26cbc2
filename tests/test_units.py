"""How quantities are read and written at the edge of the crib."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pint
import pytest

import crib
from crib import units
from crib.errors import BadQuantity, BadValue
from crib.units import System

PINT_RELATIVE = 1e-12  # pint is the outside check of every conversion; both sides are floats
STANDARD_GRAVITY_M_S2 = 9.80665

COMMON_SPELLINGS = """
from crib import units
for text in ("13/16", "1-3/16", ".8125", '13/16"', "0.8125 in", "20.6 mm", "1½", "0.82"):
    units.read_length_mm(text, "in")
units.read_gauge("10 ga")
units.read_force_n("50 US tons")
units.read_stress_mpa("58 ksi")
units.read_percent("12 %")
units.format_length_both(20.6375, "in")
import sys
print("pint" in sys.modules, "fractions" in sys.modules, "decimal" in sys.modules)
"""


@pytest.mark.parametrize(
    ("text", "length_mm"),
    [
        ("13/16", 20.6375),
        ("1-3/16", 30.1625),
        ("1 3/16", 30.1625),
        (".8125", 20.6375),
        ("0.8125in", 20.6375),
        ("0.8125 IN.", 20.6375),
        ('13/16"', 20.6375),
        ("13/16”", 20.6375),
        ("13/16 in", 20.6375),
        ("1-3/16 inch", 30.1625),
        ("1-3/16 inches", 30.1625),
        ("13⁄16", 20.6375),
        ("½", 12.7),
        ("1½", 38.1),
        ("1 ½ in", 38.1),
        ("1-½", 38.1),
        ("⅞", 22.225),
        ("1\u00a03/16", 30.1625),
        ("17/16", 26.9875),
        ("3/8", 9.525),
        ("2", 50.8),
        ("2.", 50.8),
        ("0.82", 20.828),
        ("1/1000", 0.0254),
        ("999/1000", 25.3746),
        ("20.6mm", 20.6),
        ("20.6 MM", 20.6),
        ("  20.6 mm ", 20.6),
        ("100000 mm", 100_000.0),
        ("2 ft", 609.6),
        ("2 FT", 609.6),
        ("0.02 m", 20.0),
        ("1.5cm", 15.0),
        ("500 µm", 0.5),
        ("100 m", 100_000.0),
    ],
)
def test_a_length_is_read_exactly_in_a_crib_of_inches(text: str, length_mm: float) -> None:
    assert units.read_length_mm(text, "in") == length_mm


@pytest.mark.parametrize(
    ("text", "length_mm"),
    [("22", 22.0), (".5", 0.5), ("22 in", 558.8), ("13/16", 20.6375), ("1-3/16", 30.1625)],
)
def test_only_a_bare_number_follows_a_crib_of_millimetres(text: str, length_mm: float) -> None:
    assert units.read_length_mm(text, "mm") == length_mm


@pytest.mark.parametrize("bare", ["in", "mm"])
@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "nothing is written"),
        (" \n ", "nothing is written"),
        ("1/0", "0 under the line must be 1 to 1000"),
        ("13/1001", "1001 under the line must be 1 to 1000"),
        ("13/16/2", "more than one fraction line"),
        ("3/8 5/8", "more than one fraction line"),
        ("½½", "more than one fraction line"),
        ("½5", "not one plain fraction"),
        ("1 - 3/16", "not one plain fraction"),
        ("1-1-2", "not one number and one unit"),
        ("1-17/16", "17/16 must be less than 1"),
        ("1-16/16", "16/16 must be less than 1"),
        ("--", "a sign or a dash in front"),
        ("-3/8", "a sign or a dash in front"),
        ("−3/8", "a sign or a dash in front"),
        ("+3/8", "a sign or a dash in front"),
        ("NaN", "there is no number"),
        ("inf", "there is no number"),
        ("in", "there is no number"),
        ("x 3", "does not begin with a number"),
        ("1e400", "powers of ten are not read"),
        ("1E3 mm", "powers of ten are not read"),
        ("9" * 10_000, "over 40 characters"),
        ("１３", "only the plain digits 0 to 9"),
        ("١", "only the plain digits 0 to 9"),
        ("0x10", "not one number and one unit"),
        ("1_000", "underscore"),
        ("1..5", "not one number and one unit"),
        ("1.2.3", "not one number and one unit"),
        ("1' 6\"", "not one number and one unit"),
        ("1 2 mm", "not one number and one unit"),
        ("8\n9", "not one number and one unit"),
        ("13/16 mm", "a fraction is always inches"),
        ("1/2 ft", "a fraction is always inches"),
        ("10ga", "together with its material"),
        ("10.5ga", "one whole number"),
        ("5 kg", "'kg' is not a unit of length"),
        ("5 pm", "'pm' is not a unit of length"),
        ("5 lambda", "'lambda' is not a unit of length"),
        ("5 convert", "'convert' is not a unit of length"),
        ("2 m*m", "is not a unit of length"),
    ],
)
def test_what_is_not_plainly_one_length_is_refused(text: str, why: str, bare: System) -> None:
    with pytest.raises(BadQuantity, match=why):
        units.read_length_mm(text, bare)


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("0,8125", "write 0.8125in or 0.8125mm"),
        (",5 in", "write 0.5in"),
        ("1,200 mm", "write 1200mm or 1.200mm"),
        ("1,200.5 mm", "write 1200.5 mm"),
        ("1,000,000", "write it like 13/16, 1-3/16, 0.8125 in or 20.6 mm"),
        ("1,2,3", "write it like 13/16, 1-3/16, 0.8125 in or 20.6 mm"),
    ],
)
def test_a_comma_is_refused_with_what_to_write(text: str, hint: str) -> None:
    with pytest.raises(BadQuantity, match="a comma is not part of a number") as caught:
        units.read_length_mm(text, "in")
    assert caught.value.way_out == hint


def test_a_refusal_shows_the_text_and_a_right_example() -> None:
    with pytest.raises(BadQuantity, match=r"^length 'thick' cannot be read: there is no") as caught:
        units.read_length_mm("thick", "in")
    assert caught.value.way_out == "write it like 13/16, 1-3/16, 0.8125 in or 20.6 mm"


def test_a_long_text_is_shown_shortened_to_40_characters() -> None:
    with pytest.raises(BadQuantity, match="over 40 characters") as caught:
        units.read_length_mm("7" * 10_240, "in")
    assert f"'{'7' * 39}…'" in caught.value.message


@pytest.mark.parametrize("text", ["0", "0.000 mm", "0/16", "0 ft"])
def test_zero_is_a_length_only_where_it_is_allowed(text: str) -> None:
    assert units.read_length_mm(text, "in", allow_zero=True) == 0
    with pytest.raises(BadValue, match="must be > 0"):
        units.read_length_mm(text, "in")


@pytest.mark.parametrize("text", ["100000.0001 mm", "100.1 m", "3937.1", "9" * 40, "1 parsec"])
def test_a_length_over_100_m_is_refused(text: str) -> None:
    with pytest.raises(BadValue, match="must be <= 100000 mm"):
        units.read_length_mm(text, "in")


@pytest.mark.parametrize(
    ("text", "gauge"),
    [
        ("10ga", 10),
        ("10 ga", 10),
        ("10 ga.", 10),
        ("10 gauge", 10),
        ("10 gage", 10),
        (" 10GA ", 10),
        ("0ga", 0),
        ("99ga", 99),
        ("100ga", 100),
        ("10", None),
        ("10 mm", None),
        ("ga", None),
        ("omega", None),
        ("10 ga A36", None),
        ("", None),
        ("1" * 10_000 + "ga", None),
    ],
)
def test_a_gauge_is_read_only_when_it_is_written_as_one(text: str, gauge: int | None) -> None:
    assert units.read_gauge(text) == gauge


@pytest.mark.parametrize("text", ["10.5ga", "1/2ga", "7/0 ga", "00ga", "-3ga", "1000ga", "１０ga"])
def test_a_gauge_that_is_no_whole_number_is_refused(text: str) -> None:
    with pytest.raises(BadQuantity, match="a gauge is one whole number") as caught:
        units.read_gauge(text)
    assert caught.value.way_out == "write it like 10ga"


@pytest.mark.parametrize(
    ("text", "begins"),
    [
        ("13/16", True),
        (".5", True),
        ("½", True),
        (" 20.6mm", True),
        ("10ga", True),
        ("-3/8", True),
        ("１３", True),
        ("A36", False),
        ("thru", False),
        ("x", False),
        (".", False),
        ("-", False),
        ("", False),
    ],
)
def test_a_word_looks_like_a_length_by_how_it_begins(text: str, begins: bool) -> None:
    assert units.looks_like_length(text) is begins


@pytest.mark.parametrize(
    ("length_mm", "system", "text"),
    [
        (20.6375, "in", "13/16 in"),
        (30.1625, "in", "1-3/16 in"),
        (50.8, "in", "2 in"),
        (0.396875, "in", "1/64 in"),
        (20.828, "in", "0.82 in"),
        (2.54, "in", "0.1 in"),
        (0.0, "in", "0 in"),
        (-9.525, "in", "-3/8 in"),
        (20.6375, "mm", "20.6375 mm"),
        (22.0, "mm", "22 mm"),
        (22, "mm", "22 mm"),
        (0.00001, "mm", "0.00001 mm"),
        (100_000.0, "mm", "100000 mm"),
    ],
)
def test_a_length_is_written_the_way_the_trade_writes_it(
    length_mm: float, system: System, text: str
) -> None:
    assert units.format_length(length_mm, system) == text
    assert units.format_length(length_mm, system, with_unit=False) == text.removesuffix(
        f" {system}"
    )


@pytest.mark.parametrize(
    ("length_mm", "system", "digits", "text"),
    [
        (22.0, "in", 3, "0.866 in"),
        (20.637500000000003, "in", 3, "13/16 in"),
        (0.1 + 0.2, "mm", 2, "0.3 mm"),
        (-0.001, "mm", 2, "0 mm"),
    ],
)
def test_a_worked_out_length_is_rounded_on_request(
    length_mm: float, system: System, digits: int, text: str
) -> None:
    assert units.format_length(length_mm, system, digits=digits) == text


@pytest.mark.parametrize(
    ("length_mm", "system", "text"),
    [
        (20.6375, "in", "13/16 in (20.64 mm)"),
        (50.8, "in", "2 in (50.8 mm)"),
        (22.0, "in", "0.8661 in (22 mm)"),
        (20.6375, "mm", "20.6375 mm (13/16 in)"),
        (22.0, "mm", "22 mm (0.8661 in)"),
    ],
)
def test_a_length_for_people_stands_in_both_systems(
    length_mm: float, system: System, text: str
) -> None:
    assert units.format_length_both(length_mm, system) == text


@pytest.mark.parametrize("bad", [float("nan"), float("inf"), float("-inf"), 1e15])
@pytest.mark.parametrize(
    "write",
    [
        lambda bad: units.format_length(bad, "in"),
        lambda bad: units.format_length(bad, "mm"),
        lambda bad: units.format_force(bad, "kN"),
        lambda bad: units.format_stress(bad, "mm"),
    ],
)
def test_what_is_no_number_is_never_written(write: Callable[[float], str], bad: float) -> None:
    with pytest.raises(BadValue, match="must be a number below 1e15"):
        write(bad)


@pytest.mark.parametrize(
    ("constant", "amount", "source_unit", "unit"),
    [
        (units.MM_PER_INCH, 1, "inch", "mm"),
        (units.N_PER_LBF, 1, "lbf", "N"),
        (units.N_PER_US_TON, 2000, "lbf", "N"),
        (units.N_PER_US_TON, STANDARD_GRAVITY_M_S2, "short_ton * m / s**2", "N"),
        (units.N_PER_UK_TON, 2240, "lbf", "N"),
        (units.N_PER_UK_TON, STANDARD_GRAVITY_M_S2, "long_ton * m / s**2", "N"),
        (units.N_PER_TONNE, STANDARD_GRAVITY_M_S2, "tonne * m / s**2", "N"),
        (units.MPA_PER_KSI, 1, "ksi", "MPa"),
    ],
)
def test_each_constant_agrees_with_pint_as_the_outside_check(
    constant: float, amount: float, source_unit: str, unit: str
) -> None:
    outside: pint.UnitRegistry[float] = pint.UnitRegistry()
    assert constant == pytest.approx(
        outside.Quantity(amount, source_unit).to(unit).magnitude, rel=PINT_RELATIVE
    )


def test_the_tons_are_2000_and_2240_pounds_and_1000_kilograms() -> None:
    assert pytest.approx(2000 * units.N_PER_LBF, rel=1e-15) == units.N_PER_US_TON
    assert pytest.approx(2240 * units.N_PER_LBF, rel=1e-15) == units.N_PER_UK_TON
    assert units.N_PER_TONNE == 1000 * STANDARD_GRAVITY_M_S2


def test_there_is_one_registry() -> None:
    assert units.registry() is units.registry()


def test_common_spellings_do_not_load_pint() -> None:
    ran = subprocess.run(
        [sys.executable, "-c", COMMON_SPELLINGS],
        cwd=Path(crib.__file__).parent.parent,
        capture_output=True,
        text=True,
        check=True,
    )
    assert ran.stdout.split() == ["False", "False", "False"]


def test_pint_is_imported_in_one_place_of_the_crib() -> None:
    root = Path(crib.__file__).parent
    places = [
        path.relative_to(root).as_posix()
        for path in sorted(root.rglob("*.py"))
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Import) and any(a.name.split(".")[0] == "pint" for a in node.names)
    ]
    typed_only = [
        path.relative_to(root).as_posix()
        for path in sorted(root.rglob("*.py"))
        if "from pint" in path.read_text(encoding="utf-8")
    ]
    assert places == ["units.py"]
    assert typed_only == ["units.py"]
