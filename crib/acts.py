"""What can be done at the crib and what is known, by stable names; and sayings that mention them.

A room says what helps as an act with its figures, never as a command, an option or a button: each
door has its own way of offering an act. Names of three sorts:

``kit.hold``, ``move``      a thing to be done next, whole in itself
``say.unit``, ``say.why``   a field of the request that was made, to be filled in or changed
``confirm.overwrite``       yes to the one doubt that was asked back

What is known goes the same way: a fact by its code with its figures, such as the reason of a line
to buy, so that no room has to read a sentence and each door words it as it likes.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Any, Literal, TypeAlias

Figure: TypeAlias = "str | int | float | tuple[str, ...] | None"
"""What an act is done with; None is for whoever acts to fill in."""

Doubt = Literal[
    "before-it-came",
    "damage-not-gone",
    "files-not-read",
    "goes-on-elsewhere",
    "lengths-disagree",
    "lines-left",
    "many-strokes",
    "much-ground-off",
    "no-job",
    "odd-size",
    "on-order",
    "overwrite",
    "replace-crib",
    "strokes-of-earlier-plan",
    "too-short",
    "typed-already",
    "station-taken",
    "whole-act",
]
"""What a request may be asked back about and carry a yes to."""

Confirmed: TypeAlias = "frozenset[Doubt]"
"""The doubts that a request says yes to."""

Choice = Literal[
    "dates",
    "drawer",
    "edition",
    "kind",
    "same-part",
    "seat",
    "strokes-not-logged",
    "take",
    "unit",
]
"""What a request may leave open and be asked back for."""


_NOT_A_TEXT = "a saying is put together with saying(), and worded by a door"


@dataclass(frozen=True, slots=True)
class Act:
    """Something that can be done at the crib, and what it is done with."""

    name: str
    figures: tuple[tuple[str, Figure], ...] = ()

    def __str__(self) -> str:
        given = ", ".join(f"{key}={value!r}" for key, value in self.figures)
        return f"{self.name}({given})"

    def __format__(self, spec: str) -> str:
        raise TypeError(_NOT_A_TEXT)


@dataclass(frozen=True, slots=True)
class Fact:
    """Something known, by a stable code, and the figures of it."""

    code: str
    figures: tuple[tuple[str, Any], ...] = ()

    def __str__(self) -> str:
        given = ", ".join(f"{key}={value!r}" for key, value in self.figures)
        return f"{self.code}({given})"

    def __format__(self, spec: str) -> str:
        raise TypeError(_NOT_A_TEXT)

    def __getitem__(self, name: str) -> Any:
        return dict(self.figures)[name]

    def but(self, **figures: Any) -> Fact:
        """The same with some figures changed."""
        return Fact(self.code, tuple({**dict(self.figures), **figures}.items()))


@dataclass(frozen=True, slots=True)
class Saying:
    """Words with acts and facts between them; a door puts its own words in their place."""

    parts: tuple[str | Act | Fact, ...]

    def __str__(self) -> str:
        return "".join(str(part) for part in self.parts)

    def __format__(self, spec: str) -> str:
        raise TypeError(_NOT_A_TEXT)


Said: TypeAlias = "str | Saying"
"""A saying, or plain words where it mentions nothing by name."""

Spelling: TypeAlias = "Callable[[Act], str]"
"""How a door spells an act, for paper that is made below it."""

Wording: TypeAlias = "Callable[[Said | Fact], str]"
"""How a door words what was said, for paper that is made below it."""


def act(name: str, /, **figures: Figure) -> Act:
    """An act by its name, with its figures in the order given."""
    return Act(name, tuple(figures.items()))


def fact(code: str, /, **figures: Any) -> Fact:
    """Something known by its code, with its figures in the order given."""
    return Fact(code, tuple(figures.items()))


def yes_to(*doubts: Doubt) -> Confirmed:
    """The doubts that somebody says yes to."""
    return frozenset(doubts)


def saying(*parts: Said | Act | Fact) -> Saying:
    """One saying of words, acts, facts and other sayings; words side by side become one part."""
    made: list[str | Act | Fact] = []
    for part in _flat(parts):
        if isinstance(part, str) and made and isinstance(made[-1], str):
            made[-1] += part
        else:
            made.append(part)
    return Saying(tuple(made))


def joined(between: str, parts: Iterable[Said]) -> Saying:
    """Several sayings as one, with the same words between each two."""
    every: list[Said] = []
    for part in parts:
        every += [between, part] if every else [part]
    return saying(*every)


def acts_in(said: Said) -> tuple[Act, ...]:
    """The acts that a saying mentions, in their order."""
    if isinstance(said, str):
        return ()
    return tuple(part for part in said.parts if isinstance(part, Act))


def _flat(parts: Iterable[Said | Act | Fact]) -> Iterator[str | Act | Fact]:
    for part in parts:
        yield from part.parts if isinstance(part, Saying) else (part,)
