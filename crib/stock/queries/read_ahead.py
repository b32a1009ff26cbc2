"""Answers kept by what was asked: nothing is read twice for one request, and much of it at once."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Sequence
from typing import Generic, TypeVar

Asked = TypeVar("Asked", bound=Hashable)
Told = TypeVar("Told")


class ReadAhead(Generic[Asked, Told]):
    """What was read for each thing that was asked; what was not is read when it is wanted.

    Holds for one request only: what is written meanwhile does not show.
    """

    def __init__(self, read: Callable[[Sequence[Asked]], Iterable[Told]]) -> None:
        self._read = read
        self._kept: dict[Asked, Told] = {}

    def ahead(self, asked: Iterable[Asked]) -> None:
        """Read all that is asked and not known yet, at once."""
        new = [one for one in dict.fromkeys(asked) if one not in self._kept]
        if new:
            self._kept.update(zip(new, self._read(new), strict=True))

    def knows(self, asked: Asked) -> bool:
        """Whether a question was answered already."""
        return asked in self._kept

    def of(self, asked: Asked) -> Told:
        """What one question is answered with."""
        if asked not in self._kept:
            self.ahead([asked])
        return self._kept[asked]
