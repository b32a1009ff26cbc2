"""The materials that phrases may name: the tables' and the shop's own, and adding one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from crib.acts import act, saying
from crib.desk.common.acting import require_reason, stamp_for
from crib.desk.common.own_names import require_free
from crib.errors import BadValue
from crib.stock.book.own_materials import changed_by, keep_material, own_materials
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.trade.metal.materials import Material, known_materials
from crib.trade.metal.own_materials import own_material
from crib.units import System, read_stress_mpa


@dataclass(frozen=True, slots=True)
class MaterialLine:
    """One material; who entered it, when and why, where it is the shop's own."""

    name: str
    aliases: tuple[str, ...]
    family: str
    multiplier: float | None
    tensile_mpa: float | None
    upper_tensile_mpa: float | None
    yield_mpa: float | None
    min_hole_ratio: float | None
    bend_radius_t: float | None
    punchable: bool
    source: str
    own: bool = False
    who: str = ""
    changed_at: str = ""
    why: str = ""


@dataclass(frozen=True, slots=True)
class MaterialList:
    """Materials, the shop's own first, and what stresses are written in."""

    materials: tuple[MaterialLine, ...]
    system: System


@dataclass(frozen=True, slots=True)
class NewMaterial:
    """What a person says of a material; strengths with their unit, empty where not said."""

    name: str
    family: str
    tensile: str
    upper: str
    source: str
    aliases: Sequence[str] = ()
    yields: str = ""
    multiplier: float | None = None
    min_hole_ratio: float | None = None
    bend_radius_t: float | None = None
    note: str = ""


def list_materials(session: Session, name: str = "") -> MaterialList:
    """Every material, or the one of a name.

    Raises:
        UnknownName: when none is called that, or several may be meant.
    """
    rules, who = shop_rules(session), changed_by(session)
    every = (*rules.own, *(rules.material(one.name) for one in known_materials()))
    found = (rules.material(name),) if name.strip() else every
    return MaterialList(tuple(_line(one, who) for one in found), rules.system)


def add_material(
    session: Session, new: NewMaterial, why: str, *, by: str = "", now: datetime | None = None
) -> MaterialList:
    """Add a material of the shop's own, or change what is said of it, with who and why.

    Raises:
        BadValue: for a figure outside its limits, a name that stands for something else or that a
            phrase cannot hold, no reason, or nobody's name.
        UnknownName: for a family or a person that is none.
    """
    reason = require_reason(why, f"material {new.name}")
    if not by.strip():
        message = f"material {new.name}: nobody's name given; answers rest on it"
        raise BadValue(message, way_out=saying("say who enters it: ", act("say.by")))
    material = _material(new)
    with session.writing():
        others = [one for one in own_materials(session) if one.name != material.name]
        require_free(material, others, shop_rules(session))
        keep_material(session, stamp_for(session, by, now=now), material, reason)
    return list_materials(session, material.name)


def _material(new: NewMaterial) -> Material:
    least_mpa = read_stress_mpa(new.tensile)
    upper_mpa = read_stress_mpa(new.upper) if new.upper.strip() else None
    if upper_mpa is None:
        message = f"material {new.name}: no upper tensile strength"
        raise BadValue(message, way_out="say what plate of it may run to, by its standard or mill")
    return own_material(
        new.name,
        new.family,
        (least_mpa, upper_mpa),
        new.source,
        aliases=new.aliases,
        yield_mpa=read_stress_mpa(new.yields) if new.yields.strip() else None,
        multiplier=new.multiplier,
        min_hole_ratio=new.min_hole_ratio,
        bend_radius_t=new.bend_radius_t,
        note=new.note,
    )


def _line(material: Material, who: dict[str, tuple[str, str, str]]) -> MaterialLine:
    own = material.name in who
    return MaterialLine(
        material.name,
        material.aliases,
        material.family,
        material.multiplier,
        material.tensile_mpa,
        material.upper_tensile_mpa,
        material.yield_mpa,
        material.min_hole_ratio,
        material.bend_radius_t,
        material.punchable,
        material.strength_source,
        own,
        *(who[material.name] if own else ()),
    )
