"""The words for how strokes were made: read behind a tag and in sheets, and written back."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from crib.trade.life.wear import Manner

AS_USUAL = Manner()
MANNER_WORDS: dict[str, tuple[str, Any]] = {
    "full": ("hit", "full"),
    "bridge": ("hit", "bridge"),
    "chain": ("hit", "chain"),
    "dry": ("dry", True),
    "oiled": ("dry", False),
}
"""Each word with what it says of the manner."""


def with_word(manner: Manner, word: str) -> Manner:
    """The manner with what one of the words says of it."""
    name, value = MANNER_WORDS[word]
    return replace(manner, **{name: value})


def words_of(manner: Manner) -> list[str]:
    """The words for what is not as usual."""
    return [
        word
        for word, (name, value) in MANNER_WORDS.items()
        if getattr(manner, name) == value != getattr(AS_USUAL, name)
    ]
