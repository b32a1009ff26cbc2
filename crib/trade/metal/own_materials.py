"""A material of the shop's own: from the figures of its certificate to one the rules can judge."""

from __future__ import annotations

import re
from collections.abc import Iterable

from crib.errors import BadValue, CribError, UnknownName
from crib.trade.common.verdicts import exceeds, falls_short
from crib.trade.metal.force import multiplier_from_tensile
from crib.trade.metal.materials import CHANGEABLE, Family, Material, find_material, known_materials

# Shop rule: between these lies every metal that a shop shears or punches.
LEAST_TENSILE_MPA, MOST_TENSILE_MPA = 50.0, 2500.0
MOST_SPREAD = 1.8
# Shop rule: steel that may run above this is as hard as the tools are meant for.
MOST_PUNCHED_MPA = 1000.0
MOST_RADIUS_T = 10.0
_SOFT = ("aluminium", "copper", "brass")
# Shop rule: shear is no less than this share of the least tensile strength.
_LEAST_SHARE = {True: 0.6 / 0.8, False: 1.0}
_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9 .+&()-]{0,38}[A-Za-z0-9)]")
_LIKE_A_SIZE = re.compile(r"[0-9. -]*(mm|in|inch|ft|m|cm|ga|gauge|gage)?", re.IGNORECASE)


def own_material(
    name: str,
    family: str,
    tensile_mpa: tuple[float, float],
    source: str,
    *,
    aliases: Iterable[str] = (),
    yield_mpa: float | None = None,
    multiplier: float | None = None,
    min_hole_ratio: float | None = None,
    bend_radius_t: float | None = None,
    note: str = "",
) -> Material:
    """A material that a shop adds, with what it does not say taken from the strictest of its like.

    Source: shop rule (the multiplier is 0.8 of the upper tensile strength over the mild steel of
    the rule of 80 unless said; ratio, clearance and wear are the strictest of the family).

    Args:
        name: What it is called in phrases; no name of the table [text].
        family: Which sort of metal, such as ``hsla`` [text].
        tensile_mpa: Its least and upper tensile strength [MPa].
        source: The document that the strengths are from [text].
        aliases: Its other names [text].
        yield_mpa: Least yield strength [MPa].
        multiplier: Its force against hot-rolled mild steel [-].
        min_hole_ratio: Least hole over the thickness [-].
        bend_radius_t: Least inside radius of a bend, in thicknesses [-].
        note: Anything worth knowing [text].

    Returns:
        The material, strengths in [MPa].

    Raises:
        BadValue: For a figure outside its limits, and a name that stands for something else.
        UnknownName: For a family that is none.

    Example:
        >>> steel = own_material("XYZ 400", "hsla", (500.0, 640.0), "EN 10149-2")
        >>> (steel.name, round(steel.multiplier or 0, 2), steel.min_hole_ratio)
        ('XYZ 400', 1.46, 1.15)
    """
    like = _like(family)
    names = [_required_name(one) for one in (name, *aliases)]
    least_mpa, upper_mpa = tensile_mpa
    _require("tensile_mpa", least_mpa, LEAST_TENSILE_MPA, MOST_TENSILE_MPA)
    _require("upper tensile_mpa", upper_mpa, least_mpa, MOST_SPREAD * least_mpa)
    if yield_mpa is not None:
        _require("yield_mpa", yield_mpa, 0.1 * least_mpa, least_mpa)
    if bend_radius_t is not None:
        _require("bend_radius_t", bend_radius_t, 0.0, MOST_RADIUS_T)
    if not source.strip():
        message = f"material {name}: no source for its strengths"
        raise BadValue(message, way_out="name the standard or the certificate")
    hard = like[0].family not in _SOFT and exceeds(upper_mpa, MOST_PUNCHED_MPA)
    return Material(
        name=names[0],
        aliases=tuple(names[1:]),
        family=like[0].family,
        multiplier=_multiplier(multiplier, like[0].family, least_mpa, upper_mpa),
        yield_mpa=yield_mpa,
        tensile_mpa=least_mpa,
        shear_mpa=None,
        min_hole_ratio=_ratio(min_hole_ratio, like),
        tool_life_clearance_pct=max(one.tool_life_clearance_pct for one in like),
        wear_factor=max((one.wear_factor for one in like if one.wear_factor), default=None),
        dry_factor=max(one.dry_factor for one in like),
        gauge_system=like[0].gauge_system,
        punchable=not hard and any(one.punchable for one in like),
        source=source,
        note=note,
        upper_tensile_mpa=upper_mpa,
        upper_source=source,
        bend_radius_t=bend_radius_t,
        multiplier_source=f"the shop's own ({source})",
        strength_source=source,
        ratio_source="the shop's own, or the strictest of its family",
        clearance_source="the widest of its family",
        wear_source="the greatest of its family",
    )


def families() -> tuple[Family, ...]:
    """The sorts of metal that the table has.

    Source: table materials.csv.

    Returns:
        Their words, in the order of the table [text].

    Example:
        >>> families()[:2]
        ('mild', 'hsla')
    """
    return tuple(dict.fromkeys(one.family for one in known_materials()))


def _like(family: str) -> list[Material]:
    wanted = "_".join(family.casefold().split())
    like = [one for one in known_materials() if one.family == wanted]
    if not like:
        message = f"unknown family {family!r}; known: {', '.join(families())}"
        raise UnknownName(message, way_out="say which of them it is most like")
    return like


def _required_name(name: str) -> str:
    tidy = " ".join(name.split())
    if not _NAME.fullmatch(tidy) or (_LIKE_A_SIZE.fullmatch(tidy) and len(tidy) < 4):
        message = f"{name!r} cannot be a material's name"
        raise BadValue(message, way_out="2 to 40 letters and figures, such as 350W or Grade 350")
    if re.fullmatch(r"[0-9.]+ ?[A-Za-z]{1,5}", tidy) and _LIKE_A_SIZE.fullmatch(tidy):
        message = f"{name!r} reads as a size"
        raise BadValue(message, way_out="put its standard before it")
    try:
        known = find_material(tidy).name
    except CribError as error:
        if not isinstance(error, UnknownName) or hasattr(error, "readings"):
            message = f"{name!r} may mean several materials already"
            raise BadValue(message, way_out="say its grade with it") from error
        return tidy
    message = f"{name!r} is {known}, which the table has"
    raise BadValue(message, way_out="give it another name; its figures there are changed as rules")


def _multiplier(given: float | None, family: Family, least_mpa: float, upper_mpa: float) -> float:
    chosen = round(multiplier_from_tensile(upper_mpa), 3) if given is None else given
    least = multiplier_from_tensile(least_mpa) * _LEAST_SHARE[family in _SOFT]
    _require("multiplier", chosen, round(least, 3), CHANGEABLE["multiplier"][1])
    return chosen


def _ratio(given: float | None, like: list[Material]) -> float | None:
    known = [one.min_hole_ratio for one in like if one.min_hole_ratio is not None]
    if given is None or not known:
        return max(known, default=given)
    _require("min_hole_ratio", given, min(known), CHANGEABLE["min_hole_ratio"][1])
    return given


def _require(what: str, value: float, least: float, most: float) -> None:
    if not falls_short(value, least) and not exceeds(value, most):
        return
    message = f"{what}={value:g} must be {least:g} to {most:g}"
    raise BadValue(message, way_out="read it off the certificate or the standard again")
