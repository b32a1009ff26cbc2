"""Pipe and tube by name: a pipe's name is not its size, a tube's is. Pure.

Which of the two stands behind "1-1/2" is never guessed: it is said, or an outside is measured.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from crib import units
from crib.errors import BadInput, BadValue
from crib.features.common.plate_phrase import Reading
from crib.features.common.sizes import decimal_text, size_word
from crib.trade.common.verdicts import exceeds
from crib.trade.metal.pipe_outsides import european_outside_mm, pipe_outside_mm
from crib.trade.metal.pipes import PipeSize, pipe_of_outside, pipe_size
from crib.units import System

Sort = Literal["pipe", "tube"]

_ALIKE_MM = 0.5
"""How far ASME's outside and that of EN 10220 may differ and a schedule's wall still be meant."""


@dataclass(frozen=True, slots=True)
class Tubular:
    """A pipe or tube as it is named; ``measured_mm`` is its outside under a caliper, if known.

    ``european`` marks a pipe that its DN names after EN 10220: ASME's of that DN may be another.
    """

    sort: Sort
    named_mm: float
    nps: str = ""
    dn: int = 0
    measured_mm: float | None = None
    european: bool = False

    @property
    def outside_mm(self) -> float:
        """The outside to reckon with: measured over named."""
        return self.named_mm if self.measured_mm is None else self.measured_mm

    def phrase(self, system: System) -> str:
        """Its name as a phrase holds it: ``1-1/2 pipe``, ``DN40 pipe``, ``38.1mm tube``."""
        if self.sort == "tube":
            return f"{size_word(self.named_mm, system)} tube"
        if self.european:
            return f"DN{self.dn} pipe"
        return f"NPS {self.nps} pipe" if system == "mm" else f"{self.nps} pipe"


def pipe_named(name: str, reading: Reading) -> Tubular:
    """A pipe by its nominal size; in a metric crib a bare whole number is its DN, after EN 10220.

    Raises:
        UnknownName: for a size that is not in the table.
    """
    bare = name.strip().isdecimal()
    metric = reading.system == "mm" and (bare or name.strip().casefold().startswith("dn"))
    size = pipe_size(f"DN{name.strip()}" if metric and bare else name)
    outside_mm = european_outside_mm(size.dn) if metric else pipe_outside_mm(size.nps)
    return Tubular("pipe", outside_mm, size.nps, size.dn, european=metric)


def scheduled_wall(pipe: Tubular, schedule: str) -> PipeSize:
    """The wall that a schedule gives a pipe; schedules are of ASME's outsides.

    Raises:
        UnknownName: for a schedule that is not known.
        BadValue: for one that the size does not come in, and for a European pipe whose outside is
            not ASME's.
    """
    size, ours = pipe_size(pipe.nps, schedule), pipe.named_mm
    if pipe.european and exceeds(abs(size.outside_mm - ours), _ALIKE_MM):
        message = (
            f"DN{pipe.dn} is {ours:g} mm outside by EN 10220, which has no schedules;"
            f" NPS {pipe.nps} is {size.outside_mm:g} mm"
        )
        way_out = f"say its wall, such as 2.9mm wall, or NPS {pipe.nps} pipe sch {schedule}"
        raise BadValue(message, way_out=way_out)
    return size


def tube_named(name: str, reading: Reading) -> Tubular:
    """A tube by its outside.

    Raises:
        BadQuantity: for a text that is no length.
    """
    return Tubular("tube", units.read_length_mm(name, reading.system))


def either(name: str, reading: Reading) -> tuple[Tubular, ...]:
    """The pipe and the tube that a name could mean.

    Raises:
        BadInput: when it can mean neither.
    """
    meanings = []
    fault: BadInput | None = None
    for meant in (pipe_named, tube_named):
        try:
            meanings.append(meant(name, reading))
        except BadInput as error:
            fault = error
    if fault is not None and not meanings:
        raise fault
    return tuple(meanings)


def said_outside(tubular: Tubular, system: System) -> str:
    """A name with the outside behind it: ``1-1/2 pipe is 1.900 in outside``."""
    return f"{tubular.phrase(system)} is {decimal_text(tubular.named_mm, system)} outside"


def by_measure(
    name: str, sort: Sort | None, measured_mm: float, tolerance_mm: float, reading: Reading
) -> Tubular:
    """What a name means once its outside is measured, pipe or tube.

    Raises:
        BadValue: when the outside is not what was said, or neither of the two.
        BadInput: when the name can mean neither.
    """
    could_be = either(name, reading)
    near = [
        tubular
        for tubular in could_be
        if not exceeds(abs(tubular.named_mm - measured_mm), tolerance_mm)
    ]
    if near and sort in (None, near[0].sort):
        return replace(near[0], measured_mm=measured_mm)
    system = reading.system
    measured = f"{decimal_text(measured_mm, system)} measured"
    known = " and ".join(said_outside(tubular, system) for tubular in could_be)
    if near:
        message = f"{measured} is {near[0].sort}, not {sort}: {known}"
        raise BadValue(message, way_out=f"say {near[0].phrase(system)}, or measure it again")
    pipes = ", ".join(size.nps for size in pipe_of_outside(measured_mm, tolerance_mm))
    hint = f"; {pipes} pipe has that outside" if pipes else ""
    message = f"{measured} is neither: {known}{hint}"
    raise BadValue(message, way_out="Measure it again, or name it by what it is")
