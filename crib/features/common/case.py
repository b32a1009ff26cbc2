"""What every rule looks at: a plate, the shop's rules, and what is known around the job."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any, Literal, TypeVar

from crib.features.common.adverse_plate import AdversePlate, adverse_plate
from crib.features.common.certificate import require_certificate
from crib.features.common.findings import Finding
from crib.features.common.sizes import size_word
from crib.features.common.speech import Speech
from crib.features.common.strength import Strength, shear_strength
from crib.trade.metal import force
from crib.trade.metal.materials import Material
from crib.trade.shop.shop_rules import Rules
from crib.units import System

Made = TypeVar("Made")
Appearance = Literal["any", "finish", "rough"]


@dataclass(frozen=True, slots=True)
class Circumstances:
    """What is known around an ask: how many, for which job, which code, what the certificate says.

    ``appearance`` is finish (seen, or stainless), rough (hidden), or any. ``dynamic`` marks a part
    that carries fatigue, seismic or primary bridge load.
    """

    quantity: int = 1
    per_part: int = 1
    job: str = ""
    appearance: Appearance = "any"
    code: str = ""
    execution_class: int | None = None
    dynamic: bool = False
    dry: bool = False
    cert_yield_mpa: float | None = None
    cert_tensile_mpa: float | None = None


@dataclass(frozen=True, slots=True)
class Plate:
    """What is worked: thickness and material; ``assumed`` when the phrase named no material."""

    thickness_mm: float
    material: Material
    assumed: bool = False
    gauge: int | None = None

    def phrase(self, system: System) -> str:
        """The plate as the end of a phrase."""
        if self.gauge is not None:
            return f"thru {self.gauge}ga {self.material.name}"
        thickness = size_word(self.thickness_mm, system)
        if system == "in":
            thickness = thickness.removesuffix("in")
        return f"thru {thickness} {self.material.name}"


@dataclass(frozen=True)
class Case:
    """A plate to be worked; a kind of feature adds its sizes, and what it works out once."""

    plate: Plate
    rules: Rules
    facts: Circumstances

    def __post_init__(self) -> None:
        """Refuse a certificate that plate of that grade cannot have."""
        plate, facts = self.plate, self.facts
        if facts.cert_tensile_mpa is not None or facts.cert_yield_mpa is not None:
            require_certificate(
                plate.material,
                plate.thickness_mm,
                self.rules,
                facts.cert_tensile_mpa,
                facts.cert_yield_mpa,
            )

    @cached_property
    def _made(self) -> dict[tuple[Hashable, ...], Any]:
        return {}

    def once(self, make: Callable[..., Made], *of: Hashable) -> Made:
        """What is made of this case and of some things, made but once."""
        key = (make, *of)
        if key not in self._made:
            self._made[key] = make(self, *of)
        made: Made = self._made[key]
        return made

    def told(self, rule: Callable[..., Iterable[Finding]], *of: Hashable) -> tuple[Finding, ...]:
        """What a rule says of this case and of some things, worded but once.

        The same punch stands beside many dies and in many stations.
        """
        return self.once(_worded, rule, *of)

    @cached_property
    def say(self) -> Speech:
        """How to write figures."""
        return Speech(self.rules)

    @cached_property
    def strength(self) -> Strength:
        """The plate's shear strength.

        Raises:
            Missing: for a material of which nobody has said how strong it is.
        """
        return shear_strength(self.plate.material, self.rules, self.facts.cert_tensile_mpa)

    @property
    def is_plate(self) -> bool:
        """Whether a plate is worked: a section, bar or tube has tolerances of its own."""
        return True

    @property
    def worked(self) -> str:
        """What is worked, in a word."""
        return "plate" if self.is_plate else "stock"

    @cached_property
    def adverse(self) -> AdversePlate | None:
        """The strongest and thickest plate that may come; None where it is as asked."""
        return adverse_plate(
            self.plate.material,
            self.plate.thickness_mm,
            self.strength,
            tensile_known=self.facts.cert_tensile_mpa is not None,
            shear_is_tensile=self.rules.text("force.convention") == "tensile",
            is_plate=self.is_plate,
        )

    @cached_property
    def material(self) -> Material:
        """The material, as strong as its certificate says when that is more.

        What lists and walls are read for: a certificate may not make a plate thinner there.
        """
        material, tensile_mpa = self.plate.material, self.facts.cert_tensile_mpa
        if tensile_mpa is None or material.multiplier is None:
            return material
        certified = force.multiplier_from_tensile(tensile_mpa)
        return replace(material, multiplier=max(material.multiplier, certified))

    @property
    def code(self) -> str:
        """The job's code of practice, else the shop's; empty without one."""
        return self.facts.code or self.rules.text("code.default")


def _worded(
    case: Case, rule: Callable[..., Iterable[Finding]], *of: Hashable
) -> tuple[Finding, ...]:
    return tuple(rule(case, *of))
