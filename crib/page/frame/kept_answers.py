"""Answers that hold until the crib changes, so that what many ask is worked out once."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Hashable
from dataclasses import dataclass, field

MOST_KEPT = 500
LARGEST_BYTES = 200_000


@dataclass(frozen=True)
class KeptAnswer:
    """An answer as it was sent."""

    body: bytes
    status: int
    media_type: str
    headers: dict[str, str] = field(default_factory=dict)
    person: str | None = None
    """Who is at the device from now on; empty for nobody, None where that stays."""


class KeptAnswers:
    """The newest answers of one state of the crib and one day; another state empties it."""

    def __init__(self) -> None:
        self._state: Hashable = None
        self._kept: OrderedDict[Hashable, KeptAnswer] = OrderedDict()

    def find(self, state: Hashable, asked: Hashable) -> KeptAnswer | None:
        """The answer that was given to the same question in the same state."""
        if state != self._state:
            self._state = state
            self._kept.clear()
        found = self._kept.get(asked)
        if found is not None:
            self._kept.move_to_end(asked)
        return found

    def keep(self, state: Hashable, asked: Hashable, answer: KeptAnswer) -> None:
        """Keep an answer of a state, unless another state has come or it is very long."""
        if state != self._state or len(answer.body) > LARGEST_BYTES:
            return
        self._kept[asked] = answer
        if len(self._kept) > MOST_KEPT:
            self._kept.popitem(last=False)
