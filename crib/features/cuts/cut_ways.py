"""What to do about a cut when no shear serves, and the blades one would order."""

from __future__ import annotations

from crib.features.common.ask import Workaround
from crib.features.common.bar_phrase import size_or_gauge
from crib.features.common.order_sizes import written_size
from crib.features.cuts.cut_case import CutCase
from crib.features.cuts.cut_sections import BARS

OTHER_SHEAR = {"flat": "plate", "plate": "flat"}


def cut_workarounds(
    case: CutCase, refused: frozenset[str], straight_phrase: str | None
) -> list[Workaround]:
    """Saw, another shear, thermal cutting, or outside, given the rules that refused."""
    material = case.plate.material
    at = f" at {case.angle_deg:g}°" if case.mitred else ""
    saw = f"saw it{at}"
    if "material" in refused:
        saw = f"cut it{at} with an abrasive wheel, slowly and cooled"
    ways = [Workaround(saw, None, 20)]
    if "material" in refused:
        ways.append(Workaround(f"ask the engineer how {material.name} may be cut", None, 25))
        return [*ways, _outside()]
    if straight_phrase is not None:
        text = f"shear it straight and over length, then saw the mitre{at}"
        ways.append(Workaround(text, straight_phrase, 30))
    other = OTHER_SHEAR.get(case.section.word)
    if other is not None and not case.mitred:
        ways.append(Workaround(f"on a {other} shear, if its list is larger", _as(case, other), 25))
    ways.append(Workaround(f"another machine whose list for {case.what} covers it", None, 35))
    if "envelope" in refused:
        text = f"read the station's plate or manual: if it lists {case.what}, enter it in envelopes"
        ways.append(Workaround(text, None, 45))
    if case.section.word not in BARS:
        text = "cut it thermally and grind, where the code and the engineer allow"
        ways.append(Workaround(text, None, 50))
    if refused & {"blade length", "bar hole", "condition", "edge"}:
        ways.append(Workaround(f"order {blade_order(case, 1, 'the station')}", None, 80))
    return [*ways, _outside()]


def _outside() -> Workaround:
    return Workaround("have it cut outside: ask price, freight and days", None, 70)


def _as(case: CutCase, word: str) -> str:
    """The same flat asked for as a plate, or the other way round."""
    sizes = case.section.phrase(case.say.system).removeprefix(case.section.word)
    return f"cut {word}{sizes} {case.plate.material.name}"


def blade_order(case: CutCase, quantity: int, station: str) -> str:
    """A line that a supplier can ship from; bolt pattern and lengths are the machine's own."""
    word = case.section.word
    for_bar = (
        f", hole {size_or_gauge(case.section.size_mm, case.say.system)}" if word in BARS else ""
    )
    pairs = "1 pair" if quantity == 1 else f"{quantity} pairs"
    thickness = written_size(case.plate.thickness_mm, case.say.system)
    at_least = f", at least {case.say.length(case.along_mm)} long" if case.raked else ""
    job = f", our job {case.facts.job}" if case.facts.job else ""
    return (
        f"{pairs} of {word} shear blades{for_bar}{at_least}, upper and lower of the same height, to"
        f" cut {thickness} {case.plate.material.name}, for {station}: bolt pattern and section as"
        f" the machine's manual has them{job}"
    )
