"""The sort of act that stands behind each place of the page that writes."""

from __future__ import annotations

ACTS_OF_WORDS: dict[str, str] = {
    "strokes": "strokes",
    "lend": "lend",
    "ways": "lend",
    "kit": "lend",
    "broke": "broke",
    "grinding": "edges",
    "ground": "edges",
    "measured": "edges",
    "turned": "edges",
    "looked": "edges",
    "piece": "shelf",
    "count": "shelf",
    "place": "shelf",
    "jobs": "jobs",
    "plan": "jobs",
    "friday": "buy",
    "tool": "buy",
    "undo": "undo",
}
"""The sort of act behind a word of an address that writes; the last one that is known counts."""


def act_of(path: str) -> str:
    """The sort of act of an address that writes.

    Raises:
        LookupError: for an address of whose words none is known.
    """
    known = [ACTS_OF_WORDS[one] for one in path.split("/") if one in ACTS_OF_WORDS]
    if not known:
        message = f"{path} writes, and nobody said which sort of act that is"
        raise LookupError(message)
    return known[-1]
