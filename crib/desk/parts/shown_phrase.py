"""The phrase of a feature as people are shown it, or what it is where no phrase asks for it.

A part is spoken of in the unit in which its sizes are shown.
"""

from __future__ import annotations

import re
from functools import partial

from crib.features.common.sizes import size_word
from crib.files.drawings.parts import Part, PartFeature, phrase_of
from crib.units import MM_PER_INCH, System

_MANY_DECIMALS = re.compile(r"\b(\d+\.\d{5,})(in|mm)?(?![\w.])")
_NO_DIFFERENCE_MM = 1e-6


def shown_phrase(one: PartFeature, material: str, system: System) -> str:
    """The phrase, or what it is where no phrase asks for it; no size has endless decimals."""
    if one.asked:
        return _MANY_DECIMALS.sub(partial(_short, system), one.asked)
    if one.can_be_asked:
        return _MANY_DECIMALS.sub(partial(_short, system), phrase_of(one, material, system))
    if one.thickness_mm is None and one.through:
        known = one._replace(thickness_mm=1.0)
        if known.can_be_asked:
            head = shown_phrase(known, "", system).partition(" thru ")[0]
            return f"{head} thru ?"
    long = f" x {one.long_mm:g}" if one.long_mm else ""
    blind = "" if one.through else f", {one.depth_mm or 0:g} mm deep"
    return f"({one.feature} {one.size_mm:g}{long} mm{blind}: not punched)"


def part_system(part: Part, system: System) -> System:
    """The unit in which most sizes of a part are shown: what is said of it is in that one too."""
    sizes = {(one.size_mm, one.thickness_mm) for one in part.features}
    every = {mm for pair in sizes for mm in pair if mm}
    metric = sum(size_word(mm, system).endswith("mm") for mm in every)
    return "mm" if system == "mm" or 2 * metric > len(every) else "in"


def _short(system: System, size: re.Match[str]) -> str:
    """A size without endless decimals; one that is odd in inches is plain in millimetres.

    One without a unit is in that of the phrase.
    """
    figure, unit = float(size[1]), size[2] or system
    factor = MM_PER_INCH if unit == "in" else 1.0
    if abs(round(figure, 4) - figure) * factor <= _NO_DIFFERENCE_MM:
        return f"{round(figure, 4):.10g}{size[2] or ''}"
    return f"{round(figure * factor, 4):.10g}mm"
