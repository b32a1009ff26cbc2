"""The shell's own words for what the rooms below say: how acts are typed, how facts are put.

An act or a fact comes by its name with its figures; only here it becomes a text.
"""

from __future__ import annotations

from crib.acts import Fact, Said
from crib.cli.wording.acts import confirmed, marked, spelled
from crib.wording import sayings
from crib.wording.sayings import short

__all__ = ["confirmed", "marked", "short", "spelled", "worded"]


def worded(said: Said | Fact) -> str:
    """A saying or a fact in the shell's words."""
    return sayings.worded(said, marked)
