"""The front page: what people come for."""

from __future__ import annotations

from crib.page.frame.reply import Reply, Shown, View
from crib.page.frame.request import PageRequest

TILES = ("tool", "strokes", "broke", "lend", "grinding", "jobs")
PLACES = ("count", "kit", "friday", "wall")


def front(asked: PageRequest) -> Reply:
    """Six big tiles, the strip for a scanned label, and doors to what comes up less often."""
    at = asked.session.at
    places = (*PLACES, "ways") if at is not None and at.several else PLACES
    return Shown("front", {"tiles": TILES, "places": places})


VIEWS = (View("/", front),)
