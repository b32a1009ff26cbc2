"""Writes small NC part files for the tests, the plain way, and reads them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from crib.files.drawings.nc1 import read_nc1
from crib.files.drawings.parts import Part, PartFeature, PartsRead

SLOT = "  v  72.50u  35.00  22.00  0.00l  28.00  0.00  0.00"
Points = Sequence[tuple[float, ...]]


def header(
    *,
    mark: str = "P-1",
    material: str = "S275",
    quantity: int | str = 1,
    text: str = "PL12*100",
    code: str = "B",
    length: float | str = 300.0,
    height: float | str = 100.0,
    width: float = 12.0,
    flange: float = 12.0,
    web: float = 12.0,
    radius: float = 0.0,
    texts: Sequence[str] = ("", "", "", ""),
) -> list[str]:
    """The lines of a header, from ST to the last text line."""
    fields = ["7", "D-7", "1", mark, material, quantity, text, code, length, height]
    numbers = [width, flange, web, radius, 9.42, 0.22, 0.0, 0.0, 0.0, 0.0]
    return ["ST", *(f"  {field}" for field in [*fields, *numbers, *texts])]


def contour(points: Points, *, name: str = "AK", face: str = "v") -> list[str]:
    """A block of one contour; each point is x, y and perhaps a radius."""
    lines = [f"  {face} {' '.join(f'{n:.2f}' for n in (*p, 0.0)[:3])}" for p in points]
    return [name, *lines]


def nc1(*blocks: Sequence[str], **fields: Any) -> str:
    """A whole file: a header, the blocks, and EN."""
    lines = [*header(**fields), *(line for block in blocks for line in block), "EN"]
    return "\n".join(lines) + "\n"


def holes(*lines: str) -> list[str]:
    return ["BO", *lines]


def read(text: str | bytes) -> PartsRead:
    return read_nc1(text, "part.nc1")


def only(text: str | bytes) -> Part:
    (part,) = read(text).parts
    return part


def first(text: str) -> PartFeature:
    return only(text).features[0]


def notes(text: str | bytes) -> dict[int, str]:
    found: dict[int, str] = {}
    for note in read(text).notes:
        found[note.line] = "; ".join(filter(None, (found.get(note.line), note.text)))
    return found
