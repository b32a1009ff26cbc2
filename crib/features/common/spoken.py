"""What people say in their own order: the feature behind its size, a count or a ream anywhere.

Each function puts the words of a phrase into the order that the kinds of feature read, and marks
the phrase as free. Where two readings are left it asks back.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

from crib.features.common.phrase import TAIL_WORDS, Word, Words
from crib.spellings import is_unit, size_words
from crib.units import looks_like_length

PLATE_WORDS = ("plate", "sheet", "thick")
"""Words behind a thickness or a material that say what it is of, and nothing more."""

COUNTERSUNK, COUNTERBORED, TAPPED = "countersunk", "counterbored", "tapped"
LATER = "second operation"
"""The rule that says what is done to a hole after it is punched."""

SINK_WORDS = (COUNTERSUNK, "csk", "countersink")
BORE_WORDS = (COUNTERBORED, "cbore", "counterbore")
SECOND_WORDS = (*SINK_WORDS, *BORE_WORDS, TAPPED)
"""Words for what is done to a hole after it is punched."""

RADIUS_WORDS = ("radius", "rad", "r")
"""Words before the radius of rounded corners."""

_METRIC_BOLT = re.compile(r"m[0-9]+(?:\.[0-9]+)?", re.IGNORECASE)


def feature_to_front(words: Words, kind_of: Callable[[str], str]) -> None:
    """Put the feature's word before its sizes: ``13/16 hole 3/8 plate``.

    Args:
        words: The phrase, of which nothing is read yet.
        kind_of: The kind that a word names, or empty.

    Raises:
        UnsurePhrase: where the number in front may be how many.
    """
    said = words.rest()
    at = sizes_in_front(said)
    kind = kind_of(said[at].plain) if 0 < at < len(said) else ""
    if not kind:
        return
    before, word, after = said[:at], said[at], said[at + 1 :]
    if after and looks_like_length(after[0].text):
        _ask_if_count(words, kind, before, after)
        after = (Word("thru", after[0].start, after[0].start), *after)
    words.say((word, *before, *after))
    words.free = True


def require_apart(words: Words, rest: Sequence[Word], wanted: str) -> None:
    """Refuse a size behind a part that would run together with what stands before the part.

    Raises:
        BadPhrase: pointing at the first word of the rest.
    """
    for behind in rest[:1]:
        if looks_like_length(behind.text) or is_unit(behind.text):
            message, hint = f"cannot place {behind.text!r}", f"say it before {wanted!r}"
            raise words.wrong(behind.start, behind.end, message, way_out=hint)


def sizes_in_front(said: Sequence[Word]) -> int:
    """How many of the first words are sizes with an x between; 0 where none stands in front."""
    at = 0
    while at < len(said) and (
        looks_like_length(said[at].text) or _METRIC_BOLT.fullmatch(said[at].text)
    ):
        at += size_words([word.text for word in said[at:]])
        if at == len(said) or said[at].plain != "x":
            return at
        at += 1
    return 0


def take_out(
    words: Words,
    wanted: str,
    *,
    size: bool = False,
    is_behind: Callable[[str], bool] = lambda _word: False,
) -> Words | None:
    """Take a part out of a phrase wherever it stands, to be read by itself; None without one.

    Args:
        words: The phrase.
        wanted: The word that the part begins with.
        size: Whether a number follows the first word.
        is_behind: Whether a word may end the part.

    Raises:
        BadPhrase: where the words around it would run together to something else.
    """
    said = words.rest()
    at = next((at for at, word in enumerate(said) if at and word.plain == wanted), None)
    if at is None:
        return None
    end = at + 1
    if size and end < len(said) and said[end].plain not in TAIL_WORDS:
        end += size_words([word.text for word in said[end:]])
    if end < len(said) and is_behind(said[end].plain):
        end += 1
    numbered = not size or looks_like_length(said[min(at + 1, len(said) - 1)].text)
    if numbered:
        require_apart(words, said[end:], wanted)
    words.say((*said[:at], *said[end:]))
    return words.part(said[at:end])


def _ask_if_count(words: Words, kind: str, before: Sequence[Word], after: Sequence[Word]) -> None:
    """``2 holes 13/16 thru 3/8``: a whole number before the feature may be how many."""
    if len(before) != 1 or not before[0].text.isdecimal():
        return
    number, rest = before[0], words.text[after[0].start :]
    behind = after[size_words([word.text for word in after]) :]
    follows = behind[0].plain if behind else ""
    if follows in PLATE_WORDS:
        return
    counted = f"{kind} {rest} for {number.text}"
    if follows in ("thru", "x") or looks_like_length(follows):
        message, readings = f"{number.text} before {kind!r} is how many", [counted]
    else:
        message = f"{number.text} may be the size, or how many"
        readings = [f"{kind} {number.text} thru {rest}"]
        counted = f"{kind} {after[0].text} thru THICKNESS for {number.text}"
    way_out = f"say {' or '.join(f'`{one}`' for one in dict.fromkeys((*readings, counted)))}"
    raise words.unsure(number.start, number.end, message, readings, way_out)
