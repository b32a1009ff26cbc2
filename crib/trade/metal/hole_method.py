"""Whether a code of practice lets a hole be punched full size, and what to do when it does not.

The contract's own copy of the code decides; several of these limits are held from memory, and
each ruling says so in its source. The figures stand in one table, ``code_limits.csv``.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Literal

from crib.errors import BadValue, UnknownName
from crib.trade.common.guards import require_positive
from crib.trade.common.published_tables import known_name
from crib.trade.common.verdicts import exceeds
from crib.trade.metal.code_limits import CodeLimit, code_limit

NO_CODE = ""
"""Where a job names no code: what holds then is common practice."""

_AISC_SOURCE = "ANSI/AISC 360-22 Section M2.5 (no thickness limit; hole making as in RCSC 3.3)"
_PRACTICE = "common practice, no source"
_EN_FATIGUE = "EN 1993-1-1:2005/A1:2014 Annex C, from memory"
_EN_CLASSES = (1, 2, 3, 4)
_THIN = "EXC3 and EXC4"
_ASK = "ask the engineer"
_DYNAMIC = f"fatigue and seismic zones have rules of their own: {_ASK}"


@dataclass(frozen=True, slots=True)
class SubPunch:
    """How far under size a hole is punched that is reamed to its size.

    ``most_mm`` is the greatest punch or die [mm], ``under_mm`` under the bolt or the finished hole
    that it is counted from; ``doubt`` says why somebody's word is wanted all the same.
    """

    measured: Literal["punch", "die"]
    most_mm: float
    under_mm: float
    counted_from: Literal["bolt", "hole"]
    source: str
    doubt: str = ""


@dataclass(frozen=True, slots=True)
class Ruling:
    """What a code says; ``allowed`` is ``None`` when it cannot be decided, and the text says why.

    ``limit_mm`` is the thickness limit where there is one. ``subpunch`` is how the hole is punched
    to be reamed; ``None`` where it is drilled, or sub-drilled (``sub_drill``), or as long as nobody
    says which bolt it is for (``which_bolt``). ``die_over_mm`` is how much larger than its punch a
    die may be, where the code limits that.
    """

    allowed: bool | None
    limit_mm: float | None
    text: str
    subpunch: SubPunch | None
    source: str
    sub_drill: bool = False
    which_bolt: bool = False
    die_over_mm: float | None = None


@dataclass(frozen=True, slots=True)
class _Hole:
    code: str
    thickness_mm: float
    least_hole_mm: float
    bolt_mm: float | None
    yield_mpa: float | None
    family: str
    execution_class: int | None
    dynamic: bool

    def limit(self, name: str, where: str = "any") -> CodeLimit:
        """A limit of the hole's code."""
        return code_limit(self.code, name, where)


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
    """Whether a code lets a hole be punched to its full size, and how it is sub-punched.

    Source: table code_limits.csv, each row with edition and clause; AISC 360-22 M2.5 has no limit
    of thickness. The ruling names its own.

    Args:
        code: One of ``known_codes()``, or empty where the job names none [text].
        thickness_mm: Plate thickness [mm].
        least_hole_mm: Least size across the finished hole [mm].
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
    named = known_name(code, _RULINGS) or code
    ruling = _RULINGS.get(named)
    if ruling is None:
        message = f"unknown code {code!r}; known: {', '.join(known_codes())}"
        raise UnknownName(message)
    require_positive(thickness_mm=thickness_mm, least_hole_mm=least_hole_mm)
    if bolt_mm is not None:
        require_positive(bolt_mm=bolt_mm)
    if yield_mpa is not None:
        require_positive(yield_mpa=yield_mpa)
    return ruling(
        _Hole(
            named,
            thickness_mm,
            least_hole_mm,
            bolt_mm,
            yield_mpa,
            family,
            execution_class,
            dynamic,
        )
    )


def known_codes() -> tuple[str, ...]:
    """The codes that have a ruling.

    Source: the codes themselves, as each ruling names them.

    Returns:
        Their names [text].

    Example:
        >>> "EN 1090-2" in known_codes()
        True
    """
    return tuple(code for code in _RULINGS if code != NO_CODE)


def _by_thickness(hole: _Hole, limit_mm: float, rule: str, ruling: Ruling) -> Ruling:
    """The ruling by a limit of thickness."""
    allowed = not exceeds(hole.thickness_mm, limit_mm)
    sign = "<=" if allowed else ">"
    text = f"{rule}: {hole.thickness_mm:.4g} mm {sign} {limit_mm:.4g} mm"
    return replace(ruling, allowed=allowed, limit_mm=limit_mm, text=text)


def _undecided(ruling: Ruling, why: str) -> Ruling:
    return replace(ruling, allowed=None, text=f"{ruling.text}; {why}" if ruling.text else why)


def _subpunched(hole: _Hole, where: str = "any", doubt: str = "") -> Ruling:
    """A ruling that says only how the hole would be sub-punched by the code's table."""
    limit = hole.limit("sub-punch", where)
    from_bolt = limit.counted_from == "bolt"
    base_mm = hole.bolt_mm if from_bolt else hole.least_hole_mm
    found = None
    if base_mm is not None and limit.size_mm(base_mm) > 0:
        found = SubPunch(
            measured="die" if limit.measured == "die" else "punch",
            most_mm=limit.size_mm(base_mm),
            under_mm=-limit.figure,
            counted_from="bolt" if from_bolt else "hole",
            source=limit.source,
            doubt=doubt,
        )
    return Ruling(None, None, "", found, limit.source, which_bolt=base_mm is None)


def _freely_subpunched(hole: _Hole, source: str, doubt: str = "") -> Ruling:
    """A ruling where no code says how far under size: the die only stays within the hole."""
    within = SubPunch("die", hole.least_hole_mm, 0.0, "hole", _PRACTICE, doubt)
    return Ruling(None, None, "", within, source)


def _no_code(hole: _Hole) -> Ruling:
    ruling = _freely_subpunched(hole, _PRACTICE, _DYNAMIC if hole.dynamic else "")
    if hole.dynamic:
        return _undecided(ruling, f"no code is named, and {_DYNAMIC}")
    return replace(ruling, allowed=True, text="no code is named")


def _aisc(hole: _Hole) -> Ruling:
    if hole.dynamic:
        ruling = replace(_subpunched(hole, "dynamic", _DYNAMIC), source=_AISC_SOURCE)
        return _undecided(ruling, _DYNAMIC)
    text = (
        "no thickness limit for static buildings since the 2005 edition; an older contract may "
        "limit the thickness to the bolt and 1/8 in (3 mm)"
    )
    return replace(_freely_subpunched(hole, _AISC_SOURCE), allowed=True, text=text)


def _ufgs(hole: _Hole) -> Ruling:
    rule = "thickness to the bolt's diameter"
    return _by_the_bolt(hole, rule, "the limit is the bolt's diameter: say which bolt")


def _csa(hole: _Hole) -> Ruling:
    if hole.family == "quenched":
        source = hole.limit("thickness", "quenched").source
        text = "quenched and tempered steel is not punched"
        return Ruling(False, None, text, None, source)
    rule = "thickness to the bolt's diameter and 4 mm"
    return _by_the_bolt(hole, rule, "the limit is the bolt's diameter and 4 mm: say which bolt")


def _by_the_bolt(hole: _Hole, rule: str, missing: str) -> Ruling:
    """Static work by the bolt's diameter; of dynamic work these codes say nothing here."""
    ruling = _subpunched(hole, doubt=_DYNAMIC if hole.dynamic else "")
    if hole.bolt_mm is None:
        return _undecided(ruling, missing)
    limit = hole.limit("thickness")
    ruling = replace(ruling, source=limit.source)
    ruling = _by_thickness(hole, limit.size_mm(hole.bolt_mm), rule, ruling)
    return _undecided(ruling, _DYNAMIC) if hole.dynamic and ruling.allowed else ruling


_AASHTO_FAMILIES = ("mild", "hsla", "quenched")


def _aashto(hole: _Hole) -> Ruling:
    ruling = replace(_subpunched(hole), die_over_mm=hole.limit("die").size_mm())
    if hole.family not in _AASHTO_FAMILIES:
        why = f"no thickness limit is known for {hole.family}: {_ASK}"
        return replace(_undecided(ruling, why), subpunch=None, which_bolt=False)
    limit = hole.limit("thickness", hole.family)
    rule = f"thickness limit for {hole.family}"
    ruling = replace(ruling, source=limit.source)
    ruling = _by_thickness(hole, limit.size_mm(), rule, ruling)
    if not ruling.allowed:
        return replace(ruling, subpunch=None, sub_drill=True, which_bolt=False)
    if hole.dynamic:
        return replace(ruling, allowed=False, text="not in primary load-carrying members")
    only = f"but only where the member does not carry primary load: {_ASK}"
    return _undecided(ruling, only)


def _en_1090(hole: _Hole) -> Ruling:
    if hole.execution_class not in (None, *_EN_CLASSES):
        message = f"execution_class={hole.execution_class} must be 1 to 4"
        raise BadValue(message)
    limit, thin = hole.limit("thickness"), hole.limit("thickness", _THIN)
    thin_mm = min(limit.size_mm(hole.least_hole_mm), thin.size_mm())
    ruling = replace(_subpunched(hole), source=limit.source)
    if hole.execution_class in (3, 4):
        rule = f"EXC{hole.execution_class}: thickness to 3 mm and to the least size of the hole"
        return _by_thickness(hole, thin_mm, rule, ruling)
    rule = "thickness to the least size of the hole"
    ruling = _by_thickness(hole, limit.size_mm(hole.least_hole_mm), rule, ruling)
    if not ruling.allowed or not exceeds(hole.thickness_mm, thin_mm):
        return ruling
    if hole.dynamic:
        why = f"fatigue and seismic work is EXC3 as a rule, to 3 mm ({_EN_FATIGUE}): {_ASK}"
        return replace(_undecided(ruling, why), limit_mm=thin_mm)
    if hole.execution_class is None:
        why = "EXC1 and EXC2 allow it, EXC3 and EXC4 do not: say which execution class"
        return replace(ruling, allowed=None, limit_mm=None, text=why)
    return ruling


def _australian(hole: _Hole) -> Ruling:
    ruling = _subpunched(hole)
    strength, limit = hole.limit("yield"), hole.limit("thickness")
    if hole.yield_mpa is None:
        return _undecided(ruling, "the limit is 5600 over the yield strength: say which steel")
    if exceeds(hole.yield_mpa, strength.figure):
        most = f"{strength.figure:g} MPa"
        text = f"yield strength to {most}: {hole.yield_mpa:g} MPa > {most}"
        return replace(ruling, allowed=False, text=text)
    limit_mm, rule = limit.figure / hole.yield_mpa, "thickness to 5600 / yield"
    if not hole.dynamic:
        return _by_thickness(hole, limit_mm, rule, ruling)
    most_mm = hole.limit("thickness", "dynamic").size_mm()
    rule += f", and to {most_mm:g} mm under dynamic load"
    ruling = _by_thickness(hole, min(limit_mm, most_mm), rule, ruling)
    zone = hole.limit("thickness", "plastic zone")
    why = f"in a plastic zone no hole is punched to full size: {_ASK}"
    ruling = replace(ruling, source=f"{ruling.source}; {zone.source}")
    return _undecided(ruling, why) if ruling.allowed else ruling


_RULINGS: dict[str, Callable[[_Hole], Ruling]] = {
    "AISC 360": _aisc,
    "UFGS": _ufgs,
    "AASHTO": _aashto,
    "CSA S16": _csa,
    "EN 1090-2": _en_1090,
    "AS 4100": _australian,
    "AS/NZS 5131": _australian,
    NO_CODE: _no_code,
}
