"""The papers that everything is printed on: what they are called, and how large they are."""

from __future__ import annotations

from crib.errors import BadValue
from crib.units import System

PAPERS_MM = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
"""Width and height of each, held upright."""


def usual_paper(system: System) -> str:
    """The paper that lies in the printer of a shop with this unit."""
    return "A4" if system == "mm" else "Letter"


def paper_size_mm(paper: str, *, lying: bool = False) -> tuple[float, float]:
    """Width and height of a paper, whatever the case of its name.

    Raises:
        BadValue: for a paper that is not known.
    """
    for name, (short_mm, long_mm) in PAPERS_MM.items():
        if name.casefold() == paper.strip().casefold():
            return (long_mm, short_mm) if lying else (short_mm, long_mm)
    message = f"unknown paper {paper[:40]!r}; known: {', '.join(PAPERS_MM)}"
    raise BadValue(message, way_out="say letter or a4")
