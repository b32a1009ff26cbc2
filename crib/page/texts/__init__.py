"""Every text of the page by a dotted key, its languages side by side, a JSON file a page."""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from string import Formatter
from typing import Any

LANGUAGES = ("en", "de")
NAMES = {"en": "English", "de": "Deutsch"}


@dataclass(frozen=True)
class Texts:
    """The texts of one language."""

    language: str
    table: dict[str, str]

    def __call__(self, key: str, /, **slots: Any) -> str:
        """The text of a key, its named slots filled; ``n`` chooses ``key.one`` where it is 1.

        Raises:
            KeyError: for a key that has no text.
        """
        if slots.get("n") == 1 and f"{key}.one" in self.table:
            key = f"{key}.one"
        text = self.table[key]
        return text.format_map(slots) if slots else text

    def has(self, key: str) -> bool:
        """Whether there is a text for a key that a room below gave: a rule, a role, a place."""
        return key in self.table

    def known(self, key: str, otherwise: str) -> str:
        """The text of a key that comes from below, else what the room below says itself."""
        return self.table.get(key, otherwise)


@cache
def texts_of(language: str) -> Texts:
    """The texts of a language, English where it is not known."""
    name = language if language in LANGUAGES else LANGUAGES[0]
    return Texts(name, {key: said[name] for key, said in table().items()})


@cache
def table() -> dict[str, dict[str, str]]:
    """Every text in every language.

    Raises:
        ValueError: for a key that stands in two files.
    """
    made: dict[str, dict[str, str]] = {}
    for file in sorted(Path(__file__).parent.glob("*.json")):
        said: dict[str, dict[str, str]] = json.loads(file.read_text("utf-8"))
        twice = made.keys() & said.keys()
        if twice:
            message = f"{file.name}: {', '.join(sorted(twice))} stand in another file too"
            raise ValueError(message)
        made |= said
    return made


def slots_of(text: str) -> set[str]:
    """The named slots of a text."""
    return {name for _before, name, _spec, _turn in Formatter().parse(text) if name}


def best_language(wanted: str) -> str:
    """The first language of an ``Accept-Language`` header that the page speaks."""
    for part in wanted.split(","):
        name = part.split(";")[0].strip().split("-")[0].lower()
        if name in LANGUAGES:
            return name
    return LANGUAGES[0]
