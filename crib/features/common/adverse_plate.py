"""The plate beside the nominal one: as strong as its grade and as thick as its tolerance allow."""

from __future__ import annotations

from dataclasses import dataclass

from crib.features.common.speech import Speech
from crib.features.common.strength import Strength
from crib.trade.common.verdicts import exceeds
from crib.trade.metal.materials import Material
from crib.trade.metal.plate_tolerances import Overthickness, overthickness

_STEELS = ("mild", "hsla", "high_carbon", "quenched", "wear_plate")
"""What the thickness tables are for."""

_SHEAR_SHARE = 0.8
"""Of the tensile strength, where no shear strength is published."""


@dataclass(frozen=True, slots=True)
class AdversePlate:
    """The strongest and thickest that may come; ``None`` where it is as asked for.

    Both are shown with where they come from: what no table or standard says was not widened.
    """

    tensile_mpa: float | None
    shear_mpa: float
    thickness_mm: float
    over: Overthickness | None
    source: str

    def words(self, say: Speech, thickness_mm: float) -> str:
        """What the plate is then: ``80 ksi and 0.4050 in``."""
        strong = "" if self.tensile_mpa is None else say.stress(self.tensile_mpa)
        thick = say.length(self.thickness_mm) if exceeds(self.thickness_mm, thickness_mm) else ""
        return " and ".join(part for part in (strong, thick) if part)


def adverse_plate(
    material: Material,
    thickness_mm: float,
    nominal: Strength,
    *,
    tensile_known: bool,
    shear_is_tensile: bool = False,
    is_plate: bool = True,
) -> AdversePlate | None:
    """The adverse plate of a material; None where neither strength nor thickness may be more.

    Args:
        material: What the plate is made of.
        thickness_mm: Its thickness as it was asked for [mm].
        nominal: The strength that it is otherwise reckoned with.
        tensile_known: Whether a certificate says how strong it is.
        shear_is_tensile: The shop's stricter convention.
        is_plate: Whether a plate's tolerance is the one for it; a section or bar has its own.
    """
    upper_mpa = None if tensile_known else material.upper_tensile_mpa
    shear_mpa = nominal.shear_mpa
    if upper_mpa is not None:
        shear_mpa = max(shear_mpa, _share(material, shear_is_tensile) * upper_mpa)
    over = _over(material, thickness_mm) if is_plate else None
    if upper_mpa is None and over is None:
        return None
    sources = [material.upper_source or material.strength_source] if upper_mpa else []
    sources += [over.source] if over else ["thickness not widened: no table for it"]
    thicker_mm = thickness_mm + (over.over_mm if over else 0.0)
    return AdversePlate(upper_mpa, shear_mpa, thicker_mm, over, "; ".join(sources))


def _share(material: Material, shear_is_tensile: bool) -> float:
    if shear_is_tensile:
        return 1.0
    if material.shear_mpa is not None and material.tensile_mpa is not None:
        return material.shear_mpa / material.tensile_mpa
    return _SHEAR_SHARE


def _over(material: Material, thickness_mm: float) -> Overthickness | None:
    if material.family not in _STEELS:
        return None
    standard = "EN 10029" if material.source.startswith("EN ") else "ASTM A6"
    return overthickness(standard, thickness_mm, material.yield_mpa)
