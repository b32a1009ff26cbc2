"""Metal left beside a hole: what the tooling needs, and what the codes ask between centres.

The tooling's side counts the metal from the hole's rim; the codes count from the hole's centre.
The two are separate verdicts, and a job needs both.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from crib.errors import BadValue, Missing, UnknownName
from crib.trade.common.guards import require_positive
from crib.trade.common.published_tables import (
    MM_PER_INCH,
    known_name,
    printed_number,
    read_table,
    table_length_mm,
)
from crib.trade.common.verdicts import Verdict, falls_short
from crib.trade.metal.bolt_holes import HoleType

Edge = Literal["sheared", "cut", "rolled"]
Direction = Literal["along", "across"]

# AISC 360 without its edition: 2010 to 2022 agree, and 2022 has the longer table.
_NEWEST = {"AISC 360": "AISC 360-22"}

_METRIC_BOLT = re.compile(r"M([1-9]\d*(?:\.\d+)?)")
_INCH_BOLT = re.compile(r"(?:[1-9]-)?[1-9]\d*/[1-9]\d*|[1-9]")
_LARGEST_INCH_BOLT = 4.0


@dataclass(frozen=True, slots=True)
class DistanceLimit:
    """A code's least distance, how it is made up, and where that is printed."""

    limit_mm: float
    standard: str
    basis: str
    source: str
    preferred_mm: float | None = None


@dataclass(frozen=True, slots=True)
class _Bolt:
    name: str
    unit: str
    size: float

    @property
    def mm(self) -> float:
        return self.size * (MM_PER_INCH if self.unit == "in" else 1.0)


@dataclass(frozen=True, slots=True)
class _Query:
    """What a row of the table is looked for with."""

    standard: str
    bolt: _Bolt | None
    hole_mm: float | None
    edge: str = "any"


def tooling_edge_verdict(
    metal_mm: float, thickness_mm: float, refuse_below: float = 1.0, prefer: float = 1.5
) -> Verdict:
    """Whether enough metal is left beside a punched hole that it does not bulge or tear.

    Source: common practice (at least 1 thickness to an edge or another hole, 1.5 to 2 preferred).

    Args:
        metal_mm: Metal from the hole's rim to the edge or the next hole's rim [mm].
        thickness_mm: Plate thickness [mm].
        refuse_below: Thicknesses of metal below which it is refused [-].
        prefer: Thicknesses of metal below which it is a caution [-].

    Returns:
        The verdict [text].

    Raises:
        BadValue: When thickness or a limit is not above zero, or the limits are the wrong way
            round.

    Example:
        >>> tooling_edge_verdict(13.0, 12.0), tooling_edge_verdict(11.0, 12.0)
        ('caution', 'refuse')
    """
    require_positive(thickness_mm=thickness_mm, refuse_below=refuse_below, prefer=prefer)
    if falls_short(prefer, refuse_below):
        message = f"prefer={prefer:g} must be >= refuse_below={refuse_below:g}"
        raise BadValue(message)
    if falls_short(metal_mm, refuse_below * thickness_mm):
        return "refuse"
    return "caution" if falls_short(metal_mm, prefer * thickness_mm) else "ok"


def known_edge_standards() -> tuple[str, ...]:
    """The standards whose distances the table holds, and AISC 360 without its edition.

    Source: table edge_distances.csv.

    Returns:
        Their names [text].

    Example:
        >>> known_edge_standards()[-2:]
        ('AS 4100', 'EN 1993-1-8')
    """
    rows = read_table("edge_distances")
    named = {name for row in rows for name in row["standard"].split("|")} | set(_NEWEST)
    return tuple(sorted(named, key=lambda name: (not name.startswith("AISC"), name)))


def code_edge_limit(
    standard: str,
    *,
    bolt: str | None = None,
    hole_mm: float | None = None,
    hole_type: HoleType = "standard",
    edge: Edge = "sheared",
) -> DistanceLimit:
    """The least distance from a bolt hole's centre to an edge that a code allows.

    Source: table edge_distances.csv, where each row names its own (AISC 360 Tables J3.4 and J3.5,
    EN 1993-1-8 Table 3.3, AS 4100 from memory).

    Args:
        standard: One of ``known_edge_standards()``; ``AISC 360`` is its newest edition [text].
        bolt: The bolt's size, ``3/4`` or ``M20``; AISC and AS count from it [text].
        hole_mm: Diameter of the hole, or width of the slot; EN counts from it [mm].
        hole_type: A slot is one whose long axis stands towards the edge; one that lies along the
            edge counts as ``standard``, except in EN [text].
        edge: How the edge was made: ``sheared``, ``cut`` (sawn, planed, cut by a guided torch) or
            ``rolled``; today's AISC makes no difference [text].

    Returns:
        The limit, with its source [mm].

    Raises:
        UnknownName: When the standard or the bolt's size cannot be read.
        Missing: When the size that the code counts from was not given.
        BadValue: When the code prints no such distance; it is never worked out from others.

    Example:
        >>> code_edge_limit("AISC 360-22", bolt="3/4").limit_mm
        25.4
        >>> round(code_edge_limit("EN 1993-1-8", hole_mm=22.0).limit_mm, 6)
        26.4
    """
    query = _query(standard, bolt, hole_mm, edge)
    if hole_type.endswith("slot") and any(_rows("edge_slot", query)):
        return _limit("edge_slot", query)
    base = _limit("edge", query)
    if hole_type == "standard" or _counts_from_hole("edge", query):
        return base
    return _sum(base, _limit(f"add_{hole_type}", query))


def code_spacing_limit(
    standard: str,
    *,
    bolt: str | None = None,
    hole_mm: float | None = None,
    direction: Direction = "along",
) -> DistanceLimit:
    """The least distance between the centres of two bolt holes that a code allows.

    Source: table edge_distances.csv, where each row names its own (AISC 360-16 Section J3.3, 360-22
    Section J3.4, EN 1993-1-8 Table 3.3, AS 4100 from memory).

    Args:
        standard: One of ``known_edge_standards()``; ``AISC 360`` is its newest edition [text].
        bolt: The bolt's size, ``3/4`` or ``M20``; AISC and AS count from it [text].
        hole_mm: Size of the holes on the line between their centres; EN counts from it, and AISC
            since 2016 wants a clear bolt diameter between two slots [mm].
        direction: ``along`` the load or ``across`` it; only EN makes a difference [text].

    Returns:
        The limit, with its source and the preferred distance where there is one [mm].

    Raises:
        UnknownName: When the standard or the bolt's size cannot be read.
        Missing: When the size that the code counts from was not given.
        BadValue: When the code prints no such distance.

    Example:
        >>> round(code_spacing_limit("EN 1993-1-8", hole_mm=22.0).limit_mm, 6)
        48.4
    """
    query = _query(standard, bolt, hole_mm)
    limit = _limit(f"spacing_{direction}", query)
    if any(_rows("clear", query)) and hole_mm is not None:
        clear = _limit("clear", query)
        slots = DistanceLimit(hole_mm, clear.standard, f"hole {hole_mm:g} mm", clear.source)
        limit = max(limit, _sum(slots, clear), key=lambda found: found.limit_mm)
    if not any(_rows("spacing_prefer", query)):
        return limit
    preferred_mm = max(limit.limit_mm, _limit("spacing_prefer", query).limit_mm)
    return DistanceLimit(limit.limit_mm, limit.standard, limit.basis, limit.source, preferred_mm)


def edge_verdict(distance_mm: float, limit: DistanceLimit) -> Verdict:
    """Whether a distance keeps a code's limit; short of it, the engineer has to be asked.

    Source: shop rule (below the limit it is refused, below the preferred distance a caution).

    Args:
        distance_mm: Distance between the centres, or from the centre to the edge [mm].
        limit: The code's limit [mm].

    Returns:
        The verdict [text].

    Raises:
        BadValue: When the distance is not above zero.

    Example:
        >>> edge_verdict(35.0, code_spacing_limit("EN 1993-1-8", hole_mm=22.0))
        'refuse'
    """
    require_positive(distance_mm=distance_mm)
    if falls_short(distance_mm, limit.limit_mm):
        return "refuse"
    wanted_mm = limit.limit_mm if limit.preferred_mm is None else limit.preferred_mm
    return "caution" if falls_short(distance_mm, wanted_mm) else "ok"


def _query(standard: str, bolt: str | None, hole_mm: float | None, edge: str = "any") -> _Query:
    found = known_name(standard, known_edge_standards())
    if found is None:
        known = ", ".join(known_edge_standards())
        message = f"no distances of {standard!r} are known; known: {known}"
        raise UnknownName(message)
    if hole_mm is not None:
        require_positive(hole_mm=hole_mm)
    read = _bolt(bolt) if bolt is not None else None
    return _Query(_NEWEST.get(found, found), read, hole_mm, edge)


def _bolt(written: str) -> _Bolt:
    plain = written.strip().upper().removesuffix('"').removesuffix("IN").strip()
    metric = _METRIC_BOLT.fullmatch(plain.replace("M ", "M", 1))
    if metric:
        return _Bolt(f"M{metric[1]}", "mm", float(metric[1]))
    name = plain.replace(" ", "-", 1)
    fraction = name.rpartition("-")[2]
    # 11/8 may be 1-1/8 with its gap lost, and 20 may be M20: neither is guessed at.
    read = _INCH_BOLT.fullmatch(name) and ("/" not in name or printed_number(fraction) < 1)
    if not read or printed_number(name) > _LARGEST_INCH_BOLT:
        message = f"unknown bolt {written!r}; a bolt is written 3/4, 1-1/8 or M20"
        raise UnknownName(message, way_out="ask for the hole itself by its size")
    return _Bolt(name, "in", printed_number(name))


def _rows(rule: str, query: _Query) -> Iterator[dict[str, str]]:
    """The rows of a rule for a standard and an edge, whatever the bolt."""
    for row in read_table("edge_distances"):
        edges = row["edge"].split("|")
        same = query.standard in row["standard"].split("|") and rule in row["rule"].split("|")
        if same and ("any" in edges or query.edge in edges):
            yield row


def _counts_from_hole(rule: str, query: _Query) -> bool:
    return any(row["counts"] == "hole" for row in _rows(rule, query))


def _limit(rule: str, query: _Query) -> DistanceLimit:
    for row in _rows(rule, query):
        if _is_for(row["bolt"], _counted(row, query)):
            return _read(row, query)
    hole = rule.removeprefix("add_").replace("_", " ")
    what = f"edge distance for {hole} holes" if rule.startswith("add_") else f"{hole} distance"
    size = "the hole" if query.bolt is None else query.bolt.name
    message = f"{query.standard} prints no {what}, {size}, {query.edge} edge"
    raise BadValue(message, way_out="ask the engineer for the distance")


def _counted(row: dict[str, str], query: _Query) -> _Bolt | None:
    """The bolt to look for, once what the row counts from is known to be there."""
    given = query.hole_mm if row["counts"] == "hole" else query.bolt
    if given is None:
        counts = "hole" if row["counts"] == "hole" else "bolt"
        message = f"{query.standard} counts from the {counts}, and its size is missing"
        raise Missing(message, way_out=f"give the {counts}'s size")
    return query.bolt


def _is_for(pattern: str, bolt: _Bolt | None) -> bool:
    if not pattern:
        return True
    sign = pattern.rstrip("0123456789-/.M")
    other = _bolt(pattern.removeprefix(sign))
    if bolt is None or other.unit != bolt.unit:
        return False
    above, same = bolt.size > other.size, bolt.size == other.size
    return {"": same, ">": above, ">=": above or same, "<=": not above}[sign]


def _read(row: dict[str, str], query: _Query) -> DistanceLimit:
    if row["value"]:
        limit_mm = table_length_mm(row["value"], row["unit"])
        basis = f"{row['value']} {row['unit']}"
    else:
        from_hole = row["counts"] == "hole"
        counted_mm = query.hole_mm if from_hole or query.bolt is None else query.bolt.mm
        limit_mm = printed_number(row["factor"]) * (counted_mm or 0.0)
        basis = f"{row['factor']} x {'hole' if from_hole else 'bolt'} diameter"
    return DistanceLimit(limit_mm, query.standard, basis, row["source"])


def _sum(base: DistanceLimit, more: DistanceLimit) -> DistanceLimit:
    return DistanceLimit(
        limit_mm=base.limit_mm + more.limit_mm,
        standard=base.standard,
        basis=f"{base.basis} + {more.basis}",
        source="; ".join(dict.fromkeys((base.source, more.source))),
    )
