"""Least inside radii of cold bends.

ASTM A6/A6M, Appendix X4, Table X4.2, as a public page shows it (an edition before 2005; which grade
is in which group is from memory); bend lines along the rolling take 1.5 times.
Aluminum Design Manual, January 2005, part VII, Table 3-1: 90 degree cold bends, in thicknesses, at
1/64, 1/32, 1/16, 1/8, 3/16, 1/4, 3/8 and 1/2 in; a second page has 3003, 5052 and 6061 alike.
EN 10025-2:2019, Table 12, from memory.
"""

from __future__ import annotations

import pytest

from crib.trade.metal.bend_radii import least_bend_radius
from crib.trade.metal.materials import Material, find_material, known_materials

_INCH = tuple(25.4 * part for part in (1 / 64, 1 / 32, 1 / 16, 1 / 8, 3 / 16, 1 / 4, 3 / 8, 1 / 2))


def _across(name: str, thickness_mm: float) -> float:
    radius = least_bend_radius(find_material(name), thickness_mm)
    assert radius is not None
    return radius.across_mm


@pytest.mark.parametrize(
    ("name", "printed"),
    [
        ("A36", (1.5, 1.5, 1.5, 2.0)),
        ("A572-50", (1.5, 1.5, 2.0, 2.5)),
        ("A572-55", (1.5, 1.5, 2.5, 3.0)),
        ("A572-65", (1.5, 1.5, 3.0, 3.5)),
        ("A514", (1.75, 2.25, 4.5, 5.5)),
    ],
)
def test_plate_to_20_25_50_mm_and_over(name: str, printed: tuple[float, ...]) -> None:
    for thickness_mm, times in zip((20.0, 25.0, 50.0, 60.0), printed, strict=True):
        assert _across(name, thickness_mm) == pytest.approx(times * thickness_mm)
        radius = least_bend_radius(find_material(name), thickness_mm)
        assert radius is not None
        assert radius.along_mm == pytest.approx(1.5 * times * thickness_mm)


@pytest.mark.parametrize(
    ("name", "printed"),
    [
        ("3003-H14", (0, 0, 0, 1, 1, 1.5, 2, 2.5)),
        ("5052-H32", (0, 0, 1, 1.5, 1.5, 1.5, 1.5, 2)),
        ("2024-O", (0, 0, 0, 0.5, 1, 1, 2.5, 4)),
        ("6061-T6", (1, 1, 1.5, 2.5, 3, 3.5, 4.5, 5)),
    ],
)
def test_aluminium_sheet_and_plate(name: str, printed: tuple[float, ...]) -> None:
    for thickness_mm, times in zip(_INCH, printed, strict=True):
        assert _across(name, thickness_mm) == pytest.approx(times * thickness_mm)


@pytest.mark.parametrize(
    ("name", "thickness_mm", "across_mm", "along_mm"),
    [
        ("S235", 6.0, 8.0, 10.0),
        ("S275", 6.0, 10.0, 12.0),
        ("S355", 6.0, 10.0, 12.0),
        ("S355", 12.0, 25.0, 32.0),
        ("S235", 20.0, 40.0, 45.0),
        ("S275", 2.0, 3.0, 3.0),
    ],
)
def test_flat_products_of_en_10025_2_from_memory(
    name: str, thickness_mm: float, across_mm: float, along_mm: float
) -> None:
    radius = least_bend_radius(find_material(name), thickness_mm)
    assert radius is not None
    assert (radius.across_mm, radius.along_mm) == (across_mm, along_mm)


@pytest.mark.parametrize("material", known_materials(), ids=lambda material: material.name)
def test_thicker_plate_never_takes_a_sharper_bend(material: Material) -> None:
    told = [least_bend_radius(material, tenths / 10) for tenths in range(5, 400)]
    known = [radius for radius in told if radius is not None]
    assert bool(known) is material.punchable
    across = [radius.across_mm for radius in known]
    assert across == sorted(across)
    assert told[: len(known)] == known  # from somewhere on no table tells, and no thicker one
    assert all((radius.along_mm or radius.across_mm) >= radius.across_mm for radius in known)
