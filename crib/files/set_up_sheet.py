"""The set-up sheet of a machine: station by station what to mount, to set, to check and to run.

Every text is ready to print: lengths, forces and phrases are written by whoever makes the sheet.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class SetUpTool:
    """One piece to mount; ``key_angle_deg`` is None where it has no key."""

    role: str
    tag: str
    what: str
    place: str
    key_angle_deg: float | None
    edge: str


@dataclass(frozen=True, slots=True)
class SetUpRun:
    """One line of work at a station.

    ``hits`` are those of one part, ``strokes`` those of all parts; ``load`` is the force over what
    the station may be loaded to, None where it is not known.
    """

    order: int
    phrase: str
    part_mark: str
    material: str
    parts: int
    hits: int
    strokes: int
    force: str
    load: float | None
    gauge_lines: tuple[str, ...] = ()
    note: str = ""


@dataclass(frozen=True, slots=True)
class StationSetUp:
    """One station: what goes in, how it is set, what is run; ``oil`` is None when nobody said."""

    station: str
    tools: tuple[SetUpTool, ...]
    stripper_gap: str
    oil: bool | None
    runs: tuple[SetUpRun, ...]
    checks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class SetUpSheet:
    """The whole sheet; ``hold_points`` stop the work until somebody looked and signed."""

    title: str
    job: str
    machine: str
    made_on: str
    stations: tuple[StationSetUp, ...]
    hold_points: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
