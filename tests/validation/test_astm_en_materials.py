"""Strengths of materials: ASTM, EN 10025-2, Shigley Table A-20, aluminium and copper data.

Each row of ``data/material_strengths.csv`` names its own source; rows with ``how`` = memory were
not confirmed. Strengths that no row holds (A992, A588, 2024-O) are checked as from memory.
"""

from __future__ import annotations

import pytest

from crib.trade.metal.materials import (
    Material,
    find_material,
    known_materials,
    yield_at_mpa,
)
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


@pytest.mark.parametrize(
    ("name", "above_mm", "yields_mpa"),
    [
        # BS EN 10025-2:2004, Table 7: the steps lie at 16, 40 and 63 mm.
        ("S235", 16.0, (235, 225)),
        ("S235", 40.0, (225, 215)),
        ("S275", 16.0, (275, 265)),
        ("S275", 40.0, (265, 255)),
        ("S275", 63.0, (255, 245)),
        ("S355", 16.0, (355, 345)),
        ("S355", 40.0, (345, 335)),
        ("S355", 63.0, (335, 325)),
        # EN 10025-3, -4 and -6, and ASTM A514, from memory.
        ("S275N", 16.0, (275, 265)),
        ("S420", 16.0, (420, 400)),
        ("S460", 16.0, (460, 440)),
        ("S690", 50.0, (690, 650)),
        ("A514", 63.5, (690, 620)),
    ],
)
def test_a_step_begins_above_its_thickness(
    name: str, above_mm: float, yields_mpa: tuple[float, float]
) -> None:
    grade = find_material(name)
    just_above = above_mm * 1.001
    assert (yield_at_mpa(grade, above_mm), yield_at_mpa(grade, just_above)) == yields_mpa


@pytest.mark.parametrize(
    ("name", "yield_mpa", "least_mpa", "most_mpa"),
    # All from memory: EN 10025-3 and -4, EN 10149-2, EN 10025-6, EN 485-2, ASTM A240 and others.
    [
        ("S275N", 275, 370, 510),
        ("S420", 420, 520, 680),
        ("S460", 460, 540, 720),
        ("S690", 690, 770, 940),
        ("S355MC", 355, 430, 550),
        ("S420MC", 420, 480, 620),
        ("S500MC", 500, 550, 700),
        ("S700MC", 700, 750, 950),
        ("A283-C", 205, 380, 515),
        ("A516-70", 260, 485, 620),
        ("A572-42", 290, 415, None),
        ("A572-55", 380, 485, None),
        ("A572-60", 415, 520, None),
        ("A572-65", 450, 550, None),
        ("350W", 350, 450, 650),
        ("5083-H116", 215, 305, 385),
        ("5754-H111", 80, 190, 240),
        ("304L", 170, 485, None),
        ("316L", 170, 485, None),
        ("2205", 450, 655, None),
        ("430", 205, 450, None),
    ],
)
def test_grades_held_from_memory(
    name: str, yield_mpa: float, least_mpa: float, most_mpa: float | None
) -> None:
    material = find_material(name)
    assert (material.yield_mpa, material.tensile_mpa) == (yield_mpa, least_mpa)
    assert material.tensile_max_mpa == most_mpa


_BY_THE_MIDDLE = [one for one in known_materials() if "the middle of" in one.multiplier_source]


@pytest.mark.parametrize("material", _BY_THE_MIDDLE, ids=lambda one: one.name)
def test_a_multiplier_without_a_chart_is_0_8_of_the_middle_of_the_tensile_range(
    material: Material,
) -> None:
    """Over 351 MPa, the mild steel of the rule of 80, to a twentieth or rounded up to a tenth."""
    assert material.tensile_mpa is not None
    assert material.upper_tensile_mpa is not None
    middle_mpa = (material.tensile_mpa + material.upper_tensile_mpa) / 2
    assert material.multiplier is not None
    assert -0.05 <= material.multiplier - 0.8 * middle_mpa / 351.15 <= 0.1


@pytest.mark.parametrize("material", known_materials(), ids=lambda one: one.name)
def test_no_material_may_run_to_less_than_its_least_or_to_twice_that(material: Material) -> None:
    least_mpa, upper_mpa = material.tensile_mpa, material.upper_tensile_mpa
    assert upper_mpa is not None
    if least_mpa is not None:
        assert least_mpa < upper_mpa < 1.65 * least_mpa
