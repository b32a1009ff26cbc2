"""The unit of a drawing: what the file says, what somebody said, and what its holes look like.

A drawing that says inches and was drawn in millimetres has holes that nobody punches; in the other
unit they are of usual sizes.
"""

from __future__ import annotations

from collections.abc import Sequence

from crib.acts import Said, act, joined, saying
from crib.errors import AskBack
from crib.features.common.sizes import CLEAN_MM
from crib.files.drawings.contour_sides import Bounds
from crib.files.drawings.parts import ReadNote
from crib.units import MM_PER_INCH, System

MM_PER_UNIT: dict[int, tuple[float, str]] = {
    1: (MM_PER_INCH, "inches"),
    2: (12 * MM_PER_INCH, "feet"),
    4: (1.0, "mm"),
    5: (10.0, "cm"),
    6: (1000.0, "m"),
    9: (MM_PER_INCH / 1000, "thousandths of an inch"),
    10: (36 * MM_PER_INCH, "yards"),
    13: (0.001, "micrometres"),
    14: (100.0, "dm"),
}
"""Millimetres of each unit by its code in the file ($INSUNITS of the DXF reference)."""
OF_INCHES = (1, 2, 9, 10)
CHOSEN: dict[System, int] = {"in": 1, "mm": 4}
PUNCHED_MM = (2.5, 160.0)
"""From the smallest to the widest opening that a shop punches (*common practice*, with room)."""
_SMALLEST_MM, _LARGEST_MM = 5.0, 20_000.0
_STEPS_MM = (0.5, MM_PER_INCH / 32)
_MOST_OF_THEM = 0.8


def unit_code(
    said: object, chosen: System | None, notes: list[ReadNote], *, own_first: bool
) -> int:
    """The code of the unit to read in; 0 when nobody says one.

    Args:
        said: What the file says.
        chosen: What somebody said.
        notes: Takes what a person should know.
        own_first: Whether the file's own word goes before what was said.
    """
    known = said if isinstance(said, int) and said in MM_PER_UNIT else 0
    if chosen is None:
        return known
    code = CHOSEN[chosen]
    if known and known != code:
        word = MM_PER_UNIT[known][1]
        if own_first:
            text = f"read in {word}, as the drawing says: alone it is read in {chosen} if told"
            notes.append(ReadNote(0, text))
            return known
        notes.append(ReadNote(0, f"the drawing says it is in {word}; read in {chosen} as told"))
    return code


def ask_unit(file: str, said: object, box: Bounds | None, drawn: Sequence[float]) -> AskBack:
    """Ask for the unit of a drawing that does not say it.

    Args:
        file: Its name.
        said: What the file says.
        box: The box around it, in its own unit.
        drawn: The sizes of its holes, in its own unit.
    """
    width, height = (box.width_mm, box.height_mm) if box else (0.0, 0.0)
    why = "does not say its unit" if not said else f"has a unit of its own ({said})"
    inches = f"{width * MM_PER_INCH:.5g} x {height * MM_PER_INCH:.5g} mm"
    message = (
        f"{file} {why}: it is {width:.5g} x {height:.5g} over all, in inches that would be {inches}"
    )
    usual = [system for system in CHOSEN if _are_usual(drawn, system)]
    if len(usual) == 1:
        message += f"; its holes are of usual sizes in {usual[0]}"
    return AskBack(message, choose="unit", way_out=_say_unit(*CHOSEN))


def doubt_unit(file: str, code: int, sizes_mm: Sequence[float]) -> AskBack | None:
    """Ask back when no hole is of a size that is punched, and most would be in another unit.

    Args:
        file: The drawing's name.
        code: The unit in which it was read.
        sizes_mm: The sizes of its holes as they were read [mm].
    """
    if not sizes_mm or any(_is_punched(size_mm) for size_mm in sizes_mm):
        return None
    scale_mm, word = MM_PER_UNIT[code]
    drawn = [size_mm / scale_mm for size_mm in sizes_mm]
    for system, other in CHOSEN.items():
        if other != code and _are_usual(drawn, system):
            message = (
                f"{file} says it is in {word}: its holes would be {min(sizes_mm):.5g} mm to "
                f"{max(sizes_mm):.5g} mm; read in {system} they are of usual sizes"
            )
            as_said = [one for one, said in CHOSEN.items() if said == code]
            return AskBack(message, choose="unit", way_out=_say_unit(system, *as_said))
    return None


def size_note(box: Bounds | None, word: str) -> ReadNote | None:
    """A doubt about the unit of a drawing that is very small or very large."""
    largest_mm = max(box.width_mm, box.height_mm) if box else 0.0
    if _SMALLEST_MM <= largest_mm <= _LARGEST_MM:
        return None
    text = f"the drawing is {largest_mm:.5g} mm over all, read in {word}: is that its unit?"
    return ReadNote(0, text)


def _say_unit(*systems: System) -> Said:
    acts = [act("say.unit", unit=system) for system in dict.fromkeys(systems)]
    return saying("say ", joined(" or ", [saying(one) for one in acts]))


def _is_punched(size_mm: float) -> bool:
    return PUNCHED_MM[0] <= size_mm <= PUNCHED_MM[1]


def _are_usual(drawn: Sequence[float], system: System) -> bool:
    """Whether most sizes are punched ones, in whole half millimetres or 32nds of an inch."""
    sizes_mm = [one * MM_PER_UNIT[CHOSEN[system]][0] for one in drawn]
    usual = [s for s in sizes_mm if _is_punched(s) and any(_is_step(s, mm) for mm in _STEPS_MM)]
    return bool(drawn) and len(usual) >= _MOST_OF_THEM * len(drawn)


def _is_step(size_mm: float, step_mm: float) -> bool:
    return abs(size_mm - round(size_mm / step_mm) * step_mm) <= CLEAN_MM
