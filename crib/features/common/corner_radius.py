"""The radius of rounded corners: how a phrase says it, and which tool leaves it.

``rectangle 2 x 1 radius 1/8 thru 1/4``, ``notch 2 x 3 radius 1/4 thru 1/4``. Without the word the
corners are sharp.
"""

from __future__ import annotations

from dataclasses import dataclass

from crib.errors import BadPhrase
from crib.features.common.findings import Finding
from crib.features.common.phrase import Words
from crib.features.common.plate_phrase import Reading
from crib.features.common.speech import Speech
from crib.features.common.spoken import RADIUS_WORDS, take_out
from crib.features.common.tooling import CORNER_RULE
from crib.trade.common.verdicts import exceeds
from crib.trade.shop.shop_rules import Rules

RULE = "corner radius"


@dataclass(frozen=True, slots=True)
class SaidRadius:
    """A radius as a phrase says it, and where."""

    radius_mm: float
    words: Words
    start: int
    end: int

    def too_large(self, most_mm: float, say: Speech, example: str) -> BadPhrase | None:
        """The error for a radius that leaves nothing straight; None for one that fits."""
        if not exceeds(self.radius_mm, most_mm):
            return None
        message = f"a radius of {say.size(self.radius_mm)} does not fit: at most"
        return self.words.wrong(self.start, self.end, f"{message} {say.size(most_mm)}", example)


def take_radius(words: Words, reading: Reading, example: str) -> SaidRadius | None:
    """Take a radius out of a phrase, wherever it stands; None where the corners are sharp.

    Raises:
        BadPhrase: for a radius that cannot be read, or more than one.
    """
    for word in RADIUS_WORDS:
        part = take_out(words, word, size=True)
        if part is not None:
            start = part.place()[0]
            part.take()
            radius_mm = part.take_length_mm(reading.system, "the radius of its corners", example)
            words.sizes += part.sizes
            return SaidRadius(radius_mm, words, start, part.taken_to)
    return None


def is_rounded(radius_mm: float, rules: Rules) -> bool:
    """Whether a radius is more than what the shop still calls a sharp corner."""
    return radius_mm > 0 and exceeds(radius_mm, rules.number(CORNER_RULE))


def radius_finding(what: str, own_mm: float, wanted_mm: float, say: Speech) -> Finding | None:
    """Whether a tool leaves the corners that are wanted; None where both are sharp.

    A sharp tool for a rounded corner leaves the very notch that the radius is there to spare.
    """
    if not own_mm and not wanted_mm:
        return None
    limit_mm, off_mm = say.rules.number(CORNER_RULE), abs(own_mm - wanted_mm)
    text, source = f"{what} leaves {_corners(own_mm, say)}", f"shop rule {CORNER_RULE}"
    if not exceeds(off_mm, limit_mm):
        return Finding(RULE, "ok", text, off_mm, limit_mm, "mm", source)
    text = f"{text}, wanted {_corners(wanted_mm, say)}"
    return Finding(RULE, "refuse", text, off_mm, limit_mm, "mm", source)


def _corners(radius_mm: float, say: Speech) -> str:
    return f"corners of radius {say.size(radius_mm)}" if radius_mm else "sharp corners"
