"""What was done to wants, in the shell's words."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from crib.wording.parts import Words


def _counted(count: int) -> str:
    return "1 want" if count == 1 else f"{count:,} wants"


def _struck(count: int) -> Words:
    return f"struck out {_counted(count)}", "; wanted again when somebody asks again"


def _merged(count: int, into: int) -> Words:
    return f"merged {_counted(count)} into {into}", ""


def _reopened(count: int) -> Words:
    return f"wanted again: {_counted(count)}", ""


WANTS: Mapping[str, Callable[..., Words]] = {
    "wants.merged": _merged,
    "wants.reopened": _reopened,
    "wants.struck": _struck,
}
