"""What was written in one act, read back from the ledger, and taking it back."""

from __future__ import annotations

from crib.desk.book.history import read_act
from crib.desk.book.undo import undo_act
from crib.errors import UnknownName
from crib.page.frame.reply import Done, FormField, Reply, Shown, View
from crib.page.frame.request import PageRequest

_MOST_FIGURES = 15


def written(asked: PageRequest) -> Reply:
    """The entries of an act."""
    act = read_act(asked.session, _number(asked["entry"]))
    return Shown("written", {"act": act}, act)


def taken_back(asked: PageRequest) -> Done:
    """Take an act back by counter-entries."""
    entry = _number(asked["entry"])
    undone = undo_act(
        asked.session,
        str(entry),
        asked["why"],
        confirmed=asked.confirmed,
        by=asked.by,
        now=asked.now,
    )
    slots = {"n": len(undone.lines), "tags": ", ".join(one.tag for one in undone.pieces)}
    return Done(f"/written/{entry}", "written.undone", slots, undone)


def _number(text: str) -> int:
    """The number of an entry in an address.

    Raises:
        UnknownName: for what is no number.
    """
    if text.isdecimal() and len(text) <= _MOST_FIGURES:
        return int(text)
    message = f"there is no entry {text[:20]!r}"
    raise UnknownName(message)


VIEWS = (
    View("/written/{entry}", written),
    View(
        *("/written/{entry}/undo", taken_back, "POST", (FormField("why", needed=True),)),
        writes=True,
        needs_person=True,
    ),
)
