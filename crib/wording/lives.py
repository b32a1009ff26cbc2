"""How sure it is how long an edge lasts, in words."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from crib.wording.parts import Words


def _told(*, told: int, ground: int, dull: float) -> Words:
    words = f"{told:,} of {ground:,} told"
    silent = ground - told
    if not silent:
        return words, ""
    return words, (
        f": of the other {silent:,} about {dull:.0f} {'was' if round(dull) == 1 else 'were'} dull,"
        " by what the told ones teach"
    )


def _silent(*, ground: int, setting: float, dull: float, meant: float) -> Words:
    return f"0 of {ground:,} told", (
        f": nobody knows how they were, so the setting of {setting:,.0f} holds; were it twice"
        f" too long, {100 * dull:.0f} in 100 edges would be dull at it, not {100 * meant:.0f}"
    )


def _surer(*, told: int | None, run: int | None) -> Words:
    ways = (
        "" if told is None else f"{_about(told)} told sharp or dull at the grind",
        "" if run is None else f"{_about(run)} used until dull",
    )
    known = " or ".join(way for way in ways if way)
    return "the range halves", f" with {known}" if known else " only with hundreds more edges"


def _about(edges: int) -> str:
    return f"{edges:,} more" if edges < 10 else f"about {edges:,} more"


LIVES: Mapping[str, Callable[..., Words]] = {
    "life.told": _told,
    "life.silent": _silent,
    "life.surer": _surer,
}
