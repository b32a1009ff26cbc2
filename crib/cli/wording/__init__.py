"""The shell's own words for what the rooms below say: how acts are typed, how facts are put.

An act or a fact comes by its name with its figures; only here it becomes a text.
"""

from crib.cli.wording.acts import confirmed, spelled
from crib.cli.wording.sayings import short, worded

__all__ = ["confirmed", "short", "spelled", "worded"]
