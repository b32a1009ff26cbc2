"""A saying of the rooms below in words; each door spells the acts in it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

from crib.acts import Act, Fact, Said, Spelling

if TYPE_CHECKING:
    from crib.wording.parts import Words


def worded(said: Said | Fact, spelled: Spelling) -> str:
    """A saying or a fact in words, with its acts as a door spells them."""
    if isinstance(said, str):
        return said
    if isinstance(said, Fact):
        return "".join(_words(said))
    return "".join(_part(part, spelled) for part in said.parts)


def short(fact: Fact) -> str:
    """A fact in the few words that say what it is."""
    return _words(fact)[0]


def words_of(code: str) -> Callable[..., Words]:
    """What puts a fact of this code into words; its parameters are the fact's figures."""
    return _tables()[code.partition(".")[0]][code]


def codes() -> set[str]:
    """Every fact that there are words for."""
    return {code for words in _tables().values() for code in words}


def _part(part: str | Act | Fact, spelled: Spelling) -> str:
    return spelled(part) if isinstance(part, Act) else worded(part, spelled)


def _words(fact: Fact) -> Words:
    return words_of(fact.code)(**dict(fact.figures))


def _tables() -> dict[str, Mapping[str, Callable[..., Words]]]:
    """The words of each sort of fact; loaded with the first fact that is put."""
    from crib.wording.buying import BUYING
    from crib.wording.edges import EDGES
    from crib.wording.kinds import KINDS
    from crib.wording.lives import LIVES
    from crib.wording.reach import REACH
    from crib.wording.reading import READ
    from crib.wording.wants import WANTS

    tables = {"buy": BUYING, "edge": EDGES, "kind": KINDS, "life": LIVES}
    return {**tables, "reach": REACH, "read": READ, "wants": WANTS}
