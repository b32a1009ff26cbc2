"""A phrase with places for its sizes, so that it can be filled in step by step."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

_PLACE = re.compile(r"\{(\w+)\}")


@dataclass(frozen=True, slots=True)
class PhraseForm:
    """One way to say a kind of feature: ``notch {width} x {depth} thru {thickness} {material}``.

    A place is named for what stands in it: ``width``, ``long`` and ``depth`` are the sizes of the
    tool that makes it, of the outline ``shape``; ``thickness`` and ``material`` are the plate's.
    ``name`` tells the form from every other one.
    """

    name: str
    template: str
    shape: str = ""

    @property
    def slots(self) -> tuple[str, ...]:
        """The places in the order in which they are said."""
        return tuple(_PLACE.findall(self.template))

    def open_slot(self, said: Mapping[str, str]) -> str:
        """The first place that nothing was said for; empty when the phrase is whole."""
        return next((name for name in self.slots if not said.get(name)), "")

    def phrase(self, said: Mapping[str, str]) -> str:
        """The phrase, whose every place must have been said."""
        return self.template.format_map(said)


def plate_form(word: str, sizes: str = "{width}", shape: str = "") -> tuple[PhraseForm, ...]:
    """The form of a kind that is said by its sizes and a plate."""
    return (PhraseForm(word, f"{word} {sizes} thru {{thickness}} {{material}}", shape),)
