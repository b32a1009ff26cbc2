"""The hole that a bolt needs, as the standards print it; nothing between or beyond their rows."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from crib.errors import AskBack, BadValue, UnknownName
from crib.spellings import plain_size
from crib.trade.common.published_tables import known_name, read_table, table_length_mm

HoleType = Literal["standard", "oversize", "short_slot", "long_slot", "fine", "coarse"]

_AISC = "AISC 360"

_Key = tuple[str, str, str]


@dataclass(frozen=True, slots=True)
class BoltHole:
    """The hole for a bolt; ``length_mm`` is the overall length of a slot, ``None`` for a round."""

    bolt: str
    hole_type: HoleType
    width_mm: float
    length_mm: float | None
    standard: str
    source: str


def bolt_hole(bolt: str, hole_type: HoleType, standard: str) -> BoltHole:
    """The hole that a standard's table gives for a bolt.

    Source: table bolt_holes.csv, where each row names its own (AISC 360 Tables J3.3 and J3.3M of
    three editions, EN 1090-2 Table 11, ISO 273 Table 1).

    Args:
        bolt: The bolt's size as its table prints it, ``3/4``, ``1-1/8`` or ``M20`` [text].
        hole_type: ``standard`` (medium in ISO 273), ``oversize``, ``short_slot``, ``long_slot``,
            ``fine`` or ``coarse`` [text].
        standard: One of ``known_standards()``; ``AISC 360`` without an edition serves where its
            editions agree [text].

    Returns:
        The hole, sizes in [mm].

    Raises:
        UnknownName: When the standard or the bolt is not known to the tables.
        BadValue: When the standard has no such row; it is never worked out from others.
        AskBack: When no edition was named and the editions differ.

    Example:
        >>> bolt_hole("3/4", "standard", "AISC 360").width_mm
        20.6375
        >>> bolt_hole("M20", "long_slot", "EN 1090-2").length_mm
        50.0
    """
    wanted, size = _standard(standard), _bolt(bolt)
    if wanted == _AISC:
        return _agreed(size, hole_type)
    row = _rows().get((wanted, size, hole_type))
    if row is None:
        raise _no_row(size, hole_type, wanted)
    return _hole(row)


def known_standards() -> tuple[str, ...]:
    """The standards that the tables hold, and AISC 360 without its edition.

    Source: table bolt_holes.csv.

    Returns:
        Their names [text].

    Example:
        >>> known_standards()[0]
        'AISC 360'
    """
    return (_AISC, *dict.fromkeys(row["standard"] for row in read_table("bolt_holes")))


def bolts_of(standard: str) -> tuple[str, ...]:
    """The bolts that a standard prints holes for, in its order.

    Source: table bolt_holes.csv.

    Args:
        standard: One of ``known_standards()``; ``AISC 360`` stands for any edition of it [text].

    Returns:
        Their sizes as they are printed [text].

    Raises:
        UnknownName: When the standard is not known to the tables.

    Example:
        >>> bolts_of("EN 1090-2")[:2]
        ('M12', 'M14')
    """
    wanted = _standard(standard)
    editions = _editions() if wanted == _AISC else [wanted]
    rows = read_table("bolt_holes")
    return tuple(dict.fromkeys(row["bolt"] for row in rows if row["standard"] in editions))


def _editions() -> list[str]:
    return [name for name in known_standards() if name.startswith(f"{_AISC}-")]


@lru_cache(maxsize=1)
def _rows() -> dict[_Key, dict[str, str]]:
    return {
        (row["standard"], row["bolt"], row["hole_type"]): row for row in read_table("bolt_holes")
    }


def _standard(written: str) -> str:
    found = known_name(written, known_standards())
    if found is None:
        message = f"unknown bolt standard {written!r}; known: {', '.join(known_standards())}"
        raise UnknownName(message)
    return found


def _bolt(written: str) -> str:
    known = {row["bolt"].casefold(): row["bolt"] for row in read_table("bolt_holes")}
    found = known.get(_size(written))
    if found is None:
        message = f"unknown bolt {written!r}; known: {', '.join(known.values())}"
        raise UnknownName(message, way_out="ask for the hole itself by its size")
    return found


def _size(written: str) -> str:
    plain = plain_size(written).casefold().removesuffix('"').removesuffix("in")
    if plain.startswith("m"):
        return re.sub(r"^m[- ]?", "m", plain)
    # 1 1/8 is 1-1/8, but 11/8 is 1-3/8: only a metric size may close up its gap.
    return re.sub(r"(?<=[0-9]) (?=[0-9])", "-", plain.strip())


def _agreed(bolt: str, hole_type: HoleType) -> BoltHole:
    rows = {edition: _rows().get((edition, bolt, hole_type)) for edition in _editions()}
    present = [row for row in rows.values() if row is not None]
    if not present:
        raise _no_row(bolt, hole_type, _AISC)
    if len({_printed(row) for row in rows.values()}) > 1:
        raise _editions_differ(bolt, rows)
    last = _hole(present[-1])
    numbers = ", ".join(edition.removeprefix(_AISC) for edition in rows)
    label = f"{_AISC} ({numbers} agree)"
    return BoltHole(last.bolt, last.hole_type, last.width_mm, last.length_mm, label, last.source)


def _editions_differ(bolt: str, rows: dict[str, dict[str, str] | None]) -> AskBack:
    editions: dict[str, list[str]] = {}
    for edition, row in rows.items():
        editions.setdefault(_printed(row), []).append(edition.removeprefix("AISC "))
    said = ", ".join(
        f"{size} in {' and '.join(names).replace('and 360', 'and ')}"
        for size, names in editions.items()
    )
    size = bolt if bolt.startswith("M") else f"{bolt} in"
    message = f"{size}: {said}: say which"
    return AskBack(
        message, choose="edition", way_out=f"name the edition, such as {_editions()[-1]}"
    )


def _printed(row: dict[str, str] | None) -> str:
    if row is None:
        return "no row"
    return f"{row['width']} x {row['length']}" if row["length"] else row["width"]


def _no_row(bolt: str, hole_type: str, standard: str) -> BadValue:
    types = [kind for name, size, kind in _rows() if (name, size) == (standard, bolt)]
    if standard == _AISC:
        types = [kind for name, size, kind in _rows() if name in _editions() and size == bolt]
    has = f"it has {', '.join(dict.fromkeys(types))}" if types else "it has no such bolt"
    message = f"{standard} has no {hole_type} hole for {bolt}; {has}"
    return BadValue(message, way_out="ask for the hole itself by its size")


def _hole(row: dict[str, str]) -> BoltHole:
    unit, length = row["unit"], row["length"]
    return BoltHole(
        bolt=row["bolt"],
        hole_type=row["hole_type"],  # type: ignore[arg-type]
        width_mm=table_length_mm(row["width"], unit),
        length_mm=table_length_mm(length, unit) if length else None,
        standard=row["standard"],
        source=row["source"],
    )
