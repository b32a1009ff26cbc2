"""Materials a fabrication shop works: strengths, multipliers and what the shop assumes of each."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, fields, replace
from functools import lru_cache
from typing import Literal, cast

from crib.errors import BadValue, UnknownName, UnsureName
from crib.spellings import BARS, plain_spelling
from crib.trade.common.guards import require_positive
from crib.trade.common.published_tables import read_table
from crib.trade.common.verdicts import exceeds

Family = Literal[
    "mild",
    "hsla",
    "stainless",
    "aluminium",
    "quenched",
    "wear_plate",
    "copper",
    "brass",
    "high_carbon",
    "titanium",
]

# What a shop may set for itself, and how far: outside these it is a slip of the finger.
CHANGEABLE: dict[str, tuple[float, float]] = {
    "multiplier": (0.1, 4.0),
    "min_hole_ratio": (0.3, 4.0),
    "tool_life_clearance_pct": (5.0, 40.0),
    "wear_factor": (0.1, 20.0),
}
# How far from the table's figure, as shares of it (shop rule).
_NEAR: dict[str, tuple[float, float]] = {
    "multiplier": (0.85, 1.6),
    "min_hole_ratio": (0.8, 2.0),
    "tool_life_clearance_pct": (0.6, 1.8),
    "wear_factor": (0.3, 4.0),
}

_BODY_NAMES = ("astm", "aisi", "sae")
_STEELS: tuple[Family, ...] = (
    "mild",
    "hsla",
    "high_carbon",
    "quenched",
    "wear_plate",
    "stainless",
)
_VAGUE: dict[str, tuple[Family, ...]] = {
    **dict.fromkeys(("aluminium", "alu"), ("aluminium",)),
    **dict.fromkeys(("steel", "stahl"), _STEELS),
    **dict.fromkeys(("hr", "hot rolled", "carbon steel", "structural steel"), ("mild", "hsla")),
    **dict.fromkeys(("baustahl", "schwarzstahl"), ("mild", "hsla")),
    "ms": ("mild",),
    **dict.fromkeys(("high carbon", "high carbon steel"), ("high_carbon",)),
    **dict.fromkeys(("q&t", "quenched and tempered", "feinkornstahl"), ("quenched",)),
    **dict.fromkeys(("wear plate", "abrasion resistant", "verschleissblech"), ("wear_plate",)),
    **dict.fromkeys(("ss", "stainless", "stainless steel", "edelstahl", "va"), ("stainless",)),
}
"""Words that people say for families, and that do not tell which of them."""
_SEVERAL = {"v2a": ("304", "304L"), "v4a": ("316", "316L")}
"""Words for a few materials (from memory), of which none is meant alone."""
_BODY = re.compile(rf"({'|'.join(_BODY_NAMES)})(?=[^a-z])", re.IGNORECASE)
_ONLY_SIGNS = re.compile(r"(?<!\S)(?!&(?!\S))[^\w\s]+(?!\S)")
_GAP = re.compile(r"(?<=[0-9])[\W_]+(?=[0-9])")
# A name that begins with a figure has no sign before it, and only a point between figures.
_BY_FIGURES = re.compile(r"\s*[0-9]+(?:\.[0-9]+)*(?:[\W_]*[^\W\d_].*)?\s*")


@dataclass(frozen=True, slots=True)
class Material:
    """One material as the tables know it; a figure that no source gives is ``None``.

    ``tensile_max_mpa`` is its standard's upper limit, where it has one; ``upper_tensile_mpa`` what
    plate of it may run to, by the standard or as delivered. ``bend_radius_t`` is a shop's own least
    inside radius in thicknesses; the tables' is found by ``least_bend_radius``.
    """

    name: str
    aliases: tuple[str, ...]
    family: Family
    multiplier: float | None
    yield_mpa: float | None
    tensile_mpa: float | None
    shear_mpa: float | None
    min_hole_ratio: float | None
    tool_life_clearance_pct: float
    wear_factor: float | None
    dry_factor: float
    gauge_system: str
    punchable: bool
    source: str
    note: str
    tensile_max_mpa: float | None = None
    upper_tensile_mpa: float | None = None
    upper_source: str = ""
    bend_radius_t: float | None = None
    multiplier_source: str = ""
    strength_source: str = ""
    ratio_source: str = ""
    clearance_source: str = ""
    wear_source: str = ""


def known_materials() -> tuple[Material, ...]:
    """Every material of the table, in its order.

    Source: table materials.csv, where each figure names its own.

    Returns:
        The materials, strengths in [MPa].

    Example:
        >>> known_materials()[0].name
        'A36'
    """
    return _materials()


def find_material(name: str, own: Sequence[Material] = ()) -> Material:
    """The material that a name or one of its other names stands for.

    Figures of a name may be closed up, never taken apart: ``3/16`` and ``3 16`` are not 316.

    Source: table materials.csv, where each figure names its own.

    Args:
        name: Name as a person writes it; case, spaces, hyphens and dots do not matter [text].
        own: Materials that the shop added, which come before the table's [-].

    Returns:
        The material, strengths in [MPa].

    Raises:
        UnknownName: When no material goes by that name; the nearest names and the list are given.
        UnsureName: When it names a family or a standard, such as aluminium or A572; the names in
            it are given.

    Example:
        >>> find_material("a572 gr 50").name, find_material("s355jr").multiplier
        ('A572-50', 1.15)
    """
    found = _own_named(name, own) or _named(name)
    if found is not None:
        return found
    said = plain_spelling(" ".join(name.split()))
    families, names = _VAGUE.get(said, ()), _SEVERAL.get(said, ())
    several = [one for one in _materials() if one.family in families or one.name in names]
    several = several or _of_standard(name)
    raise _which(name, several) if len(several) > 1 else _unknown(name, own)


def with_changes(material: Material, **overrides: float) -> Material:
    """The same material with the shop's own figures in place of the table's.

    Source: shop rule (a shop that has measured its own figures uses them).

    Args:
        material: The material of the table, strengths in [MPa].
        **overrides: New multiplier [-], min_hole_ratio [-], tool_life_clearance_pct [%] or
            wear_factor [-].

    Returns:
        The changed material, strengths in [MPa].

    Raises:
        UnknownName: For a figure that a shop cannot set.
        BadValue: For a figure outside its limits.

    Example:
        >>> with_changes(find_material("A36"), multiplier=1.25).multiplier
        1.25
    """
    for field, value in overrides.items():
        check_change(material, field, value)
    sources = {_SOURCE_OF[field]: "shop rule (set by this shop)" for field in overrides}
    return replace(material, **overrides, **sources)  # type: ignore[arg-type]


def yield_at_mpa(material: Material, thickness_mm: float) -> float | None:
    """The least yield strength of a material in a thickness.

    Source: table plate_yields.csv, where each row names its own; else table materials.csv.

    Args:
        material: The material [-].
        thickness_mm: Plate thickness [mm].

    Returns:
        The least yield strength, ``None`` when no source gives one [MPa].

    Raises:
        BadValue: When the thickness is not above zero.

    Example:
        >>> yield_at_mpa(find_material("S355"), 16.0), yield_at_mpa(find_material("S355"), 20.0)
        (355.0, 345.0)
    """
    require_positive(thickness_mm=thickness_mm)
    thicker = [
        float(row["yield_mpa"])
        for row in read_table("plate_yields")
        if row["name"] == material.name and exceeds(thickness_mm, float(row["above_mm"]))
    ]
    return min(thicker, default=material.yield_mpa)


def change_limits(material: Material, field: str) -> tuple[float, float]:
    """Between what a shop may set a figure of a material.

    Source: shop rule (near the table's figure; wide where the table has none).

    Args:
        material: The material as the table has it [-].
        field: Which figure, such as ``multiplier`` [text].

    Returns:
        The least and the most, in the figure's own unit [-].

    Raises:
        UnknownName: For a figure that a shop cannot set.

    Example:
        >>> change_limits(find_material("A36"), "multiplier")
        (0.85, 1.6)
    """
    if field not in CHANGEABLE:
        message = f"unknown material figure {field!r}; a shop can set: {', '.join(CHANGEABLE)}"
        raise UnknownName(message)
    least, most = CHANGEABLE[field]
    figure: float | None = getattr(find_material(material.name), field)
    if figure is None:
        return least, most
    below, above = _NEAR[field]
    return max(least, round(below * figure, 6)), min(most, round(above * figure, 6))


def check_change(material: Material, field: str, value: float) -> None:
    """Refuse a figure that a shop cannot set for a material, or not to that value.

    Source: shop rule (see ``change_limits``).

    Args:
        material: The material as the table has it [-].
        field: Which figure, such as ``multiplier`` [text].
        value: Its new value, in the figure's own unit [-].

    Raises:
        UnknownName: For a figure that a shop cannot set.
        BadValue: For a figure outside its limits.

    Example:
        >>> check_change(find_material("A36"), "multiplier", 1.25)
    """
    least, most = change_limits(material, field)
    require_positive(**{field: value})
    if not least <= value <= most:
        message = f"{field}={value:g} must be {least:g} to {most:g} for {material.name}"
        raise BadValue(message)


_SOURCE_OF = {
    "multiplier": "multiplier_source",
    "min_hole_ratio": "ratio_source",
    "tool_life_clearance_pct": "clearance_source",
    "wear_factor": "wear_source",
}


@lru_cache(maxsize=1)
def _materials() -> tuple[Material, ...]:
    return tuple(_material(row) for row in read_table("materials"))


@lru_cache(maxsize=1)
def _by_name() -> dict[str, Material]:
    names: dict[str, Material] = {}
    for material in _materials():
        for name in (material.name, *material.aliases):
            names[_plain(name)] = material
    return names


def _material(row: dict[str, str]) -> Material:
    kept = {field.name: row[field.name] for field in fields(Material) if field.name in row}
    numbers = {name: _number(kept.pop(name)) for name in _NUMBERS}
    kept.pop("aliases")
    if numbers["upper_tensile_mpa"] is None:
        numbers["upper_tensile_mpa"] = numbers["tensile_max_mpa"]
        kept["upper_source"] = kept["strength_source"]
    return Material(
        aliases=tuple(alias for alias in row["aliases"].split("|") if alias),
        family=cast(Family, kept.pop("family")),
        punchable=kept.pop("punchable") == "yes",
        **numbers,  # type: ignore[arg-type]
        **kept,  # type: ignore[arg-type]
    )


_NUMBERS = (
    "multiplier",
    "yield_mpa",
    "tensile_mpa",
    "tensile_max_mpa",
    "upper_tensile_mpa",
    "shear_mpa",
    "min_hole_ratio",
    "tool_life_clearance_pct",
    "wear_factor",
    "dry_factor",
)


def _number(text: str) -> float | None:
    return float(text) if text else None


def _plain(name: str) -> str:
    plain = "".join(letter for letter in name.casefold() if letter.isalnum())
    for body in _BODY_NAMES:
        plain = plain.removeprefix(body) or plain
    return plain


def _own_named(name: str, own: Sequence[Material]) -> Material | None:
    """A shop's own material, by the same care as those of the table."""
    plain, apart = _plain(name), _apart(name)
    if not own or _is_rest_of_number(name):
        return None
    for material in own:
        for known in (material.name, *material.aliases):
            if plain == _plain(known) and apart <= _apart(known):
                return material
    return None


def _named(name: str) -> Material | None:
    """The material of a name; its family may stand beside it: ``6061 aluminum``."""
    plain = _plain(name)
    found = _by_name().get(plain)
    if found is not None and not _is_rest_of_number(name) and _apart(name) <= _known_apart()[plain]:
        return found
    first, *rest = name.split() or [""]
    for word, other in ((first, rest), (rest[-1] if rest else "", [first, *rest[:-1]])):
        families = _VAGUE.get(plain_spelling(word), ())
        beside = _named(" ".join(other)) if other and families else None
        if beside is not None and beside.family in families:
            return beside
    return None


def _is_rest_of_number(name: str) -> bool:
    """Whether a name could be what a split number left over, or has signs by themselves."""
    if any(bar in name for bar in BARS) or _ONLY_SIGNS.search(name):
        return True
    return re.match(r"\s*[^\w\s]*[0-9]", name) is not None and not _BY_FIGURES.fullmatch(name)


def _apart(name: str) -> frozenset[int]:
    """Behind which of its letters and figures two figures of a name stand apart."""
    bare = _BODY.sub("", name.strip())
    return frozenset(
        sum(sign.isalnum() for sign in bare[: gap.start()]) for gap in _GAP.finditer(bare)
    )


@lru_cache(maxsize=1)
def _known_apart() -> dict[str, frozenset[int]]:
    apart: dict[str, frozenset[int]] = {}
    for material in _materials():
        for name in (material.name, *material.aliases):
            apart[_plain(name)] = apart.get(_plain(name), frozenset()) | _apart(name)
    return apart


def _of_standard(name: str) -> list[Material]:
    """The materials whose name begins with a whole standard or number: ``A572``, ``4140``."""
    plain = _plain(name)
    return [one for one in _materials() if plain in _standards(one)]


def _standards(material: Material) -> set[str]:
    """What stands before the grade in the names of a material."""
    names = (material.name, *material.aliases)
    return {_plain(name.split("-")[0]) for name in names if "-" in name}


def _which(name: str, several: Sequence[Material]) -> UnsureName:
    known = _strongest_first(several)
    message = f"{name!r} may be one of several materials: {', '.join(known)}"
    return UnsureName(message, way_out="say which of them", readings=known)


def _unknown(name: str, own: Sequence[Material]) -> UnknownName:
    """The refusal of a name; only what is plainly a slip of the pen has a nearest name.

    Grades are told apart by one figure or letter, and nobody knows how hard an unknown one is: so
    none that differs in more is held out as it, and the strongest stands first.
    """
    near = _strongest_first(
        {known.name: known for word, known in _spelled().items() if misspelt(name, word)}.values()
    )
    nearest = f"; nearest: {', '.join(near)}" if near else ""
    message = f"unknown material {name!r}{nearest}; known, strongest first: "
    message += ", ".join(_strongest_first((*own, *_materials())))
    return UnknownName(message, way_out="write one of the known names, or an alias of it")


def _strongest_first(materials: Iterable[Material]) -> list[str]:
    return [one.name for one in sorted(materials, key=lambda one: -(one.upper_tensile_mpa or 0.0))]


@lru_cache(maxsize=1)
def _spelled() -> dict[str, Material]:
    return {name: one for one in _materials() for name in (one.name, *one.aliases)}


def misspelt(name: str, known: str) -> bool:
    """Whether a name is a known one with a slip of the pen: same figures, each word almost alike.

    Source: shop rule (a word of five letters may have one wrong; figures and short words none).

    Args:
        name: What was written [text].
        known: A material's name or alias [text].

    Returns:
        Whether it can hardly be anything else [-].

    Example:
        >>> misspelt("galvanzied", "galvanized"), misspelt("A573-50", "A572-50")
        (True, False)
    """
    words, others = name.casefold().split(), known.casefold().split()
    return len(words) == len(others) and all(map(_almost, words, others))


def _almost(word: str, other: str) -> bool:
    from difflib import SequenceMatcher  # only an error needs it

    if word == other:
        return True
    if len(word) < 5 or re.sub("[^0-9]", "", word + other):
        return False
    return SequenceMatcher(None, word, other).ratio() >= 0.85
