"""Pipe by its nominal size: the outside and the wall that stand behind the name.

A pipe's name is not its size: 1-1/2 pipe measures 48.3 mm, while 1-1/2 tube measures 38.1 mm.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from crib.errors import BadValue, UnknownName
from crib.spellings import plain_size
from crib.trade.common.guards import require_not_negative, require_positive
from crib.trade.common.published_tables import read_table
from crib.trade.common.verdicts import exceeds

SCHEDULES = ("5", "10", "40", "80", "STD", "XS", "160", "XXS", "5S", "10S")


@dataclass(frozen=True, slots=True)
class PipeSize:
    """One size of pipe in one wall class; ``nps`` is the inch name and ``dn`` the metric one."""

    nps: str
    dn: int
    outside_mm: float
    schedule: str
    wall_mm: float
    source: str


def pipe_size(name: str, schedule: str = "40") -> PipeSize:
    """The outside and the wall of a pipe, by its nominal size.

    Source: ASME B36.10M, and B36.19M for the schedules with an S, millimetre columns of the
    dimension tables; table pipe_sizes.csv.

    Args:
        name: Nominal size as the table prints it, ``1-1/2``, ``NPS 2`` or ``DN40`` [text].
        schedule: Wall class, one of 5, 10, 40, 80, STD, XS, 160, XXS, 5S, 10S [text].

    Returns:
        The pipe, sizes in [mm].

    Raises:
        UnknownName: When the size or the schedule is not known to the table.
        BadValue: When the table prints no such wall for the size.

    Example:
        >>> pipe_size("1-1/2").outside_mm, pipe_size("DN40", "80").wall_mm
        (48.3, 5.08)
    """
    nps, wall_class = _nps(name), _schedule(schedule)
    found = _sizes().get((nps, wall_class))
    if found is None:
        has = ", ".join(known for size, known in _sizes() if size == nps)
        message = f"{nps} pipe has no schedule {wall_class}; it has {has}"
        raise BadValue(message, way_out="give the measured outside and wall instead")
    return found


def known_pipe_sizes() -> tuple[str, ...]:
    """The nominal sizes of the table, smallest first.

    Source: table pipe_sizes.csv (ASME B36.10M, NPS 1/8 to 12).

    Returns:
        Their inch names [text].

    Example:
        >>> known_pipe_sizes()[:4]
        ('1/8', '1/4', '3/8', '1/2')
    """
    return tuple(dict.fromkeys(nps for nps, _ in _sizes()))


def pipe_of_outside(outside_mm: float, tolerance_mm: float = 0.8) -> tuple[PipeSize, ...]:
    """The sizes of pipe that a measured outside can be, nearest first; none when it is tube.

    Source: table pipe_sizes.csv (ASME B36.10M); 1/32 in (0.8 mm) of tolerance is common practice.

    Args:
        outside_mm: Outside diameter as measured [mm].
        tolerance_mm: How far the measured outside may be from the table's [mm].

    Returns:
        The sizes with their schedule 40 walls, since the outside is the same in every one [mm].

    Raises:
        BadValue: When the outside is not above zero or the tolerance is negative.

    Example:
        >>> [size.nps for size in pipe_of_outside(48.26)], pipe_of_outside(38.1)
        (['1-1/2'], ())
    """
    require_positive(outside_mm=outside_mm)
    require_not_negative(tolerance_mm=tolerance_mm)
    off_mm = {pipe_size(nps): pipe_size(nps).outside_mm - outside_mm for nps in known_pipe_sizes()}
    near = [size for size, off in off_mm.items() if not exceeds(abs(off), tolerance_mm)]
    return tuple(sorted(near, key=lambda size: abs(off_mm[size])))


@lru_cache(maxsize=1)
def _sizes() -> dict[tuple[str, str], PipeSize]:
    return {(row["nps"], row["schedule"]): _size(row) for row in read_table("pipe_sizes")}


def _size(row: dict[str, str]) -> PipeSize:
    return PipeSize(
        nps=row["nps"],
        dn=int(row["dn"]),
        outside_mm=float(row["outside_mm"]),
        schedule=row["schedule"],
        wall_mm=float(row["wall_mm"]),
        source=row["source"],
    )


@lru_cache(maxsize=1)
def _names() -> dict[str, str]:
    inch = {nps: nps for nps in known_pipe_sizes()}
    return inch | {f"dn{size.dn}": size.nps for size in _sizes().values()}


def _nps(written: str) -> str:
    plain = plain_size(written).casefold().removeprefix("nps").removesuffix('"').removesuffix("in")
    # 1 1/2 is 1-1/2, but 11/2 is neither: only DN 40 may close up its gap.
    joint = "" if plain.startswith("dn ") else "-"
    found = _names().get(plain.strip().replace(" ", joint, 1))
    if found is None:
        message = f"unknown pipe size {written!r}; known: {', '.join(_names()).replace('dn', 'DN')}"
        raise UnknownName(message, way_out="a tube is named by its measured outside and wall")
    return found


def _schedule(written: str) -> str:
    plain = written.strip().casefold().removeprefix("schedule").removeprefix("sch")
    found = plain.removeprefix(".").strip().upper()
    if found not in SCHEDULES:
        message = f"unknown schedule {written!r}; known: {', '.join(SCHEDULES)}"
        raise UnknownName(message, way_out="give the wall itself by its thickness")
    return found
