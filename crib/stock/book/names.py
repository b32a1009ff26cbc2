"""What somebody means who types the name of a machine or a person."""

from __future__ import annotations

import re
from collections.abc import Sequence

from crib.acts import Said
from crib.errors import UnknownName

_MOST_LISTED = 12


def name_meant(said: str, known: Sequence[str], none: str, way_out: Said = "") -> str:
    """The name among those known: said in full, or by whole words of it that no other has.

    Capitals, blanks and signs do not matter. Part of a word is not enough: who says Ironworker 1
    where only an Ironworker 12 stands means another one.

    Args:
        said: As it was typed.
        known: Every name there is.
        none: How the error for none of them begins, such as ``no machine called``.
        way_out: What to do when there is none of that name.

    Raises:
        UnknownName: when none is meant, or more than one.
    """
    name = said.strip()
    for meant in (
        [one for one in known if one == name],
        [one for one in known if same_name(one, name)],
        [one for one in known if _has_words(one, name)],
    ):
        if len(meant) == 1:
            return meant[0]
        if meant:
            message = f"{name[:40]!r} can be {_listed(meant)}"
            raise UnknownName(message, way_out="say more of its name")
    message = f"{none} {name[:40]!r}; known: {_listed(known)}"
    raise UnknownName(message, way_out=way_out)


def same_name(one: str, other: str) -> bool:
    """Whether two names are the same but for capitals, blanks and signs."""
    return _plain(one) == _plain(other)


def _words(name: str) -> list[str]:
    return re.findall(r"\w+", name.casefold())


def _plain(name: str) -> str:
    return "".join(_words(name))


def _has_words(name: str, part: str) -> bool:
    """Whether some words of a name, as they follow each other, are the part."""
    words, plain = _words(name), _plain(part)
    return bool(plain) and any(
        "".join(words[first:end]) == plain
        for first in range(len(words))
        for end in range(first + 1, len(words) + 1)
    )


def _listed(names: Sequence[str]) -> str:
    more = len(names) - _MOST_LISTED
    listed = ", ".join(names[:_MOST_LISTED]) or "none yet"
    return f"{listed} and {more} more" if more > 0 else listed
