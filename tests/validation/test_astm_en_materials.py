"""Strengths of materials: ASTM, EN 10025-2, Shigley Table A-20, aluminium and copper data.

Each row of ``data/material_strengths.csv`` names its own source; rows with ``how`` = memory were
not confirmed. Strengths that no row holds (A992, A588, 2024-O) are checked as from memory.
"""

from __future__ import annotations

import pytest

from crib.trade.metal.materials import find_material, yield_at_mpa
from tests.validation.published import rows

_MPA_PER_KSI = 6.894757293168
_GRADES = {
    "A36": ("A36", "plate"),
    "A572-50": ("A572-50", "plate"),
    "A500-B": ("A500-B round", "HSS"),
    "A500-C": ("A500-C", "HSS"),
    "A53-B": ("A53-B", "pipe"),
    "1008": ("1008", "hot rolled"),
    "1010": ("1010", "hot rolled"),
    "1018-HR": ("1018", "hot rolled"),
    "1018-CD": ("1018", "cold drawn"),
    "1020": ("1020", "hot rolled"),
    "1045": ("1045", "hot rolled"),
    "A514": ("A514", "plate <="),
    "AR400": ("AR400", ""),
    "304": ("304", ""),
    "316": ("316", ""),
    "S235": ("S235JR", "t <= 16"),
    "S275": ("S275JR", "t <= 16"),
    "S355": ("S355JR", "t <= 16"),
    "3003-H14": ("3003-H14", ""),
    "5052-H32": ("5052-H32", "sheet and plate"),
    "6061-T6": ("6061-T6", ""),
    "C110": ("C11000 copper", "flat, half hard"),
    "C260": ("C26000 brass", "sheet, half hard"),
}


def _row(name: str) -> dict[str, str]:
    grade, form = _GRADES[name]
    found = [
        row
        for row in rows("material_strengths")
        if row["grade"] == grade and row["form_condition"].startswith(form)
    ]
    assert len(found) == 1
    return found[0]


def _number(text: str) -> float | None:
    return float(text) if text else None


@pytest.mark.parametrize("name", _GRADES)
def test_a_material_is_as_strong_as_published(name: str) -> None:
    row, material = _row(name), find_material(name)
    assert material.yield_mpa == _number(row["yield_min_mpa"])
    assert material.tensile_mpa == _number(row["uts_min_mpa"])
    assert material.tensile_max_mpa == _number(row["uts_max_mpa"])
    assert material.shear_mpa == _number(row["shear_ultimate_mpa"])


@pytest.mark.parametrize(
    ("name", "yield_ksi", "tensile_ksi"), [("A992", 50, 65), ("A588", 50, 70), ("2024-O", 11, 27)]
)
def test_strengths_held_from_memory(name: str, yield_ksi: float, tensile_ksi: float) -> None:
    material = find_material(name)
    assert material.yield_mpa == pytest.approx(yield_ksi * _MPA_PER_KSI, abs=3)
    assert material.tensile_mpa == pytest.approx(tensile_ksi * _MPA_PER_KSI, abs=3)
    assert material.strength_source.endswith("from memory")


@pytest.mark.parametrize(
    ("name", "yield_mpa", "least_mpa", "most_mpa"),
    [
        # ASTM A709/A709M-13a, Table 1 (grades 36, 50, 50W, HPS 70W, HPS 100W to 2-1/2 in).
        ("A709-36", 250, 400, 550),
        ("A709-50", 345, 450, None),
        ("A709-50W", 345, 485, None),
        ("A709-70W", 485, 585, 760),
        ("A709-100W", 690, 760, 895),
        # A public table of AISI 4140, annealed at 815 °C: 417.1 and 655.0 MPa.
        ("4140 annealed", 417, 655, None),
        # AS/NZS 3679.1:1996 grade 300 in a mill's table: 280 MPa over 17 mm, 440 MPa.
        ("AS300", 280, 440, None),
    ],
)
def test_the_other_grades_are_as_strong_as_published(
    name: str, yield_mpa: float, least_mpa: float, most_mpa: float | None
) -> None:
    material = find_material(name)
    assert (material.yield_mpa, material.tensile_mpa) == (yield_mpa, least_mpa)
    assert material.tensile_max_mpa == most_mpa


@pytest.mark.parametrize(
    ("name", "yields_mpa"),
    # BS EN 10025-2:2004, Table 7: to 16, 40, 63 and 80 mm.
    [
        ("S235", (235, 225, 215, 215)),
        ("S275", (275, 265, 255, 245)),
        ("S355", (355, 345, 335, 325)),
    ],
)
def test_thicker_plate_yields_earlier_as_published(
    name: str, yields_mpa: tuple[float, ...]
) -> None:
    grade = find_material(name)
    assert tuple(yield_at_mpa(grade, thick) for thick in (16.0, 40.0, 63.0, 80.0)) == yields_mpa
    assert yield_at_mpa(grade, 16.1) == yields_mpa[1]
