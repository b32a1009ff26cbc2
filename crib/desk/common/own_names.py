"""Whether a material of the shop's own can be called by its names."""

from __future__ import annotations

from collections.abc import Sequence

from crib.errors import BadInput, BadValue, UnknownName
from crib.features.common.phrase import Words
from crib.features.common.plate_phrase import Reading
from crib.features.holes.hole import Hole
from crib.features.registry import read_ask
from crib.trade.metal.materials import Material
from crib.trade.shop.shop_rules import Rules
from crib.units import System


def require_free(material: Material, others: Sequence[Material], rules: Rules) -> None:
    """Refuse a name that another of the shop's own has, or that a phrase does not read back.

    Raises:
        BadValue: naming what it would be taken for.
    """
    for name in (material.name, *material.aliases):
        taken = _called(name, others)
        if taken:
            message = f"{name!r} is {taken}, which this shop added already"
            raise BadValue(message, way_out="give it another name")
        if _read_back(name, Rules({}, [material]), rules.system) != material.name:
            message = f"{name!r} cannot stand behind a thickness: it reads as something else there"
            raise BadValue(message, way_out="begin it with a letter or its standard, such as X 400")


def _called(name: str, others: Sequence[Material]) -> str:
    try:
        found = Rules({}, others).material(name)
    except UnknownName:
        return ""
    return found.name if found in others else ""


def _read_back(name: str, rules: Rules, system: System) -> str:
    """What a phrase takes a name for."""
    unit = "mm" if system == "mm" else "in"
    try:
        ask = read_ask(Words(f"hole 1{unit} thru 0.5{unit} {name} for 3"), Reading(rules))
    except BadInput:
        return ""
    return ask.plate.material.name if isinstance(ask, Hole) else ""
