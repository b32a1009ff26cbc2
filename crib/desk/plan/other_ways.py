"""What of a part is made another way than at these stations: drilled, tapped, cut, bevelled.

Nothing of it is dropped: the plan lists it and the set-up sheets say how it is to be made.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from crib.files.drawings.parts import Part, PartFeature

How = Literal["drilled", "drilled and tapped", "cut", "bevelled", "stamped", "marked"]
RELIEF = "w"
"""The mark of a corner of a contour that has a relief hole."""


@dataclass(frozen=True, slots=True)
class OtherWay:
    """Something of a part that is made another way: what, how many on each piece, and how."""

    job: str
    mark: str
    text: str
    each: int
    pieces: int
    how: How = "cut"

    @property
    def to_do(self) -> str:
        """How and what: ``to be drilled: 4 x hole 33 mm, 10 mm deep; on each of 12``."""
        return f"to be {self.how}: {self.each} x {self.text}; on each of {self.pieces}"


def others_of(job: str, mark: str, group: Sequence[Part]) -> Iterator[OtherWay]:
    """What is made another way on the parts of a group, alike ones counted together."""
    counted: Counter[tuple[str, How]] = Counter()
    for part in group:
        counted.update(
            (_in_words(feature), _how(feature))
            for feature in part.features
            if not feature.can_be_asked and not feature.asked
        )
        counted.update(_of_contours(part))
        counted.update((f"text {text[:40]!r}", "stamped") for text in part.stamps)
        counted.update((text, "marked") for text in part.marking)
    for (text, how), each in counted.items():
        yield OtherWay(job, mark, text, each, group[0].quantity, how)


def _how(one: PartFeature) -> How:
    if one.feature == "tapped":
        return "drilled and tapped"
    return "drilled" if one.shape == "round" else "cut"


def _in_words(one: PartFeature) -> str:
    kind = "hole" if one.feature == "tapped" else one.feature
    long = f" x {one.long_mm:g}" if one.long_mm else ""
    deep = "" if one.through else f", {one.depth_mm or 0:g} mm deep"
    thru = f" thru {one.thickness_mm:g}" if one.through and one.thickness_mm else ""
    sunk = ", countersunk" if one.countersink_mm is not None else ""
    note = f", {one.note}" if one.feature in ("tapped", "opening") and one.note else ""
    return f"{kind} {one.size_mm:g}{long} mm{thru}{deep}{sunk}{note}"


def _of_contours(part: Part) -> Iterator[tuple[str, How]]:
    """Bevels for welding along edges of a contour, and relief holes in its corners."""
    for contour in part.contours:
        for point, after in pairwise(contour.points):
            if point.bevels:
                long_mm = abs(complex(after.x_mm - point.x_mm, after.y_mm - point.y_mm))
                figures = " ".join(f"{figure:g}" for figure in point.bevels if figure)
                yield f"edge of {long_mm:g} mm (bevel {figures} in its file)", "bevelled"
            if point.mark == RELIEF and point.radius_mm:
                yield f"relief hole {2 * abs(point.radius_mm):g} mm in a corner", "drilled"
