"""The shear strength to reckon a plate with, by the shop's convention or a mill certificate."""

from __future__ import annotations

from dataclasses import dataclass

from crib.acts import act, saying
from crib.errors import Missing
from crib.trade.metal import force
from crib.trade.metal.materials import Material
from crib.trade.shop.shop_rules import Rules


@dataclass(frozen=True, slots=True)
class Strength:
    """A shear strength [MPa] and the words for where it comes from."""

    shear_mpa: float
    basis: str
    source: str


def shear_strength(
    material: Material, rules: Rules, cert_tensile_mpa: float | None = None
) -> Strength:
    """The shear strength of a plate.

    With a tensile strength from a mill certificate, shear is 0.8 of it, and stainless counts for
    no less than charts take it for, since it hardens under the punch. Otherwise the shop's
    convention decides: the 80 rule times the material's multiplier, or the stricter one that takes
    shear equal to tensile (then the larger of the two stands).

    Args:
        material: What the plate is made of.
        rules: The shop's settings.
        cert_tensile_mpa: The certificate's tensile strength [MPa]; None without a certificate.

    Raises:
        Missing: for a material with neither a multiplier nor a strength.
    """
    if cert_tensile_mpa is not None:
        return _by_certificate(material, cert_tensile_mpa)
    strength = _by_multiplier(material)
    if rules.text("force.convention") == "tensile" and material.tensile_mpa is not None:
        shear_mpa = force.tensile_shear_mpa(material.tensile_mpa)
        if shear_mpa > strength.shear_mpa:
            basis = "tensile convention (shear = tensile)"
            return Strength(shear_mpa, basis, material.strength_source)
    return strength


def _by_certificate(material: Material, tensile_mpa: float) -> Strength:
    multiplier = force.multiplier_from_tensile(tensile_mpa)
    if material.family == "stainless" and (material.multiplier or 0.0) > multiplier:
        return _by_multiplier(material)
    return Strength(
        force.rule_80_shear_mpa(multiplier),
        f"mill certificate, multiplier {multiplier:.2f}",
        "0.8 of the certificate's tensile strength (press tool teaching texts)",
    )


def _by_multiplier(material: Material) -> Strength:
    if material.multiplier is not None:
        return Strength(
            force.rule_80_shear_mpa(material.multiplier),
            f"80 rule x {material.multiplier:g} for {material.name}",
            material.multiplier_source or material.source,
        )
    if material.tensile_mpa is not None:
        multiplier = force.multiplier_from_tensile(material.tensile_mpa)
        return Strength(
            force.rule_80_shear_mpa(multiplier),
            f"0.8 of tensile for {material.name}",
            material.strength_source or material.source,
        )
    message = f"{material.name} has neither a multiplier nor a strength"
    raise Missing(
        message,
        way_out=saying(
            "set one: ",
            act("rules.change", key=f"material.{material.name}.multiplier", value=None, why=None),
        ),
    )
