"""Whether a code of practice lets a hole be punched full size, and what to do when it does not.

The contract's own copy of the code decides; several of these limits are held from memory, and
each ruling says so in its source.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from crib.errors import BadValue, UnknownName
from crib.trade.common.guards import require_positive
from crib.trade.common.published_tables import MM_PER_INCH, known_name
from crib.trade.common.verdicts import exceeds

_AISC_SOURCE = "ANSI/AISC 360-22 Section M2.5 (no thickness limit; hole making as in RCSC 3.3)"
_UFGS_SOURCE = "UFGS-05055A Section 2.2.3.1 (3)"
_AASHTO_SOURCE = "AASHTO LRFD Bridge Construction Specifications 11.4.8.1, from memory"
_CSA_SOURCE = "CSA S16, from memory"
_EN_SOURCE = "EN 1090-2:2018 Section 6.6.3, from memory"
_AS_SOURCE = "AS 4100 Section 14.3.5, from memory"

_UFGS_UNDER_MM = MM_PER_INCH / 8
_AASHTO_UNDER_MM = 3 * MM_PER_INCH / 16
_AASHTO_LIMIT_MM = {
    "mild": 3 * MM_PER_INCH / 4,
    "hsla": 5 * MM_PER_INCH / 8,
    "quenched": MM_PER_INCH / 2,
}
_CSA_OVER_BOLT_MM = 4.0
_CSA_UNDER_MM = 4.0
_EN_THIN_MM = 3.0
_EN_UNDER_MM = 2.0
_EN_CLASSES = (1, 2, 3, 4)
_AS_MOST_YIELD_MPA = 360.0
_AS_THICKNESS_TIMES_YIELD = 5600.0
_AS_DYNAMIC_LIMIT_MM = 12.0
_AS_UNDER_MM = 3.0


@dataclass(frozen=True, slots=True)
class Ruling:
    """What a code says; ``allowed`` is ``None`` when it cannot be decided, and the text says why.

    ``limit_mm`` is the thickness limit where there is one; ``subpunch_under_mm`` is how far under
    size to punch before reaming, where that is the way out.
    """

    allowed: bool | None
    limit_mm: float | None
    text: str
    instead: str
    subpunch_under_mm: float | None
    source: str


@dataclass(frozen=True, slots=True)
class _Hole:
    thickness_mm: float
    least_hole_mm: float
    bolt_mm: float | None
    yield_mpa: float | None
    family: str
    execution_class: int | None
    dynamic: bool


def full_size_punching(
    code: str,
    *,
    thickness_mm: float,
    least_hole_mm: float,
    bolt_mm: float | None,
    yield_mpa: float | None,
    family: str,
    execution_class: int | None,
    dynamic: bool = False,
) -> Ruling:
    """Whether a code lets a hole be punched to its full size.

    Source: AISC 360-22 M2.5; UFGS-05055A 2.2.3.1; AASHTO LRFD Construction 11.4.8.1, CSA S16,
    EN 1090-2 6.6.3 and AS 4100 14.3.5, these four from memory. The ruling names its own.

    Args:
        code: One of ``known_codes()`` [text].
        thickness_mm: Plate thickness [mm].
        least_hole_mm: Least size across the hole [mm].
        bolt_mm: Bolt diameter, ``None`` when there is no bolt or it is not known [mm].
        yield_mpa: Yield strength, ``None`` when not known [MPa].
        family: The material's family, such as ``mild`` or ``quenched`` [text].
        execution_class: 1 to 4 in EN 1090-2, ``None`` when not known [-].
        dynamic: Whether the part carries fatigue, seismic or primary bridge load [-].

    Returns:
        The ruling, its limits in [mm].

    Raises:
        UnknownName: When the code is not known.
        BadValue: When a size is not above zero or the execution class is not 1 to 4.

    Example:
        >>> full_size_punching(
        ...     "AS 4100", thickness_mm=14, least_hole_mm=22, bolt_mm=20, yield_mpa=350,
        ...     family="mild", execution_class=None,
        ... ).limit_mm
        16.0
    """
    ruling = _RULINGS.get(_code(code))
    if ruling is None:
        message = f"unknown code {code!r}; known: {', '.join(known_codes())}"
        raise UnknownName(message)
    _check_sizes(thickness_mm, least_hole_mm, bolt_mm, yield_mpa)
    hole = _Hole(thickness_mm, least_hole_mm, bolt_mm, yield_mpa, family, execution_class, dynamic)
    return ruling(hole)


def known_codes() -> tuple[str, ...]:
    """The codes that have a ruling.

    Source: the codes themselves, as each ruling names them.

    Returns:
        Their names [text].

    Example:
        >>> "EN 1090-2" in known_codes()
        True
    """
    return tuple(_RULINGS)


def _code(written: str) -> str:
    return known_name(written, _RULINGS) or written


def _check_sizes(
    thickness_mm: float, least_hole_mm: float, bolt_mm: float | None, yield_mpa: float | None
) -> None:
    require_positive(thickness_mm=thickness_mm, least_hole_mm=least_hole_mm)
    if bolt_mm is not None:
        require_positive(bolt_mm=bolt_mm)
    if yield_mpa is not None:
        require_positive(yield_mpa=yield_mpa)


def _ream(under_mm: float) -> str:
    return f"punch at least {under_mm:.3g} mm under size and ream, or drill"


def _by_thickness(hole: _Hole, limit_mm: float, rule: str, under_mm: float, source: str) -> Ruling:
    allowed = not exceeds(hole.thickness_mm, limit_mm)
    sign = "<=" if allowed else ">"
    text = f"{rule}: {hole.thickness_mm:.4g} mm {sign} {limit_mm:.4g} mm"
    return Ruling(allowed, limit_mm, text, "" if allowed else _ream(under_mm), under_mm, source)


def _undecided(missing: str, under_mm: float | None, source: str) -> Ruling:
    instead = _ream(under_mm) if under_mm else "drill, or punch under size and ream"
    return Ruling(None, None, missing, instead, under_mm, source)


def _aisc(hole: _Hole) -> Ruling:
    if hole.dynamic:
        missing = "fatigue and seismic zones have rules of their own: ask the engineer"
        return _undecided(missing, None, _AISC_SOURCE)
    text = (
        "no thickness limit for static buildings since the 2005 edition; an older contract may "
        "limit the thickness to the bolt and 1/8 in (3 mm)"
    )
    return Ruling(True, None, text, "", None, _AISC_SOURCE)


def _ufgs(hole: _Hole) -> Ruling:
    if hole.bolt_mm is None:
        missing = "the limit is the bolt's diameter: say which bolt"
        return _undecided(missing, _UFGS_UNDER_MM, _UFGS_SOURCE)
    rule = "thickness to the bolt's diameter"
    return _by_thickness(hole, hole.bolt_mm, rule, _UFGS_UNDER_MM, _UFGS_SOURCE)


def _aashto(hole: _Hole) -> Ruling:
    limit_mm = _AASHTO_LIMIT_MM.get(hole.family)
    if hole.dynamic:
        text = "not in primary load-carrying members"
        return Ruling(
            False, limit_mm, text, _ream(_AASHTO_UNDER_MM), _AASHTO_UNDER_MM, _AASHTO_SOURCE
        )
    if limit_mm is None:
        missing = f"no thickness limit is known for {hole.family}: ask the engineer"
        return _undecided(missing, _AASHTO_UNDER_MM, _AASHTO_SOURCE)
    rule = f"thickness limit for {hole.family}"
    ruling = _by_thickness(hole, limit_mm, rule, _AASHTO_UNDER_MM, _AASHTO_SOURCE)
    return _only_secondary(ruling) if ruling.allowed else ruling


def _only_secondary(ruling: Ruling) -> Ruling:
    text = (
        f"{ruling.text}, but only where the member does not carry primary load, and with a die at "
        "most 1/16 in (1.6 mm) over the punch: ask the engineer"
    )
    instead = _ream(_AASHTO_UNDER_MM)
    return Ruling(None, ruling.limit_mm, text, instead, _AASHTO_UNDER_MM, _AASHTO_SOURCE)


def _csa(hole: _Hole) -> Ruling:
    if hole.family == "quenched":
        text = "quenched and tempered steel is not punched"
        return Ruling(False, None, text, "drill", None, _CSA_SOURCE)
    if hole.bolt_mm is None:
        missing = "the limit is the bolt's diameter and 4 mm: say which bolt"
        return _undecided(missing, _CSA_UNDER_MM, _CSA_SOURCE)
    limit_mm = hole.bolt_mm + _CSA_OVER_BOLT_MM
    rule = "thickness to the bolt's diameter and 4 mm"
    return _by_thickness(hole, limit_mm, rule, _CSA_UNDER_MM, _CSA_SOURCE)


def _en_1090(hole: _Hole) -> Ruling:
    if hole.execution_class not in (None, *_EN_CLASSES):
        message = f"execution_class={hole.execution_class} must be 1 to 4"
        raise BadValue(message)
    limit_mm, rule = hole.least_hole_mm, "thickness to the least size of the hole"
    if hole.execution_class in (3, 4):
        rule = f"EXC{hole.execution_class}: thickness to 3 mm and to the least size of the hole"
        limit_mm = min(limit_mm, _EN_THIN_MM)
    ruling = _by_thickness(hole, limit_mm, rule, _EN_UNDER_MM, _EN_SOURCE)
    if ruling.allowed and hole.execution_class is None and exceeds(hole.thickness_mm, _EN_THIN_MM):
        missing = "EXC1 and EXC2 allow it, EXC3 and EXC4 do not: say which execution class"
        return _undecided(missing, _EN_UNDER_MM, _EN_SOURCE)
    return ruling


def _as_4100(hole: _Hole) -> Ruling:
    if hole.yield_mpa is None:
        missing = "the limit is 5600 over the yield strength: say which steel"
        return _undecided(missing, _AS_UNDER_MM, _AS_SOURCE)
    if exceeds(hole.yield_mpa, _AS_MOST_YIELD_MPA):
        text = f"yield strength to 360 MPa: {hole.yield_mpa:g} MPa > 360 MPa"
        return Ruling(False, None, text, _ream(_AS_UNDER_MM), _AS_UNDER_MM, _AS_SOURCE)
    limit_mm, rule = _AS_THICKNESS_TIMES_YIELD / hole.yield_mpa, "thickness to 5600 / yield"
    if hole.dynamic:
        limit_mm = min(limit_mm, _AS_DYNAMIC_LIMIT_MM)
        rule = "thickness to 5600 / yield, and to 12 mm under dynamic load"
    return _by_thickness(hole, limit_mm, rule, _AS_UNDER_MM, _AS_SOURCE)


_RULINGS: dict[str, Callable[[_Hole], Ruling]] = {
    "AISC 360": _aisc,
    "UFGS": _ufgs,
    "AASHTO": _aashto,
    "CSA S16": _csa,
    "EN 1090-2": _en_1090,
    "AS 4100": _as_4100,
}
