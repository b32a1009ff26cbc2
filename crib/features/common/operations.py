"""What a list of proven sizes is for: the words that rules look under, however they are typed."""

from __future__ import annotations

from difflib import get_close_matches

from crib.errors import UnknownName

OPERATION_WORK = {
    "cut flat": "flat_shear",
    "cut plate": "plate_shear",
    "cut angle": "angle_shear",
    "cut round": "bar_shear",
    "cut square": "bar_shear",
    "cut channel": "channel_shear",
    "cut tube": "tube_shear",
    "notch": "notch",
    "vee": "vee_notch",
    "corner": "corner_notch",
    "bend": "brake",
    "point": "picket",
}
"""The work of the stations at which each is done."""

_SAID = {
    "notching": "notch",
    "rectangle notch": "notch",
    "vee notch": "vee",
    "v notch": "vee",
    "corner notch": "corner",
    "bending": "bend",
    "brake": "bend",
    "picket": "point",
    "pointing": "point",
}
_FIRST = ("cut", "cutting", "shear", "shearing")
_LAST = ("bar", "bars", "iron", "stock", "shear", "cut", "steel")


def operation_called(text: str) -> str:
    """The operation that is meant: ``flat``, ``Cut Flats`` and ``flat bar`` are ``cut flat``.

    Raises:
        UnknownName: for a word that no rule looks under.
    """
    words = text.casefold().replace("_", " ").replace("-", " ").split()
    plain = " ".join(words)
    section = [word for word in words if word not in (*_FIRST, *_LAST)]
    for tried in (plain, f"cut {' '.join(section)}"):
        for one in (tried, tried.removesuffix("s"), tried.removesuffix("es")):
            known = _SAID.get(one, one)
            if known in OPERATION_WORK:
                return known
    near = get_close_matches(plain, OPERATION_WORK, n=1, cutoff=0.6)
    nearest = f"; nearest: {near[0]}" if near else ""
    message = f"{text.strip()[:40]!r} is no operation that a list is read for{nearest}"
    raise UnknownName(message, way_out=f"one of: {', '.join(OPERATION_WORK)}")
