"""Strengths of materials: ASTM, EN 10025-2, Shigley Table A-20, aluminium and copper data.

Each row of ``data/material_strengths.csv`` names its own source; rows with ``how`` = memory were
not confirmed. Strengths that no row holds (A992, A588, 2024-O) are checked as from memory.
"""

from __future__ import annotations

import pytest

from crib.trade.metal.materials import find_material
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
