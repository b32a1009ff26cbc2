"""How the page offers an act of the rooms below: a place to go, a text, else plain words."""

from __future__ import annotations

from urllib.parse import quote, urlencode

from crib.acts import Act
from crib.page.texts import Texts

_PLACES: dict[str, str] = {
    "arrive": "/ways",
    "broke": "/broke/{tag}",
    "due": "/grinding",
    "grind": "/grinding/{tag}",
    "grind.length": "/grinding/{tag}",
    "grind.off": "/grinding/{tag}",
    "history": "/piece/{tag}",
    "kit.hold": "/kit/{job}",
    "jobs": "/jobs",
    "look.inspected": "/piece/{tag}/look",
    "look.sharp": "/piece/{tag}/look",
    "measure": "/piece/{tag}/measure",
    "send": "/ways",
    "send.list": "/ways",
    "wants": "/friday",
}
"""The pages where an act is done, by its name."""


def act_place(act: Act) -> str:
    """The address where an act is done; empty where the page has none."""
    given = {key: "" if value is None else str(value) for key, value in act.figures}
    if act.name == "find":
        asked = {name: value for name, value in given.items() if value}
        return f"/tool/answer?{urlencode(asked)}"
    place = _PLACES.get(act.name, "")
    try:
        return place.format_map({key: quote(value) for key, value in given.items()})
    except KeyError:
        return ""


def act_words(act: Act, texts: Texts) -> str:
    """An act in a sentence: the text of its name, else what is done at the shell."""
    given = {key: "…" if value is None else value for key, value in act.figures}
    key = f"act.{act.name}"
    if not texts.has(key):
        return texts("act.at-the-shell")
    return texts.table[key].format_map(_Open(given))


class _Open(dict[str, object]):
    """Figures of an act; one that was not given is left open."""

    def __missing__(self, name: str) -> str:
        return "…"
