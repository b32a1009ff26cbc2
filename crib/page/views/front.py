"""The front page: what people come for."""

from __future__ import annotations

from crib.page.frame.reply import Reply, Shown, View
from crib.page.frame.request import PageRequest

TILES = ("tool", "strokes", "broke", "lend", "grinding", "jobs")


def front(asked: PageRequest) -> Reply:
    """Six big tiles and the strip for a scanned label."""
    return Shown("front", {"tiles": TILES})


VIEWS = (View("/", front),)
