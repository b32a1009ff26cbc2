"""The cautions by the work done: three lines on every screen, all of them on paper and on the page.

Nothing switches them off: whoever shows an answer asks for those of the work that it is about.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from crib.desk.common.caution_page import (
    DEFER,
    GENERAL,
    LOCK,
    WORKS,
    CautionSection,
    Work,
)

_OF_STATION: dict[str, Work] = {
    "punch": "punch",
    "notch": "notch",
    "corner_notch": "notch",
    "vee_notch": "notch",
    "brake": "bend",
    "saddle": "saddle",
    "picket": "picket",
    "attachment": "attachment",
}
HEAVY_ROLES = ("set", "blade", "brake_tool", "attachment")
"""What is lifted with two; of dies those that are wide."""
HEAVY_DIE_MM = 60.0
"""Opening from which a die counts as heavy (shop rule)."""


@dataclass(frozen=True, slots=True)
class Page:
    """The cautions as they are read or printed: for every work, and each work's three lines."""

    short: tuple[str, ...]
    by_work: dict[Work, tuple[str, ...]]
    sections: tuple[CautionSection, ...]


def read_cautions() -> Page:
    """The cautions page."""
    own = tuple(one.section for one in WORKS.values())
    return Page((LOCK, DEFER), {work: short_cautions([work]) for work in WORKS}, (*GENERAL, *own))


def station_work(does: str) -> Work:
    """The work of a station, by what it does; every sort of shear is shearing."""
    return "shear" if does.endswith("shear") else _OF_STATION[does]


def short_cautions(works: Iterable[Work]) -> tuple[str, ...]:
    """The lines for a screen: three for one work, one more for each work that is done beside it."""
    chosen = [WORKS[work] for work in dict.fromkeys(works)]
    lines = (*(one.first for one in chosen), *(one.own for one in chosen), DEFER)
    return tuple(dict.fromkeys(lines))


def all_cautions(works: Iterable[Work]) -> tuple[str, ...]:
    """Every line of some works, for paper."""
    return tuple(line for work in dict.fromkeys(works) for line in WORKS[work].section.lines)


def is_heavy(role: str, width_mm: float | None = None) -> bool:
    """Whether a piece is lifted with two people or a lift, by its role and the size it works."""
    wide = role == "die" and (width_mm or 0.0) >= HEAVY_DIE_MM
    return wide or role in HEAVY_ROLES


def set_up_checks(work: Work) -> tuple[str, ...]:
    """What is ticked off at a station before the work is run."""
    return WORKS[work].checks
