"""Reading what was said of a broken piece: ``snapped thru 1/2 A36``, and nothing left over."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from crib.acts import Said, act, saying
from crib.desk.strokes.log_words import read_plate_words
from crib.desk.strokes.weigh import read_work_plate
from crib.errors import BadPhrase
from crib.spellings import plain_spelling
from crib.trade.shop.shop_rules import Rules

HAPPENED: dict[str, str] = {
    **dict.fromkeys(("chipped", "chip", "chips"), "chipped"),
    **dict.fromkeys(("snapped", "snap", "broke", "broken"), "snapped"),
    **dict.fromkeys(("shattered", "shatter", "burst"), "shattered"),
    **dict.fromkeys(("cracked", "crack", "split"), "cracked"),
    **dict.fromkeys(("lost", "missing", "gone"), "lost"),
}
WORDS = tuple(dict.fromkeys(HAPPENED.values()))
_FILLING = ("it", "is", "was", "has", "got")
_THRU = "thru"


@dataclass(frozen=True, slots=True)
class BreakSaid:
    """What happened to a piece, and in which plate where that was said."""

    happened: str
    thickness_mm: float | None = None
    material: str = ""


def read_break(words: Sequence[str], rules: Rules) -> BreakSaid:
    """Read what happened, then ``thru THICKNESS [MATERIAL]``; any other word is refused.

    Raises:
        BadPhrase: when it is not said what happened, or at a word that cannot be placed.
        BadInput: for a plate that cannot be read.
    """
    split = " ".join(words).split()
    thru = next((at for at, word in enumerate(split) if plain_spelling(word) == _THRU), len(split))
    happened = _happened(split, thru)
    if thru == len(split):
        return BreakSaid(happened)
    thickness, material, rest = read_plate_words(split[thru + 1 :], rules)
    thickness_mm, found = read_work_plate(rules, thickness, material)
    if rest:
        raise _cannot_place(split, len(split) - len(rest))
    return BreakSaid(happened, thickness_mm, found.name)


def _happened(words: Sequence[str], most: int) -> str:
    """What happened, by the words before the plate."""
    plain = [word.casefold().strip(".,;!") for word in words[:most]]
    found = [HAPPENED[word] for word in plain if word in HAPPENED]
    if not found:
        text, example = " ".join(words), act("broke", tag="P-0137", happened="snapped thru 1/2 A36")
        message = f"what happened? say one of: {', '.join(WORDS)}"
        raise BadPhrase(
            message, text=text, start=0, end=len(text), way_out=saying("right: ", example)
        )
    for at, word in enumerate(plain):
        if word not in _FILLING and HAPPENED.get(word) != found[0]:
            raise _cannot_place(words, at)
    return found[0]


def _cannot_place(words: Sequence[str], at: int) -> BadPhrase:
    start = len(" ".join([*words[:at], ""]))
    way_out: Said = saying("what else is worth keeping goes in ", act("say.note", note=None))
    return BadPhrase(
        f"cannot place {words[at][:40]!r}",
        text=" ".join(words),
        start=start,
        end=start + len(words[at]),
        way_out=way_out,
    )
